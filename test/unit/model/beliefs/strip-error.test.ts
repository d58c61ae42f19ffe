/** The error of strips: small cases by hand, and polynomials by least squares of ml-matrix, a general-purpose library. */
import { Matrix, solve } from "ml-matrix";
import { describe, expect, it } from "vitest";
import { rateEvidence, type RateEvidence } from "../../../../src/model/beliefs/rate-evidence.ts";
import { withErrors, responseStrength, usualErrorShare } from "../../../../src/model/beliefs/strip-error.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";
import { cellsByHand, type Cell } from "./sums-by-hand.ts";

const priors = { ...defaultSettings.priors, stripError: 0.05 };

/** @param withinShares  sum of squares within cells, as shares of a mean yield of 5000 kg/ha */
const evidenceOf = (
  variety: string,
  environment: string,
  cells: readonly Cell[],
  withinShares = 0,
): RateEvidence =>
  rateEvidence(cellsByHand(cells, { variety, environment, withinCellSs: withinShares * 5000 ** 2 }))!;

// Three rates, two strips each: 6 strips − 1 block − 2 powers of the rate leave 3 degrees and the 0.0012 within cells.
const alder = evidenceOf(
  "Alder",
  "2024",
  [
    ["1", 200, 2, 4900],
    ["1", 300, 2, 5050],
    ["1", 400, 2, 5050],
  ],
  0.0012,
);
// Two rates, three strips each: 6 − 1 − 1 = 4 degrees, and 0.0018.
const birch = evidenceOf(
  "Birch",
  "2024",
  [
    ["1", 200, 3, 4900],
    ["1", 400, 3, 5100],
  ],
  0.0018,
);
// Two rates, two strips each: 4 − 1 − 1 = 2 degrees, and 0.0008.
const cedar = evidenceOf(
  "Cedar",
  "2023",
  [
    ["1", 200, 2, 5100],
    ["1", 400, 2, 4900],
  ],
  0.0008,
);

describe("how much strips differ by chance", () => {
  it("is the usual error with four degrees, and what the strips leave over", () => {
    // (4 · 0.05² + 0.0012) / (4 + 3) = 0.0016 = 0.04².
    expect(usualErrorShare([alder], priors)).toBeCloseTo(0.04, 12);
    expect(usualErrorShare([], priors)).toBeCloseTo(0.05, 12);
  });

  it("is believed of one variety with eight degrees from the whole farm, and without its own strips twice", () => {
    const { degrees, ss } = withErrors([alder], priors)[0]!.error;
    expect(degrees).toBe(8);
    expect(ss).toBeCloseTo(8 * 0.0016, 12);
  });

  it("takes the other varieties of the environment in full, those of another only for the start", () => {
    const ofFarm = (0.01 + 0.0012 + 0.0018 + 0.0008) / (4 + 3 + 4 + 2);
    const beliefs = withErrors([alder, birch, cedar], priors).map(({ error }) => error);
    expect(beliefs.map(({ degrees }) => degrees)).toEqual([8 + 4, 8 + 3, 8]);
    [0.0018, 0.0012, 0].forEach((others, i) => expect(beliefs[i]!.ss).toBeCloseTo(8 * ofFarm + others, 12));
    expect(usualErrorShare([alder, birch, cedar], priors)).toBeCloseTo(Math.sqrt(ofFarm), 12);
  });

  it("tells how strong a response is beside it", () => {
    // Rates explain 2 · (0.02² + 0.01² + 0.01²) = 0.0012 with 2 degrees; a strip's variance is (0.0128 + 0.0012) / (8 + 3).
    const strength = responseStrength({ ...alder, error: { degrees: 8, ss: 0.0128 } });
    expect(strength).toBeCloseTo(0.0012 / (0.014 / 11) / 2 - 2 / 2, 12);
  });
});

/** What is left over of one variety and its degrees, as the belief of a silent variety beside it takes them up. */
function leftOver(one: RateEvidence): { degrees: number; ss: number } {
  // Two strips of two rates have no degrees left.
  const silent = evidenceOf("Silent", one.environment, [
    ["1", 200, 1, 4990],
    ["1", 400, 1, 5010],
  ]);
  const { degrees, ss } = withErrors([one, silent], priors)[1]!.error;
  return { degrees: degrees - 8, ss: ss - 8 * usualErrorShare([one, silent], priors) ** 2 };
}

/** Residual sum of squares of a polynomial in the rate with a level for each block, over the mean yield squared. */
function leastSquares(cells: readonly Cell[], degree: number): number {
  const blocks = [...new Set(cells.map(([block]) => block))];
  const powers = Array.from({ length: degree }, (_, i) => i + 1);
  const X = new Matrix(
    cells.map(([block, rate]) => [
      ...blocks.map((one) => Number(one === block)),
      ...powers.map((power) => ((rate - 300) / 200) ** power),
    ]),
  );
  const mean = cells.reduce((sum, [, , , kg]) => sum + kg / cells.length, 0);
  const y = cells.map(([, , , kg]) => kg / mean);
  const fitted = X.mmul(solve(X, Matrix.columnVector(y), true));
  return y.reduce((sum, value, i) => sum + (value - fitted.get(i, 0)) ** 2, 0);
}

/** One strip of each rate in each block, unevenly spaced; yields are a fixed pattern. */
const strips = (rates: number, blocks: number): Cell[] =>
  Array.from({ length: rates * blocks }, (_, i) => {
    const r = i % rates;
    const rate = 150 + (300 * r) / (rates - 1) + 12 * (r % 2);
    return [String(1 + Math.floor(i / rates)), rate, 1, 5000 + 300 * Math.sin(12.9898 * (i + 1))];
  });

describe("what rates leave over", () => {
  it.each([
    // Rates, blocks, degree: four where the strips less the blocks are at least eight, else two.
    [9, 1, 4],
    [8, 1, 2],
    [6, 1, 2],
    [6, 2, 4],
    [5, 2, 4],
    [4, 2, 3],
    [4, 1, 2],
    [3, 2, 2],
    [2, 3, 1],
  ])("of %i rates in %i blocks is that of a polynomial of degree %i", (rates, blocks, degree) => {
    const cells = strips(rates, blocks);
    const { degrees, ss } = leftOver(evidenceOf("Alder", "2024", cells));
    expect(degrees).toBe(rates * blocks - blocks - degree);
    expect(ss).toBeCloseTo(leastSquares(cells, degree), 9);
  });

  it.each([
    // In the first block the square of the rate is the same at both rates.
    ["whose square no block tells", 200, 400, 300],
    // In the first block rate and square go together.
    ["whose square no block tells from the rate", 200, 300, 400],
  ])("has one degree fewer for rates %s", (_, low, high, alone) => {
    const one = evidenceOf(
      "Alder",
      "2024",
      [
        ["1", low, 2, 4900],
        ["1", high, 2, 5100],
        ["2", alone, 2, 5000],
      ],
      0.0009,
    );
    // Six strips less two blocks and the difference of two rates.
    const { degrees, ss } = leftOver(one);
    expect(degrees).toBe(3);
    expect(ss).toBeCloseTo(0.0009, 12);
  });
});
