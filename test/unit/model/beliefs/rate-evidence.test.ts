/** The sums of a variety's strips: by hand, and residuals by least squares of ml-matrix, a general-purpose library. */
import { Matrix, solve } from "ml-matrix";
import { describe, expect, it } from "vitest";
import { rateEvidence, ratesEvidence } from "../../../../src/model/beliefs/rate-evidence.ts";
import { cellsByHand, residualBySums, type Cell } from "./sums-by-hand.ts";

// Two blocks that lack a rate each; rates out of order. 8 strips, mean (2·4800 + 5000 + 5200 + 5000 + 2·5200 + 4800) / 8 = 5000.
const cells: Cell[] = [
  ["1", 300, 1, 5000, 3],
  ["1", 200, 2, 4800, 1.5],
  ["1", 400, 1, 5200, 4],
  ["2", 400, 1, 5000, 5],
  ["2", 300, 2, 5200, 7.5],
  ["2", 500, 1, 4800, 6],
];

describe("the sums of a variety's strips", () => {
  it("count strips, rates and degrees, and take the level of each block off", () => {
    const one = rateEvidence(cellsByHand(cells, { withinCellSs: 0.001 * 5000 ** 2 }))!;
    expect(one).toMatchObject({ field: "Hill", meanYieldKgPerHa: 5000, strips: 8, degrees: 6 });
    expect([...one.rates]).toEqual([200, 300, 400, 500]);
    expect([...one.counts]).toEqual([2, 3, 2, 1]);
    // Shares −0.04 (twice), 0, 0.04 about −0.01 in block 1; 0, 0.04 (twice), −0.04 about 0.01 in block 2.
    const crosses = [2 * -0.03, 0.01 + 2 * 0.03, 0.05 - 0.01, -0.05];
    crosses.forEach((cross, k) => expect(one.cross[k]).toBeCloseTo(cross, 12));
    // 2 · 0.03² + 0.01² + 0.05², twice, and 0.001 within cells.
    expect(one.total).toBeCloseTo(2 * (2 * 0.0009 + 0.0001 + 0.0025) + 0.001, 12);
    // Strips, less products of strips over the four of each block.
    const weights = [
      [2 - 4 / 4, -2 / 4, -2 / 4, 0],
      [-2 / 4, 3 - 1 / 4 - 4 / 4, -1 / 4 - 2 / 4, -2 / 4],
      [-2 / 4, -1 / 4 - 2 / 4, 2 - 1 / 4 - 1 / 4, -1 / 4],
      [0, -2 / 4, -1 / 4, 1 - 1 / 4],
    ];
    weights.flat().forEach((weight, at) => expect(one.weight[at]).toBeCloseTo(weight, 12));
  });

  it("hold positions less the mean of their block", () => {
    const { across } = rateEvidence(cellsByHand(cells))!;
    // Block 1 lies about (3 + 2 · 1.5 + 4) / 4 = 2.5: 0.5, −1 (twice), 1.5; block 2 about 6.5: −1.5, 1 (twice), −0.5.
    [-2, 0.5 + 2, 1.5 - 1.5, -0.5].forEach((x, k) => expect(across!.withRates[k]).toBeCloseTo(x, 12));
    expect(across!.square).toBeCloseTo(0.25 + 2 + 2.25 + 2.25 + 2 + 0.25, 12);
    // 0.5 · 0.01 + 2 · 1 · 0.03 + 1.5 · 0.05, and −1.5 · −0.01 + 2 · 1 · 0.03 + 0.5 · 0.05.
    expect(across!.withYields).toBeCloseTo(0.005 + 0.06 + 0.075 + 0.015 + 0.06 + 0.025, 12);
  });

  it("have no positions where a strip's is not known", () => {
    const unplaced = cells.map((cell, i): Cell => (i === 2 ? [cell[0], cell[1], cell[2], cell[3]] : cell));
    expect(rateEvidence(cellsByHand(unplaced))!.across).toBeNull();
  });

  it.each([
    ["a straight curve", (rate: number) => 0.0004 * rate],
    ["a bent one", (rate: number) => -0.2 * (rate / 350 - 1) ** 2],
  ])("leave %s the residuals of least squares with a level for each block", (_, curve) => {
    const strips = cells.flatMap(([block, rate, count, kg]) =>
      Array.from({ length: count }, () => ({ block, y: kg / 5000 - curve(rate) })),
    );
    const X = new Matrix(strips.map(({ block }) => [Number(block === "1"), Number(block === "2")]));
    const y = strips.map((one) => one.y);
    const levels = X.mmul(solve(X, Matrix.columnVector(y)));
    const squares = y.reduce((sum, value, i) => sum + (value - levels.get(i, 0)) ** 2, 0);
    expect(residualBySums(rateEvidence(cellsByHand(cells))!, curve)).toBeCloseTo(squares, 12);
  });

  it("count blocks of one rate each as one block", () => {
    const one = rateEvidence(
      cellsByHand([
        ["1", 200, 2, 4900],
        ["2", 300, 1, 5000],
        ["3", 400, 1, 5200],
      ]),
    )!;
    expect(one.degrees).toBe(3);
    // Shares −0.02 (twice), 0, 0.04 about the mean.
    [-0.04, 0, 0.04].forEach((cross, k) => expect(one.cross[k]).toBeCloseTo(cross, 12));
  });

  it("keep blocks apart where one has two rates, though another has one", () => {
    const one = rateEvidence(
      cellsByHand([
        ["1", 200, 1, 4900],
        ["1", 300, 1, 5000],
        ["2", 300, 2, 5050],
      ]),
    )!;
    // The second block only tells its own level.
    expect(one.degrees).toBe(2);
    [-0.01, 0.01].forEach((cross, k) => expect(one.cross[k]).toBeCloseTo(cross, 12));
  });

  it("are none for one rate, or without yield", () => {
    const oneRate = cellsByHand([
      ["1", 300, 2, 4900],
      ["2", 300, 1, 5000],
    ]);
    const noYield = cellsByHand([
      ["1", 200, 2, 0],
      ["1", 300, 2, 0],
    ]);
    expect(rateEvidence(oneRate)).toBeNull();
    expect(rateEvidence(noYield)).toBeNull();
    expect(ratesEvidence([oneRate, cellsByHand(cells), noYield])).toEqual([rateEvidence(cellsByHand(cells))]);
    // Two rates are enough.
    expect(rateEvidence(cellsByHand(cells.slice(0, 2)))!.rates).toHaveLength(2);
  });

  it("belong to the ground where one is named", () => {
    expect(rateEvidence(cellsByHand(cells, { ground: "Clay" }))!.field).toBe("Clay");
  });
});
