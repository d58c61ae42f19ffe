import { describe, expect, it } from "vitest";
import { findOptimum, foundBetween, onceForYield } from "../../../../src/decide/optima/optimum.ts";
import { addOptima, drivenByOutliers } from "../../../../src/decide/optima/season-optima.ts";
import { fitSeasons } from "../../../../src/model/seasons/fit-seasons.ts";
import { ratePoints } from "../../../../src/model/forms/rate-points.ts";
import type { Optimum } from "../../../../src/vocabulary/result.ts";
import { defaultSettings, type FormName } from "../../../../src/vocabulary/settings.ts";
import { makeTrial } from "../../../make-trial.ts";

const rates = [200, 250, 300, 350, 400, 450, 500];
/** Noise that no form can follow: a repeated pattern of ±20. */
const noise = [20, -20, 20, -20, 20, -20, 20];

function optimum(
  form: FormName,
  curve: (x: number) => number,
  ratio: number,
  strips = rates.length,
): Optimum {
  const trial = makeTrial(
    rates.slice(0, strips).map((rateSeedsPerM2, i) => ({
      rateSeedsPerM2,
      yieldKgPerHa: curve(rateSeedsPerM2) + noise[i]!,
    })),
  );
  const [fit] = fitSeasons(trial, defaultSettings).fits;
  const points = ratePoints(fit!.cells, fit!.withinCellSs);
  return findOptimum(
    fit!.forms.find((one) => one.form === form)!,
    points,
    ratio,
    0.95,
  );
}

const rise = (x: number): number => 3000 + 3 * x;
const fall = (x: number): number => 5000 - 3 * x;
const hill = (x: number): number => 5000 - 0.02 * (x - 350) ** 2;
const valley = (x: number): number => 4000 + 0.02 * (x - 340) ** 2;
const plateau = (x: number): number => 4500 - 0.05 * Math.max(370 - x, 0) ** 2;
const flat = (): number => 4000;

describe("the interval of an optimum", () => {
  it("keeps the ends that lie within the tested rates, these included", () => {
    const found = (lower: number | null, upper: number | null) =>
      foundBetween(300, { lower, upper }, 100, 500);
    expect(found(100, 500)).toMatchObject({ lower: 100, upper: 500, reason: "interval" });
    expect(found(99, 500)).toMatchObject({ lower: null, upper: 500, reason: "no-lower-end" });
    expect(found(100, 501)).toMatchObject({ lower: 100, upper: null, reason: "no-upper-end" });
    expect(found(null, null)).toMatchObject({ lower: null, upper: null, reason: "no-ends" });
  });

  it("of a plateau ends at the joins whose residual sum of squares is t² of the variance above the least", () => {
    const found = optimum("quadratic-plateau", plateau, 0);
    if (found.kind !== "found") expect.unreachable();
    const yields = rates.map((rate, i) => plateau(rate) + noise[i]!);
    const mean = (values: number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
    /** Residual sum of squares of y = plateau − m (join − x)₊², worked straight from the strips. */
    const rss = (join: number): number => {
      const hinge = rates.map((rate) => Math.max(join - rate, 0) ** 2);
      const [h, y] = [hinge.map((one) => one - mean(hinge)), yields.map((one) => one - mean(yields))];
      const product = (a: number[], b: number[]) => a.reduce((sum, one, i) => sum + one * b[i]!, 0);
      return product(y, y) - product(h, y) ** 2 / product(h, h);
    };
    // t of 0.975 with 7 − 3 = 4 df is 2.776445 (printed tables: 2.776).
    const most = rss(found.rateSeedsPerM2) * (1 + 2.776445 ** 2 / 4);
    expect(rss(found.lower!) / most).toBeCloseTo(1, 6);
    expect(rss(found.upper!) / most).toBeCloseTo(1, 6);
  });

  it("of a plateau that one rate alone lies below has no lower end: any join up to the next rate fits as well", () => {
    // Only the strip at 200 lies below 4,500: with a join anywhere from 200 to 250 and the slope that suits it, the line runs
    // through the same two points.
    const found = optimum("linear-plateau", (x) => 4500 - 3 * Math.max(240 - x, 0), 0);
    expect(found).toMatchObject({ kind: "found", lower: null, reason: "no-lower-end" });
  });

  it("is told from one strip more than the form has coefficients", () => {
    expect(optimum("quadratic", (x) => hill(x + 75), 0, 4)).not.toMatchObject({ reason: "error-unknown" });
  });
});

describe("a form's optimum", () => {
  it("without response is none", () => {
    expect(optimum("none", flat, 1)).toEqual({ kind: "none", reason: "no-response" });
  });

  it("of a line is at the edge: the highest rate while seed pays, else the lowest", () => {
    expect(optimum("linear", rise, 1)).toMatchObject({
      kind: "at-edge",
      edge: "highest",
      reason: "still-rising",
    });
    expect(optimum("linear", rise, 4)).toMatchObject({
      kind: "at-edge",
      edge: "lowest",
      reason: "never-pays",
    });
    expect(optimum("linear", fall, 0)).toMatchObject({ rateSeedsPerM2: 200, reason: "never-pays" });
  });

  it("of a hill is found with both ends, and lies lower the dearer the seed", () => {
    const [most, best] = [optimum("quadratic", hill, 0), optimum("quadratic", hill, 2)];
    expect(most).toMatchObject({ kind: "found", reason: "interval" });
    if (most.kind !== "found" || best.kind !== "found") expect.unreachable();
    expect(most.rateSeedsPerM2).toBeCloseTo(350, 0);
    expect(Math.abs(most.rateSeedsPerM2 - best.rateSeedsPerM2 - 50)).toBeLessThan(5);
    expect(most.lower!).toBeLessThan(350);
    expect(most.upper!).toBeGreaterThan(350);
  });

  it("of a hill whose top lies outside the tested rates is at the edge", () => {
    expect(optimum("quadratic", (x) => hill(x - 300), 0)).toMatchObject({
      edge: "highest",
      rateSeedsPerM2: 500,
    });
    expect(optimum("quadratic", (x) => hill(x + 300), 0)).toMatchObject({
      edge: "lowest",
      rateSeedsPerM2: 200,
    });
  });

  it("of a valley is at its better end, and says that it bends upward", () => {
    expect(optimum("quadratic", valley, 0)).toMatchObject({ edge: "highest", reason: "bends-upward" });
  });

  it("of a plateau is its join, or lower where seed costs", () => {
    const [most, best] = [optimum("quadratic-plateau", plateau, 0), optimum("quadratic-plateau", plateau, 2)];
    if (most.kind !== "found" || best.kind !== "found") expect.unreachable();
    expect(Math.abs(most.rateSeedsPerM2 - 370)).toBeLessThan(15);
    expect(best.rateSeedsPerM2).toBeLessThan(most.rateSeedsPerM2);
    expect(best.lower!).toBeLessThan(best.rateSeedsPerM2);
    expect(best.upper!).toBeGreaterThan(best.rateSeedsPerM2);
  });

  it("of a plateau that begins below any rise, or never, is at an edge", () => {
    expect(optimum("linear-plateau", fall, 0)).toMatchObject({ edge: "lowest", reason: "never-pays" });
    expect(optimum("quadratic-plateau", fall, 0)).toMatchObject({ edge: "lowest", reason: "never-pays" });
    expect(optimum("linear-plateau", (x) => rise(x) * (x / 400), 0)).toMatchObject({ edge: "highest" });
  });

  it("has no ends where the strips barely bend", () => {
    const barely = optimum("quadratic", (x) => 4000 - 0.0008 * (x - 350) ** 2, 0);
    expect(barely).toMatchObject({ kind: "found", lower: null, upper: null, reason: "no-ends" });
  });

  it("has no ends where no strip is left to tell the error", () => {
    expect(optimum("quadratic", hill, 8, 3)).toMatchObject({ kind: "at-edge" });
    const exact = optimum("quadratic", (x) => hill(x + 100), 0, 3);
    expect(exact).toMatchObject({ kind: "found", lower: null, upper: null, reason: "error-unknown" });
  });

  it("is none where constant yields leave both ends level, and the lowest rate once seed costs", () => {
    const trial = makeTrial(rates.map((rateSeedsPerM2) => ({ rateSeedsPerM2, yieldKgPerHa: 4000 })));
    const [fit] = addOptima(fitSeasons(trial, defaultSettings).fits, defaultSettings);
    for (const { form, yieldOptimum, economicOptimum } of fit!.forms) {
      expect(yieldOptimum.kind).toBe("none");
      if (form !== "none") expect(economicOptimum).toMatchObject({ kind: "at-edge", edge: "lowest" });
    }
  });
});

it("a quadratic that a spoilt strip drives is held in doubt by the resistant fit beside it", () => {
  const trial = (spoilt: number) =>
    makeTrial(
      ["A", "B", "C", "D"].flatMap((block, b) =>
        rates.map((rateSeedsPerM2, i) => ({
          block,
          rateSeedsPerM2,
          yieldKgPerHa:
            hill(rateSeedsPerM2) +
            noise[i]! * (b % 2 === 0 ? 1 : -1) +
            (rateSeedsPerM2 === 500 && b < 2 ? spoilt : 0),
        })),
      ),
    );
  const settings = { ...defaultSettings, seedPricePerThousand: 0 };
  const doubts = (spoilt: number): string[] =>
    drivenByOutliers(addOptima(fitSeasons(trial(spoilt), settings).fits, settings)).map(
      ({ message }) => message,
    );
  expect(doubts(0)).toEqual([]);
  expect(doubts(900)).toHaveLength(1);
  expect(doubts(900)[0]).toContain("Alder in 2024");
});

it("looks for the highest yield of a curve once, in a trial of a thousand fits as well", () => {
  const fits = Array.from({ length: 1000 }, () =>
    Array.from({ length: 5 }, () => ({ coefficients: noTerms() })),
  );
  let looked = 0;
  const look = (): Optimum => {
    looked++;
    return { kind: "none", reason: "level" };
  };
  const lookAtAll = (): number => {
    looked = 0;
    for (const forms of fits) onceForYield(forms, 0.95, look);
    return looked;
  };
  expect(lookAtAll()).toBe(5000);
  // What other tests had looked for may have made room once meanwhile.
  lookAtAll();
  expect(lookAtAll()).toBe(0);
});

const noTerms = () => ({ intercept: 0, linear: null, quadratic: null, join: null, plateau: null });
