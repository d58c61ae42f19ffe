/**
 * Lines and parabolas with a level for each group, worked by hand and held to least squares of a general-purpose library.
 */
import { Matrix, pseudoInverse } from "ml-matrix";
import { describe, expect, it } from "vitest";
import {
  bestBetween,
  curveLeverage,
  fitLine,
  fitParabola,
  fittedWithinGroups,
  groupEffects,
  leverageAt,
  slopeAt,
  withoutObservation,
} from "../../../src/maths/parabola.ts";
import { pointsOf, type Cell } from "./points-by-hand.ts";

/** Five points 1 apart, 6 to 10: in t = x − 8 a line has Σt² = 10, a bend t² − 2 has Σ(t² − 2)² = 14. */
const even = pointsOf(
  [-2, -1, 0, 1, 2].map((t): Cell => [0, 8 + t, 1, 5 + 3 * t + 2 * (t ** 2 - 2) + [1, -2, 0, 2, -1][t + 2]!]),
);

describe("five even points", () => {
  it("have the line and bend of orthogonal polynomials", () => {
    // The residuals (1, −2, 0, 2, −1) are the third polynomial, at right angles to both. v = t ÷ 4: b is 3 × 4, c 2 × 16.
    const fit = fitParabola(even)!;
    const told = { centre: 8, scale: 4, b: 12, c: 32, k: 0, meanV: 0, meanV2: 2 / 16 };
    for (const [name, value] of Object.entries(told))
      expect(fit[name as keyof typeof told], name).toBeCloseTo(value, 12);
    expect(fit.squaresB).toBeCloseTo(10 / 16, 12);
    expect(fit.squaresC).toBeCloseTo(14 / 256, 12);
    const line = fitLine(even)!;
    expect([line.b, line.c, line.squaresC]).toEqual([expect.closeTo(12, 12), 0, 0]);
  });

  it("are fitted by both, or by the line alone", () => {
    const curve = [-2, -1, 0, 1, 2].map((t) => 3 * t + 2 * (t ** 2 - 2));
    fittedWithinGroups(fitParabola(even)!).forEach((value, i) => expect(value).toBeCloseTo(curve[i]!, 12));
    fittedWithinGroups(fitLine(even)!).forEach((value, i) => expect(value).toBeCloseTo(3 * (i - 2), 12));
  });

  it("have the slope 3 + 4t, with the variance 1 ÷ 10 + (2t)² ÷ 14", () => {
    for (const t of [-2, 0, 1.5]) {
      const { slope, variance } = slopeAt(fitParabola(even)!, 8 + t);
      expect(slope).toBeCloseTo(3 + 4 * t, 12);
      expect(variance).toBeCloseTo(0.1 + (4 * t * t) / 14, 12);
    }
  });

  it("have the shares 0.2 + t² ÷ 10 + (t² − 2)² ÷ 14 in their own fit", () => {
    const fit = fitParabola(even)!;
    for (const [i, t] of [-2, -1, 0, 1, 2].entries()) {
      const ofCurve = t ** 2 / 10 + (t ** 2 - 2) ** 2 / 14;
      expect(leverageAt(even, fit, i)).toBeCloseTo(0.2 + ofCurve, 12);
      expect(curveLeverage(fit, i)).toBeCloseTo(ofCurve, 12);
      expect(leverageAt(even, fitLine(even)!, i)).toBeCloseTo(0.2 + t ** 2 / 10, 12);
      expect(leverageAt(even, null, i)).toBeCloseTo(0.2, 12);
    }
  });
});

describe("groups with gaps and unlike numbers", () => {
  // y = 40 + 3x − 0.5x² in the first group, 10 more in the second, 50 more in the third.
  const curve = (x: number): number => 40 + 3 * x - 0.5 * x * x;
  const layout: [group: number, x: number, observations: number][] = [
    [0, 1, 2],
    [0, 2, 1],
    [0, 5, 4],
    [1, 2, 1],
    [1, 4, 3],
    [1, 7, 1],
    [2, 1, 1],
    [2, 7, 2],
    [2, 8, 1],
  ];
  const levels = [0, 10, 50];
  const exact = pointsOf(layout.map(([group, x, n]): Cell => [group, x, n, curve(x) + levels[group]!]));
  const noise = [2, -3, 1, 4, -1, -2, 3, -4, 1];
  const cells = layout.map(([group, x, n], i): Cell => [group, x, n, curve(x) + levels[group]! + noise[i]!]);
  const noisy = pointsOf(cells);
  /** Weighted least squares: a column for each group, x and x²; to the power of `degree`. */
  const solved = (degree: 1 | 2, leaveOneOf: number | null = null) => {
    const X = new Matrix(
      cells.map(([group, x]) => [
        ...[0, 1, 2].map((g) => Number(g === group)),
        ...[x, x * x].slice(0, degree),
      ]),
    );
    const W = Matrix.diag(cells.map(([, , n], i) => n - Number(i === leaveOneOf)));
    const inverse = pseudoInverse(X.transpose().mmul(W).mmul(X));
    const y = Matrix.columnVector(cells.map(([, , , mean]) => mean));
    const beta = inverse.mmul(X.transpose()).mmul(W).mmul(y).to1DArray();
    const leverages = X.mmul(inverse).mmul(X.transpose()).diag();
    return { beta, leverages, inverse };
  };
  /** Where a cell of the layout lies among the points, which are sorted. */
  const placeOf = ([group, x]: Cell): number =>
    noisy.x.findIndex((one, i) => one === x && noisy.group[i] === group);

  it("give the curve back that they were made of, and the groups' levels", () => {
    const fit = fitParabola(exact)!;
    for (const x of [1, 3.5, 8]) expect(slopeAt(fit, x).slope).toBeCloseTo(3 - x, 10);
    // About their plain mean of 20.
    [-20, -10, 30].forEach((level, g) => expect(groupEffects(exact, fit)[g]).toBeCloseTo(level, 9));
  });

  it("have the line, parabola and variances of least squares", () => {
    const fit = fitParabola(noisy)!;
    const { beta, inverse } = solved(2);
    for (const x of [1, 4, 9]) {
      const { slope, variance } = slopeAt(fit, x);
      expect(slope).toBeCloseTo(beta[3]! + 2 * x * beta[4]!, 9);
      const of = inverse.get(3, 3) + 4 * x * inverse.get(3, 4) + 4 * x * x * inverse.get(4, 4);
      expect(variance / of).toBeCloseTo(1, 9);
    }
    const line = fitLine(noisy)!;
    expect(line.b / line.scale).toBeCloseTo(solved(1).beta[3]!, 9);
  });

  it("have the groups' levels of least squares about their mean, with a curve, a line and neither", () => {
    const apart = ([a, b, c]: number[]): number[] => [a!, b!, c!].map((one) => one - (a! + b! + c!) / 3);
    const close = (fit: ReturnType<typeof fitLine>, expected: number[]): void =>
      groupEffects(noisy, fit).forEach((one, g) => expect(one).toBeCloseTo(expected[g]!, 8));
    close(fitParabola(noisy), apart(solved(2).beta));
    close(fitLine(noisy), apart(solved(1).beta));
    close(null, apart([...noisy.groupMean]));
  });

  it("have the leverages of least squares", () => {
    const [line, curved] = [fitLine(noisy), fitParabola(noisy)];
    cells.forEach((cell, i) => {
      expect(leverageAt(noisy, line, placeOf(cell))).toBeCloseTo(solved(1).leverages[i]!, 9);
      expect(leverageAt(noisy, curved, placeOf(cell))).toBeCloseTo(solved(2).leverages[i]!, 9);
    });
  });

  it("lose one observation as if they were fitted again", () => {
    const fit = fitParabola(noisy)!;
    const line = fitLine(noisy)!;
    // One observation of the third cell, four in all, that lies at their mean.
    const i = placeOf(cells[2]!);
    for (const [of, degree] of [[fit, 2] as const, [line, 1] as const]) {
      const { beta } = solved(degree, 2);
      const residual = noisy.y[i]! - fittedWithinGroups(of)[i]!;
      const left = withoutObservation(of, i, residual, leverageAt(noisy, of, i))!;
      const slope = slopeAt({ ...of, ...left, squaresC: degree === 2 ? of.squaresC : 1 }, 4).slope;
      expect(slope).toBeCloseTo(beta[3]! + (degree === 2 ? 8 * beta[4]! : 0), 8);
    }
    expect(withoutObservation(line, i, 1, 0.5)!.c).toBe(0);
  });

  it("cannot lose one that alone carries the curve", () => {
    // Three points hold a parabola; each has the whole of its own fit.
    const three = pointsOf([1, 2, 4].map((x): Cell => [0, x, 1, x * x]));
    const fit = fitParabola(three)!;
    expect(leverageAt(three, fit, 1)).toBeCloseTo(1, 12);
    expect(withoutObservation(fit, 1, 0, leverageAt(three, fit, 1))).toBeNull();
    expect(withoutObservation(fit, 1, 0, 0.9)).toEqual({ b: fit.b, c: fit.c });
  });
});

describe("no line or parabola", () => {
  it("is fitted where x does not differ, or differs only between groups", () => {
    // prettier-ignore
    expect(fitLine(pointsOf([[0, 3, 1, 1], [1, 3, 1, 4]]))).toBeNull();
    // prettier-ignore
    expect(fitLine(pointsOf([[0, 3, 1, 1], [1, 5, 1, 4], [2, 8, 2, 5]]))).toBeNull();
    // prettier-ignore
    expect(fitParabola(pointsOf([[0, 3, 1, 1], [1, 5, 1, 4]]))).toBeNull();
  });

  it("is a parabola where groups hold two values of x", () => {
    // prettier-ignore
    const two = pointsOf([[0, 3, 1, 1], [0, 5, 1, 4], [1, 3, 1, 2], [1, 5, 1, 6]]);
    expect(fitParabola(two)).toBeNull();
    // (4 − 1 + 6 − 2) ÷ 2 over 2.
    const line = fitLine(two)!;
    expect(line.b / line.scale).toBeCloseTo(7 / 4, 12);
  });

  it("is a parabola where two such values are no whole numbers, so that their squares leave a trace of rounding", () => {
    // 0.9 and 1.5 million an acre, in seeds/m², once in each of four blocks.
    const [low, high] = [900_000, 1_500_000].map((rate) => rate / 4046.8564224);
    const cells = [0, 1, 2, 3].flatMap((g): Cell[] => [
      [g, low!, 1, 50 + g],
      [g, high!, 1, 54 + 2 * g],
    ]);
    expect(fitParabola(pointsOf(cells))).toBeNull();
  });
});

describe("the best place between two ends", () => {
  // f(x) = 3t + c (t² − 2) with t = x − 8, the five even points again: v = t ÷ 4.
  const shape = { centre: 8, scale: 4, k: 0 };
  const best = (b: number, c: number, slope: number, [from, to] = [6, 10]): number =>
    bestBetween(shape, { b: 4 * b, c: 16 * c }, from!, to!, slope);

  it("is where a curve that bends downward meets the slope, or the end before", () => {
    // 3 − t = slope.
    expect(best(3, -0.5, 2)).toBeCloseTo(9, 12);
    expect(best(3, -0.5, 3.5)).toBeCloseTo(7.5, 12);
    expect(best(3, -0.5, 0)).toBe(10);
    expect(best(3, -0.5, 9)).toBe(6);
  });

  it("takes a centre of x² that is not that of x into account", () => {
    // f = b v + c (v² − k v) with b = 1, c = −1, k = 1: slope 1 − 2v + 1 is 0 at v = 1, x = 12.
    expect(bestBetween({ centre: 8, scale: 4, k: 1 }, { b: 1, c: -1 }, 0, 100, 0)).toBeCloseTo(12, 12);
    // The slope of 0.25 for x is 1 for v: v = 0.5.
    expect(bestBetween({ centre: 8, scale: 4, k: 1 }, { b: 1, c: -1 }, 0, 100, 0.25)).toBeCloseTo(10, 12);
    // Bending upward, f = v + v² − k v between v = 0 and 1: 2 − k, against 4 × slope.
    const upward = (k: number, slope: number): number =>
      bestBetween({ centre: 8, scale: 4, k }, { b: 1, c: 1 }, 8, 12, slope);
    expect([upward(1, 0.24), upward(1, 0.26), upward(3, 0)]).toEqual([12, 8, 8]);
    // Between v = 0.5 and 2.5: 2 + 6 − 2k, against 8 × slope.
    const further = (slope: number): number =>
      bestBetween({ centre: 8, scale: 4, k: 1 }, { b: 1, c: 1 }, 10, 18, slope);
    expect([further(0.74), further(0.76)]).toEqual([18, 10]);
  });

  it("is an end where it is straight or bends upward", () => {
    expect([best(3, 0, 2.9), best(3, 0, 3.1), best(3, 0, 3)]).toEqual([10, 6, 6]);
    // From 6 to 10, t from −2 to 2, the square counts alike; from 7 to 10 it brings 0.5 × (4 − 1) = 1.5 more than 9.
    expect([best(3, 0.5, 2.9), best(3, 0.5, 3.1)]).toEqual([10, 6]);
    expect([best(3, 0.5, 3.4, [7, 10]), best(3, 0.5, 3.6, [7, 10])]).toEqual([10, 7]);
  });
});
