/**
 * Varieties in their environments, worked by hand: yields of 2000 + 10x − 0.01x², block B 100 higher than A, 2025 400 higher than
 * 2024, so that no strip has a residual unless it is said.
 */
import { describe, expect, it } from "vitest";
import { fitSeasons } from "../../../../src/model/seasons/fit-seasons.ts";
import { cellsOf, groupByVariety } from "../../../../src/model/seasons/rate-cells.ts";
import { stripPoints, type JudgedStrips } from "../../../../src/model/seasons/strip-points.ts";
import { stripResiduals } from "../../../../src/model/seasons/strip-residuals.ts";
import { ratePoints } from "../../../../src/model/forms/rate-points.ts";
import type { Strip } from "../../../../src/vocabulary/trial.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";
import { makeTrial } from "../../../make-trial.ts";

const curve = (x: number): number => 2000 + 10 * x - 0.01 * x * x;
const rates = [200, 300, 400, 500];
const trialOf = (change: (strip: Strip) => Partial<Strip> = () => ({}), seasons = [2024, 2025]) => {
  const trial = makeTrial(
    seasons.flatMap((season) =>
      ["A", "B"].flatMap((block) =>
        rates.map((rateSeedsPerM2) => ({
          season,
          block,
          rateSeedsPerM2,
          yieldKgPerHa: curve(rateSeedsPerM2) + (block === "B" ? 100 : 0) + (season === 2025 ? 400 : 0),
        })),
      ),
    ),
  );
  return makeTrial(trial.strips.map((strip) => ({ ...strip, ...change(strip) })));
};
const fit = (...asked: Parameters<typeof trialOf>) => fitSeasons(trialOf(...asked), defaultSettings);

/** The strips of all environments, as they are judged. */
function judged(strips: readonly Strip[], named: (strip: Strip) => boolean = () => false): JudgedStrips[] {
  return groupByVariety(strips)[0]!.map((group): JudgedStrips => {
    const { cells, withinCellSs } = cellsOf(group.strips);
    const residuals = stripResiduals(group.strips, cells, ratePoints(cells, withinCellSs));
    return { ...group, cells, residuals, named: new Set(group.strips.filter(named)) };
  });
}

describe("a strip as it is listed", () => {
  it("has its place, what was seen, and its yield without its block and on one level", () => {
    const { strips } = trialOf(({ place }) =>
      place.row === 7
        ? {
            position: 3,
            note: "hail",
            standPlantsPerM2: 250,
            headsPerM2: 600,
            lodging: { scale: "zero-to-nine", score: 3, share: 1 / 3 },
          }
        : {},
    );
    const points = stripPoints(judged(strips), 1);
    expect(points).toHaveLength(16);
    // Row 7 is block B at 300 in 2024: 4,100 + 100. A and B lie 50 about their mean, 2024 and 2025 200 more to either side.
    expect(points.find(({ row }) => row === 7)).toEqual({
      variety: "Alder",
      environment: "2024",
      block: "B",
      file: "strips.csv",
      row: 7,
      position: 3,
      note: "hail",
      rateSeedsPerM2: 300,
      yieldKgPerHa: 4200,
      blockAdjustedYieldKgPerHa: expect.closeTo(4150, 6) as number,
      levelledYieldKgPerHa: expect.closeTo(4350, 6) as number,
      standPlantsPerM2: 250,
      headsPerM2: 600,
      lodgingShare: 1 / 3,
      studentizedResidual: null,
      topShiftSeedsPerM2: expect.closeTo(0, 6) as number,
    });
    expect(points.find(({ row }) => row === 2)).toMatchObject({ position: null, lodgingShare: null });
  });

  it("is on one level by a line where two rates allow no more, and by means where one does not even that", () => {
    const two = trialOf().strips.filter(({ rateSeedsPerM2 }) => rateSeedsPerM2 < 350);
    const [first] = stripPoints(judged(two), 1);
    // 200 in A of 2024: 3,600, and 250 below the mean of all.
    expect(first!.levelledYieldKgPerHa).toBeCloseTo(3850, 6);
    const one = two.filter(({ rateSeedsPerM2 }) => rateSeedsPerM2 === 200);
    expect(
      stripPoints(judged(one), 1).map(({ levelledYieldKgPerHa }) => Math.round(levelledYieldKgPerHa)),
    ).toEqual([3850, 3850, 3850, 3850]);
  });

  it("is on one level though the environments had other rates, and a block lacks one", () => {
    const { strips } = trialOf(({ season, rateSeedsPerM2, block }) => {
      const x = rateSeedsPerM2 + (season === 2025 ? 150 : 0);
      return {
        rateSeedsPerM2: x,
        yieldKgPerHa: curve(x) + (block === "B" ? 100 : 0) + (season === 2025 ? 400 : 0),
      };
    });
    // Without the first strip block B comes before A.
    for (const point of stripPoints(judged(strips.slice(1)), 1))
      expect(point.levelledYieldKgPerHa).toBeCloseTo(curve(point.rateSeedsPerM2) + 250, 6);
  });

  it("is every second one of an environment, and each that is named", () => {
    const { strips } = trialOf();
    const rows = (every: number, named?: (strip: Strip) => boolean): number[] =>
      stripPoints(judged(strips, named), every).map(({ row }) => row!);
    // Sorted by rate, then block: rows 2 and 6, 3 and 7 … in 2024, 10 and 14, 11 and 15 … in 2025.
    expect(rows(1)).toEqual([2, 6, 3, 7, 4, 8, 5, 9, 10, 14, 11, 15, 12, 16, 13, 17]);
    expect(rows(2)).toEqual([2, 3, 4, 5, 10, 11, 12, 13]);
    expect(rows(3)).toEqual([2, 7, 5, 10, 15, 13]);
    expect(rows(2, ({ place }) => place.row === 7)).toEqual([2, 3, 7, 4, 5, 10, 11, 12, 13]);
  });
});

describe("a variety in an environment", () => {
  it("has its strips, blocks and rates, and every form that fits", () => {
    const { fits, strips, findings } = fit();
    expect(fits).toHaveLength(2);
    expect(fits[0]).toMatchObject({
      variety: "Alder",
      environment: "2024",
      season: 2024,
      strips: 8,
      blocks: 2,
      ratesSeedsPerM2: rates,
      formsLeftOut: [],
    });
    expect(fits[0]!.forms.map(({ form }) => form)).toEqual([
      "none",
      "linear",
      "quadratic",
      "linear-plateau",
      "quadratic-plateau",
    ]);
    const quadratic = fits[0]!.forms.find(({ form }) => form === "quadratic")!;
    expect(quadratic.coefficients.linear).toBeCloseTo(10, 6);
    expect(quadratic.coefficients.quadratic).toBeCloseTo(-0.01, 9);
    // Its top is at 500, so that a quadratic plateau is the same curve with as many terms: half the weight each.
    expect(quadratic.weight).toBeCloseTo(0.5, 6);
    // Its slope is 10 − 0.02x by the medians, too.
    expect(fits[0]!.resistantSlope).toMatchObject({
      atZero: expect.closeTo(10, 6) as number,
      perRate: expect.closeTo(-0.02, 9) as number,
    });
    expect(fits[0]!.anova).toMatchObject({ blockDf: 1, rateDf: 3, errorDf: 3 });
    expect(strips).toHaveLength(16);
    expect(findings).toEqual([]);
  });

  it("has the forms that are asked for, and those that its strips cannot carry by name", () => {
    const two = makeTrial(trialOf().strips.filter(({ rateSeedsPerM2 }) => rateSeedsPerM2 < 350));
    const [one] = fitSeasons(two, { ...defaultSettings, forms: ["none", "linear", "quadratic"] }).fits;
    expect(one!.forms.map(({ form }) => form)).toEqual(["none", "linear"]);
    expect(one!.formsLeftOut).toEqual([{ form: "quadratic", reason: "too-few-rates" }]);
  });

  it("has a word for its ground where all strips share one", () => {
    const ground = (change: Parameters<typeof trialOf>[0]): (string | undefined)[] =>
      fit(change).fits.map((one) => one.ground);
    expect(ground(() => ({ ground: "Hill" }))).toEqual(["Hill", "Hill"]);
    expect(ground(() => ({ ground: "Hill", farm: "Home" }))).toEqual(["Home, Hill", "Home, Hill"]);
    expect(ground(({ place }) => (place.row === 4 ? {} : { ground: "Hill" }))).toEqual([undefined, "Hill"]);
    expect(ground(({ place }) => ({ ground: place.row === 13 ? "Bottom" : "Hill" }))).toEqual([
      "Hill",
      undefined,
    ]);
    expect(ground(() => ({}))).toEqual([undefined, undefined]);
    expect("ground" in fit().fits[0]!).toBe(false);
  });

  it("says where the rate follows the position", () => {
    const inOrder = fit(({ rateSeedsPerM2 }) => ({ position: rates.indexOf(rateSeedsPerM2) + 1 }));
    expect(inOrder.fits.map(({ rateFollows }) => rateFollows)).toEqual(["position", "position"]);
    expect("rateFollows" in fit().fits[0]!).toBe(false);
  });
});

describe("a strip that stands apart", () => {
  // Every strip 10 to one side or the other, in a pattern that no parabola follows; that of row 12 has another 1,500.
  const scatter = ({ place }: Strip): number =>
    ((place.row * 7) % 5) * 10 - 20 + (place.row === 12 ? 1500 : 0);
  const spoilt = (strip: Strip): Partial<Strip> => ({ yieldKgPerHa: strip.yieldKgPerHa + scatter(strip) });

  it("is named once, whichever rule finds it", () => {
    const { findings, strips } = fit(spoilt);
    expect(findings.filter(({ row }) => row === 12).map(({ code }) => code)).toEqual(["outlying-strip"]);
    expect(findings.every(({ row }) => row === 12)).toBe(true);
    const { studentizedResidual } = strips.find(({ row }) => row === 12)!;
    expect(studentizedResidual).toBeGreaterThan(20);
  });

  it("is named once where both rules find it: beside another variety, whose strips show how much is usual", () => {
    const both = [trialOf(spoilt), trialOf((strip) => ({ ...spoilt(strip), variety: "Birch" }))].flatMap(
      ({ strips }, v) =>
        strips.map((strip) =>
          v === 1 && strip.place.row === 12 ? { ...strip, yieldKgPerHa: strip.yieldKgPerHa - 1500 } : strip,
        ),
    );
    const { findings } = fitSeasons(makeTrial(both), defaultSettings);
    expect(findings.map(({ code, row }) => [code, row])).toEqual([["outlying-strip", 12]]);
    expect(findings[0]!.message).toContain("studentized");
  });

  it("is named by the scatter of the whole trial where its own few strips hide it", () => {
    // Four strips in 2026: a parabola leaves one degree, which studentizes nothing. What is left of 1,500 is shared by all four in
    // the pattern (−1, 3, −3, 1), 3 ÷ √20 of it a strip: 1,006 of 4,500. Without any of them nothing is left to compare.
    const extra = [250, 300, 350, 400].map((rateSeedsPerM2, i) => ({
      season: 2026,
      block: "A",
      rateSeedsPerM2,
      yieldKgPerHa: curve(rateSeedsPerM2) + (i === 2 ? 1500 : 0),
    }));
    const calm = trialOf(
      (strip) => ({
        yieldKgPerHa: strip.yieldKgPerHa + ((strip.place.row * 7) % 5) * 10 - 20,
        variety: strip.season === 2026 ? "Birch" : "Alder",
      }),
      [2024, 2025, 2026],
    );
    const { findings } = fitSeasons(makeTrial([...calm.strips, ...extra]), defaultSettings);
    expect(findings.map(({ code }) => code)).toEqual(["outlying-strip"]);
    expect(findings[0]!.message).toContain("Alder in 2026");
    expect(findings[0]!.message).not.toContain("studentized");
  });
});
