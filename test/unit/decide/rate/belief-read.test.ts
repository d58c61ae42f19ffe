/** What is read from beliefs at the ends of the tested rates, and the lowest rate that a person accepts. */
import { describe, expect, it } from "vitest";
import {
  believedOptimum,
  intervalsOfBest,
  withinTested,
} from "../../../../src/decide/rate/believed-optimum.ts";
import { keepLowest, lowestRate } from "../../../../src/decide/rate/lowest-rate.ts";
import { bestStep } from "../../../../src/decide/rate/step.ts";
import type { Reason } from "../../../../src/vocabulary/result.ts";
import { rates, three } from "./three-curves.ts";

const hillAt = (top: number): number[] => rates.map((rate) => -((rate - top) ** 2));
const wide = { level: 0.95, lower: 250, upper: 350 };

describe("the best rate that is believed in", () => {
  it("has an end where its interval ends inside the tested rates", () => {
    const optimumIn = (lower: number, upper: number) =>
      believedOptimum(three, hillAt(310), { level: 0.95, lower, upper });
    expect(optimumIn(250, 350)).toMatchObject({ kind: "found", lower: 250, upper: 350, reason: "interval" });
    expect(optimumIn(200, 350)).toMatchObject({ lower: null, upper: 350, reason: "no-lower-end" });
    expect(optimumIn(250, 400)).toMatchObject({ lower: 250, upper: null, reason: "no-upper-end" });
    expect(optimumIn(200, 400)).toMatchObject({ lower: null, upper: null, reason: "no-ends" });
    const found = optimumIn(250, 350);
    expect(found.kind === "found" ? found.rateSeedsPerM2 : NaN).toBeCloseTo(310, 9);
  });

  it("lies at an edge where money rises or falls all the way", () => {
    expect(believedOptimum(three, hillAt(500), wide)).toEqual({
      kind: "at-edge",
      rateSeedsPerM2: 400,
      edge: "highest",
      reason: "still-rising",
    });
    expect(believedOptimum(three, hillAt(100), wide)).toEqual({
      kind: "at-edge",
      rateSeedsPerM2: 200,
      edge: "lowest",
      reason: "never-pays",
    });
  });

  it("is none with fewer than three rates", () => {
    const none = { kind: "none", reason: "too-few-rates" };
    expect(believedOptimum({ ...three, testedRates: 2 }, hillAt(310), wide)).toEqual(none);
    expect(believedOptimum({ ...three, testedRates: 3 }, hillAt(310), wide).kind).toBe("found");
  });
});

describe("an interval", () => {
  it("is open at the last rates tested", () => {
    expect(withinTested(wide, three)).toEqual(wide);
    expect(withinTested({ ...wide, lower: 200 }, three)).toEqual({ ...wide, lower: 200, openBelow: true });
    expect(withinTested({ ...wide, upper: 400 }, three)).toEqual({ ...wide, upper: 400, openAbove: true });
  });
});

describe("the interval of the best rate", () => {
  const best = Float64Array.of(200, 250, 300, 350, 400);
  const within = (level: number, ...weights: number[]) =>
    intervalsOfBest(best, Float64Array.from(weights), three)(level);

  it("leaves out as much below as above", () => {
    // 0.8 is left between what 0.1 lies at or below, and what 0.9 does.
    expect(within(0.8, 0.05, 0.2, 0.5, 0.2, 0.05)).toEqual({ level: 0.8, lower: 250, upper: 350 });
  });

  it("holds its level where nothing can be left out at one end", () => {
    // Up to 300 lie 0.4 + 0.2 + 0.2 = 0.8; from 300 on lie as many the other way round.
    expect(within(0.8, 0.4, 0.2, 0.2, 0.15, 0.05)).toEqual({
      level: 0.8,
      lower: 200,
      upper: 300,
      openBelow: true,
    });
    expect(within(0.8, 0.05, 0.14, 0.21, 0.2, 0.4)).toEqual({
      level: 0.8,
      lower: 300,
      upper: 400,
      openAbove: true,
    });
  });

  it("is all that was tested where nothing can be left out at either end", () => {
    expect(within(0.8, 0.3, 0.1, 0.2, 0.1, 0.3)).toMatchObject({
      lower: 200,
      upper: 400,
      openBelow: true,
      openAbove: true,
    });
  });
});

describe("the lowest rate that a person accepts", () => {
  const limited: Reason = { code: "step-limited", numbers: { share: 0.1, targetSeedsPerM2: 200 } };
  const flat: Reason = { code: "inside-flat-zone", numbers: { gainPerHa: 1, flatZonePerHa: 5 } };
  const drill = { rateStepSeedsPerM2: 10 };

  it("is the lot's, else the setting's", () => {
    expect(lowestRate({ lowestRateSeedsPerM2: 250 }, { lowestRateSeedsPerM2: 270 })).toBe(250);
    expect(lowestRate({ lowestRateSeedsPerM2: null }, { lowestRateSeedsPerM2: 270 })).toBe(270);
    expect(lowestRate(undefined, { lowestRateSeedsPerM2: 270 })).toBe(270);
    expect(lowestRate(undefined, { lowestRateSeedsPerM2: null })).toBeNull();
  });

  it("lifts a step below it to the next rate of the drill, in place of what limited the step", () => {
    const step = { rate: 250, reasons: [limited, flat] };
    const bound: Reason = { code: "lowest-rate", numbers: { rateSeedsPerM2: 263 } };
    expect(keepLowest(step, { lowest: 263, ceiling: null, asksForLess: false }, drill)).toEqual({
      rate: 270,
      reasons: [bound],
    });
    expect(
      keepLowest(step, { lowest: 263, ceiling: null, asksForLess: false }, { rateStepSeedsPerM2: 0 }).rate,
    ).toBe(263);
    expect(
      keepLowest({ rate: 250, reasons: [] }, { lowest: 260, ceiling: null, asksForLess: false }, drill).rate,
    ).toBe(260);
  });

  it("is named where less would pay, and the step stays", () => {
    const bound: Reason = { code: "lowest-rate", numbers: { rateSeedsPerM2: 260 } };
    expect(
      keepLowest(
        { rate: 300, reasons: [limited, flat] },
        { lowest: 260, ceiling: null, asksForLess: true },
        drill,
      ),
    ).toEqual({
      rate: 300,
      reasons: [limited, bound],
    });
  });

  it("above what lodging allows, says so instead of two limits that contradict each other", () => {
    const lodging: Reason = { code: "lodging-ceiling", numbers: { rateSeedsPerM2: 240 } };
    const held = (ceiling: number) =>
      keepLowest({ rate: 240, reasons: [lodging] }, { lowest: 260, ceiling, asksForLess: false }, drill);
    expect(held(240)).toEqual({
      rate: 260,
      reasons: [{ code: "lowest-rate", numbers: { rateSeedsPerM2: 260, ceilingSeedsPerM2: 240 } }],
    });
    expect(held(260).reasons.map(({ code }) => code)).toEqual(["lodging-ceiling", "lowest-rate"]);
  });

  it("changes nothing where it does not bind, where there is none, or where no rate is named", () => {
    const step = { rate: 260, reasons: [limited] };
    expect(keepLowest(step, { lowest: 260, ceiling: null, asksForLess: false }, drill)).toBe(step);
    expect(keepLowest(step, { lowest: 260 * (1 + 1e-12), ceiling: null, asksForLess: false }, drill)).toBe(
      step,
    );
    expect(keepLowest(step, { lowest: null, ceiling: null, asksForLess: true }, drill)).toBe(step);
    const none = { rate: null, reasons: [] };
    expect(keepLowest(none, { lowest: 260, ceiling: null, asksForLess: true }, drill)).toBe(none);
  });
});

describe("the rate to aim at where today's is not known", () => {
  const drill = { rateStepSeedsPerM2: 10 };

  it("is the wanted one on a step of the drill, kept below a ceiling", () => {
    expect(bestStep(316, null, drill)).toEqual({ rate: 320, reasons: [] });
    // The nearest rate of the drill would be 320.
    expect(bestStep(316, 318, drill)).toEqual({ rate: 310, reasons: [] });
    expect(bestStep(316, 320, drill)).toEqual({ rate: 320, reasons: [] });
    expect(bestStep(316, 309, drill)).toEqual({
      rate: 300,
      reasons: [{ code: "lodging-ceiling", numbers: { rateSeedsPerM2: 309 } }],
    });
    expect(bestStep(null, 309, drill)).toEqual({ rate: null, reasons: [] });
  });
});
