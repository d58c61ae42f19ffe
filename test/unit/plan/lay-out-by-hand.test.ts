/**
 * Strips on a small field, worked by hand.
 *
 * A field 400 m long and 103 m wide, a drill of 6 m and a combine that cuts 7.5 m with 0.5 m left on either side: 8.5 m need two
 * passes, so a strip is 12 m wide. Of 103 ÷ 12 = 8.58 strips two are borders: six across. Strips of 90 m or more with alleys of
 * 10 m: four rows take 4 × 90 + 3 × 10 = 390 m.
 */
import { describe, expect, it } from "vitest";
import { random } from "../../../src/maths/random.ts";
import {
  blocksThatFit,
  layOutStrips,
  measureGround,
  orderBlock,
  stripLength,
  type Treatment,
} from "../../../src/plan/lay-out-strips.ts";
import type { Ground, LayoutKind } from "../../../src/vocabulary/strip-plan.ts";
import { request } from "./requests.ts";

const units = { system: "metric", currency: "€" } as const;
const field: Ground = {
  fieldLengthM: 400,
  fieldWidthM: 103,
  drillWidthM: 6,
  harvestWidthM: 7.5,
  edgeM: 0.5,
  alleyM: 10,
  shortestStripM: 90,
  borderStrips: 1,
};
const room = (changes: Partial<Ground> = {}) => measureGround({ ...field, ...changes }, units);
const trial: Treatment[] = [
  { variety: "Alder", ratesSeedsPerM2: [200, 300] },
  { variety: "Birch", ratesSeedsPerM2: [250] },
];
const layOut = (
  blocks: number,
  changes: Partial<Ground> = {},
  treatments = trial,
  layout: LayoutKind = "blocks",
) => layOutStrips(request({ ground: { ...field, ...changes }, layout }), treatments, blocks, 1, units);

describe("the room of a field", () => {
  it("is in whole passes, whole strips and whole rows", () => {
    expect(room()).toEqual({ passes: 2, stripWidthM: 12, stripsAcross: 6, mostTiers: 4 });
    expect(room({ borderStrips: 0 }).stripsAcross).toBe(8);
    expect(room({ borderStrips: 2 }).stripsAcross).toBe(4);
    // 11 + 2 × 0.5 is just two passes; 11.1 needs a third, and 103 ÷ 18 = 5.7.
    expect(room({ harvestWidthM: 11 }).passes).toBe(2);
    expect(room({ harvestWidthM: 11.1 })).toMatchObject({ passes: 3, stripWidthM: 18, stripsAcross: 3 });
    // Without an edge 6 m need one pass.
    expect(room({ harvestWidthM: 6, edgeM: 0 }).passes).toBe(1);
    expect(room({ fieldLengthM: 389 }).mostTiers).toBe(3);
    expect(room({ fieldLengthM: 390 }).mostTiers).toBe(4);
  });

  it("loses nothing by the rounding of lengths", () => {
    expect(room({ harvestWidthM: 11.000001 }).passes).toBe(2);
    expect(room({ fieldWidthM: 95.999999 }).stripsAcross).toBe(6);
    expect(room({ fieldWidthM: 95.9 }).stripsAcross).toBe(5);
    expect(room({ fieldLengthM: 389.999999 }).mostTiers).toBe(4);
    expect(room({ fieldLengthM: 389.9 }).mostTiers).toBe(3);
  });

  it.each([
    ["fieldLengthM", "Field length"],
    ["fieldWidthM", "Field width"],
    ["drillWidthM", "Drill width"],
    ["harvestWidthM", "Harvest width"],
    ["shortestStripM", "Shortest strip"],
  ] as const)("is not told where %s is nothing", (name, told) => {
    for (const nothing of [0, -1, NaN]) expect(() => room({ [name]: nothing })).toThrow(told);
    expect(() => room({ [name]: 0.5 })).not.toThrow();
  });

  it("holds so many blocks, in strips so long", () => {
    expect([4, 3, 6, 7].map((strips) => blocksThatFit(room(), strips))).toEqual([4, 8, 4, 0]);
    expect(blocksThatFit({ ...room(), stripsAcross: -1 }, 3)).toBe(0);
    // Two blocks of three side by side: five take three rows and two alleys.
    expect(stripLength(field, room(), 3, 2)).toBe(400);
    expect(stripLength(field, room(), 3, 5)).toBeCloseTo((400 - 20) / 3, 12);
    // Where not even one fits across, a row is counted for each.
    expect(stripLength(field, room(), 7, 2)).toBe(195);
  });
});

describe("a trial of three blocks", () => {
  it("lies two side by side and one behind, between borders", () => {
    const three = layOut(3);
    expect(three).toMatchObject({
      kind: "blocks",
      blocks: 3,
      tiers: 2,
      passes: 2,
      stripWidthM: 12,
      stripLengthM: 195,
      harvestWidthM: 7.5,
      harvestAreaHa: 0.14625,
      // Six strips and two borders; two rows and an alley.
      usedWidthM: 96,
      usedLengthM: 400,
    });
    expect(three.strips.map(({ label }) => label).join(" ")).toBe(
      "B1-1 1-2 1-3 1-4 2-5 2-6 2-7 B1-8 B2-1 3-2 3-3 3-4 B2-5",
    );
    expect(three.strips.map(({ block }) => block).join(",")).toBe(",1,1,1,2,2,2,,,3,3,3,");
    expect(three.strips.map(({ border }) => Number(border)).join("")).toBe("1000000110001");
    expect(three.strips.map(({ tier }) => tier).join("")).toBe("1111111122222");
    expect(three.strips.map(({ position }) => position).join("")).toBe("1234567812345");
    three.strips.forEach(({ acrossM, alongM, widthM, lengthM, sowing, position, tier }) => {
      expect([acrossM, alongM]).toEqual([12 * (position - 1), tier === 1 ? 0 : 205]);
      expect([widthM, lengthM, sowing]).toEqual([12, 195, null]);
    });
  });

  it("has every variety and rate in every block, and its neighbour's in a border", () => {
    const three = layOut(3);
    const sown = ({ variety, rateSeedsPerM2 }: { variety: string; rateSeedsPerM2: number }): string =>
      `${variety} ${rateSeedsPerM2}`;
    for (const block of ["1", "2", "3"])
      expect(
        three.strips
          .filter((strip) => strip.block === block)
          .map(sown)
          .sort(),
      ).toEqual(["Alder 200", "Alder 300", "Birch 250"]);
    const all = three.strips.map(sown);
    for (const [border, beside] of [
      [0, 1],
      [7, 6],
      [8, 9],
      [12, 11],
    ])
      expect(all[border!]).toBe(all[beside!]);
  });

  it("has as many borders as asked for", () => {
    expect(layOut(1, { borderStrips: 0 }).strips).toHaveLength(3);
    expect(
      layOut(1, { borderStrips: 2, fieldWidthM: 84 })
        .strips.map(({ border }) => Number(border))
        .join(""),
    ).toBe("1100011");
  });

  it("is as deep as the field holds, and no deeper", () => {
    expect(layOut(8)).toMatchObject({ tiers: 4, stripLengthM: 92.5, usedLengthM: 400 });
    // 5 rows leave (400 − 40) ÷ 5 = 72 m.
    expect(() => layOut(9)).toThrow(
      /9 blocks, 2 side by side, need 5 rows .* would be 72 m long; the shortest allowed is 90 m\. 8 blocks would fit/,
    );
  });

  it("is as wide as the field holds, and no wider", () => {
    const of = (...rates: number[]): Treatment[] =>
      rates.map((count, i) => ({
        variety: `V${i}`,
        ratesSeedsPerM2: Array.from({ length: count }, (_, k) => 100 + 10 * k),
      }));
    expect(layOut(1, {}, of(6)).strips).toHaveLength(8);
    // Six across hold two varieties at three rates, or one at six.
    expect(() => layOut(1, {}, of(3, 3, 1))).toThrow(
      /A block of 7 strips .* needs 108 m across; the field is 103 m wide\. 2 varieties × 3 rates or 1 variety × 6 rates would fit\.$/,
    );
    // 12 across hold four at three or three at four: two sizes are enough to name.
    expect(() => layOut(1, { fieldWidthM: 168 }, of(4, 4, 4, 4))).toThrow(
      /\. 4 varieties × 3 rates or 3 varieties × 4 rates would fit\.$/,
    );
    // No more than seven rates are named, and none below three.
    expect(() => layOut(1, { fieldWidthM: 168 }, of(13))).toThrow(/\. 1 variety × 7 rates would fit\.$/);
    expect(() => layOut(1, { fieldWidthM: 48 }, of(3))).toThrow(/No block with 3 rates of one variety fits/);
    expect(() => layOut(1, { fieldWidthM: 60 }, of(2, 2))).toThrow(/1 variety × 3 rates would fit\.$/);
  });
});

describe("the order of a block", () => {
  const two: Treatment[] = [
    { variety: "Alder", ratesSeedsPerM2: [200, 300, 400] },
    { variety: "Birch", ratesSeedsPerM2: [210, 310, 410] },
  ];
  const orders = (kind: LayoutKind, treatments = two) =>
    Array.from({ length: 60 }, (_, seed) => orderBlock(kind, treatments, random(seed, "order")));
  const runs = (keys: readonly unknown[]): number =>
    keys.filter((key, i) => i === 0 || key !== keys[i - 1]).length;

  it("keeps varieties together where these lie in strips", () => {
    const all = orders("varieties-in-strips");
    for (const order of all) expect(runs(order.map(({ variety }) => variety))).toBe(2);
    // Either variety is first, and the rates within are shuffled.
    expect(new Set(all.map(([one]) => one!.variety)).size).toBe(2);
    expect(
      new Set(
        all.map((order) =>
          order
            .slice(0, 3)
            .map(({ rateSeedsPerM2 }) => rateSeedsPerM2)
            .join(),
        ),
      ).size,
    ).toBe(12);
  });

  it("keeps levels together where rates lie in strips, in whatever order", () => {
    const level = ({ rateSeedsPerM2 }: { rateSeedsPerM2: number }): number =>
      Math.floor(rateSeedsPerM2 / 100);
    const all = orders("rates-in-strips");
    for (const order of all) {
      expect(runs(order.map(level))).toBe(3);
      expect(order).toHaveLength(6);
    }
    expect(new Set(all.map((order) => order.map(level).join())).size).toBe(6);
    expect(new Set(all.map(([one, other]) => `${one!.variety} ${other!.variety}`))).toEqual(
      new Set(["Alder Birch", "Birch Alder"]),
    );
  });

  it("is any order in plain blocks, where rates may be unlike in number", () => {
    const all = orders("blocks", trial);
    expect(new Set(all.map((order) => order.map(({ rateSeedsPerM2 }) => rateSeedsPerM2).join())).size).toBe(
      6,
    );
    expect(() => orders("rates-in-strips", trial)).toThrow(/there are 2, 1/);
    expect(() => orders("rates-in-strips", [...trial].reverse())).toThrow(/there are 1, 2/);
  });
});
