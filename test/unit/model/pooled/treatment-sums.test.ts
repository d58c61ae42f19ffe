/** Sums of treatments once variances are known, by the whole covariance matrix of twelve strips. */
import { inverse, Matrix } from "ml-matrix";
import { describe, expect, it } from "vitest";
import { gatherSums } from "../../../../src/model/pooled/gather-sums.ts";
import { weighTreatments } from "../../../../src/model/pooled/treatment-sums.ts";

const yields = [3, 5, 4, 7, 6, 1, 2, 5, 3, 8, 4, 9];
const rates = [-1, 0, 1, -1, 1, -1, 0, 1, 0, 1, -1, 0];
const fieldOf = [0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 2, 2];
const blockOf = [0, 0, 0, 1, 1, 2, 2, 2, 3, 3, 4, 4];
/** Between two of three knots of a field, by these weights of the first. */
const knotOf = [0, 0, 1, 1, 1, 3, 3, 3, 4, 4, 6, 7];
const ofFirst = [1, 0.4, 0.9, 0.5, 0, 1, 0.7, 0.2, 0.6, 0, 1, 0.3];
/** Field by rate; the third field has no highest one. */
const treatmentOf = rates.map((rate, i) => 3 * fieldOf[i]! + rate + 1);

const term = (name: string, levels: number, reach: number, levelOf: number[], columns: number[][]) => ({
  name,
  levels,
  reach,
  levelOf: Int32Array.from(levelOf),
  columns: columns.map((column) => Float64Array.from(column)),
});
const ones = yields.map(() => 1);
const sumsOf = (fewer: { counts?: number[]; within?: number[] } = {}) =>
  gatherSums({
    yields: Float64Array.from(yields),
    counts: Float64Array.from(fewer.counts ?? ones),
    within: Float64Array.from(fewer.within ?? yields.map(() => 0)),
    treatmentOf: Int32Array.from(treatmentOf),
    treatments: 9,
    random: [
      term("field", 3, 1, fieldOf, [ones, rates]),
      term("block", 5, 1, blockOf, [ones]),
      term(
        "trend",
        9,
        2,
        knotOf.flatMap((knot) => [knot, knot + 1]),
        [ofFirst.flatMap((weight) => [weight, 1 - weight])],
      ),
    ],
  });
/** Triangle of the field's level and slope, then block and trend. */
const theta = Float64Array.of(0.8, 0.3, 0.5, 0.6, 0.9);

/** C'V⁻¹C, C'V⁻¹y and y'V⁻¹y, where counts are strips behind a mean. */
function byCovariance(counts: readonly number[] = ones) {
  const [a, b, c, d, e] = [...theta] as [number, number, number, number, number];
  const knots = yields.map((_, i) =>
    Array.from({ length: 9 }, (_x, k) =>
      k === knotOf[i] ? ofFirst[i]! : k === knotOf[i]! + 1 ? 1 - ofFirst[i]! : 0,
    ),
  );
  const v = new Matrix(
    rates.map((x, i) =>
      rates.map((y, j) => {
        const sameField = fieldOf[i] === fieldOf[j] ? (a + b * x) * (a + b * y) + c * x * c * y : 0;
        const sameBlock = blockOf[i] === blockOf[j] ? d * d : 0;
        const trend = e * e * knots[i]!.reduce((sum, weight, k) => sum + weight * knots[j]![k]!, 0);
        return sameField + sameBlock + trend + (i === j ? 1 / counts[i]! : 0);
      }),
    ),
  );
  const c9 = new Matrix(treatmentOf.map((t) => Array.from({ length: 9 }, (_, k) => (k === t ? 1 : 0))));
  const y = Matrix.columnVector(yields);
  const weighted = c9.transpose().mmul(inverse(v));
  return {
    products: weighted.mmul(c9),
    withYield: weighted.mmul(y),
    squares: y.transpose().mmul(inverse(v)).mmul(y).get(0, 0),
  };
}

describe("what is seen of treatments once variances are known", () => {
  it.each([
    ["single strips", ones],
    ["means of several", [1, 2, 1, 3, 1, 2, 2, 1, 1, 4, 2, 1]],
  ])("is that of the whole covariance matrix, of %s", (_, counts) => {
    const within = counts.map((count) => (count > 1 ? 0.5 * count : 0));
    const { groups, squares, strips } = weighTreatments(sumsOf({ counts, within }), theta);
    const wanted = byCovariance(counts);
    expect(groups).toHaveLength(3);
    expect(groups.map(({ treatments }) => [...treatments])).toEqual([
      [0, 1, 2],
      [3, 4, 5],
      [6, 7],
    ]);
    for (const { treatments, products, withYield } of groups)
      treatments.forEach((s, k) => {
        expect(withYield[k]).toBeCloseTo(wanted.withYield.get(s, 0), 10);
        treatments.forEach((t, l) =>
          expect(products[k * treatments.length + l]).toBeCloseTo(wanted.products.get(s, t), 10),
        );
      });
    // Strips about the mean that is their row add what they scatter.
    expect(squares).toBeCloseTo(wanted.squares + within.reduce((a, b) => a + b, 0), 10);
    expect([...strips]).toEqual(
      Array.from({ length: 9 }, (_x, t) =>
        counts.reduce((sum, count, i) => sum + (treatmentOf[i] === t ? count : 0), 0),
      ),
    );
  });

  it("are the strips and yields themselves where nothing is random", () => {
    const { groups, squares } = weighTreatments(sumsOf(), new Float64Array(5));
    const [first] = groups;
    expect([...first!.products]).toEqual([2, 0, 0, 0, 1, 0, 0, 0, 2]);
    expect([...first!.withYield]).toEqual([10, 5, 10]);
    expect(squares).toBe(yields.reduce((sum, y) => sum + y * y, 0));
  });
});
