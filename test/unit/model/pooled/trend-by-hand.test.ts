/** Which trend is found across fields whose strips were made with one, and what is pooled then. */
import { describe, expect, it } from "vitest";
import { drawNormal, random } from "../../../../src/maths/random.ts";
import { choosePositionTrend } from "../../../../src/model/pooled/position-trend.ts";
import { environmentId } from "../../../../src/vocabulary/environments.ts";
import type { Strip } from "../../../../src/vocabulary/trial.ts";
import { makeTrial } from "../../../make-trial.ts";

const orders = [
  [150, 300, 225, 375, 450],
  [225, 150, 300, 450, 375],
  [150, 225, 375, 300, 450],
];

type PlaceOf = (position: number, field: number) => number | null;
const asItIs: PlaceOf = (position) => position;

/** Fields of three blocks of five strips side by side; strips scatter by so many kg/ha. */
function fields(
  trend: (position: number, field: number) => number,
  { count = 3, scatter = 20, placeOf = asItIs } = {},
): Strip[] {
  const draw = random(11, "trend by hand");
  return makeTrial(
    Array.from({ length: count }, (_, field) => field).flatMap((field) =>
      orders.flatMap((order, block) =>
        order.map((rate, i) => {
          const position = 1 + i + 5 * block;
          return {
            season: 2000 + field,
            block: `${block + 1}`,
            position: placeOf(position, field),
            rateSeedsPerM2: rate,
            yieldKgPerHa:
              4000 +
              60 * (field % 4) +
              trend(position, field) -
              0.01 * (rate - 300) ** 2 +
              scatter * drawNormal(draw),
          };
        }),
      ),
    ),
  ).strips;
}
const fitsOf = (strips: readonly Strip[]) =>
  [...new Set(strips.map(environmentId))].map((environment) => ({ environment })) as never[];
const choose = (strips: readonly Strip[], fits = fitsOf(strips)) => choosePositionTrend(fits, strips);

/** Slopes that differ from field to field and from block to block. */
const steep = (number: number): number => [60, -45, 30, -70, 55, -25, 40, -60, 35][number]!;

/** Straight between four knots over fifteen places: 0, 1, −1 and 0.5. */
function waves(position: number): number {
  const along = (3 * (position - 1)) / 14;
  const left = Math.min(2, Math.floor(along));
  const heights = [0, 1, -1, 0.5];
  return heights[left]! + (along - left) * (heights[left + 1]! - heights[left]!);
}

describe("the trend that is found", () => {
  it.each([
    ["straight-trend-by-environment", (x: number, field: number) => steep(field) * x],
    [
      "straight-trend-by-block",
      (x: number, field: number) => steep(3 * field + Math.floor((x - 1) / 5)) * (((x - 1) % 5) - 2),
    ],
    ["smooth-trend-by-environment", (x: number, field: number) => 4 * steep(field) * waves(x)],
    ["none", () => 0],
  ])("is the one that strips were made with: %s", (made, trend) => {
    const strips = fields(trend);
    const { trend: found, cells, start, findings } = choose(strips);
    expect(found!.chosen).toBe(made);
    expect([found!.strips, found!.environments, findings]).toEqual([45, 3, []]);
    expect(found!.descriptions.map((one) => one.trend)).toEqual([
      "none",
      "straight-trend-by-environment",
      "straight-trend-by-block",
      "smooth-trend-by-environment",
    ]);
    // Weights by the criterion: e^(−half of what it is above the least).
    const criteria = found!.descriptions.map(({ aicc }) => aicc!);
    const likelihoods = criteria.map((aicc) => Math.exp((Math.min(...criteria) - aicc) / 2));
    const total = likelihoods.reduce((a, b) => a + b, 0);
    found!.descriptions.forEach(({ weight }, i) => expect(weight).toBeCloseTo(likelihoods[i]! / total, 10));
    if (made === "none") {
      expect(found!.scatterWith).toBe(found!.scatterWithout);
      expect(start!.theta.length).toBeGreaterThan(0);
      expect(start!.curve).toBeDefined();
      expect(cells).toHaveLength(3);
      expect("cells" in cells[0]!).toBe(false);
    } else {
      // Strips were made to scatter by 20; the trend takes some of it with it.
      expect(Math.abs(found!.scatterWith - 20)).toBeLessThan(8);
      expect(found!.scatterWithout).toBeGreaterThan(2 * found!.scatterWith);
      expect(start).toBeUndefined();
      expect(cells.map((one) => one.cells.length)).toEqual([15, 15, 15]);
      const [first] = cells[0]!.cells;
      expect(first).toEqual({
        block: strips[0]!.block,
        rateSeedsPerM2: strips[0]!.rateSeedsPerM2,
        strips: 1,
        meanYieldKgPerHa: strips[0]!.yieldKgPerHa,
        position: 1,
      });
      expect([cells[0]!.variety, cells[0]!.environment, cells[0]!.withinCellSs]).toEqual([
        "Alder",
        "2000",
        0,
      ]);
    }
  });

  it("must be better than none by two, not only better", () => {
    const near = Array.from(
      { length: 14 },
      (_, i) => choose(fields((x, field) => (i / 4) * steep(field) * x * 0.06)).trend!,
    );
    for (const { chosen, descriptions } of near) {
      const [none, ...others] = descriptions.map(({ aicc }) => aicc!);
      const least = Math.min(...others);
      expect(chosen === "none").toBe(least >= none! - 2);
      if (chosen !== "none") expect(descriptions.find(({ trend }) => trend === chosen)!.aicc).toBe(least);
    }
    // Among them are some that are better than none by less.
    const between = near.filter(({ chosen, descriptions }) => {
      const [none, ...others] = descriptions.map(({ aicc }) => aicc!);
      return chosen === "none" && Math.min(...others) < none!;
    });
    expect(between.length).toBeGreaterThan(0);
  });
});

describe("fields whose strips show a trend", () => {
  const rising = (x: number, field: number): number => steep(field) * x;

  it("have strips at eight places at least", () => {
    const upTo = (places: number) =>
      choose(fields(rising, { placeOf: (x, field) => (field === 1 ? Math.min(x, places) : x) }));
    expect([upTo(8).trend!.environments, upTo(8).trend!.strips]).toEqual([3, 45]);
    const seven = upTo(7);
    expect([seven.trend!.environments, seven.trend!.strips]).toEqual([2, 30]);
    // Strips at no known place are at no eighth.
    const unknown = choose(fields(rising, { placeOf: (x, field) => (field === 1 && x > 7 ? null : x) }));
    expect(unknown.trend!.environments).toBe(2);
    // Its strips are pooled alone, too, and take no part in the trend.
    expect(seven.cells.map((one) => one.cells[0]!.position)).toEqual([1, null, 1]);
  });

  it("count strips whose place is known alone", () => {
    const { trend, cells } = choose(
      fields(rising, { placeOf: (x, field) => (field === 1 && x > 9 ? null : x) }),
    );
    expect([trend!.environments, trend!.strips]).toEqual([3, 39]);
    expect(cells[1]!.cells.filter(({ position }) => position === null)).toHaveLength(6);
  });

  it("are those that are pooled", () => {
    const strips = fields(rising);
    const { trend, cells } = choose(strips, fitsOf(strips).slice(0, 2));
    expect([trend!.environments, trend!.strips, cells.length]).toEqual([2, 30, 2]);
    expect(choose(strips, []).trend).toBeNull();
  });

  it("are not asked without places, rates or scatter", () => {
    const without = (strips: Strip[]): void => {
      const fits = fitsOf(strips);
      expect(choose(strips, fits)).toEqual({ trend: null, cells: fits, findings: [] });
    };
    without(fields(rising, { placeOf: () => null }));
    without(fields(rising).map((strip) => ({ ...strip, rateSeedsPerM2: 300 })));
    without(fields(() => 0, { scatter: 0 }));
  });

  it("are not asked with more than 60,000 strips, which is said", () => {
    const [one] = [fields(rising, { count: 1 })];
    const many = Array.from({ length: 4001 }, () => one!).flat();
    const { trend, findings } = choose(many, fitsOf(one!));
    expect(trend).toBeNull();
    expect(findings.map(({ code }) => code)).toEqual(["trend-not-sought"]);
  });

  it("are an even sample where there are more than 6,000 strips", () => {
    const strips = fields(() => 0, { count: 402 });
    const { trend, start } = choose(strips);
    // 6000 of 6030 strips come from 400 of 402 fields.
    expect([trend!.environments, trend!.strips, trend!.chosen]).toEqual([400, 6000, "none"]);
    expect(start!.curve).toBeUndefined();
    expect(start!.theta.length).toBeGreaterThan(0);
  });
});
