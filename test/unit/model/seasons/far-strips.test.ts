/** Strips spoilt on purpose in simulated trials of known scatter: how many are found, and how many good ones are doubted. */
import { describe, expect, it } from "vitest";
import { drawNormal, random } from "../../../../src/maths/random.ts";
import { fitSeasons } from "../../../../src/model/seasons/fit-seasons.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";
import { makeTrial } from "../../../make-trial.ts";

const rates = [200, 270, 340, 410, 480];

/** Three varieties in three seasons, three blocks of five rates, strips 5 % apart by chance; one strip of each group spoilt. */
function trialOf(number: number, spoilt: number) {
  const draw = random(number, "far strips");
  const bad = new Set<string>();
  const strips = ["Alder", "Birch", "Cedar"].flatMap((variety) =>
    [2024, 2025, 2026].flatMap((season) => {
      const at = Math.floor(draw() * 15);
      return [1, 2, 3].flatMap((block) =>
        rates.map((rateSeedsPerM2, r) => {
          const isBad = spoilt !== 0 && (block - 1) * rates.length + r === at;
          if (isBad) bad.add([variety, season, block, rateSeedsPerM2].join());
          const share = 1 - 0.06 * ((rateSeedsPerM2 / 330 - 1) / 0.4) ** 2 + 0.05 * drawNormal(draw);
          const yieldKgPerHa = 4500 * share * (isBad ? 1 + spoilt : 1);
          return { variety, season, field: "Hill", block: String(block), rateSeedsPerM2, yieldKgPerHa };
        }),
      );
    }),
  );
  const trial = makeTrial(strips);
  const { findings } = fitSeasons(trial, defaultSettings);
  const rows = new Set(findings.filter(({ code }) => code === "outlying-strip").map(({ row }) => row));
  const named = trial.strips.filter(({ place }) => rows.has(place.row));
  const found = named.filter(({ variety, season, block, rateSeedsPerM2 }) =>
    bad.has([variety, season, block, rateSeedsPerM2].join()),
  ).length;
  return { bad: bad.size, found, wrong: named.length - found };
}

describe("strips far from what the others lead one to expect", () => {
  it("are mostly found where a yield is altered by 40 %, and no good strip is named beside them", () => {
    const trials = [-0.4, 0.4].flatMap((share) => [1, 2, 3, 4].map((number) => trialOf(number, share)));
    const sum = (of: (one: (typeof trials)[0]) => number): number =>
      trials.reduce((a, one) => a + of(one), 0);
    // A rule that knows no more than a strip's own group finds a third.
    expect(sum(({ found }) => found) / sum(({ bad }) => bad)).toBeGreaterThan(0.7);
    expect(sum(({ wrong }) => wrong)).toBeLessThanOrEqual(1);
  });

  it("are named in few clean trials: one in twenty by each of two rules", () => {
    const trials = Array.from({ length: 40 }, (_, number) => trialOf(number, 0));
    expect(trials.filter(({ wrong }) => wrong > 0).length).toBeLessThanOrEqual(4);
  });
});
