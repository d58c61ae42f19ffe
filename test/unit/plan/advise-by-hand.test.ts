/**
 * Which variety needs strips most, on the curves of `decide/rate/three-curves.ts`.
 *
 * The one curve of `sure` is best at 300: a seed/m² less loses 4000 × 0.1 ÷ 120 × 0.2 − 0.3 = 0.366667 a hectare, one more 0.3. Five
 * rates 24 apart (8 % of today's 300) do not fit within 15 % of 300, but 22.5 % hold 240, 270, 300, 330 and 360: they lose 22, 11,
 * 0, 9 and 18, so 60 together.
 */
import { describe, expect, it } from "vitest";
import { adviseStrips } from "../../../src/plan/advise-strips.ts";
import type { Belief, NextRate } from "../../../src/vocabulary/result.ts";
import { unknownLot, type Settings } from "../../../src/vocabulary/settings.ts";
import { beliefOf, curve, decided, settings as byHand, sure, three } from "../decide/rate/three-curves.ts";

const settings: Settings = { ...byHand, rateNowSeedsPerM2: 300, rateStepSeedsPerM2: 5 };
const advise = (
  beliefs: Belief[],
  changes: Partial<Settings> = {},
  prices?: Parameters<typeof adviseStrips>[2],
) => adviseStrips({ beliefs, next: [], protein: [], lodgingModels: [] }, { ...settings, ...changes }, prices);
const named = (variety: string, belief = three): Belief => ({ ...belief, variety });
const areas = (...lots: [variety: string, areaHa: number | null][]): Partial<Settings> => ({
  lots: lots.map(([variety, areaHa]) => ({ ...unknownLot(variety), areaHa })),
});
const needs = (...asked: Parameters<typeof advise>): string[] =>
  advise(...asked).map(({ variety, need }) => `${variety} ${need}`);

describe("a variety whose best rate is known", () => {
  it("is settled: another trial of the usual size would only cost", () => {
    const [one, ...more] = advise([sure]);
    expect(more).toEqual([]);
    // Four blocks of five strips at 25, and 60 a hectare on 0.22 ha.
    expect(one).toMatchObject({
      variety: "Alder",
      need: "settled",
      costOfTrial: expect.closeTo(4 * (5 * 25 + 60 * 0.22), 6) as number,
      seasonsUsed: 3,
      pastStrips: 60,
      pastEnvironments: 3,
      areaHa: null,
      blocks: 4,
      ratesPerVariety: 5,
      valueOfKnowingAllPerHa: expect.closeTo(0, 9) as number,
      valueOfTrialPerHa: expect.closeTo(0, 9) as number,
      intervalWidthNowSeedsPerM2: null,
      intervalWidthAfterSeedsPerM2: 0,
    });
  });

  it("costs what work and seasons are said to", () => {
    const [one] = advise([sure], {}, { costPerStrip: 10, seasonsUsed: 7 });
    expect(one!.costOfTrial).toBeCloseTo(4 * (5 * 10 + 60 * 0.22), 6);
    expect(one!.seasonsUsed).toBe(7);
  });

  it("has the width that the report tells, where it tells one", () => {
    const next = [
      { ...decided(sure).next, intervals: [{ level: 0.8, lower: 280, upper: 330 }] },
    ] as NextRate[];
    const [one] = adviseStrips({ beliefs: [sure], next, protein: [], lodgingModels: [] }, settings);
    expect(one!.intervalWidthNowSeedsPerM2).toBe(50);
    // Beyond the rates tested it has no width that is known.
    const open = [{ ...next[0]!, intervals: [{ ...next[0]!.intervals[0]!, openAbove: true }] }];
    const [beyond] = adviseStrips({ beliefs: [sure], next: open, protein: [], lodgingModels: [] }, settings);
    expect(beyond!.intervalWidthNowSeedsPerM2).toBeNull();
  });
});

describe("varieties with something to learn", () => {
  // Of the three curves one is right: knowing it would bring a good deal, and a trial tells part of it.
  it("need strips most where a trial brings most a hectare, unless all areas are known", () => {
    const rich = named("Birch", { ...three, meanYieldKgPerHa: 8000 });
    expect(needs([three, rich])).toEqual(["Birch most", "Alder some"]);
    expect(needs([rich, three])).toEqual(["Birch most", "Alder some"]);
    const worth = advise([three, rich]).map(({ valueOfTrialPerHa }) => valueOfTrialPerHa);
    expect(worth[0]).toBeGreaterThan(worth[1]!);
    // A hundred times the area outweighs it.
    expect(needs([three, rich], areas(["Alder", 10_000], ["Birch", 100]))).toEqual([
      "Alder most",
      "Birch some",
    ]);
    expect(needs([three, rich], areas(["Alder", 10_000], ["Birch", null]))).toEqual([
      "Birch most",
      "Alder some",
    ]);
  });

  it("are dear where a trial costs more than it brings on their ground", () => {
    expect(needs([three], areas(["Alder", 0.01]))).toEqual(["Alder dear"]);
    expect(needs([three], areas(["Alder", 10_000]))).toEqual(["Alder most"]);
    // The work alone decides: nothing is lost on 0.22 ha of a plateau but a few hundred seeds.
    const [one] = advise([three], areas(["Alder", 100]));
    const value = one!.valueOfTrialPerHa * 100 * 3;
    expect(value).toBeGreaterThan(one!.costOfTrial);
    expect(needs([three], areas(["Alder", (0.99 * 100 * one!.costOfTrial) / value]))).toEqual(["Alder dear"]);
    expect(needs([three], areas(["Alder", (1.01 * 100 * one!.costOfTrial) / value]))).toEqual(["Alder most"]);
  });

  it("are settled where a trial brings less than a tenth of the flat zone's sum", () => {
    const [one] = advise([three]);
    const sum = 10 * one!.valueOfTrialPerHa;
    expect(needs([three], { flatZonePerHa: 0.99 * sum })).toEqual(["Alder most"]);
    expect(needs([three], { flatZonePerHa: 1.01 * sum })).toEqual(["Alder settled"]);
    // But where their strips are known to pay they are not.
    expect(needs([three], { flatZonePerHa: 1.01 * sum, ...areas(["Alder", 10_000]) })).toEqual([
      "Alder most",
    ]);
    expect(needs([three], { flatZonePerHa: 1.01 * sum, ...areas(["Alder", 0.01]) })).toEqual([
      "Alder settled",
    ]);
  });

  it("come before those that are dear, and these before the settled ones", () => {
    const all = [
      named("Settled", sure),
      named("Dear"),
      named("Some"),
      named("Most", { ...three, meanYieldKgPerHa: 8000 }),
    ];
    const ground = areas(["Settled", 5000], ["Dear", 0.01], ["Some", 5000], ["Most", 5000]);
    for (const order of [all, [...all].reverse()])
      expect(needs(order, ground)).toEqual(["Most most", "Some some", "Dear dear", "Settled settled"]);
    // Also where the dear one would bring most a hectare, and an area is not known.
    const rich = named("Dear", { ...three, meanYieldKgPerHa: 8000 });
    expect(
      needs(
        [rich, named("Settled", sure), named("Some")],
        areas(["Dear", 0.01], ["Some", 5000], ["Settled", null]),
      ),
    ).toEqual(["Some most", "Dear dear", "Settled settled"]);
  });
});

describe("no advice", () => {
  it("is given without strips, or for a drill too coarse for five rates", () => {
    expect(advise([])).toEqual([]);
    expect(advise([], areas(["Alder", 10]))).toEqual([]);
    expect(advise([beliefOf([curve(1, 300)], () => 4000)], { rateStepSeedsPerM2: 200 })).toEqual([]);
  });
});
