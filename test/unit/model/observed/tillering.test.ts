import { describe, expect, it } from "vitest";
import { modelObservations } from "../../../../src/model/observed/observations.ts";
import { modelTillering } from "../../../../src/model/observed/tillering.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";
import type { Strip } from "../../../../src/vocabulary/trial.ts";
import { makeStrip } from "../../check/make-strips.ts";

const strips = [2023, 2024].flatMap((season) =>
  [200, 300, 400].flatMap((rateSeedsPerM2, i) =>
    [0, 1].map((block) => {
      const standPlantsPerM2 = rateSeedsPerM2 * 0.85;
      // Heads go with the root of the plants, a tenth more in one season; one strip in a thousand up, one down.
      const heads = 30 * Math.sqrt(standPlantsPerM2) * (season === 2023 ? 1 : 1.1);
      return makeStrip({
        season,
        rateSeedsPerM2,
        standPlantsPerM2,
        headsPerM2: heads * ((i + block) % 2 === 0 ? 1.001 : 0.999),
      });
    }),
  ),
);

describe("modelTillering", () => {
  it("does without a stand count that is a slip of the pen, and keeps its heads", () => {
    const slipped = strips.map((strip, i) => (i === 4 ? { ...strip, standPlantsPerM2: 30 } : strip));
    const of = (some: readonly Strip[]) => modelObservations(some, defaultSettings);
    const { observations, findings } = of(slipped);
    expect(findings.map(({ code }) => code)).toContain("stand-out-of-line");
    expect(observations.tillering[0]!.answer!.estimate).toBeCloseTo(-0.5, 3);
    expect(observations.tillering[0]!.rates.map((rate) => rate.strips)).toEqual(
      of(strips).observations.tillering[0]!.rates.map((rate) => rate.strips),
    );
  });

  it("finds how far plants make up for a thin stand", () => {
    const [variety] = modelTillering(strips);
    expect(variety!.answer!.estimate).toBeCloseTo(-0.5, 3);
    expect(variety!.answer!.standardError).toBeLessThan(0.01);
    expect(variety!.rates.map(({ rateSeedsPerM2 }) => rateSeedsPerM2)).toEqual([200, 300, 400]);
    expect(variety!.rates[0]!.headsPerPlant!).toBeGreaterThan(variety!.rates[2]!.headsPerPlant!);
    expect(variety!.rates[1]!.headsPerM2).toBeCloseTo(30 * Math.sqrt(255) * 1.05, 0);
  });

  it("tells heads alone where no stand was counted", () => {
    const [variety] = modelTillering(strips.map((strip) => ({ ...strip, standPlantsPerM2: null })));
    expect(variety!.answer).toBeNull();
    expect(variety!.rates.map(({ headsPerPlant }) => headsPerPlant)).toEqual([null, null, null]);
  });

  it("counts heads by hand: varieties apart, rates in rising order, strips that were not counted left out", () => {
    const strip = (
      variety: string,
      rateSeedsPerM2: number,
      headsPerM2: number | null,
      standPlantsPerM2: number | null,
      season = 2024,
    ) => makeStrip({ variety, season, rateSeedsPerM2, headsPerM2, standPlantsPerM2 });
    const [brimsolt, ostrindel, ...more] = modelTillering([
      strip("Ostrindel", 1000, 600, 300),
      strip("Brimsolt", 400, 800, 400),
      strip("Brimsolt", 200, 500, 100),
      strip("Brimsolt", 200, 700, 200),
      strip("Brimsolt", 200, 900, null), // heads alone
      strip("Brimsolt", 200, 100, 0), // no plants, so that its heads are no plant's
      strip("Brimsolt", 200, 0, 150), // not one head is no count
      strip("Brimsolt", 200, null, 150),
      strip("Brimsolt", 200, 350, 175, 2023),
    ]);
    expect(more).toEqual([]);
    expect(ostrindel).toMatchObject({ variety: "Ostrindel", rates: [{ rateSeedsPerM2: 1000, strips: 1 }] });
    expect(brimsolt!.rates).toEqual([
      {
        rateSeedsPerM2: 200,
        strips: 5,
        // (500 + 700 + 900 + 100) ÷ 4 = 550 in 2024 and 350 in 2023: 450.
        headsPerM2: 450,
        // (500 + 700) ÷ (100 + 200) = 4 and 350 ÷ 175 = 2: 3.
        headsPerPlant: 3,
      },
      { rateSeedsPerM2: 400, strips: 1, headsPerM2: 800, headsPerPlant: 2 },
    ]);
    expect(
      modelTillering([strip("Ostrindel", 1000, 600, 300), strip("Ostrindel", 200, 600, 300)])[0]!.rates.map(
        ({ rateSeedsPerM2 }) => rateSeedsPerM2,
      ),
    ).toEqual([200, 1000]);
  });

  it("is empty without heads", () => expect(modelTillering([makeStrip()])).toEqual([]));
});
