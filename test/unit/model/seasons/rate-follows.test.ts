import { describe, expect, it } from "vitest";
import { rateFollows } from "../../../../src/model/seasons/rate-follows.ts";
import type { Strip } from "../../../../src/vocabulary/trial.ts";
import { makeTrial } from "../../../make-trial.ts";

/** Blocks with their rates in the order of the positions. */
const blocks = (of: Record<string, number[]>, change: (strip: Strip) => Partial<Strip> = () => ({})) =>
  makeTrial(
    Object.entries(of).flatMap(([block, rates]) =>
      rates.map((rateSeedsPerM2, i) => ({ block, rateSeedsPerM2, position: i + 1, yieldKgPerHa: 4000 })),
    ),
  ).strips.map((strip) => ({ ...strip, ...change(strip) }));
const follows = (...asked: Parameters<typeof blocks>): string | undefined =>
  rateFollows(blocks(...asked)).rateFollows;

describe("a rate that goes with the position", () => {
  it("goes up in every block, or down in every one", () => {
    expect(follows({ 1: [200, 250, 300], 2: [210, 260, 290] })).toBe("position");
    expect(follows({ 1: [300, 250, 200], 2: [290, 260, 210] })).toBe("position");
    expect(follows({ 1: [200, 250, 300], 2: [300, 250, 200] })).toBeUndefined();
    expect(follows({ 1: [200, 250, 300], 2: [250, 200, 300] })).toBeUndefined();
  });

  it("may have one strip of ten out of its place, but not one of six", () => {
    // Spearman: 1 − 6 × 2 ÷ (n³ − n) is 0.943 of six, and 0.988 of ten.
    const swapped = (count: number): number[] => {
      const rates = Array.from({ length: count }, (_, i) => 200 + 10 * i);
      [rates[1], rates[2]] = [rates[2]!, rates[1]!];
      return rates;
    };
    expect(follows({ 1: swapped(10) })).toBe("position");
    expect(follows({ 1: swapped(10).reverse() })).toBe("position");
    expect(follows({ 1: swapped(6) })).toBeUndefined();
    expect(follows({ 1: swapped(6).reverse() })).toBeUndefined();
  });

  it("is told by blocks with three rates or more alone", () => {
    expect(follows({ 1: [200, 250, 300], 2: [300, 200] })).toBe("position");
    expect(follows({ 1: [300, 200], 2: [310, 210] })).toBeUndefined();
  });

  it("is not told where a strip has no position, or all have the same", () => {
    const rates = { 1: [200, 250, 300], 2: [300, 200] };
    expect(follows(rates, ({ place }) => (place.row === 6 ? { position: null } : {}))).toBeUndefined();
    expect(follows(rates, () => ({ position: 4 }))).toBeUndefined();
  });
});

describe("a rate that goes with the blocks", () => {
  it("is one in each of three or more, and goes up or down with their numbers", () => {
    expect(follows({ 1: [200, 200], 2: [250, 250], 3: [300, 300] })).toBe("blocks");
    expect(follows({ 1: [300], 2: [250], 3: [200] })).toBe("blocks");
    // Without positions, too.
    expect(follows({ 1: [300], 2: [250], 3: [200] }, () => ({ position: null }))).toBe("blocks");
    // A block that comes first in the file need not have the lowest number.
    const { strips } = makeTrial(
      [
        ["10", 300],
        ["9", 250],
        ["2", 200],
      ].map(([block, rate]) => ({ block: String(block), rateSeedsPerM2: Number(rate), yieldKgPerHa: 4000 })),
    );
    expect(rateFollows(strips)).toEqual({ rateFollows: "blocks" });
  });

  it.each([
    ["of two blocks", { 1: [200], 2: [250] }],
    ["of two rates", { 1: [200], 2: [200], 3: [250] }],
    ["of a block with two rates", { 1: [200, 210], 2: [250], 3: [300], 4: [310] }],
    ["up and down", { 1: [200], 2: [300], 3: [250] }],
    ["of blocks without a number", { A: [200], 2: [250], 3: [300] }],
  ])("is not told %s", (_, of) => expect(rateFollows(blocks(of as Record<string, number[]>))).toEqual({}));
});
