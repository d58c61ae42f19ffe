/** Four varieties that are known equally well, and one without a quadratic; rates of 5 ± 10 seeds/m². */
import { Matrix } from "ml-matrix";
import { describe, expect, it } from "vitest";
import { leanSlopes } from "../../../../src/model/pooled/lean-slopes.ts";

const layout = { centreSeedsPerM2: 5, scaleSeedsPerM2: 10 };
// Slopes 1, 3, 5, 7 with variance 2: 20/3 between, so 14/3 beyond error, and each is drawn to 4 by 2 ÷ (2 + 14/3) = 0.3.
const slopes = [1, 3, 5, 7];
// Bends differ by less than their error, and are drawn to −1.05 wholly.
const bends = [-1, -1.1, -0.9, -1.2];
/** The third variety has a straight line. */
const [widths, first] = [
  [2, 2, 1, 2, 2],
  [5, 7, 9, 10, 12],
];
const columnCount = 14;
const curved = [0, 1, 3, 4];

const placesOf = [0, 1].flatMap((k) => curved.map((variety) => first[variety]! + k));

/** A matrix over the slopes, then the bends, written into one over all columns. */
function among(small: Matrix): Float64Array {
  const whole = new Float64Array(columnCount * columnCount).fill(99);
  placesOf.forEach((a, i) => placesOf.forEach((b, j) => (whole[a * columnCount + b] = small.get(i, j))));
  return whole;
}
const covariance = Matrix.diag([2, 2, 2, 2, 0.5, 0.5, 0.5, 0.5]);
/** Some symmetric change of it. */
const change = new Matrix(
  Array.from({ length: 8 }, (_, i) => Array.from({ length: 8 }, (_x, j) => Math.cos(i * j) + i + j)),
);

function leaned(droppedColumns: number[] = [], own = widths, ofBends = bends) {
  const estimates = new Float64Array(columnCount).fill(77);
  placesOf.forEach((place, i) => (estimates[place] = [...slopes, ...ofBends][i]!));
  return leanSlopes(
    layout as never,
    {
      fit: { estimates, covariance: among(covariance) },
      columns: { first, widths: own },
      model: { columnCount, droppedColumns },
      units: own.map((_, variety) => ({ varieties: [variety], rates: [] })),
    } as never,
    { covariance: [[0.3]], slopes: [among(change)] },
  );
}

/** Each estimate as a sum over all: 0.7 of its own and 0.3 of the mean, or the mean alone. */
const drawing = new Matrix(
  Array.from({ length: 8 }, (_, i) =>
    Array.from({ length: 8 }, (_x, j) =>
      i < 4 && j < 4 ? (i === j ? 0.7 : 0) + 0.3 / 4 : i >= 4 && j >= 4 ? 1 / 4 : 0,
    ),
  ),
);

/** Variances of b/10 − 2·5·c/100 and of c/100, and their covariance, by a matrix of what turns u into rates. */
function inRates(uncertain: Matrix, i: number) {
  const toRates = new Matrix([
    [1 / 10, (-2 * 5) / 100],
    [0, 1 / 100],
  ]);
  const own = new Matrix([
    [uncertain.get(i, i), uncertain.get(i, 4 + i)],
    [uncertain.get(4 + i, i), uncertain.get(4 + i, 4 + i)],
  ]);
  const turned = toRates.mmul(own).mmul(toRates.transpose());
  return { linear: turned.get(0, 0), covariance: turned.get(0, 1), quadratic: turned.get(1, 1) };
}

const near = (found: object, wanted: object): void => {
  expect(Object.keys(found).sort()).toEqual(Object.keys(wanted).sort());
  for (const [name, value] of Object.entries(wanted) as [string, number][])
    expect(found[name as keyof typeof found] as number).toBeCloseTo(value, 5);
};

describe("slopes after leaning on the other varieties", () => {
  it("lie as far apart as is beyond their errors, in field units", () => {
    const { slopeSpread, bendSpread } = leaned()!;
    expect(slopeSpread).toBeCloseTo(Math.sqrt(14 / 3) / 10, 5);
    expect(bendSpread).toBe(0);
    // Bends −1, −3, −5, −7 have 20/3 between, 0.5 of it error.
    const apart = leaned([], widths, [-1, -3, -5, -7])!;
    expect(apart.bendSpread).toBeCloseTo(Math.sqrt(20 / 3 - 0.5) / 100, 6);
  });

  it("are drawn to the mean, and known as well as what they are drawn from", () => {
    const { varieties } = leaned()!;
    expect(varieties).toHaveLength(5);
    expect(varieties[2]).toBeNull();
    curved.forEach((variety, i) => {
      const { slope, slopeShare, bendShare } = varieties[variety]!;
      expect(slopeShare).toBeCloseTo(0.3, 5);
      expect(bendShare).toBe(1);
      const [b, c] = [0.7 * slopes[i]! + 0.3 * 4, -1.05];
      expect(slope.linear).toBeCloseTo(b / 10 - (2 * 5 * c) / 100, 5);
      expect(slope.quadratic).toBeCloseTo(c / 100, 9);
      near(slope.variance, inRates(drawing.mmul(covariance), i));
      near(slope.varianceSlopes[0]!, inRates(drawing.mmul(change).mmul(drawing.transpose()), i));
      expect(slope.varianceSlopes).toHaveLength(1);
      expect(slope.uncertainty).toEqual([[0.3]]);
    });
  });

  it("leave out a variety whose column others say", () => {
    const { varieties } = leaned([13])!;
    expect(varieties.map((one) => one === null)).toEqual([false, false, true, false, true]);
    expect(leaned([12])!.varieties.map((one) => one === null)).toEqual([false, false, true, false, true]);
  });

  it("are none with a single quadratic", () => {
    expect(leaned([], [2, 1, 1, 1, 0])).toBeNull();
    expect(leaned([], [1, 1, 1, 1, 1])).toBeNull();
  });
});
