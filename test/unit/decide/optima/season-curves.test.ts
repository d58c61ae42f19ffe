import { expect, it } from "vitest";
import { seasonCurves } from "../../../../src/decide/optima/season-curves.ts";
import { fitSeasons } from "../../../../src/model/seasons/fit-seasons.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";
import { makeTrial } from "../../../make-trial.ts";

const strips = (yields: number[]) =>
  makeTrial(yields.map((yieldKgPerHa, i) => ({ rateSeedsPerM2: 100 * (i + 1), yieldKgPerHa })));
const curveOf = (yields: number[]) => seasonCurves(fitSeasons(strips(yields), defaultSettings).fits)[0]!;

it("follows the only form that explains the strips, from the lowest to the highest tested rate", () => {
  const truth = (x: number): number => 3000 + 8 * x - 0.01 * x * x;
  const { points } = curveOf([100, 200, 300, 400, 500, 600, 700].map(truth));
  expect(points).toHaveLength(31);
  expect([points[0]!.rateSeedsPerM2, points[30]!.rateSeedsPerM2]).toEqual([100, 700]);
  for (const { rateSeedsPerM2, value } of points) expect(value).toBeCloseTo(truth(rateSeedsPerM2), 6);
});

it("lies between the forms where none explains them alone", () => {
  const { points } = curveOf([4000, 4200, 4150, 4300, 4250, 4280, 4260, 4310]);
  const values = points.map(({ value }) => value);
  expect(Math.min(...values)).toBeGreaterThan(3990);
  expect(Math.max(...values)).toBeLessThan(4320);
});

it("is drawn with too few strips for weights, from a form that leaves an error", () => {
  const { points } = curveOf([4000, 4300, 4200]);
  const slope = points[1]!.value - points[0]!.value;
  for (let i = 1; i < points.length; i++)
    expect(points[i]!.value - points[i - 1]!.value).toBeCloseTo(slope, 8);
});

it("is left out with one rate", () => {
  expect(seasonCurves(fitSeasons(strips([4000]), defaultSettings).fits)).toEqual([]);
});
