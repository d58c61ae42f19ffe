import { describe, expect, it } from "vitest";
import { tabulateLodging, toLogitCells } from "../../../../src/model/observed/lodging-cells.ts";
import type { LodgingScale, Strip } from "../../../../src/vocabulary/trial.ts";
import { makeStrip } from "../../check/make-strips.ts";

const scored = (share: number, changes: Partial<Strip> = {}, scale: LodgingScale = "percent"): Strip =>
  makeStrip({ lodging: { scale, score: 100 * share, share }, ...changes });
const entropy = (y: number): number => y * Math.log(y) + (1 - y) * Math.log(1 - y);

describe("lodging as cells", () => {
  it("has a table for each scale that stays by itself, by name, and leaves out what was not scored", () => {
    const tables = tabulateLodging([
      makeStrip(),
      scored(0.5, {}, "zero-to-nine"),
      scored(0.4, {}, "zero-to-nine-percent"),
      scored(0.3),
      scored(0.2, {}, "zero-to-nine"),
    ]);
    expect(tables.map(({ scale, strips }) => [scale, strips])).toEqual([
      ["percent", 2],
      ["zero-to-nine", 2],
    ]);
    expect(tables[0]!.scored.map(({ lodging }) => lodging!.share)).toEqual([0.4, 0.3]);
  });

  it("puts strips alike in environment, variety and rate together, in that order", () => {
    const [table] = tabulateLodging([
      scored(0.3, { season: 2025, variety: "Birch" }),
      scored(0.1, { variety: "Birch", rateSeedsPerM2: 400 }),
      scored(0, { variety: "Birch" }),
      scored(1, { variety: "Alder", field: "South" }),
      scored(0.5, { variety: "Birch" }),
      scored(0.25, { variety: "Alder" }),
      scored(1, { variety: "Birch" }),
    ]);
    expect(table).toMatchObject({
      strips: 7,
      environments: [
        { id: "2024 North", season: 2024 },
        { id: "2024 South", season: 2024 },
        { id: "2025 North", season: 2025 },
      ],
      varieties: ["Alder", "Birch"],
    });
    const cell = (environment: number, variety: number, rateSeedsPerM2: number, ...shares: number[]) => ({
      environment,
      variety,
      rateSeedsPerM2,
      strips: shares.length,
      sum: shares.reduce((sum, one) => sum + one, 0),
      sumOfSquares: shares.reduce((sum, one) => sum + one * one, 0),
      sumOfEntropy: expect.closeTo(
        shares.filter((one) => one > 0 && one < 1).reduce((sum, one) => sum + entropy(one), 0),
        12,
      ) as number,
    });
    expect(table!.cells).toEqual([
      cell(0, 0, 300, 0.25),
      cell(0, 1, 300, 0, 0.5, 1),
      cell(0, 1, 400, 0.1),
      cell(1, 0, 300, 1),
      cell(2, 1, 300, 0.3),
    ]);
  });
});

describe("cells as the regression takes them", () => {
  const cells = [3, 1, 3, 2].map((environment, i) => ({
    environment,
    variety: i % 2,
    rateSeedsPerM2: 200 + 50 * i,
    strips: i + 1,
    sum: 0.5 * (i + 1),
    sumOfSquares: 0.25 * (i + 1),
    sumOfEntropy: -0.5,
  }));

  it("have their groups numbered as they come, each in the group above", () => {
    // Environments 3, 1 and 2 are 0, 1 and 2; odd ones are of one season, even ones of another.
    const told = toLogitCells(
      cells,
      3,
      [({ environment }) => environment, ({ environment }) => (environment % 2 === 1 ? "odd" : "even")],
      ({ variety, rateSeedsPerM2 }) => [
        [variety, 1],
        [2, rateSeedsPerM2 - 300],
      ],
    );
    expect(told).toEqual({
      columns: 3,
      levels: [
        { units: 3, parent: Int32Array.of(0, 0, 1) },
        { units: 2, parent: new Int32Array(0) },
      ],
      unit: Int32Array.of(0, 1, 0, 2),
      count: Float64Array.of(1, 2, 3, 4),
      mean: Float64Array.of(0.5, 0.5, 0.5, 0.5),
      sumOfSquares: Float64Array.of(0.25, 0.5, 0.75, 1),
      sumOfEntropy: Float64Array.of(-0.5, -0.5, -0.5, -0.5),
      termsPerCell: 2,
      column: Int32Array.of(0, 2, 1, 2, 0, 2, 1, 2),
      value: Float64Array.of(1, -100, 1, -50, 1, 0, 1, 50),
    });
  });

  it("may be none", () => {
    expect(toLogitCells([], 1, [() => 0], () => [[0, 1]])).toMatchObject({
      levels: [{ units: 0 }],
      termsPerCell: 0,
      column: new Int32Array(0),
    });
  });
});
