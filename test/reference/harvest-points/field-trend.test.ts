/**
 * A trend of yield across a field, against R.
 *
 * Data: `oats-cells.csv`, whose source stands in `harvest-points.test.ts`. Values: R 4.2.2,
 * `lm(share ~ strip:block + strip:rate + position)` by `field-trend.R` beside this file.
 */
import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { withoutTrends } from "../../../src/model/beliefs/field-trend.ts";
import { ratesEvidence } from "../../../src/model/beliefs/rate-evidence.ts";

const text = readFileSync(new URL("oats-cells.csv", import.meta.url), "utf8");
const cells = text.trim().split("\n").slice(1).map((line) => line.split(",").map(Number) as [number, number, number]);

/** Each stretch as a variety: ten cells in a row are a block, and five labels lie over the cells in turn as rates. */
const stretch = (strip: number, inBlocks: boolean) => ({
  variety: `stretch ${strip}`,
  environment: "2017",
  season: 2017,
  withinCellSs: 0,
  cells: cells
    .filter(([own]) => own === strip)
    .sort(([, a], [, b]) => a - b)
    .map(([, , yieldBuAc], index) => ({
      block: inBlocks ? String(Math.floor(index / 10)) : "",
      position: index + 1,
      rateSeedsPerM2: 100 + ((3 * (index + 1) + strip) % 5),
      strips: 1,
      meanYieldKgPerHa: yieldBuAc,
    })),
});

const slopeOf = (strips: number[], inBlocks: boolean): number | null =>
  withoutTrends(ratesEvidence(strips.map((strip) => stretch(strip, inBlocks)))).trends[0]?.slope ?? null;

it("the trend that four stretches share within blocks is R's, to eight digits", () => {
  // R: −0.005160157256 of the mean yield per position, p = 0.0329.
  expect(slopeOf([1, 2, 3, 4], true)! / -0.005160157256).toBeCloseTo(1, 8);
});

it("the trend of one stretch alone is R's, to eight digits", () => {
  // R: −0.0168829329385, p = 0.0006.
  expect(slopeOf([1], true)! / -0.0168829329385).toBeCloseTo(1, 8);
});

it("a trend that R finds no clearer than chance brings it is not taken off", () => {
  // R, without blocks: −0.000674097, p = 0.255.
  expect(slopeOf([1, 2, 3, 4], false)).toBeNull();
});
