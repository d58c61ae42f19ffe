import { readFileSync } from "node:fs";
import { parse } from "papaparse";
import { describe, expect, it } from "vitest";
import { GroupedLogit, type LogitCells } from "../../../src/maths/grouped-logit.ts";
import { toLodgingScore } from "../../../src/numbers/lodging-scales.ts";
import { fitOrderedLogit } from "../../../src/maths/ordered-logit.ts";
import { orderLodging } from "../../../src/model/observed/lodging-order.ts";
import { tabulateLodging, toLogitCells, type LodgingCell } from "../../../src/model/observed/lodging-cells.ts";
import { regressLodging } from "../../../src/model/observed/lodging-regression.ts";
import { nothingElse, type LodgingScore, type Strip } from "../../../src/vocabulary/trial.ts";
import { fromPerAcre } from "../../../src/numbers/units.ts";
import expected from "./case.json" with { type: "json" };

type Row = Record<string, string>;
const rowsOf = (name: string): Row[] =>
  parse<Row>(readFileSync(new URL(name, import.meta.url), "utf8"), { header: true, skipEmptyLines: true }).data;

const strip = (row: Row, rate: number, lodging: LodgingScore): Strip => ({
  place: { file: "reference", row: 1 },
  variety: row["variety"]!,
  season: Number(row["year"]),
  farm: "",
  field: row["site"]!,
  block: row["block"] ?? "",
  position: null,
  rateSeedsPerM2: rate,
  yieldKgPerHa: 1,
  ...nothingElse,
  lodging,
});

const wheat = rowsOf("sim_multiyear.csv");
const perAcre = (row: Row): number => fromPerAcre(Number(row["rate"]));
const overNine = wheat.map((row) =>
  strip(row, perAcre(row), toLodgingScore("zero-to-nine", Number(row["lodging"]))!),
);
const zeroBased = wheat.map((row) =>
  strip(row, perAcre(row), toLodgingScore("one-to-nine", Number(row["lodging"]))!),
);
const centre = fromPerAcre(1_400_000);
/** The published slope is per million seeds/ac, ours per 100 seeds/m². */
const hundreds = fromPerAcre(1_000_000) / 100;

type Regression = { dispersion: number; deviance: number; residualDf: number; coefficients: object };

/** Our coefficients against R's, which are contrasts to the first environment and the first variety. */
function compare(strips: Strip[], reference: Regression, slope: string, perUnit: number, middle = centre): void {
  const [table] = tabulateLodging(strips);
  const ours = regressLodging(table!, middle)!;
  const theirs = reference.coefficients as Record<string, [number, number]>;
  // One published coefficient is 0 to rounding (5.7e-17): hence the small absolute part.
  const close = (a: number, b: number): void =>
    expect(Math.abs(a - b)).toBeLessThan(1e-6 * Math.abs(b) + 1e-12);
  close(ours.dispersion, reference.dispersion);
  close(ours.deviance, reference.deviance);
  expect(ours.residualDf).toBe(reference.residualDf);
  const named = new Map(ours.coefficients.map((coefficient) => [coefficient.name, coefficient]));
  const [first] = table!.varieties;
  let compared = 0;
  for (const [name, [estimate, standardError]] of Object.entries(theirs)) {
    if (name === "(Intercept)") {
      close(named.get(first!)!.estimate, estimate);
      close(named.get(first!)!.standardError, standardError);
    } else if (name.startsWith("variety")) {
      close(named.get(name.slice(7))!.estimate - named.get(first!)!.estimate, estimate);
    } else if (name === slope) {
      close(named.get("rate")!.estimate * perUnit, estimate);
      close(named.get("rate")!.standardError * perUnit, standardError);
    } else {
      const own = named.get(name.slice(3).replace(/^(\D+) (\d{4})$/, "$2 $1"))!;
      close(own.estimate, estimate);
      close(own.standardError, standardError);
    }
    compared++;
  }
  expect(compared).toBe(ours.coefficients.length);
}

describe("quasi-binomial regression against R's glm", () => {
  it("agrees on score/9 with environments and varieties", () =>
    compare(overNine, expected.glmScoreOver9, "u", hundreds));
  it("agrees on (score − 1)/8, the share of a 1–9 scale", () =>
    compare(zeroBased, expected.glmZeroBased, "u", hundreds));
  it.each(["Alder", "Birch", "Cedar"] as const)("agrees within %s", (variety) =>
    compare(
      overNine.filter((one) => one.variety === variety),
      expected.perVariety[variety],
      "u",
      hundreds,
    ),
  );

  it("agrees on the test of variety × rate", () => {
    const test = regressLodging(tabulateLodging(overNine)[0]!, centre)!.varietyByRate!;
    expect(Math.abs(test.f / expected.varietyByRate.F - 1)).toBeLessThan(1e-6);
    expect(Math.abs(test.p / expected.varietyByRate.p - 1)).toBeLessThan(1e-6);
    expect(test.df).toBe(expected.varietyByRate.df);
  });

  it("agrees on real scores: 58 soybeans in 8 environments, height in the place of the rate", () => {
    const soybeans = rowsOf("soybean.csv");
    const strips = (share: (score: number) => number): Strip[] =>
      soybeans.map((row) =>
        strip({ ...row, variety: "all" }, 100 * (Number(row["height"]) + 1), {
          scale: "one-to-five",
          score: Number(row["lodging"]),
          share: share(Number(row["lodging"])),
        }),
      );
    compare(strips((score) => score / 5), expected.soybean.glmScoreOver5, "h", 1, 200);
    compare(strips((score) => (score - 1) / 4), expected.soybean.glmZeroBased, "h", 1, 200);
  });
});

describe("grouped logit against R's glm", () => {
  const unpenalised = (columns: number) => ({
    dispersion: 1,
    columnMean: new Float64Array(columns),
    columnPrecision: new Float64Array(columns),
    levelPrecision: null,
    start: null,
  });
  const million = (cell: LodgingCell): number => (cell.rateSeedsPerM2 - centre) / fromPerAcre(1_000_000);
  const cellsOf = (
    strips: Strip[],
    columns: number,
    termsOf: (cell: LodgingCell) => [number, number][],
  ): LogitCells => {
    const [table] = tabulateLodging(strips);
    return toLogitCells(table!.cells, columns, [(cell) => cell.environment], termsOf);
  };

  it("agrees where each variety has its own slope", () => {
    const fit = new GroupedLogit(
      cellsOf(overNine, 6, (cell) => [
        [cell.variety, 1],
        [3 + cell.variety, million(cell)],
      ]),
    ).fit(unpenalised(6));
    const theirs = expected.glmScoreOver9Interaction.coefficients;
    const [a, , , slope, birch, cedar] = fit.coefficients;
    for (const [ours, [estimate]] of [
      [a!, theirs["(Intercept)"]],
      [slope!, theirs.u],
      [birch! - slope!, theirs["varietyBirch:u"]],
      [cedar! - slope!, theirs["varietyCedar:u"]],
    ] as [number, number[]][])
      expect(Math.abs(ours / estimate! - 1)).toBeLessThan(1e-6);
    expect(Math.abs(fit.deviance / expected.glmScoreOver9Interaction.deviance - 1)).toBeLessThan(1e-6);
  });

  it("agrees with a square of the rate", () => {
    const fit = new GroupedLogit(
      cellsOf(zeroBased, 5, (cell) => [
        [cell.variety, 1],
        [3, million(cell)],
        [4, million(cell) ** 2],
      ]),
    ).fit(unpenalised(5));
    const theirs = expected.glmZeroBasedQuadratic;
    const dispersion = fit.pearson / theirs.residualDf;
    expect(Math.abs(dispersion / theirs.dispersion - 1)).toBeLessThan(1e-6);
    expect(Math.abs(fit.coefficients[4]! / theirs.coefficients["I(u^2)"]![0]! - 1)).toBeLessThan(1e-6);
    const standardError = Math.sqrt(dispersion * fit.covariance[4 * 5 + 4]!);
    expect(Math.abs(standardError / theirs.coefficients["I(u^2)"]![1]! - 1)).toBeLessThan(1e-6);
  });

  it("agrees on the rate at which an average environment reaches a score, with its delta error", () => {
    const fit = new GroupedLogit(
      cellsOf(overNine, 4, (cell) => [
        [cell.variety, 1],
        [3, million(cell)],
      ]),
    ).fit(unpenalised(4));
    const dispersion = fit.pearson / expected.glmScoreOver9.residualDf;
    const average = Array.from({ length: 8 }, () => 1 / 8);
    const slope = fit.coefficients[3]!;
    const meanEffect = fit.effects[0]!.reduce((sum, effect) => sum + effect / 8, 0);
    Object.values(expected.targetRates).forEach((targets, variety) => {
      for (const [score, rate, standardError] of targets) {
        const level = fit.coefficients[variety]! + meanEffect;
        const u = (Math.log(score! / 9 / (1 - score! / 9)) - level) / slope;
        expect(Math.abs((1.4e6 + 1e6 * u) / rate! - 1)).toBeLessThan(1e-6);
        const gradient = new Float64Array(4);
        gradient[variety] = -1 / slope;
        gradient[3] = -u / slope;
        const variance = dispersion * fit.varianceOf(gradient, average.map((part, g) => [g, -part / slope] as const));
        expect(Math.abs((1e6 * Math.sqrt(variance)) / standardError! - 1)).toBeLessThan(1e-6);
      }
    });
  });
});

describe("proportional odds against R's clm and polr", () => {
  const soybeans = rowsOf("soybean.csv").map((row) => {
    // R rounds halves to even: 2.5 half steps are 2, 3.5 are 4.
    const doubled = 2 * Number(row["lodging"]);
    const below = Math.floor(doubled);
    const even = below % 2 === 0 ? below : below + 1;
    const score = (doubled - below === 0.5 ? even : Math.round(doubled)) / 2;
    const lodging = { scale: "one-to-five", score, share: (score - 1) / 4 } as const;
    return strip({ ...row, variety: "all" }, Number(row["height"]) + 1, lodging);
  });
  const million = (rate: number): number => (rate - centre) / fromPerAcre(1_000_000);

  it.each([
    ["environments, varieties and rate", zeroBased, million, expected.proportionalOdds],
    ["58 soybeans, height in the place of the rate", soybeans, (x: number) => x - 2, expected.soybean.proportionalOddsHalfSteps],
  ])("agrees on %s", (_, strips, rise, reference) => {
    const { cases, columns } = orderLodging(strips, rise)!;
    const fit = fitOrderedLogit(cases);
    const close = (a: number, b: number): void =>
      expect(Math.abs(a - b)).toBeLessThan(1e-6 * Math.abs(b) + 1e-9);
    expect(fit.converged).toBe(true);
    close(fit.logLikelihood, reference.logLikelihood);
    const size = fit.thresholds.length + columns.length;
    const errorOf = (i: number): number => Math.sqrt(fit.covariance[i * (size + 1)]!);
    Object.values(reference.thresholds as unknown as Record<string, [number, number]>).forEach(([estimate, error], k) => {
      close(fit.thresholds[k]!, estimate);
      close(errorOf(k), error);
    });
    let compared = 0;
    for (const [name, [estimate, error]] of Object.entries(
      reference.beta as unknown as Record<string, [number, number]>,
    )) {
      const ours = name.startsWith("env")
        ? name.slice(3).replace(/^(\D+) (\d{4})$/, "$2 $1")
        : name.startsWith("variety")
          ? name.slice(7)
          : "rate";
      const j = columns.indexOf(ours);
      close(fit.coefficients[j]!, estimate);
      close(errorOf(fit.thresholds.length + j), error);
      compared++;
    }
    expect(compared).toBe(columns.length);
  });

  it("tells the same rate beside the regression of shares, per 100 seeds/m²", () => {
    const { byOrder } = regressLodging(tabulateLodging(zeroBased)[0]!, centre)!;
    const [estimate, error] = expected.proportionalOdds.beta.u as [number, number];
    expect(Math.abs((byOrder!.estimate * hundreds) / estimate - 1)).toBeLessThan(1e-6);
    expect(Math.abs((byOrder!.standardError * hundreds) / error - 1)).toBeLessThan(1e-6);
  });
});
