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
    mine,
    errors: mine.map(() => ({ degrees: 8, ss: 8 * error ** 2 })),
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

  it("is not asked where fields are not distinguished, or no yields are expected to differ", () => {
    const one = grown({ Bottom: 1, Hill: 1 }, 2);
    expect(fieldStrengths([{ ...one, belief: { ...one.belief, fields: [] } }], priors)).toEqual([]);
    const level = { ...one.belief, curves: [{ ...one.belief.curves[0]!, loss: 0 }] };
    expect(fieldStrengths([{ ...one, belief: level }], priors)).toEqual([]);
  });
});
