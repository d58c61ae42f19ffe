/**
 * Proportional odds, worked by hand where counts give the estimates: a threshold without terms is the log odds of all below it,
 * and the variance of the log odds of a and b counts is 1 ÷ a + 1 ÷ b.
 */
import { describe, expect, it } from "vitest";
import { fitOrderedLogit, type OrderedCases } from "../../../src/maths/ordered-logit.ts";

/** [category, count, value of the one term] */
const casesOf = (categories: number, rows: readonly [number, number, number][]): OrderedCases => ({
  categories,
  columns: 1,
  category: Int32Array.from(rows, ([category]) => category),
  count: Float64Array.from(rows, ([, count]) => count),
  termsPerCase: 1,
  column: new Int32Array(rows.length),
  value: Float64Array.from(rows, ([, , value]) => value),
});
const near = (ours: ArrayLike<number>, theirs: readonly number[]): void => {
  expect(ours).toHaveLength(theirs.length);
  theirs.forEach((one, i) => expect(ours[i]!).toBeCloseTo(one, 8));
};

describe("two categories", () => {
  it("of two kinds have the log odds of each, with their variances", () => {
    // 3 below and 1 above: odds of 3. Of the other kind 2 and 6: odds of 1 ÷ 3, which is 3 ÷ e^β.
    // prettier-ignore
    const fit = fitOrderedLogit(casesOf(2, [[0, 3, 0], [1, 1, 0], [0, 2, 1], [1, 6, 1]]));
    expect(fit.converged).toBe(true);
    near(fit.thresholds, [Math.log(3)]);
    near(fit.coefficients, [2 * Math.log(3)]);
    expect(fit.logLikelihood).toBeCloseTo(9 * Math.log(3 / 4) + 3 * Math.log(1 / 4), 9);
    // 1 ÷ 3 + 1 ÷ 1, and 1 ÷ 2 + 1 ÷ 6 more for the difference.
    near(fit.covariance, [4 / 3, 4 / 3, 4 / 3, 4 / 3 + 2 / 3]);
  });

  it("are the same for a term that is twice as large, with half the coefficient", () => {
    // prettier-ignore
    const fit = fitOrderedLogit(casesOf(2, [[0, 3, 0], [1, 1, 0], [0, 2, 2], [1, 6, 2]]));
    near(fit.coefficients, [Math.log(3)]);
    near(fit.covariance, [4 / 3, 2 / 3, 2 / 3, 1 / 2]);
  });

  it("of three kinds have a term for each but the first", () => {
    // Odds of 3 ÷ 1, 2 ÷ 6 and 4 ÷ 4. Each case names both terms, in either order.
    const rows: [category: number, count: number, second: number, third: number][] = [
      [0, 3, 0, 0],
      [1, 1, 0, 0],
      [0, 2, 1, 0],
      [1, 6, 1, 0],
      [0, 4, 0, 1],
      [1, 4, 0, 1],
    ];
    const fit = fitOrderedLogit({
      categories: 2,
      columns: 2,
      category: Int32Array.from(rows, ([category]) => category),
      count: Float64Array.from(rows, ([, count]) => count),
      termsPerCase: 2,
      column: Int32Array.from(rows.flatMap((_, i) => (i % 2 === 0 ? [0, 1] : [1, 0]))),
      value: Float64Array.from(
        rows.flatMap(([, , second, third], i) => (i % 2 === 0 ? [second, third] : [third, second])),
      ),
    });
    near(fit.thresholds, [Math.log(3)]);
    near(fit.coefficients, [2 * Math.log(3), Math.log(3)]);
    const [own, second, third] = [4 / 3, 2 / 3, 1 / 2];
    near(fit.covariance, [own, own, own, own, own + second, own, own, own, own + third]);
  });

  it("do not converge where a term parts them", () => {
    // prettier-ignore
    const fit = fitOrderedLogit(casesOf(2, [[0, 5, 0], [1, 5, 1]]));
    expect(fit.converged).toBe(false);
  });
});

describe("three categories", () => {
  it("have the log odds of all below each threshold where a term says nothing", () => {
    // Of ten 2, 3 and 5, the same at either value of the term: odds of 2 ÷ 8 and 5 ÷ 5.
    const rows = [-1, 1].flatMap((value): [number, number, number][] => [
      [0, 2, value],
      [1, 3, value],
      [2, 5, value],
    ]);
    const fit = fitOrderedLogit(casesOf(3, rows));
    expect(fit.converged).toBe(true);
    near(fit.thresholds, [Math.log(2 / 8), 0]);
    near(fit.coefficients, [0]);
    expect(fit.logLikelihood).toBeCloseTo(4 * Math.log(0.2) + 6 * Math.log(0.3) + 10 * Math.log(0.5), 9);
    // Shares of one sample, 0.2 and 0.5 of 20: log odds have the variances 1 ÷ (20 × 0.2 × 0.8) and 1 ÷ (20 × 0.5 × 0.5), and
    // the covariance 1 ÷ (20 × 0.8 × 0.5) (delta method on multinomial shares).
    const [one, both, , , two] = fit.covariance;
    expect([one, both, two]).toEqual(
      [1 / 3.2, 1 / 8, 1 / 5].map((value) => expect.closeTo(value, 8) as number),
    );
    // The term is at right angles to the thresholds.
    near([fit.covariance[2]!, fit.covariance[5]!], [0, 0]);
  });

  it("have no slope left at the estimates, by small steps of the likelihood", () => {
    const rows: [number, number, number][] = [
      [0, 6, 0],
      [1, 3, 0],
      [2, 1, 0],
      [0, 2, 1],
      [1, 4, 1],
      [2, 5, 1],
      [0, 1, 2.5],
      [1, 1, 2.5],
      [2, 7, 2.5],
    ];
    const { thresholds, coefficients, logLikelihood, covariance, converged } = fitOrderedLogit(
      casesOf(3, rows),
    );
    expect(converged).toBe(true);
    const below = (x: number): number => 1 / (1 + Math.exp(-x));
    const likelihood = ([first, second, slope]: number[]): number =>
      rows.reduce((sum, [k, n, value]) => {
        const cuts = [0, below(first! - slope! * value), below(second! - slope! * value), 1];
        return sum + n * Math.log(cuts[k + 1]! - cuts[k]!);
      }, 0);
    const at = [...thresholds, ...coefficients];
    expect(logLikelihood).toBeCloseTo(likelihood(at), 9);
    const moved = (i: number, by: number, j = i, also = 0): number =>
      likelihood(at.map((one, place) => one + (place === i ? by : 0) + (place === j ? also : 0)));
    const h = 1e-4;
    // The matrix of second derivatives times the covariance is −1 on its diagonal and 0 beside it.
    const second = at.map((_, i) =>
      at.map(
        (__, j) =>
          (moved(i, h, j, h) - moved(i, h, j, -h) - moved(i, -h, j, h) + moved(i, -h, j, -h)) / (4 * h * h),
      ),
    );
    at.forEach((_, i) => {
      expect((moved(i, h) - moved(i, -h)) / (2 * h)).toBeCloseTo(0, 5);
      at.forEach((__, j) => {
        const product = second[i]!.reduce((sum, one, k) => sum + one * covariance[k * 3 + j]!, 0);
        expect(product).toBeCloseTo(i === j ? -1 : 0, 4);
      });
    });
  });
});
