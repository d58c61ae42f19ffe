import { describe, expect, it } from "vitest";
import { chooseEnvironments, chooseVarieties } from "../../../src/model/choose-environments.ts";
import { fitSeasons } from "../../../src/model/seasons/fit-seasons.ts";
import { defaultSettings } from "../../../src/vocabulary/settings.ts";
import { makeTrial } from "../../make-trial.ts";

/** Two strips in each of so many fields. */
const fields = (count: number) => {
  const trial = makeTrial(
    Array.from({ length: 2 * count }, (_, i) => ({
      field: `Field ${String(Math.floor(i / 2)).padStart(4, "0")}`,
      rateSeedsPerM2: 200 + 100 * (i % 2),
      yieldKgPerHa: 5000,
    })),
  );
  return { trial, fits: fitSeasons(trial, defaultSettings).fits };
};

describe("environments that what is said of all seasons rests on", () => {
  it("are all of them as long as they are few", () => {
    const { trial, fits } = fields(250);
    const { chosen, trial: pooled, findings } = chooseEnvironments(fits, trial);
    expect(chosen).toBe(fits);
    expect(pooled.strips).toBe(trial.strips);
    expect(findings).toEqual([]);
  });

  it("are an even choice of very many, and that is said", () => {
    const { trial, fits } = fields(1000);
    const { chosen, trial: pooled, findings } = chooseEnvironments(fits, trial);
    // Two strips in each, and no others.
    expect(pooled.strips).toHaveLength(500);
    const places = chosen.map(({ environment }) =>
      trial.environments.findIndex(({ id }) => id === environment),
    );
    expect(places).toHaveLength(250);
    expect(new Set(places.slice(1).map((place, i) => place - places[i]!))).toEqual(new Set([4]));
    expect(findings.map(({ message }) => message).join()).toContain("250 of 1000 environments");
  });
});

describe("varieties that the pooled model rests on", () => {
  const varieties = (count: number) => {
    const trial = makeTrial(
      Array.from({ length: 2 * count }, (_, i) => ({
        variety: `Variety ${String(Math.floor(i / 2)).padStart(4, "0")}`,
        rateSeedsPerM2: 200 + 100 * (i % 2),
        yieldKgPerHa: 5000 + i,
      })),
    );
    return fitSeasons(trial, defaultSettings).fits;
  };

  it("are all of them as long as they are few", () => {
    const fits = varieties(40);
    expect(chooseVarieties(fits)).toEqual({ chosen: fits, findings: [] });
  });

  it("are an even choice of very many, and that is said", () => {
    const { chosen, findings } = chooseVarieties(varieties(120));
    const places = chosen.map(({ variety }) => Number(variety.slice(-4)));
    expect(places).toHaveLength(40);
    expect(new Set(places.slice(1).map((place, i) => place - places[i]!))).toEqual(new Set([3]));
    expect(findings.map(({ message }) => message).join()).toContain("40 of 120 varieties");
  });
});
