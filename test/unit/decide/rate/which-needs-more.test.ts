import { describe, expect, it } from "vitest";
import { whichNeedsMore } from "../../../../src/decide/rate/which-needs-more.ts";
import type { Interval, NextRate } from "../../../../src/vocabulary/result.ts";
import { decided, sure } from "./three-curves.ts";

const { next: one } = decided(sure);

/** A variety whose best rate is `rate`, with an interval of that level `sd` standard deviations of the log wide. */
function rateOf(variety: string, rate: number, interval: Partial<Interval>): NextRate {
  const all = { level: 0.8, lower: rate, upper: rate, ...interval };
  const economicOptimum = {
    kind: "found",
    rateSeedsPerM2: rate,
    lower: null,
    upper: null,
    reason: "no-ends",
  } as const;
  return { ...one, variety, economicOptimum, intervals: [all] };
}

/** 80 and 95 % of a normal distribution lie within so many standard deviations of its mean (normal table). */
const [within80, within95] = [1.2816, 1.96];
const around = (rate: number, sd: number, deviations: number): Pick<Interval, "lower" | "upper"> => ({
  lower: rate * Math.exp(-deviations * sd),
  upper: rate * Math.exp(deviations * sd),
});

describe("which of two varieties needs more seed", () => {
  const [ostrin, wester, sundal] = [
    ["Ostrin", 271.8],
    ["Wester", 345.9],
    ["Sundal", 348.4],
  ].map(([name, rate]) => rateOf(name as string, rate as number, around(rate as number, 0.03, within80)));

  it("is as sure as the normal table says, surest first", () => {
    const pairs = whichNeedsMore([ostrin!, wester!, sundal!]);
    expect(pairs.map(({ more, less }) => `${more} > ${less}`)).toEqual([
      "Sundal > Ostrin",
      "Wester > Ostrin",
      "Sundal > Wester",
    ]);
    // log(348.4 / 345.9) = 0.0072 is 0.170 times √2 × 0.03; normal table 0.567.
    expect(pairs[2]!.chance).toBeCloseTo(0.567, 2);
  });

  it("is the same whatever level the interval has", () => {
    const wide = rateOf("Sundal", 348.4, { level: 0.95, ...around(348.4, 0.03, within95) });
    expect(whichNeedsMore([wester!, wide])[0]!.chance).toBeCloseTo(0.567, 2);
  });

  it("takes the spread from the closed side where the other is open", () => {
    // Open above, 80 % leave 20 % out below: 0.8416 standard deviations from the mean (normal table).
    const open = rateOf("Sundal", 348.4, { ...around(348.4, 0.03, 0.8416), upper: 350, openAbove: true });
    expect(whichNeedsMore([wester!, open])[0]!.chance).toBeCloseTo(0.567, 2);
  });

  it("takes the spread from above where it is open below", () => {
    // As above, the other way round; its open end would say nothing sensible.
    const open = rateOf("Sundal", 348.4, { ...around(348.4, 0.03, 0.8416), lower: 347, openBelow: true });
    expect(whichNeedsMore([wester!, open])[0]!.chance).toBeCloseTo(0.567, 2);
  });

  it("takes the mean of two unlike sides, and the other where one has no width", () => {
    // In logs 1.2816 × 0.01 and 1.2816 × 0.05, on average 1.2816 × 0.03.
    const unlike = rateOf("Sundal", 348.4, {
      lower: 348.4 * Math.exp(-0.01 * within80),
      upper: 348.4 * Math.exp(0.05 * within80),
    });
    expect(whichNeedsMore([wester!, unlike])[0]!.chance).toBeCloseTo(0.567, 2);
    const flat = rateOf("Sundal", 348.4, { ...around(348.4, 0.03, within80), upper: 348.4 });
    expect(whichNeedsMore([wester!, flat])[0]!.chance).toBeCloseTo(0.567, 2);
    const point = rateOf("Sundal", 348.4, { lower: 348.4, upper: 348.4 });
    expect(whichNeedsMore([wester!, point])).toEqual([]);
  });

  it("is even between two alike, and told in the order of the names where pairs are as sure", () => {
    const at = (variety: string, rate: number): NextRate =>
      rateOf(variety, rate, around(rate, 0.03, within80));
    expect(whichNeedsMore([at("Wester", 300), at("Ostrin", 300)])).toEqual([
      { more: "Wester", less: "Ostrin", chance: 0.5 },
    ]);
    // 256, 320 and 400 are a factor of 1.25 apart: of the two neighbouring pairs neither is surer.
    const pairs = [
      [at("Sundal", 400), at("Ostrin", 320), at("Wester", 256)],
      [at("Wester", 256), at("Ostrin", 320), at("Sundal", 400)],
    ].map((three) => whichNeedsMore(three).map(({ more, less }) => `${more} > ${less}`));
    for (const told of pairs) expect(told).toEqual(["Sundal > Wester", "Ostrin > Wester", "Sundal > Ostrin"]);
  });

  it("is not told of a variety whose interval is open at both ends, nor of one without a best rate", () => {
    const anywhere = rateOf("Anywhere", 300, { lower: 200, upper: 400, openBelow: true, openAbove: true });
    const none = { ...wester!, economicOptimum: { kind: "none", reason: "too-few-rates" } } as NextRate;
    expect(whichNeedsMore([ostrin!, anywhere, none])).toEqual([]);
    const edge = { ...wester!.economicOptimum, kind: "at-edge" } as NextRate["economicOptimum"];
    const untold = [
      { ...wester!, intervals: [] },
      { ...wester!, economicOptimum: edge },
      rateOf("Zero", 300, { lower: 0, upper: 320 }),
    ];
    for (const one of untold) expect(whichNeedsMore([ostrin!, one])).toEqual([]);
  });
});
