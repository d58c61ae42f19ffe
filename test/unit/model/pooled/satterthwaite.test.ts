/** Degrees of freedom of trials whose analysis of variance has them exactly, and of tests made up by hand. */
import { describe, expect, it } from "vitest";
import { fitMixedModel } from "../../../../src/model/pooled/fit-mixed-model.ts";
import { gatherSums } from "../../../../src/model/pooled/gather-sums.ts";
import { buildMixedModel } from "../../../../src/model/pooled/mixed-model.ts";
import {
  findVarianceUncertainty,
  testContrast,
  testContrasts,
} from "../../../../src/model/pooled/satterthwaite.ts";

/** Levels of treatments, with blocks at random. */
function trial(
  yields: number[],
  treatmentOf: number[],
  blockOf: number[],
  treatments: number,
  siteOf: number[] | null = null,
) {
  const sums = gatherSums({
    yields: Float64Array.from(yields),
    counts: Float64Array.from(yields, () => 1),
    within: new Float64Array(yields.length),
    treatmentOf: Int32Array.from(treatmentOf),
    treatments,
    random: [...(siteOf === null ? [] : [siteOf]), blockOf].map((levelOf, i) => ({
      name: `level ${i}`,
      levels: Math.max(...levelOf) + 1,
      reach: 1,
      levelOf: Int32Array.from(levelOf),
      columns: [Float64Array.from(yields, () => 1)],
    })),
  });
  const model = buildMixedModel(sums, {
    count: treatments,
    start: Int32Array.from({ length: treatments + 1 }, (_, i) => i),
    column: Int32Array.from({ length: treatments }, (_, i) => i),
    value: new Float64Array(treatments).fill(1),
  });
  const fit = fitMixedModel(model, "REML");
  return { fit, uncertainty: findVarianceUncertainty(model, fit) };
}

// Groups 1, 3; 5, 9; 4, 8: mean squares 14 between on 2 degrees, 6 within on 3.
const grouped = () => trial([1, 3, 5, 9, 4, 8], [0, 0, 0, 0, 0, 0], [0, 0, 1, 1, 2, 2], 1);
// Three treatments in four blocks: 1 4 7, 4 5 12, 8 9 13, 9 12 15.
const blocked = () =>
  trial(
    [1, 4, 7, 4, 5, 12, 8, 9, 13, 9, 12, 15],
    [0, 1, 2, 0, 1, 2, 0, 1, 2, 0, 1, 2],
    [0, 0, 0, 1, 1, 1, 2, 2, 2, 3, 3, 3],
    3,
  );
/** Treatment means 5.5, 7.5 and 11.75, block means 4, 7, 10 and 12, of 8.25; what both leave, on 6 degrees. */
const error =
  [1, 4, 7, 4, 5, 12, 8, 9, 13, 9, 12, 15].reduce((sum, y, i) => {
    const left = y - [5.5, 7.5, 11.75][i % 3]! - [4, 7, 10, 12][Math.floor(i / 3)]! + 8.25;
    return sum + left ** 2;
  }, 0) / 6;

describe("one contrast", () => {
  it("of a mean over groups has the degrees of the groups", () => {
    const groups = grouped();
    const { estimate, standardError, df, t, p } = testContrast(groups.fit, groups.uncertainty, [1])!;
    expect(estimate).toBeCloseTo(5, 9);
    expect(standardError).toBeCloseTo(Math.sqrt(14 / 6), 5);
    expect(df).toBeCloseTo(2, 3);
    expect(t).toBeCloseTo(5 / Math.sqrt(14 / 6), 4);
    // Both tails of t on two degrees: 1 − t ÷ √(2 + t²).
    expect(p).toBeCloseTo(1 - t / Math.sqrt(2 + t * t), 4);
  });

  it("of a mean over sites has the degrees of the sites, whatever blocks and strips add", () => {
    // Three sites of two blocks of two strips; means of sites 3.75, 13.25 and 24 of 41/3.
    const yields = [1, 2, 5, 7, 11, 12, 16, 14, 22, 21, 25, 28];
    const nested = trial(
      yields,
      yields.map(() => 0),
      yields.map((_, i) => Math.floor(i / 2)),
      1,
      yields.map((_, i) => Math.floor(i / 4)),
    );
    const { standardError, df } = testContrast(nested.fit, nested.uncertainty, [1])!;
    const between = (4 * [3.75, 13.25, 24].reduce((sum, mean) => sum + (mean - 41 / 3) ** 2, 0)) / 2;
    expect(standardError).toBeCloseTo(Math.sqrt(between / 12), 4);
    expect(df).toBeCloseTo(2, 3);
    // Variances of mean squares M on n degrees are 2 M² ÷ n: 10 ÷ 6 within blocks.
    expect(nested.fit.residualVariance).toBeCloseTo(10 / 6, 4);
    const sigma = nested.uncertainty.covariance.at(-1)!.at(-1)!;
    // The standard deviation is known to half of that over itself.
    expect(sigma / ((2 * (10 / 6) ** 2) / 6 / (4 * (10 / 6)))).toBeCloseTo(1, 3);
  });

  it("within blocks has the degrees of the error", () => {
    const blocks = blocked();
    const { estimate, standardError, df } = testContrast(blocks.fit, blocks.uncertainty, [1, -1, 0])!;
    expect(estimate).toBeCloseTo(-2, 8);
    expect(standardError).toBeCloseTo(Math.sqrt((2 * error) / 4), 5);
    expect(df).toBeCloseTo(6, 3);
  });

  it("of groups that differ by less than strips do has all degrees of the strips", () => {
    const alike = trial([1, 9, 2, 8, 3, 8], [0, 0, 0, 0, 0, 0], [0, 0, 1, 1, 2, 2], 1);
    expect(testContrast(alike.fit, alike.uncertainty, [1])!.df).toBeCloseTo(5, 6);
  });

  it("is not tested where strips do not scatter", () => {
    const exact = trial([3, 6, 13, 16, 23, 26], [0, 1, 0, 1, 0, 1], [0, 0, 1, 1, 2, 2], 2);
    expect(exact.uncertainty).toEqual({ covariance: [], slopes: [] });
    expect(testContrast(exact.fit, exact.uncertainty, [1, -1])).toBeNull();
    expect(testContrasts(exact.fit, exact.uncertainty, [[1, -1]])).toBeNull();
  });
});

describe("several contrasts at once", () => {
  it("are the F of the analysis of variance", () => {
    const blocks = blocked();
    const { f, numeratorDf, denominatorDf, p } = testContrasts(blocks.fit, blocks.uncertainty, [
      [1, -1, 0],
      [1, 0, -1],
    ])!;
    // Four blocks times the squares of 5.5, 7.5 and 11.75 about their mean, on two degrees.
    const treatments = (4 * ((5.5 - 8.25) ** 2 + (7.5 - 8.25) ** 2 + (11.75 - 8.25) ** 2)) / 2;
    expect(f).toBeCloseTo(treatments / error, 4);
    expect(numeratorDf).toBe(2);
    expect(denominatorDf).toBeCloseTo(6, 3);
    // Upper tail of F on 2 and 6 degrees: (1 + 2 F ÷ 6)^−3.
    expect(p).toBeCloseTo((1 + (2 * f) / 6) ** -3, 5);
  });

  it("count once where they repeat others", () => {
    const blocks = blocked();
    const contrasts = [
      [1, -1, 0],
      [0, 1, -1],
    ];
    const once = testContrasts(blocks.fit, blocks.uncertainty, contrasts)!;
    const twice = testContrasts(blocks.fit, blocks.uncertainty, [...contrasts, [1, 0, -1], [2, -2, 0]])!;
    expect(twice.numeratorDf).toBe(2);
    expect(twice.f).toBeCloseTo(once.f, 6);
    expect(testContrasts(blocks.fit, blocks.uncertainty, [])).toBeNull();
  });

  /** Estimates known apart, whose variances 1, 2 and 4 rest on variances of their own. */
  const madeUp = (dfs: number[]) => {
    const variances = [1, 2, 4].slice(0, dfs.length);
    const count = dfs.length;
    const covariance = new Float64Array(count * count);
    variances.forEach((variance, i) => (covariance[i * count + i] = variance));
    return {
      fit: { estimates: Float64Array.of(3, 4, 2).slice(0, count), covariance } as never,
      // A variance v with the slope v in a parameter of variance 2/df has 2 v² ÷ (v² 2/df) degrees.
      uncertainty: {
        covariance: dfs.map((df, i) => dfs.map((_, j) => (i === j ? 2 / df : 0))),
        slopes: variances.map((variance, i) => {
          const slope = new Float64Array(count * count);
          slope[i * count + i] = variance;
          return slope;
        }),
      },
      contrasts: dfs.map((_, i) => dfs.map((_x, j) => (i === j ? 1 : 0))),
    };
  };
  const tested = ({ fit, uncertainty, contrasts }: ReturnType<typeof madeUp>) =>
    testContrasts(fit, uncertainty, contrasts)!;

  it("have degrees whose F has the same expectation, where theirs differ", () => {
    // Expectations of t² on 5, 8 and 20 degrees, added: 5/3 + 8/6 + 20/18; F on d degrees has d ÷ (d − 2) three times.
    const { f, denominatorDf } = tested(madeUp([5, 8, 20]));
    expect(f).toBeCloseTo((9 / 1 + 16 / 2 + 4 / 4) / 3, 10);
    const expected = 5 / 3 + 8 / 6 + 20 / 18;
    expect((3 * denominatorDf) / (denominatorDf - 2)).toBeCloseTo(expected, 10);
  });

  it("have two where an expectation is not finite, and their own where all have the same", () => {
    expect(tested(madeUp([5, 2])).denominatorDf).toBe(2);
    expect(tested(madeUp([5, 1.5])).denominatorDf).toBe(2);
    expect(tested(madeUp([7, 7])).denominatorDf).toBeCloseTo(7, 10);
    expect(tested(madeUp([1.5, 1.5])).denominatorDf).toBeCloseTo(1.5, 10);
    expect(tested(madeUp([1.2])).denominatorDf).toBeCloseTo(1.2, 10);
  });

  it("are not tested where covariances are no numbers", () => {
    const { fit, uncertainty, contrasts } = madeUp([5, 8]);
    (fit as { covariance: Float64Array }).covariance[0] = NaN;
    expect(testContrasts(fit, uncertainty, contrasts)).toBeNull();
  });
});
