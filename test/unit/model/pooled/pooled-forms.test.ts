import { describe, expect, it } from "vitest";
import { columnsOfForm, hasJoin, hingeDegree, unitsOf } from "../../../../src/model/pooled/pooled-forms.ts";

const treatment = (variety: number, environment: number, u: number) => ({
  variety,
  environment,
  u,
  rateSeedsPerM2: 300 + 100 * u,
});
/** Alder with three rates over two environments, Birch with two, Cedar with one. */
const layout = {
  varieties: ["Alder", "Birch", "Cedar"],
  treatments: [
    treatment(0, 0, 1),
    treatment(0, 0, -1),
    treatment(1, 0, -0.5),
    treatment(0, 1, 0.2),
    treatment(0, 1, 1),
    treatment(1, 1, 0.5),
    treatment(2, 1, 0),
  ],
} as never;

/** X written out. */
function written({ fixed: { count, start, column, value } }: ReturnType<typeof columnsOfForm>): number[][] {
  return Array.from({ length: start.length - 1 }, (_, row) => {
    const one = Array.from({ length: count }, () => 0);
    for (let i = start[row]!; i < start[row + 1]!; i++) one[column[i]!]! += value[i]!;
    return one;
  });
}

describe("who shares a response", () => {
  it("is each variety, or all together, with the rates tested", () => {
    expect(unitsOf(layout, "own")).toEqual([
      { varieties: [0], rates: [-1, 0.2, 1] },
      { varieties: [1], rates: [-0.5, 0.5] },
      { varieties: [2], rates: [0] },
    ]);
    expect(unitsOf(layout, "common")).toEqual([{ varieties: [0, 1, 2], rates: [-1, -0.5, 0, 0.2, 0.5, 1] }]);
    expect(unitsOf(layout, "own").map(hasJoin)).toEqual([true, false, false]);
  });
});

describe("the columns of a form", () => {
  it("are levels and powers of the rate, as many as a variety's rates allow", () => {
    const columns = columnsOfForm(layout, "quadratic", unitsOf(layout, "own"), []);
    expect([columns.first, columns.widths, columns.fixed.count]).toEqual([[3, 5, 6], [2, 1, 0], 6]);
    expect(written(columns)).toEqual([
      [1, 0, 0, 1, 1, 0],
      [1, 0, 0, -1, 1, 0],
      [0, 1, 0, 0, 0, -0.5],
      [1, 0, 0, 0.2, 0.2 ** 2, 0],
      [1, 0, 0, 1, 1, 0],
      [0, 1, 0, 0, 0, 0.5],
      [0, 0, 1, 0, 0, 0],
    ]);
  });

  it("are shared where the response is common", () => {
    const columns = columnsOfForm(layout, "linear", unitsOf(layout, "common"), []);
    expect([columns.first, columns.widths, columns.fixed.count]).toEqual([[3], [1], 4]);
    expect(written(columns).map((row) => row[3])).toEqual([1, -1, -0.5, 0.2, 1, 0.5, 0]);
  });

  it("fall below a join, and not beyond it", () => {
    const joins = [0.5, 0, 0];
    const bent = columnsOfForm(layout, "quadratic-plateau", unitsOf(layout, "own"), joins);
    expect(bent.widths).toEqual([1, 1, 0]);
    const [, below, straight, near, beyond] = written(bent);
    expect(below![3]).toBe(-(1.5 ** 2));
    expect(near![3]).toBeCloseTo(-(0.3 ** 2), 12);
    expect(Math.abs(beyond![3]!)).toBe(0);
    // Two rates have no join, and make a straight line.
    expect(straight).toEqual([0, 1, 0, 0, -0.5]);
    const sudden = written(columnsOfForm(layout, "linear-plateau", unitsOf(layout, "own"), joins));
    expect(sudden[1]![3]).toBe(-1.5);
    expect(sudden[3]![3]).toBeCloseTo(-0.3, 12);
  });

  it("are levels alone without a response", () => {
    const columns = columnsOfForm(layout, "none", unitsOf(layout, "own"), []);
    expect(columns.fixed.count).toBe(3);
    expect(columns.widths).toEqual([0, 0, 0]);
    expect([hingeDegree("none"), hingeDegree("linear-plateau"), hingeDegree("quadratic-plateau")]).toEqual([
      null,
      1,
      2,
    ]);
  });
});
