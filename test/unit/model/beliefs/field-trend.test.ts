/**
 * A trend across the field taken off: residual sums of squares held to ordinary least squares by ml-matrix, a general-purpose
 * library, with a column for each block and one for the position.
 */
import { Matrix, solve } from "ml-matrix";
import { describe, expect, it } from "vitest";
import { analyze } from "../../../../src/analyze.ts";
import {
  fewestPositions,
  placeCells,
  tellTrends,
  withoutTrends,
} from "../../../../src/model/beliefs/field-trend.ts";
import {
  rateEvidence,
  type CellsOfVariety,
  type RateEvidence,
} from "../../../../src/model/beliefs/rate-evidence.ts";
import { environmentId } from "../../../../src/vocabulary/environments.ts";
import { defaultSettings, defaultUnits } from "../../../../src/vocabulary/settings.ts";
import type { Strip } from "../../../../src/vocabulary/trial.ts";
import { makeTrial } from "../../../make-trial.ts";
import { residualBySums } from "./sums-by-hand.ts";

const rates = [170, 240, 310, 380, 450];
/** Orders in which the rates lie in the blocks: each rate in another place in each. */
const orders = [
  [2, 0, 4, 1, 3],
  [1, 3, 0, 4, 2],
  [4, 2, 3, 0, 1],
];

interface Row {
  variety: string;
  block: string;
  position: number;
  rateSeedsPerM2: number;
  yieldKgPerHa: number;
}

/** Strips of two varieties on a field that rises by so much of the yield from one side to the other; errors are a fixed pattern. */
function field(rise: number, varieties = ["Alder", "Birch"], inOrder = orders): Row[] {
  let [position, i] = [0, 0];
  return inOrder.flatMap((order, b) =>
    varieties.flatMap((variety) =>
      order.map((r): Row => {
        const rateSeedsPerM2 = rates[r]!;
        const share = 1 - 0.08 * ((rateSeedsPerM2 / 300 - 1) / 0.4) ** 2;
        const trend = (rise * position++) / (15 * varieties.length - 1);
        const error = 0.02 * Math.sin(12.9898 * ++i);
        return {
          variety,
          block: String(b + 1),
          position,
          rateSeedsPerM2,
          yieldKgPerHa: 4000 * (share + trend + error),
        };
      }),
    ),
  );
}

const cellsOf = (rows: readonly Row[], variety: string): CellsOfVariety => ({
  variety,
  environment: "2024",
  season: 2024,
  withinCellSs: 0,
  cells: rows
    .filter((row) => row.variety === variety)
    .map(({ block, position, rateSeedsPerM2, yieldKgPerHa }) => ({
      block,
      position,
      rateSeedsPerM2,
      strips: 1,
      meanYieldKgPerHa: yieldKgPerHa,
    })),
});

const evidenceOf = (rows: readonly Row[], variety: string): RateEvidence =>
  rateEvidence(cellsOf(rows, variety))!;

const curve = (rate: number): number => -0.3 * (rate / 300 - 1) ** 2;

/** The same by least squares: each variety's yields less its curve on blocks of its own, and one slope for all. */
function leastSquares(
  rows: readonly Row[],
  curves: Record<string, ((rate: number) => number) | "each its own">,
): number {
  const columns: ((row: Row) => number)[] = [({ position }) => position];
  for (const [variety, own] of Object.entries(curves)) {
    for (const block of ["1", "2", "3"])
      columns.push((row) => Number(row.variety === variety && row.block === block));
    if (own === "each its own")
      for (const rate of rates.slice(1))
        columns.push((row) => Number(row.variety === variety && row.rateSeedsPerM2 === rate));
  }
  const mean = (variety: string): number => {
    const own = rows.filter((row) => row.variety === variety);
    return own.reduce((sum, { yieldKgPerHa }) => sum + yieldKgPerHa / own.length, 0);
  };
  const y = rows.map((row) => {
    const own = curves[row.variety]!;
    return row.yieldKgPerHa / mean(row.variety) - 1 - (own === "each its own" ? 0 : own(row.rateSeedsPerM2));
  });
  const X = new Matrix(rows.map((row) => columns.map((column) => column(row))));
  const fitted = X.mmul(solve(X, Matrix.columnVector(y), true));
  return y.reduce((sum, value, i) => sum + (value - fitted.get(i, 0)) ** 2, 0);
}

describe("a trend across the field", () => {
  it("leaves one variety the residuals of a regression on blocks and position", () => {
    const rows = field(0.3, ["Alder"]);
    const { evidence, trends } = withoutTrends([evidenceOf(rows, "Alder")]);
    expect(trends).toHaveLength(1);
    expect(residualBySums(evidence[0]!, curve)).toBeCloseTo(leastSquares(rows, { Alder: curve }), 10);
    expect(evidence[0]!.degrees).toBe(11);
  });

  it("is told by all varieties together: a curve of one, each rate of the other on its own", () => {
    const rows = field(0.3);
    const both = ["Alder", "Birch"].map((variety) => evidenceOf(rows, variety));
    const { evidence, trends } = withoutTrends(both);
    expect(trends[0]!.slope * 29).toBeCloseTo(0.3, 1);
    // What the other variety's own residuals leave is the same for every curve of this one.
    const other = (alder: (rate: number) => number): number =>
      leastSquares(rows, { Alder: alder, Birch: "each its own" }) - residualBySums(evidence[0]!, alder);
    const birch = rows.filter(({ variety }) => variety === "Birch");
    expect(other(curve)).toBeCloseTo(leastSquares(birch, { Birch: "each its own" }), 10);
    // 15 strips less 3 blocks: the slope costs nothing that the other variety does not tell.
    expect(evidence[0]!.degrees).toBe(12);
    expect(other(curve)).toBeCloseTo(
      other(() => 0),
      10,
    );
    expect(other(curve)).toBeCloseTo(
      other((rate) => rate / 1000),
      10,
    );
  });

  it("that chance alone would bring changes nothing", () => {
    const both = ["Alder", "Birch"].map((variety) => evidenceOf(field(0), variety));
    expect(withoutTrends(both)).toEqual({ evidence: both, trends: [] });
  });

  it("that cannot be told from the rate changes nothing", () => {
    const sorted = field(
      0.3,
      undefined,
      [rates.keys(), rates.keys(), rates.keys()].map((keys) => [...keys]),
    );
    const both = ["Alder", "Birch"].map((variety) => evidenceOf(sorted, variety));
    expect(withoutTrends(both)).toEqual({ evidence: both, trends: [] });
  });
});

describe("how clear a trend must be", () => {
  /** Slope, its F and the residual degrees by least squares: each rate and block of each variety on its own, and one slope. */
  function slopeBySquares(rows: readonly Row[], varieties: readonly string[]) {
    const curves = Object.fromEntries(varieties.map((variety) => [variety, "each its own" as const]));
    const left = leastSquares(rows, curves);
    const level = leastSquares(
      rows.map((row) => ({ ...row, position: 0 })),
      curves,
    );
    // Three blocks and four differences of rates of each variety, and the slope.
    const degrees = rows.length - varieties.length * 7 - 1;
    return { F: ((level - left) * degrees) / left, degrees };
  }

  it("is that of an F test of the slope at 5%", () => {
    // One variety: 15 strips less 7 and 1 leave 7 degrees, of which 5% lie beyond 5.591 (any table of F).
    const told = [0, 0.01, 0.02, 0.03, 0.04, 0.05, 0.06, 0.07, 0.08].map((rise) => {
      const rows = field(rise, ["Alder"]);
      const { F, degrees } = slopeBySquares(rows, ["Alder"]);
      expect(degrees).toBe(7);
      const { trends } = withoutTrends([evidenceOf(rows, "Alder")]);
      expect(trends.length).toBe(F > 5.591 ? 1 : 0);
      return trends.length;
    });
    expect(new Set(told)).toEqual(new Set([0, 1]));
  });

  it("counts the degrees of all varieties: two leave 15, of which 5% lie beyond 4.543", () => {
    const told = [0, 0.01, 0.02, 0.03, 0.04, 0.05, 0.06, 0.07, 0.08].map((rise) => {
      const rows = field(rise);
      const { F, degrees } = slopeBySquares(rows, ["Alder", "Birch"]);
      expect(degrees).toBe(15);
      const { trends } = withoutTrends(["Alder", "Birch"].map((variety) => evidenceOf(rows, variety)));
      expect(trends.length).toBe(F > 4.543 ? 1 : 0);
      return trends.length;
    });
    expect(new Set(told)).toEqual(new Set([0, 1]));
  });

  it("is asked of each environment by itself, and of none that lacks a position", () => {
    const steep = evidenceOf(field(0.3, ["Alder"]), "Alder");
    const level = { ...evidenceOf(field(0, ["Alder"]), "Alder"), environment: "2023" };
    const unplaced = { ...steep, environment: "2022", across: null };
    const { evidence, trends } = withoutTrends([unplaced, steep, level]);
    expect(trends.map(({ environment }) => environment)).toEqual(["2024"]);
    expect(evidence[0]).toBe(unplaced);
    expect(evidence[1]).not.toBe(steep);
    expect(evidence[2]).toBe(level);
    // A single variety without positions leaves the others as they are.
    const beside = { ...steep, variety: "Birch", across: null };
    expect(withoutTrends([steep, beside])).toEqual({ evidence: [steep, beside], trends: [] });
  });

  it("is told as what it comes to from one side of the field to the other", () => {
    const rows = field(0.3, ["Alder"]);
    const elsewhere = {
      ...cellsOf(field(0, ["Alder"]), "Alder"),
      environment: "2023",
      cells: cellsOf(field(0, ["Alder"]), "Alder").cells.map((cell) => ({
        ...cell,
        position: 100 * cell.position!,
      })),
    };
    const findings = tellTrends([cellsOf(rows, "Alder"), elsewhere]);
    expect(findings).toHaveLength(1);
    // 0.3 of 4000 kg/ha over the 14 steps between the outermost strips, as a share of the mean yield; errors of 1.4% over 15
    // strips, of which 7 degrees are left beside the slope, leave it open by about 0.02.
    const mean = rows.reduce((sum, { yieldKgPerHa }) => sum + yieldKgPerHa / rows.length, 0);
    const { slope } = withoutTrends([evidenceOf(rows, "Alder")]).trends[0]!;
    expect(Math.abs(14 * slope - (0.3 * 4000) / mean)).toBeLessThan(0.02);
    expect(findings[0]!.message).toContain(`${Math.round(100 * 14 * slope)}%`);
  });
});

describe("places of cells across the field", () => {
  const stripsOf = (positions: readonly (number | null)[]): Strip[] =>
    makeTrial(
      positions.map((position, i) => ({
        variety: "Alder",
        season: 2024,
        block: "1",
        rateSeedsPerM2: rates[i % 4]!,
        yieldKgPerHa: 4000,
        position,
      })),
    ).strips;
  const cellsAt = (environment: string): CellsOfVariety => ({
    variety: "Alder",
    environment,
    season: 2024,
    withinCellSs: 0,
    cells: [...rates.slice(0, 4), 450].map((rateSeedsPerM2) => ({
      block: "1",
      rateSeedsPerM2,
      strips: 2,
      meanYieldKgPerHa: 4000,
    })),
  });
  const eight = [1, 2, 3, 4, 5, 6, 7, 12];

  it("are the means of their strips where there are enough", () => {
    expect(fewestPositions).toBe(8);
    const strips = stripsOf(eight);
    const environment = environmentId(strips[0]!);
    const [placed, other] = placeCells([cellsAt(environment), cellsAt("1999")], strips);
    // Strips of one rate lie four places apart, the last 8; no strip has the fifth rate.
    expect(placed!.cells.map(({ position }) => position)).toEqual([3, 4, 5, 8, undefined]);
    expect(other).toEqual(cellsAt("1999"));
  });

  it.each([
    ["too few are different", [1, 2, 3, 4, 5, 6, 7, 7]],
    ["one is missing", [...eight, null]],
    ["none is known", eight.map(() => null)],
  ])("are left out where %s", (_, positions) => {
    const strips = stripsOf(positions);
    const cells = cellsAt(environmentId(strips[0]!));
    expect(placeCells([cells], strips)).toEqual([cells]);
  });
});

describe("a trend across a field of two varieties", () => {
  it("moves the rate no longer where thick strips tend to lie on the better side, and is told", () => {
    const leaning = [
      [0, 1, 2, 3, 4],
      [0, 2, 1, 4, 3],
      [1, 0, 2, 3, 4],
    ];
    const told = (rise: number, placed: boolean) =>
      analyze(
        makeTrial(
          field(rise, undefined, leaning).map((row) => ({ ...row, position: placed ? row.position : null })),
        ),
        defaultSettings,
        defaultUnits,
      );
    const best = ({ next }: ReturnType<typeof analyze>): number => {
      const { economicOptimum } = next.find(({ variety }) => variety === "Alder")!;
      return economicOptimum.kind === "none" ? NaN : economicOptimum.rateSeedsPerM2;
    };
    const [level, blind, seen] = [told(0, true), told(0.6, false), told(0.6, true)];
    expect(best(blind) / best(level)).toBeGreaterThan(1.08);
    expect(Math.abs(best(seen) / best(level) - 1)).toBeLessThan(0.04);
    expect(seen.findings.find(({ code }) => code === "trend-taken-off")!.message).toMatch(
      /rises by about \d+%/,
    );
  });
});
