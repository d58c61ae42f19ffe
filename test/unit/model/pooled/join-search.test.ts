/** Joins of plateau forms at known variances, by generalized least squares of the whole model at each join. */
import { inverse, Matrix } from "ml-matrix";
import { describe, expect, it } from "vitest";
import { startJoinSearch } from "../../../../src/model/pooled/fit-pooled-form.ts";
import { columnsOfForm, unitsOf, type Sharing } from "../../../../src/model/pooled/pooled-forms.ts";
import { weighTreatments } from "../../../../src/model/pooled/treatment-sums.ts";
import { layOutTrial, type LaidVariety } from "../../../../src/model/pooled/trial-layout.ts";

/** Yields of one variety in one field, by rate; two blocks, the second of which yields so much more. */
const laid = (variety: string, environment: string, more: number, of: [number, number][]): LaidVariety => ({
  variety,
  environment,
  withinCellSs: 0,
  cells: of.flatMap(([rateSeedsPerM2, yieldKgPerHa], i) =>
    ["1", "2"].map((block, b) => ({
      block,
      rateSeedsPerM2,
      strips: b === 0 && i === 1 ? 2 : 1,
      meanYieldKgPerHa: yieldKgPerHa + b * more + 40 * Math.sin(7 * i + 3 * b + more),
    })),
  ),
});
const trial = [
  laid("Alder", "2023 Hill", 100, [
    [180, 3400],
    [240, 3700],
    [300, 3950],
    [420, 4010],
  ]),
  laid("Alder", "2024 Flat", -60, [
    [180, 3100],
    [300, 3550],
    [360, 3640],
  ]),
  laid("Birch", "2023 Hill", 100, [
    [200, 3000],
    [300, 3650],
    [400, 3900],
  ]),
  // Cedar has two rates: a straight line.
  laid("Cedar", "2024 Flat", -60, [
    [200, 3300],
    [400, 3500],
  ]),
];

const start = (form: "linear-plateau" | "quadratic-plateau", sharing: Sharing, joins: readonly number[]) => {
  const layout = layOutTrial(trial)!;
  const theta = Float64Array.from({ length: layout.sums.thetaCount }, (_, i) => 0.4 + 0.2 * i);
  const units = unitsOf(layout, sharing);
  const search = startJoinSearch(layout, form, units, joins, theta);
  const { groups, squares } = weighTreatments(layout.sums, theta);
  /** The generalized residual sum of squares with all joins where they are. */
  const leftAt = (at: readonly number[]): number => {
    const { count, start: from, column, value } = columnsOfForm(layout, form, units, at).fixed;
    const x = Matrix.zeros(layout.treatments.length, count);
    for (let row = 0; row < layout.treatments.length; row++)
      for (let i = from[row]!; i < from[row + 1]!; i++) x.set(row, column[i]!, value[i]!);
    let [information, withYield] = [Matrix.zeros(count, count), Matrix.zeros(count, 1)];
    for (const { treatments, products, withYield: yields } of groups) {
      const own = new Matrix([...treatments].map((t) => x.getRow(t)));
      const weight = Matrix.from1DArray(treatments.length, treatments.length, [...products]);
      information = Matrix.add(information, own.transpose().mmul(weight).mmul(own));
      withYield = Matrix.add(withYield, own.transpose().mmul(Matrix.columnVector([...yields])));
    }
    return squares - withYield.transpose().mmul(inverse(information)).mmul(withYield).get(0, 0);
  };
  return { layout, units, search, leftAt };
};

const valueOf = (coefficients: Float64Array, from: number, count: number, join: number): number =>
  Array.from({ length: count }, (_, power) => coefficients[from + power]! * join ** power).reduce(
    (sum, one) => sum + one,
    0,
  );

describe.each([
  ["linear-plateau", "own", [0.1, 0.3, 0]],
  ["quadratic-plateau", "own", [0.1, 0.3, 0]],
  ["linear-plateau", "common", [0.2]],
  ["quadratic-plateau", "common", [0.2]],
] as const)("joins of the form %s, %s", (form, sharing, joins) => {
  const degree = form === "linear-plateau" ? 1 : 2;

  it("leave what the whole model leaves, wherever a join is", () => {
    const { search, leftAt, units } = start(form, sharing, joins);
    const ofUnits = sharing === "own" ? [0, 1] : [0];
    for (const unit of ofUnits) {
      const { rates } = units[unit]!;
      const [lowest, range] = [rates[0]!, rates.at(-1)! - rates[0]!];
      const { count, ends, products, squares, groupedSs, ...told } = search.stretchesOf(unit)!;
      expect([told.degree, count, ends.length]).toEqual([degree, rates.length - 2, rates.length - 1]);
      rates.slice(1).forEach((rate, s) => expect(ends[s]).toBeCloseTo((rate - lowest) / range, 12));
      for (let s = 0; s < count; s++)
        for (const part of [0.1, 0.5, 0.9]) {
          const join = ends[s]! + part * (ends[s + 1]! - ends[s]!);
          const product = valueOf(products, s * (degree + 1), degree + 1, join);
          const square = valueOf(squares, s * (2 * degree + 1), 2 * degree + 1, join);
          const wanted = leftAt(joins.map((one, u) => (u === unit ? lowest + range * join : one)));
          expect((groupedSs - product ** 2 / square) / wanted).toBeCloseTo(1, 8);
        }
    }
  });

  it("count the strips below them", () => {
    const { search } = start(form, sharing, joins);
    // Alder: 4 strips at 180, 3 at 240, 2 + 3 at 300, 2 at 360. All: 4 more at 200, 3 of Birch at 300, 2 + 3 at 400.
    expect([...search.stretchesOf(0)!.below]).toEqual(sharing === "own" ? [7, 12, 14] : [8, 11, 19, 21, 26]);
  });

  it("are found where the whole model leaves least", () => {
    const { search, leftAt, units } = start(form, sharing, joins);
    const best = search.bestJoinOf(0)!;
    const { rates } = units[0]!;
    const at = (join: number): number => leftAt([join, ...joins.slice(1)]);
    for (let i = 1; i < 60; i++) {
      const join = rates[1]! + (i / 60) * (rates.at(-1)! - rates[1]!);
      expect(at(join)).toBeGreaterThanOrEqual(at(best) - 1e-6);
    }
    expect(best).toBeGreaterThanOrEqual(rates[1]!);
  });

  it("are the same once another join was moved", () => {
    const moved: number[] = [...joins];
    const { search } = start(form, sharing, joins);
    const last = sharing === "own" ? 1 : 0;
    moved[last] = -0.2;
    search.moveJoin(last, -0.2);
    const anew = start(form, sharing, moved).search.stretchesOf(0)!;
    const { products, squares, groupedSs } = search.stretchesOf(0)!;
    expect(groupedSs / anew.groupedSs).toBeCloseTo(1, 10);
    products.forEach((one, i) => expect(one / anew.products[i]!).toBeCloseTo(1, 7));
    squares.forEach((one, i) => expect(one / anew.squares[i]!).toBeCloseTo(1, 7));
    // Moved onto the lowest rate of Birch its column is 0, so that Alder's equations cannot be solved.
    if (sharing === "own") {
      search.moveJoin(1, -3);
      expect(search.bestJoinOf(0)).toBeNull();
    }
  });
});
