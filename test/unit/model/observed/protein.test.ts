import { describe, expect, it } from "vitest";
import { modelProtein } from "../../../../src/model/observed/protein.ts";
import type { Strip } from "../../../../src/vocabulary/trial.ts";
import { makeStrip } from "../../check/make-strips.ts";

const tested = (variety: string, slope: number, wobble: number, seasons = [2023, 2024]): Strip[] =>
  seasons.flatMap((season) =>
    [200, 250, 300, 350, 400].map((rateSeedsPerM2, i) =>
      makeStrip({
        season,
        variety,
        rateSeedsPerM2,
        proteinPct: 14 + (season - 2023) + slope * (rateSeedsPerM2 - 300) + wobble * [1, -2, 2, -2, 1][i]!,
      }),
    ),
  );

describe("modelProtein", () => {
  it("is empty without protein", () => expect(modelProtein([makeStrip()])).toEqual([]));

  it("finds the slope within environments and their levels", () => {
    const [variety] = modelProtein(tested("A", -0.004, 0.0001));
    expect(variety!.slopePctPerSeedPerM2).toBeCloseTo(-0.004, 8);
    expect(variety!.levels.map(({ proteinPct }) => proteinPct)).toEqual([
      expect.closeTo(14, 6),
      expect.closeTo(15, 6),
    ]);
  });

  it("draws varieties that differ by no more than chance to one slope, and leaves apart what is clear", () => {
    const vague = modelProtein([...tested("A", -0.001, 0.2), ...tested("B", -0.0012, 0.2)]);
    expect(vague[0]!.slopePctPerSeedPerM2).toBeCloseTo(-0.0011, 8);
    const clear = modelProtein([...tested("A", 0, 0.0001), ...tested("B", -0.01, 0.0001)]);
    expect(clear[0]!.slopePctPerSeedPerM2).toBeCloseTo(0, 5);
    expect(clear[1]!.slopePctPerSeedPerM2).toBeCloseTo(-0.01, 5);
  });

  it("lends the mean slope to a variety tested at one rate", () => {
    const all = modelProtein([
      ...tested("A", -0.004, 0.01),
      ...tested("C", 0, 0).filter(({ rateSeedsPerM2 }) => rateSeedsPerM2 === 300),
    ]);
    expect(all[1]!.variety).toBe("C");
    expect(all[1]!.ownSlope).toBeNull();
    expect(all[1]!.slopePctPerSeedPerM2).toBeCloseTo(-0.004, 8);
  });
});
