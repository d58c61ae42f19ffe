/** Numbers that are hard on arithmetic: the fits stay true to scale, and nothing that follows them loses its number. */
import { describe, expect, it } from "vitest";
import { decide } from "../../src/decide/decide.ts";
import { believeCurves } from "../../src/model/beliefs/believable-curves.ts";
import { fitSeasons } from "../../src/model/seasons/fit-seasons.ts";
import { modelObservations } from "../../src/model/observed/observations.ts";
import { poolSeasons } from "../../src/model/pooled/pool-seasons.ts";
import { defaultSettings } from "../../src/vocabulary/settings.ts";
import type { Trial } from "../../src/vocabulary/trial.ts";
import { makeTrial } from "../make-trial.ts";

/** Two varieties, three seasons, five rates, three blocks; scatter that repeats and is known. */
const usual = (() => {
  const strips: Parameters<typeof makeTrial>[0] = [];
  for (const variety of ["Alder", "Birch"])
    for (const season of [2022, 2023, 2024])
      for (const rateSeedsPerM2 of [180, 240, 300, 360, 420])
        for (const block of ["1", "2", "3"]) {
          const short = Math.max(0, 330 - rateSeedsPerM2 + 10 * (season - 2023));
          const scatter = 60 * Math.sin(7 * strips.length + Number(block));
          strips.push({
            variety,
            season,
            block,
            rateSeedsPerM2,
            yieldKgPerHa: 4500 - 0.05 * short ** 2 + scatter + 150 * (season - 2023),
          });
        }
  return strips;
})();

type Row = (typeof usual)[number];
const changed = (change: (row: Row, i: number) => Partial<Row>): Trial =>
  makeTrial(usual.map((row, i) => ({ ...row, ...change(row, i) })));

/** Fits, beliefs, pooled model and decision, past the checks that would leave such strips out. */
function everything(trial: Trial) {
  const { fits } = fitSeasons(trial, defaultSettings);
  const beliefs = believeCurves(fits, defaultSettings);
  const { pooled, ...pooling } = poolSeasons(trial, fits, defaultSettings);
  const { environments } = trial;
  const { observations } = modelObservations(trial.strips, defaultSettings);
  const decided = decide({ fits, beliefs, pooled, environments, ...observations }, defaultSettings);
  return { fits, beliefs, pooling, decided };
}

/** Where a plain object holds what JSON cannot: NaN or an infinite number. */
function holesIn(value: unknown, path = ""): string[] {
  if (typeof value === "number") return Number.isFinite(value) ? [] : [`${path}: ${value}`];
  if (typeof value !== "object" || value === null) return [];
  return Object.entries(value).flatMap(([key, inside]) => holesIn(inside, `${path}.${key}`));
}

const hard: [what: string, trial: () => Trial][] = [
  ["rates near a million", () => changed((row) => ({ rateSeedsPerM2: 1e6 + row.rateSeedsPerM2 }))],
  ["rates of millions", () => changed((row) => ({ rateSeedsPerM2: 4000 * row.rateSeedsPerM2 }))],
  ["yields near a thousandth", () => changed((row) => ({ yieldKgPerHa: row.yieldKgPerHa / 4e6 }))],
  [
    "yields that differ in the seventh digit",
    () => changed((row) => ({ yieldKgPerHa: 4500 + row.yieldKgPerHa * 1e-6 })),
  ],
  ["constant yields", () => changed(() => ({ yieldKgPerHa: 4500 }))],
  ["yields of nothing", () => changed(() => ({ yieldKgPerHa: 0 }))],
  [
    "ties: yields in two steps",
    () => changed((row, i) => ({ yieldKgPerHa: 4500 + 100 * (i % 2) * Number(row.rateSeedsPerM2 > 250) })),
  ],
  [
    "a rate a block, so that both mean the same",
    () => changed((row) => ({ block: String(row.rateSeedsPerM2) })),
  ],
  ["a season a variety", () => changed((row) => ({ season: row.variety === "Alder" ? 2023 : 2024 }))],
  ["a rate a season", () => changed((row) => ({ season: 2000 + row.rateSeedsPerM2 }))],
  [
    "rates a millionth apart",
    () => changed((row, i) => ({ rateSeedsPerM2: row.rateSeedsPerM2 * (1 + 1e-6 * (i % 7)) })),
  ],
  [
    "as many strips as a quadratic has numbers",
    () => makeTrial(usual.filter(({ block, rateSeedsPerM2: rate }) => block === "1" && rate % 120 === 60)),
  ],
  [
    "one strip more than that",
    () =>
      makeTrial(
        usual.filter(({ block, rateSeedsPerM2: rate }, i) => block === "1" && (rate % 120 === 60 || i === 3)),
      ),
  ],
  [
    "an exact parabola",
    () => changed(({ rateSeedsPerM2: rate }) => ({ yieldKgPerHa: 2000 + 14 * rate - 0.02 * rate ** 2 })),
  ],
];

describe("numbers that are hard on arithmetic", () => {
  it("would be seen", () => expect(holesIn({ a: [1, NaN], b: { c: -Infinity } })).toHaveLength(2));

  it.each(hard)("leave no hole in any answer: %s", (_, trial) => {
    const { fits, beliefs, pooling, decided } = everything(trial());
    expect(fits.length).toBeGreaterThan(0);
    expect(holesIn({ fits, beliefs, pooling, decided })).toEqual([]);
  });

  const fitsOf = (trial: Trial) => fitSeasons(trial, defaultSettings).fits;
  const plain = fitsOf(makeTrial(usual));

  it.each([
    [4000, 1],
    [1, 1 / 4e6],
    [1e-3, 1e5],
  ])("leave the fits true to scale: rates × %f, yields × %f", (ofRate, ofYield) => {
    const scaled = fitsOf(
      changed((row) => ({
        rateSeedsPerM2: ofRate * row.rateSeedsPerM2,
        yieldKgPerHa: ofYield * row.yieldKgPerHa,
      })),
    );
    plain.forEach(({ forms }, i) =>
      forms.forEach(({ form, rss, coefficients }, f) => {
        const other = scaled[i]!.forms[f]!;
        expect(other.form).toBe(form);
        expect(other.rss / ofYield ** 2 / rss).toBeCloseTo(1, 8);
        const { quadratic, join } = coefficients;
        if (quadratic !== null)
          expect((other.coefficients.quadratic! * ofRate ** 2) / ofYield / quadratic).toBeCloseTo(1, 6);
        if (join !== null) expect(other.coefficients.join! / ofRate / join).toBeCloseTo(1, 6);
      }),
    );
  });

  it("finds the same scatter about a quadratic where all rates lie near a million", () => {
    const moved = fitsOf(changed((row) => ({ rateSeedsPerM2: 1e6 + row.rateSeedsPerM2 })));
    plain.forEach(({ forms }, i) => {
      const at = forms.findIndex(({ form }) => form === "quadratic");
      expect(moved[i]!.forms[at]!.rss / forms[at]!.rss).toBeCloseTo(1, 6);
    });
  });
});
