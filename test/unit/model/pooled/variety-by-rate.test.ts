/** Slopes and bends of three varieties, known apart from each other, with variances that rest on ten degrees of freedom. */
import { describe, expect, it } from "vitest";
import { testVarietyByRate } from "../../../../src/model/pooled/variety-by-rate.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";

const [slopeVariance, bendVariance] = [2, 0.5];
const columnCount = 9;

/** Levels in columns 0 to 2, then slope and bend of each; `widths` says how many of the two a variety has. */
function quadraticOf(
  slopes: readonly number[],
  bends: readonly number[],
  { widths = [2, 2, 2], droppedColumns = [] as number[] } = {},
) {
  const estimates = new Float64Array(columnCount);
  const covariance = new Float64Array(columnCount * columnCount);
  for (let i = 0; i < columnCount; i++)
    covariance[i * columnCount + i] = i < 3 ? 1 : i % 2 === 1 ? slopeVariance : bendVariance;
  slopes.forEach((slope, v) => (estimates[3 + 2 * v] = slope));
  bends.forEach((bend, v) => (estimates[4 + 2 * v] = bend));
  return {
    units: [0, 1, 2].map((variety) => ({ varieties: [variety], rates: [] })),
    columns: { first: [3, 5, 7], widths },
    model: { columnCount, droppedColumns },
    fit: { estimates, covariance, residualVariance: 1 },
  };
}
type Quadratic = ReturnType<typeof quadraticOf>;

/** The variances are s² times what is fixed, and s² has a variance of 2 s⁴ ÷ 10. */
const uncertaintyOf = ({ fit }: Quadratic) => ({ covariance: [[0.2]], slopes: [fit.covariance] });
const mlFit = (minusTwoLogLikelihood: number, parameters: number, residualVariance = 1) =>
  new Map([["quadratic", { fit: { minusTwoLogLikelihood, residualVariance }, parameters }]]);

function tested(
  quadratic: Quadratic,
  {
    own = mlFit(100, 12) as unknown,
    common = mlFit(107, 8) as unknown,
    support = [] as unknown,
    leaned = null as unknown,
  } = {},
) {
  return testVarietyByRate(
    quadratic as never,
    uncertaintyOf(quadratic) as never,
    { own, common } as never,
    support as never,
    leaned as never,
    defaultSettings,
  );
}
const supported = (own: (number | null)[], common: (number | null)[]) => [
  ...own.map((aicc) => ({ sharing: "own", aicc })),
  ...common.map((aicc) => ({ sharing: "common", aicc })),
];

describe("whether varieties respond differently", () => {
  it("is tested by the F of all differences in slope and bend", () => {
    const { f } = tested(quadraticOf([1, 4, 7], [-1, -1, -2.5]))!;
    // Sums of squares about the means, 18 over 2 and 1.5 over 0.5, on four degrees.
    expect(f!.f).toBeCloseTo((18 / slopeVariance + 1.5 / bendVariance) / 4, 9);
    expect(f!.numeratorDf).toBe(4);
    expect(f!.denominatorDf).toBeCloseTo(10, 6);
    // Upper tail of F on 4 and n degrees: with x = n ÷ (n + 4 F), x^(n/2) (1 + n/2 (1 − x)).
    const x = 10 / (10 + 4 * f!.f);
    expect(f!.p).toBeCloseTo(x ** 5 * (1 + 5 * (1 - x)), 6);
  });

  it("leaves out what a variety has no column for, and columns that others say", () => {
    // Alder has no response, so that two slopes and bends are left: 4 and 7 apart by 3, variance 4; bends alike.
    const without = tested(quadraticOf([50, 4, 7], [50, -1, -1], { widths: [0, 2, 2] }))!.f!;
    expect(without.numeratorDf).toBe(2);
    expect(without.f).toBeCloseTo(9 / 4 / 2, 9);
    const straight = tested(quadraticOf([1, 4, 7], [50, -1, -1], { widths: [1, 2, 2] }))!.f!;
    expect(straight.numeratorDf).toBe(3);
    expect(straight.f).toBeCloseTo(18 / 2 / 3, 9);
    const dropped = tested(quadraticOf([1, 4, 7], [50, -1, -1], { droppedColumns: [4] }))!.f!;
    expect(dropped.numeratorDf).toBe(3);
    expect(dropped.f).toBeCloseTo(18 / 2 / 3, 9);
  });

  it("has a likelihood ratio beside it", () => {
    const { likelihoodRatio } = tested(quadraticOf([1, 1, 1], [-1, -1, -1]))!;
    expect([likelihoodRatio.chiSquare, likelihoodRatio.df]).toEqual([7, 4]);
    // Upper tail on four degrees: e^(−x/2) (1 + x/2).
    expect(likelihoodRatio.p).toBeCloseTo(Math.exp(-3.5) * 4.5, 10);
    // Own responses that fit a rounding error worse fit no better.
    const none = tested(quadraticOf([1, 1, 1], [-1, -1, -1]), { common: mlFit(99.9, 8) })!;
    expect(none.likelihoodRatio.chiSquare).toBe(0);
    expect(none.likelihoodRatio.p).toBe(1);
  });

  it("is shown by the F test, whatever the criterion says", () => {
    const far = quadraticOf([1, 40, 70], [-1, -1, -2.5]);
    expect(tested(far)!.verdict).toBe("differ");
    expect(tested(far, { support: supported([50], [40]) })!.verdict).toBe("differ");
  });

  it("is settled for alike where a common response has the better criterion by 2", () => {
    const near = quadraticOf([1, 1.1, 0.9], [-1, -1, -1]);
    const alike = tested(near, { support: supported([60, null, 50], [55, 48, null]) })!;
    expect([alike.verdict, alike.aiccCommonLessOwn]).toEqual(["alike", -2]);
    const hardly = tested(near, { support: supported([50], [48.1]) })!;
    expect(hardly.verdict).toBe("not-shown");
    expect(tested(near, { support: supported([50], [60]) })!.verdict).toBe("not-shown");
    for (const support of [supported([], [48]), supported([50], []), supported([null], [null])]) {
      const unknown = tested(near, { support })!;
      expect([unknown.verdict, unknown.aiccCommonLessOwn]).toEqual(["not-shown", null]);
    }
  });

  it("tells how far varieties lie apart where they lean on each other", () => {
    const near = quadraticOf([1, 1, 1], [-1, -1, -1]);
    const { slopeSpread, bendSpread } = tested(near, { leaned: { slopeSpread: 0.3, bendSpread: 0.01 } })!;
    expect([slopeSpread, bendSpread]).toEqual([0.3, 0.01]);
    expect([tested(near)!.slopeSpread, tested(near)!.bendSpread]).toEqual([null, null]);
  });

  it("is not asked without a quadratic, with one variety or without scatter", () => {
    const near = quadraticOf([1, 1, 1], [-1, -1, -1]);
    expect(tested(near, { own: new Map() })).toBeNull();
    expect(tested(near, { common: new Map() })).toBeNull();
    expect(tested(near, { own: mlFit(100, 8) })).toBeNull();
    expect(tested(near, { own: mlFit(100, 7) })).toBeNull();
    expect(tested(near, { own: mlFit(100, 9) })!.likelihoodRatio.df).toBe(1);
    expect(tested(near, { own: mlFit(100, 12, 0) })).toBeNull();
    const level = tested(quadraticOf([1, 1, 1], [-1, -1, -1], { widths: [0, 0, 0] }))!;
    expect([level.f, level.verdict]).toEqual([null, "not-shown"]);
  });
});
