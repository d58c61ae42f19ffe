import { describe, expect, it } from "vitest";
import { fitSeasons } from "../../../../src/model/seasons/fit-seasons.ts";
import { mostStripsListed } from "../../../../src/model/seasons/strip-points.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";
import { makeTrial } from "../../../make-trial.ts";

const fitTrial = (trial: ReturnType<typeof makeTrial>) => fitSeasons(trial, defaultSettings);
const fitOf = (rates: number[], yields: number[], blocks: string[] = []) =>
  fitTrial(
    makeTrial(
      rates.map((rateSeedsPerM2, i) => ({
        rateSeedsPerM2,
        yieldKgPerHa: yields[i]!,
        block: blocks[i] ?? "",
      })),
    ),
  ).fits[0]!;
const reasons = (fit: ReturnType<typeof fitOf>): Record<string, string> =>
  Object.fromEntries(fit.formsLeftOut.map(({ form, reason }) => [form, reason]));

describe("strips that cannot carry a form", () => {
  it("one rate carries no response", () => {
    const fit = fitOf([300, 300], [4000, 4100]);
    expect(fit.forms.map(({ form }) => form)).toEqual(["none"]);
    expect(new Set(Object.values(reasons(fit)))).toEqual(new Set(["too-few-rates"]));
    expect(fit.anova).toBeNull();
  });

  it("one strip is a mean without an error", () => {
    const [none] = fitOf([300], [4000]).forms;
    expect(none).toMatchObject({
      coefficients: { intercept: 4000 },
      residualDf: 0,
      residualSdKgPerHa: null,
      rSquared: null,
      aicc: null,
      weight: null,
    });
  });

  it("two rates carry a line and no bend", () => {
    expect(reasons(fitOf([200, 300, 200, 300], [4000, 4100, 4010, 4090]))).toEqual({
      quadratic: "too-few-rates",
      "linear-plateau": "too-few-rates",
      "quadratic-plateau": "too-few-rates",
    });
  });

  it("as many parameters as strips are fitted, without standard errors; more are not", () => {
    const three = fitOf([200, 300, 400], [4000, 4300, 4200]);
    const quadratic = three.forms.find(({ form }) => form === "quadratic")!;
    expect(quadratic).toMatchObject({ rss: 0, residualDf: 0, residualSdKgPerHa: null, aicc: null });
    expect(quadratic.standardErrors).toEqual({
      intercept: null,
      linear: null,
      quadratic: null,
      join: null,
      plateau: null,
    });
    expect(reasons(fitOf([200, 300, 400], [4000, 4300, 4200], ["A", "A", "B"]))["quadratic"]).toBe(
      "too-few-strips",
    );
  });

  it("a rate of its own for each block tells blocks and rates not apart", () => {
    const fit = fitOf([200, 200, 300, 300, 400, 400], [1, 2, 3, 4, 5, 7], ["A", "A", "B", "B", "C", "C"]);
    expect(reasons(fit)).toEqual({
      linear: "tied-to-blocks",
      quadratic: "tied-to-blocks",
      "linear-plateau": "tied-to-blocks",
      "quadratic-plateau": "tied-to-blocks",
    });
    expect(fit.anova).toBeNull();
  });
});

it("constant yields are no response, surely, and the join of a plateau that is none is the lowest allowed", () => {
  const fit = fitOf([200, 250, 300, 350, 400, 450, 500, 550], Array(8).fill(4000));
  expect(fit.forms.map(({ rss }) => rss)).toEqual([0, 0, 0, 0, 0]);
  expect(fit.forms[0]!.weight).toBeGreaterThan(0.8);
  expect(fit.forms[3]!.coefficients).toMatchObject({ linear: 0, join: 250, plateau: 4000 });
  expect(fit.anova).toBeNull(); // eight rates once each leave no error
});

it("only the forms that the settings name are fitted", () => {
  const trial = makeTrial([200, 300, 400].map((rate) => ({ rateSeedsPerM2: rate, yieldKgPerHa: rate })));
  const { fits } = fitSeasons(trial, { ...defaultSettings, forms: ["none", "linear"] });
  expect(fits[0]!.forms.map(({ form }) => form)).toEqual(["none", "linear"]);
  expect(fits[0]!.formsLeftOut).toEqual([]);
});

describe("strips as they are drawn", () => {
  // 2000 + 10x − 0.01x² everywhere; block B lies 100 above A, and 2025 lies 400 above 2024
  const curve = (x: number): number => 2000 + 10 * x - 0.01 * x * x;
  const trial = makeTrial(
    [2024, 2025].flatMap((season) =>
      ["A", "B"].flatMap((block) =>
        [200, 300, 400, 500].map((rateSeedsPerM2) => ({
          season,
          block,
          rateSeedsPerM2,
          yieldKgPerHa: curve(rateSeedsPerM2) + (block === "B" ? 100 : 0) + (season === 2025 ? 400 : 0),
        })),
      ),
    ),
  );
  const { strips } = fitTrial(trial);

  it("stand with their block's difference taken off", () => {
    for (const strip of strips)
      expect(strip.blockAdjustedYieldKgPerHa).toBeCloseTo(
        curve(strip.rateSeedsPerM2) + 50 + (strip.environment === "2025" ? 400 : 0),
        8,
      );
  });

  it("stand on one level over all environments", () => {
    for (const strip of strips)
      expect(strip.levelledYieldKgPerHa).toBeCloseTo(curve(strip.rateSeedsPerM2) + 250, 8);
  });

  it("stand on one level though the environments had different rates", () => {
    const apart = makeTrial(
      [2024, 2025].flatMap((season) =>
        [200, 300, 400, 500].map((x) => {
          const rateSeedsPerM2 = x + (season - 2024) * 150;
          return {
            season,
            rateSeedsPerM2,
            yieldKgPerHa: curve(rateSeedsPerM2) + (season === 2025 ? 400 : 0),
          };
        }),
      ),
    );
    for (const strip of fitTrial(apart).strips)
      expect(strip.levelledYieldKgPerHa).toBeCloseTo(curve(strip.rateSeedsPerM2) + 200, 8);
  });

  it("are all listed in a trial of usual size", () => {
    expect(strips).toHaveLength(16);
    expect(strips.map(({ row }) => row).sort((a, b) => a - b)).toEqual(
      Array.from({ length: 16 }, (_, i) => i + 2),
    );
  });

  it("are thinned in a very large trial, which is said, but for those that stand apart", () => {
    const many = makeTrial(
      Array.from({ length: 2 * mostStripsListed }, (_, i) => ({
        block: `B${i % 40}`,
        rateSeedsPerM2: 200 + 50 * (Math.floor(i / 40) % 6),
        yieldKgPerHa: 4000 + ((i * 7919) % 101) + (i === 1 ? 3000 : 0),
      })),
    );
    const listed = fitTrial(many);
    expect(listed.strips.length).toBeGreaterThanOrEqual(mostStripsListed);
    expect(listed.strips.length).toBeLessThan(mostStripsListed + 5);
    expect(listed.strips.some(({ row }) => row === 3)).toBe(true);
    expect(listed.findings.map(({ code }) => code)).toEqual(["outlying-strip", "strips-not-all-listed"]);
    expect(listed.fits[0]!.strips).toBe(2 * mostStripsListed);
  });
});
