import { determinant, inverse, Matrix } from "ml-matrix";
import { describe, expect, it } from "vitest";
import { fieldStrengths, type BelievedVariety } from "../../../../src/model/beliefs/field-strengths.ts";
import { rateEvidence } from "../../../../src/model/beliefs/rate-evidence.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";

const rates = [180, 240, 300];
const fields = ["Bottom", "Hill"];

/**
 * A straight rise that loses 0.1 of the mean yield at 0.6 of a need of 300: −0.1, −0.05 and 0 at the three rates. On each
 * field yields answer as many times as strongly, with errors of +1, −2 and +1 times `error`, which tilt no line.
 */
function grown(strengths: Record<string, number>, seasons: number, error = 0.001): BelievedVariety {
  const mine = Array.from({ length: seasons }, (_, season) =>
    fields.map((field) =>
      rateEvidence({
        variety: "Alder",
        environment: `${2020 + season} ${field}`,
        season: 2020 + season,
        withinCellSs: 0,
        cells: rates.map((rateSeedsPerM2, k) => ({
          block: "1",
          rateSeedsPerM2,
          strips: 1,
          // The mean of the three is 4000.
          meanYieldKgPerHa: 4000 * (1 + strengths[field]! * [-0.05, 0, 0.05][k]! + error * [1, -2, 1][k]!),
        })),
      })!,
    ),
  ).flat();
  return {
    mine: mine.map((one) => ({ ...one, error: { degrees: 8, ss: 8 * error ** 2 } })),
    belief: {
      fields,
      fieldShifts: [[0, 0]],
      curves: [
        {
          weight: 1,
          shape: 0,
          needSeedsPerM2: 300,
          loss: 0.1,
          decline: 0,
          shoulder: 0,
          seasonSpread: 0,
          place: 0,
        },
      ],
    },
  };
}

const { priors } = defaultSettings;
const middles = (...varieties: BelievedVariety[]): number[] =>
  fieldStrengths(varieties, priors).map(({ middle }) => middle);

/** Rates, yields as shares above their mean, and where they were grown; two varieties, unevenly. */
const uneven = [
  { variety: 0, field: "Bottom", season: 2021, y: [-0.05, 0.01, 0.04] },
  { variety: 0, field: "Hill", season: 2021, y: [-0.09, -0.01, 0.1] },
  { variety: 1, field: "Hill", season: 2021, y: [-0.12, 0.03, 0.09] },
  { variety: 1, field: "Hill", season: 2022, y: [-0.08, 0.02, 0.06] },
];
/** What is known of errors beside the strips of an environment. */
const error = { ss: 0.004, degrees: 6 };
const needs = [300, 340];
/** Lasting shifts of log need on Bottom and Hill. */
const shifts = [0.1, -0.15];

/** The varieties of `uneven`, each believed to lose 0.1 at 0.6 of its need with half of the weight and 0.2 with the other. */
const unevenVarieties = (): BelievedVariety[] =>
  needs.map((needSeedsPerM2, variety) => {
    const mine = uneven
      .filter((one) => one.variety === variety)
      .map(({ field, season, y }) =>
        rateEvidence({
          variety: `${variety}`,
          environment: `${season} ${field}`,
          season,
          withinCellSs: 0,
          cells: rates.map((rateSeedsPerM2, k) => ({
            block: "1",
            rateSeedsPerM2,
            strips: 1,
            meanYieldKgPerHa: 4000 * (1 + y[k]!),
          })),
        })!,
      );
    const curve = {
      weight: 0.5,
      shape: 0,
      needSeedsPerM2,
      decline: 0,
      shoulder: 0,
      seasonSpread: 0,
      place: 0,
    };
    return {
      mine: mine.map((one) => ({ ...one, error })),
      belief: {
        fields,
        fieldShifts: [shifts],
        curves: [
          { ...curve, loss: 0.1 },
          { ...curve, loss: 0.2 },
        ],
      },
    };
  });

/** Slope of yields on what is expected by least squares, less 1, and the variance of that slope. */
const ofUneven = uneven.map(({ variety, field, season, y }) => {
  const need = needs[variety]! * Math.exp(shifts[fields.indexOf(field)]!);
  const expected = rates.map((rate) => (0.15 * Math.min(rate / need - 1, 0)) / 0.4);
  const middle = expected.reduce((a, b) => a + b, 0) / 3;
  const x = expected.map((one) => one - middle);
  const square = x.reduce((sum, one) => sum + one * one, 0);
  const slope = x.reduce((sum, one, k) => sum + one * y[k]!, 0) / square;
  const left = x.reduce((sum, one, k) => sum + (y[k]! - slope * one) ** 2, 0);
  // Two degrees of the three strips, and those beside.
  return { field, season, shift: slope - 1, variance: (error.ss + left) / (error.degrees + 2) / square };
});

/** Strengths by the normal distribution of all slopes under every set of sds: y ~ N(0, V), fields above their mean given y. */
function byCovariance(): { middle: number; sdLog: number }[] {
  const unlike = [0, 0.1, 0.2, 0.3, 0.45, 0.65];
  const lastingSds = [0.02, 0.1, 0.2, 0.3, 0.45, 0.65];
  const y = Matrix.columnVector(ofUneven.map(({ shift }) => shift));
  const half = Matrix.columnVector(ofUneven.map(({ field }) => (field === "Bottom" ? 0.5 : -0.5)));
  let [total, sum, squares] = [0, 0, 0];
  for (const own of unlike)
    for (const common of unlike)
      for (const lasting of lastingSds) {
        const v = new Matrix(
          ofUneven.map((a, i) =>
            ofUneven.map(
              (b, j) =>
                (a.field === b.field ? lasting ** 2 : 0) +
                (a.season === b.season ? 0.25 : 0) +
                (a.field === b.field && a.season === b.season ? common ** 2 : 0) +
                (i === j ? a.variance + own ** 2 : 0),
            ),
          ),
        );
        const weights = half
          .transpose()
          .mul(lasting ** 2)
          .mmul(inverse(v));
        const prior = (own ** 2 + common ** 2 + lasting ** 2) / priors.strengthSpread ** 2;
        const fit = y.transpose().mmul(inverse(v)).mmul(y).get(0, 0);
        const weight = Math.exp(-0.5 * (prior + fit + Math.log(determinant(v))));
        const mean = weights.mmul(y).get(0, 0);
        // Half of the difference of two fields has half of the variance of one.
        const variance = lasting ** 2 / 2 - weights.mmul(half).get(0, 0) * lasting ** 2;
        total += weight;
        sum += weight * mean;
        squares += weight * (variance + mean ** 2);
      }
  const above = sum / total;
  const variance = squares / total - above ** 2;
  return [1 + above, 1 - above].map((mean) => {
    const sdLog = Math.sqrt(Math.log(1 + variance / mean ** 2));
    return { middle: mean * Math.exp(-(sdLog ** 2) / 2), sdLog };
  });
}

describe("how strongly yield answers on a field", () => {
  it("is as on the farm where all fields answer alike", () => {
    for (const { middle, sdLog } of fieldStrengths([grown({ Bottom: 1, Hill: 1 }, 6)], priors)) {
      expect(middle).toBeCloseTo(1, 2);
      expect(sdLog).toBeLessThan(0.1);
    }
  });

  it("is found where it lasts, and pulled a little toward the farm", () => {
    const [bottom, hill] = middles(grown({ Bottom: 0.6, Hill: 1.4 }, 8)) as [number, number];
    expect(bottom).toBeGreaterThan(0.6);
    expect(bottom).toBeLessThan(0.7);
    expect(hill).toBeGreaterThan(1.3);
    expect(hill).toBeLessThan(1.4);
  });

  it("is hardly known after a single season, which may have come with it", () => {
    const told = fieldStrengths([grown({ Bottom: 0.6, Hill: 1.4 }, 1)], priors);
    expect(told[1]!.middle - 1).toBeGreaterThan(0);
    expect(told[1]!.middle - 1).toBeLessThan(0.2);
    expect(told[1]!.sdLog).toBeGreaterThan(0.15);
  });

  it("is better known from two varieties", () => {
    const [one, two] = [1, 2].map(
      (varieties) =>
        fieldStrengths(
          Array.from({ length: varieties }, () => grown({ Bottom: 0.8, Hill: 1.2 }, 3, 0.02)),
          priors,
        )[1]!,
    );
    expect(two!.middle).toBeGreaterThan(one!.middle);
  });

  it("is pulled further toward the farm where strips err more", () => {
    const hill = (error: number): number => middles(grown({ Bottom: 0.6, Hill: 1.4 }, 8, error))[1]!;
    expect(hill(0.05)).toBeLessThan(hill(0.001) - 0.05);
  });

  it("is on average 1 where fields seem alike, however little is known", () => {
    // Mean of a log-normal distribution: its middle × exp(sd² ÷ 2).
    for (const { middle, sdLog } of fieldStrengths([grown({ Bottom: 1, Hill: 1 }, 2, 0.05)], priors)) {
      expect(sdLog).toBeGreaterThan(0.1);
      expect(middle * Math.exp(sdLog ** 2 / 2)).toBeCloseTo(1, 10);
    }
  });

  it("turns no curve upside down", () => {
    const [bottom] = middles(grown({ Bottom: -1, Hill: 3 }, 8)) as [number];
    expect(bottom).toBeGreaterThan(0);
  });

  it("is that of the whole covariance matrix of all slopes", () => {
    const found = fieldStrengths(unevenVarieties(), priors);
    byCovariance().forEach(({ middle, sdLog }, f) => {
      expect(found[f]!.middle).toBeCloseTo(middle, 6);
      expect(found[f]!.sdLog).toBeCloseTo(sdLog, 6);
    });
  });

  it("is not asked where fields are not distinguished, or no yields are expected to differ", () => {
    const one = grown({ Bottom: 1, Hill: 1 }, 2);
    expect(fieldStrengths([{ ...one, belief: { ...one.belief, fields: [] } }], priors)).toEqual([]);
    const level = { ...one.belief, curves: [{ ...one.belief.curves[0]!, loss: 0 }] };
    expect(fieldStrengths([{ ...one, belief: level }], priors)).toEqual([]);
    expect(fieldStrengths([], priors)).toEqual([]);
  });
});
