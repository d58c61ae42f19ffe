import { describe, expect, it } from "vitest";
import { stripsBehind, thinnedNote, thinStrips } from "../../../src/tell/thin-strips.ts";
import { pageDataOf, readPageData } from "../../../src/tell/html/page-data.ts";
import { measuresOf } from "../../../src/numbers/measures.ts";
import type { StripPoint } from "../../../src/vocabulary/result.ts";
import { makeResult } from "../../fixtures/result.ts";

const result = makeResult();
const many = Array.from({ length: 100 }, (_, copy) =>
  result.strips.map((strip, index) => ({
    ...strip,
    row: copy * result.strips.length + index,
    rateSeedsPerM2: strip.rateSeedsPerM2 + copy / 25,
    studentizedResidual: copy === 7 && index < 3 ? 6 + index : Math.sin(copy + index),
  })),
).flat();

describe("a page's strips", () => {
  it("are all there up to a number", () => {
    expect(thinStrips(result.strips, result.strips.length)).toBe(result.strips);
    expect(stripsBehind(result.strips)).toBe(result.strips.length);
    expect(thinnedNote(result.strips, result.strips.length)).toBe("");
  });

  it("are one in so many beyond, which add up to all in every field and season", () => {
    const kept = thinStrips(many, 1000);
    expect(kept.length).toBeLessThanOrEqual(1000);
    expect(kept.length).toBeGreaterThan(900);
    const placeOf = (strip: Pick<StripPoint, "variety" | "environment">): string =>
      `${strip.variety} ${strip.environment}`;
    for (const place of new Set(many.map(placeOf)))
      expect(stripsBehind(kept.filter((strip) => placeOf(strip) === place))).toBe(
        many.filter((strip) => placeOf(strip) === place).length,
      );
    const byRow = new Map(many.map((strip) => [strip.row, strip]));
    for (const { standsFor, ...strip } of kept) {
      expect(byRow.get(strip.row)).toEqual(strip);
      expect(standsFor).toBeGreaterThanOrEqual(1);
    }
    expect(kept.map(({ row }) => row)).toEqual([...kept.map(({ row }) => row)].sort((a, b) => a - b));
  });

  it("hold those far out, each for itself", () => {
    const farOut = thinStrips(many, 1000).filter((strip) => Math.abs(strip.studentizedResidual ?? 0) > 3);
    expect(farOut.map(({ standsFor }) => standsFor)).toEqual([1, 1, 1]);
    expect(thinnedNote(farOut, many.length)).toBe(
      `; 3 of ${many.length} strips are drawn, those far from their curve among them`,
    );
  });

  it("are thinned before a page holds them, to some megabytes", () => {
    const strips = Array.from({ length: Math.ceil(40_000 / many.length) }, () => many).flat();
    const drawer = { vegaSpec: () => ({}), drawSvg: () => Promise.resolve("") };
    const text = pageDataOf({ ...result, strips }, measuresOf(result), drawer)!();
    expect(text.length).toBeLessThan(5e6);
    const held = readPageData(text).modelled.strips;
    expect(held.length).toBeLessThanOrEqual(20_000);
    expect(stripsBehind(held)).toBe(strips.length);
  });
});
