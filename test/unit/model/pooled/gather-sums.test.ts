/** Sums of products of a few strips, added up by hand. */
import { describe, expect, it } from "vitest";
import { gatherSums, type RandomTerm, type TrialRows } from "../../../../src/model/pooled/gather-sums.ts";

const term = (name: string, levels: number, levelOf: number[], ...columns: number[][]): RandomTerm => ({
  name,
  levels,
  reach: 1,
  levelOf: Int32Array.from(levelOf),
  columns: columns.map((column) => Float64Array.from(column)),
});

const rowsOf = (random: RandomTerm[], some: Partial<TrialRows> = {}): TrialRows => ({
  yields: Float64Array.of(3, 5, 4, 7),
  counts: Float64Array.of(1, 2, 1, 3),
  within: Float64Array.of(0, 10, 0, 20),
  treatmentOf: Int32Array.of(1, 0, 1, 2),
  treatments: 3,
  random,
  ...some,
});
const ones = [1, 1, 1, 1];

describe("sums of products of a trial", () => {
  it("are one group where nothing is random", () => {
    const { observations, terms, thetaCount, groups } = gatherSums(rowsOf([]));
    expect([observations, terms, thetaCount, groups.length]).toEqual([7, [], 0, 1]);
    const [{ treatments, strips, yields, squares, randomCount, random, withTreatment }] = groups as [
      (typeof groups)[0],
    ];
    expect([...treatments]).toEqual([0, 1, 2]);
    expect([...strips]).toEqual([2, 2, 3]);
    expect([...yields]).toEqual([10, 7, 21]);
    // 9 + 2 × 25 + 16 + 3 × 49, and the scatter about both means.
    expect(squares).toBe(222 + 30);
    expect([randomCount, random.value.length, withTreatment.value.length]).toEqual([0, 0, 0]);
  });

  it("take the levels and slopes of each field by themselves", () => {
    const { terms, thetaCount, groups } = gatherSums(
      rowsOf([term("field", 2, [1, 0, 1, 0], ones, [-1, 0, 1, 2]), term("farm", 1, [0, 0, 0, 0])]),
    );
    // A term without a coefficient shares its level all the same: both fields are one group then.
    expect(terms).toEqual([
      { name: "field", levels: 2, width: 2, theta: 0 },
      { name: "farm", levels: 1, width: 0, theta: 3 },
    ]);
    expect([thetaCount, groups.length]).toEqual([3, 1]);
    const apart = gatherSums(rowsOf([term("field", 2, [1, 0, 1, 0], ones, [-1, 0, 1, 2])])).groups;
    expect(apart.map(({ levels }) => levels)).toMatchObject([
      [{ term: { name: "field" }, level: 1, first: 0 }],
      [{ term: { name: "field" }, level: 0, first: 0 }],
    ]);
    const [first, second] = apart;
    // Rows 0 and 2, of one treatment: level by level, slope by level, slope by slope.
    expect([...first!.treatments]).toEqual([1]);
    expect([...first!.random.row, ...first!.random.column]).toEqual([0, 1, 1, 0, 0, 1]);
    expect([...first!.random.value]).toEqual([2, 0, 2]);
    expect([...first!.withYield]).toEqual([7, 1]);
    expect([...first!.withTreatment.row, ...first!.withTreatment.column]).toEqual([0, 0, 0, 1]);
    expect([...first!.withTreatment.value]).toEqual([2, 0]);
    expect(first!.squares).toBe(25);
    // Rows 1 and 3, of two and three strips.
    expect([...second!.treatments]).toEqual([0, 2]);
    expect([...second!.random.value]).toEqual([5, 6, 12]);
    expect([...second!.withYield]).toEqual([31, 42]);
    expect([...second!.withTreatment.row]).toEqual([0, 0, 1, 1]);
    expect([...second!.withTreatment.column]).toEqual([0, 1, 0, 1]);
    expect([...second!.withTreatment.value]).toEqual([2, 0, 3, 6]);
    expect(second!.squares).toBe(50 + 147 + 30);
    // Both look alike.
    expect([first!.structure, second!.structure]).toEqual([0, 0]);
  });

  it("join fields that a season shares, through others too, in the order of their strips", () => {
    const { groups } = gatherSums(
      rowsOf([term("field", 4, [3, 0, 1, 2], ones), term("season", 3, [2, 0, 2, 0], ones)], {
        treatmentOf: Int32Array.of(2, 0, 1, 0),
      }),
    );
    expect(groups).toHaveLength(2);
    // The two fields come before the season that they share: little is filled in.
    expect(groups.map(({ levels }) => levels)).toMatchObject([
      [
        { term: { name: "field" }, level: 3, first: 0 },
        { term: { name: "field" }, level: 1, first: 1 },
        { term: { name: "season" }, level: 2, first: 2 },
      ],
      [
        { term: { name: "field" }, level: 0, first: 0 },
        { term: { name: "field" }, level: 2, first: 1 },
        { term: { name: "season" }, level: 0, first: 2 },
      ],
    ]);
    expect([...groups[0]!.treatments]).toEqual([1, 2]);
    expect([...groups[0]!.yields]).toEqual([4, 3]);
    expect([...groups[1]!.treatments]).toEqual([0]);
    expect([...groups[1]!.strips]).toEqual([5]);
    // One more strip on the first field in the other season joins all of them.
    const joined = gatherSums(
      rowsOf([term("field", 4, [3, 0, 3, 2], ones), term("season", 3, [2, 0, 0, 0], ones)]),
    ).groups;
    expect(joined).toHaveLength(1);
    expect(joined[0]!.randomCount).toBe(5);
  });

  it("put the term of most levels first, and of as many the first named", () => {
    const orderOf = (a: number[], b: number[]): string[] =>
      gatherSums(rowsOf([term("a", 4, a, ones), term("b", 4, b, ones)])).groups[0]!.levels.map(
        (one) => one.term.name,
      );
    expect(orderOf([0, 0, 0, 0], [0, 1, 2, 3])).toEqual(["b", "b", "b", "b", "a"]);
    expect(orderOf([0, 1, 2, 3], [0, 0, 0, 0])).toEqual(["a", "a", "a", "a", "b"]);
    expect(orderOf([0, 0, 1, 1], [0, 1, 1, 0])).toEqual(["a", "a", "b", "b"]);
  });

  it("number structures by the terms and products that a group has", () => {
    // Two fields of two blocks each, then one of one block, then one of two strips without a block between them.
    const { groups } = gatherSums({
      yields: Float64Array.of(1, 2, 3, 4, 5, 6),
      counts: new Float64Array(6).fill(1),
      within: new Float64Array(6),
      treatmentOf: Int32Array.of(0, 0, 0, 0, 0, 0),
      treatments: 1,
      random: [
        term("field", 4, [0, 0, 1, 1, 2, 3], new Array<number>(6).fill(1)),
        term("block", 6, [0, 1, 2, 3, 4, 5], new Array<number>(6).fill(1)),
      ],
    });
    expect(groups.map(({ structure }) => structure)).toEqual([0, 0, 1, 1]);
    // One treatment, seen in all four.
    expect(groups.map(({ treatments, strips }) => [...treatments, ...strips])).toEqual([
      [0, 2],
      [0, 2],
      [0, 1],
      [0, 1],
    ]);
  });

  it("do not take two blocks of a field for two fields of a block, whose products are the same", () => {
    const { groups } = gatherSums(
      rowsOf([term("field", 3, [0, 0, 1, 2], ones), term("block", 3, [0, 1, 2, 2], ones)]),
    );
    expect(groups.map(({ random }) => [...random.row])).toEqual([
      [0, 1, 2, 2, 2],
      [0, 1, 2, 2, 2],
    ]);
    expect(groups.map(({ structure }) => structure)).toEqual([0, 1]);
  });

  it("let a row touch two knots", () => {
    const trend: RandomTerm = {
      name: "trend",
      levels: 3,
      reach: 2,
      levelOf: Int32Array.of(0, 1, 1, 2, 0, 1, 1, 2),
      columns: [Float64Array.of(1, 0, 0.5, 0.5, 0.25, 0.75, 0, 1)],
    };
    const [group] = gatherSums(rowsOf([trend])).groups;
    expect(group!.levels.map(({ level }) => level)).toEqual([0, 1, 2]);
    // Knot by knot: 1 + 0.0625; 0.1875; 2 × 0.25 + 0.5625; none; 2 × 0.25; 2 × 0.25 + 3.
    expect([...group!.random.row]).toEqual([0, 1, 1, 2, 2]);
    expect([...group!.random.column]).toEqual([0, 0, 1, 1, 2]);
    expect([...group!.random.value]).toEqual([1.0625, 0.1875, 1.0625, 0.5, 3.5]);
    expect([...group!.withYield]).toEqual([4, 8, 26]);
    expect(gatherSums(rowsOf([trend])).thetaCount).toBe(1);
    // Two fields of two knots each.
    const apart = { ...trend, levels: 4, levelOf: Int32Array.of(0, 1, 2, 3, 0, 1, 2, 3) };
    expect(gatherSums(rowsOf([apart])).groups.map(({ strips }) => [...strips])).toEqual([[2], [2, 3]]);
  });

  it("are refused where the arrays do not fit together", () => {
    const field = term("field", 1, [0, 0, 0, 0], ones);
    expect(() => gatherSums(rowsOf([field], { counts: Float64Array.of(1) }))).toThrow("One count");
    expect(() => gatherSums(rowsOf([field], { treatmentOf: Int32Array.of(0) }))).toThrow("One count");
    expect(() => gatherSums(rowsOf([{ ...field, reach: 2 }]))).toThrow("Term field: 2 levels a row");
    expect(() => gatherSums(rowsOf([{ ...field, levelOf: Int32Array.of(0) }]))).toThrow("1 levels a row");
    expect(() => gatherSums(rowsOf([term("field", 1, [0, 0, 0, 0], ones, [1])]))).toThrow(
      "Term field: one value",
    );
  });
});
