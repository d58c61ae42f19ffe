/**
 * The fit of a hinge, f(x) = max(join − x, 0) or its square, held to its own definition: at any join the values of f at the
 * points, group means off, are added up one by one.
 */
import { describe, expect, it } from "vitest";
import type { GroupedPoints } from "../../../src/maths/grouped-points.ts";
import {
  bestJoin,
  excessAtMultiple,
  hingeStretches,
  joinsWithin,
  multiplesWithin,
  nearStretches,
  visitNearJoins,
  type HingeDegree,
  type JoinRange,
} from "../../../src/maths/hinge.ts";
import { evaluate } from "../../../src/maths/polynomial.ts";
import { pointsOf, type Cell } from "./points-by-hand.ts";

// From 100 to 300: u = (x − 100) ÷ 200 is 0, 0.1, 0.25, 0.5, 0.75 and 1.
const cells: readonly Cell[] = [
  [0, 100, 1, 31],
  [0, 150, 2, 40],
  [0, 200, 1, 52],
  [0, 300, 1, 55],
  [1, 100, 2, 21],
  [1, 120, 1, 30],
  [1, 200, 3, 44],
  [1, 250, 1, 41],
  [2, 120, 2, 50],
  [2, 150, 1, 61],
  [2, 300, 4, 66],
];
const p = pointsOf(cells, 12);
const degrees: readonly HingeDegree[] = [1, 2];

/** Sums at a join, by definition. */
function sumsAt(points: GroupedPoints, degree: HingeDegree, join: number) {
  const f = [...points.x].map(
    (x) => Math.max(join - (x - points.lowest) / (points.highest - points.lowest), 0) ** degree,
  );
  const means = [...points.groupWeight].map(
    (total, g) =>
      f.reduce((sum, one, i) => sum + (points.group[i] === g ? points.weight[i]! * one : 0), 0) / total,
  );
  const off = f.map((one, i) => one - means[points.group[i]!]!);
  const product = off.reduce((sum, one, i) => sum + points.weight[i]! * one * points.y[i]!, 0);
  const square = off.reduce((sum, one, i) => sum + points.weight[i]! * one * one, 0);
  return { product, square, rss: points.groupedSs - product ** 2 / square };
}
const grid = Array.from({ length: 901 }, (_, i) => 0.1 + (0.9 * i) / 900);
const leastOf = (points: GroupedPoints, degree: HingeDegree): number =>
  Math.min(...grid.map((join) => sumsAt(points, degree, join).rss));

/** The joins within so many times the least sum of squares, held to those of the grid. */
function expectWithin(points: GroupedPoints, degree: HingeDegree, times: number): JoinRange[] {
  const h = hingeStretches(points, degree)!;
  const second = h.ends[0]!;
  const places = grid.map((join) => second + ((1 - second) * (join - 0.1)) / 0.9);
  const limit = times * Math.min(...places.map((join) => sumsAt(points, degree, join).rss));
  const ranges = joinsWithin(h, limit, bestJoin(h));
  const isIn = (join: number): boolean => ranges.some(({ from, to }) => from <= join && join <= to);
  const nearEnd = (join: number): boolean =>
    ranges.some(({ from, to }) => Math.min(Math.abs(join - from), Math.abs(join - to)) < 1e-4);
  const wrong = places.filter(
    (join) => !nearEnd(join) && isIn(join) !== sumsAt(points, degree, join).rss <= limit,
  );
  expect(wrong, `${limit}`).toEqual([]);
  for (const { from, to, fromOpen, toOpen } of ranges) {
    expect(fromOpen).toBe(from === second);
    expect(toOpen).toBe(to === 1);
    if (!fromOpen) expect(sumsAt(points, degree, from).rss).toBeCloseTo(limit, 7);
    if (!toOpen) expect(sumsAt(points, degree, to).rss).toBeCloseTo(limit, 7);
  }
  for (const [i, { from }] of ranges.slice(1).entries()) expect(from).toBeGreaterThan(ranges[i]!.to);
  return ranges;
}

describe.each(degrees)("the stretches of a hinge to the power of %d", (degree) => {
  const laidOut = () => hingeStretches(p, degree)!;

  it("run from the second lowest x to the highest", () => {
    const h = laidOut();
    expect(h).toMatchObject({ degree, count: 4, groupedSs: p.groupedSs });
    expect([...h.ends]).toEqual([0.1, 0.25, 0.5, 0.75, 1]);
    // Observations at 100 are 3, at 120 3 more, at 150 3, at 200 4, at 250 1.
    expect([...h.below]).toEqual([6, 9, 13, 14]);
  });

  it("have the sums of squares and products as polynomials", () => {
    const h = laidOut();
    for (let s = 0; s < 4; s++)
      for (const part of [0.01, 0.3, 0.8, 1]) {
        const join = h.ends[s]! + part * (h.ends[s + 1]! - h.ends[s]!);
        const { product, square } = sumsAt(p, degree, join);
        const perProduct = degree + 1;
        const perSquare = 2 * degree + 1;
        expect(evaluate(h.products.subarray(s * perProduct, (s + 1) * perProduct), join)).toBeCloseTo(
          product,
          9,
        );
        expect(evaluate(h.squares.subarray(s * perSquare, (s + 1) * perSquare), join)).toBeCloseTo(square, 9);
      }
  });

  it("have the best join of all", () => {
    const h = laidOut();
    const best = bestJoin(h);
    expect(sumsAt(p, degree, best).rss).toBeLessThanOrEqual(leastOf(p, degree) + 1e-9);
  });

  it("find the join that points were made with, inside a stretch and at its ends", () => {
    for (const join of [0.1, 0.2, 0.4, 0.5, 0.62, 0.75, 0.9]) {
      const made = pointsOf(
        cells.map(([g, x, n]): Cell => [
          g,
          x,
          n,
          50 + 10 * g - 30 * Math.max(join - (x - 100) / 200, 0) ** degree,
        ]),
      );
      expect(bestJoin(hingeStretches(made, degree)!)).toBeCloseTo(join, 6);
    }
  });

  it("have the joins whose sum of squares is within a limit", () => {
    for (const times of [1.02, 1.2, 1.6, 2.5, 4]) expectWithin(p, degree, times);
  });

  it("have two runs of joins where two lie far apart", () => {
    // Seven strips 50 apart; by the grid the first runs end where the second have not begun.
    const twice = { 1: [0, 9, 6, 7, 0, 1, 6], 2: [5, 1, 7, 3, 0, 0, 0] }[degree];
    const far = pointsOf(twice.map((y, i): Cell => [0, 100 + 50 * i, 1, y]));
    const ranges = expectWithin(far, degree, 1.3);
    expect(ranges).toHaveLength(2);
    expect(ranges[1]!.from - ranges[0]!.to).toBeGreaterThan(0.1);
  });

  it("hold the best join alone where the limit is below all", () => {
    const h = laidOut();
    const best = bestJoin(h);
    expect(joinsWithin(h, 0.9 * leastOf(p, degree), best)).toEqual([
      { from: best, to: best, fromOpen: false, toOpen: false },
    ]);
  });

  it("hold all joins where no slope is as good", () => {
    const h = laidOut();
    expect(joinsWithin(h, h.groupedSs * 1.01, bestJoin(h))).toEqual([
      { from: 0.1, to: 1, fromOpen: true, toOpen: true },
    ]);
  });

  it("are visited piece by piece, in rising order, cut where one asks", () => {
    const h = laidOut();
    const limit = 1.6 * leastOf(p, degree);
    const near = nearStretches(h, limit);
    const visited = (cuts?: (s: number) => number[]): [number, number, number][] => {
      const seen: [number, number, number][] = [];
      visitNearJoins(h, near, (...piece) => seen.push(piece), cuts);
      return seen;
    };
    const whole = visited();
    expect(whole.length).toBeGreaterThan(0);
    for (const [s, from, to] of whole) {
      expect(from).toBeGreaterThanOrEqual(h.ends[s]!);
      expect(to).toBeLessThanOrEqual(h.ends[s + 1]!);
    }
    const [first] = whole as [[number, number, number]];
    const middle = 0.6 * first[1] + 0.4 * first[2];
    // A cut inside makes two of a piece; one at an end of the stretch, or in another, makes none.
    expect(visited((s) => (s === first[0] ? [h.ends[s + 1]!, middle, h.ends[s]!, 2, -1] : []))).toEqual([
      [first[0], first[1], middle],
      [first[0], middle, first[2]],
      ...whole.slice(1),
    ]);
  });

  it("have the multiples of the hinge that are within a limit at a join", () => {
    const h = laidOut();
    const limit = 1.6 * leastOf(p, degree);
    const best = bestJoin(h);
    const s = [...h.ends].findIndex((end) => end >= best) - 1;
    const { least, most } = multiplesWithin(h, s, limit);
    const { product, square } = sumsAt(p, degree, best);
    // The residuals of y ≈ level − m f have the sum of squares SS + 2m Σfy + m² Σf².
    const rssAt = (m: number): number => p.groupedSs + 2 * m * product + m * m * square;
    expect(rssAt(least(best))).toBeCloseTo(limit, 8);
    expect(rssAt(most(best))).toBeCloseTo(limit, 8);
    expect(least(best)).toBeLessThan(-product / square);
    expect(most(best)).toBeGreaterThan(-product / square);
    // Below the least of all no multiple is within: both are the best one.
    const none = multiplesWithin(h, s, 0.5 * leastOf(p, degree));
    expect(none.least(best)).toBeCloseTo(-product / square, 9);
    expect(none.most(best)).toBeCloseTo(-product / square, 9);
    for (const m of [-3, 0, 20])
      expect(evaluate(excessAtMultiple(h, s, m, limit), best)).toBeCloseTo(rssAt(m) - limit, 8);
  });
});

describe("a hinge that cannot be told", () => {
  // prettier-ignore
  const two = pointsOf([[0, 1, 1, 3], [0, 2, 1, 5], [1, 1, 1, 4], [1, 2, 1, 7]]);

  it("is of fewer than three different x", () => {
    expect(hingeStretches(two, 1)).toBeNull();
    // prettier-ignore
    expect(hingeStretches(pointsOf([[0, 1, 1, 3], [0, 2, 1, 5], [0, 3, 1, 4]]), 1)!.count).toBe(1);
  });

  it("has the lowest of several joins as good as each other", () => {
    // Nothing depends on x: no join is better than the lowest.
    const flat = pointsOf(cells.map(([g, x, n]): Cell => [g, x, n, 10 * g]));
    for (const degree of degrees) expect(bestJoin(hingeStretches(flat, degree)!)).toBe(0.1);
  });

  it("has no slope where each group lies on one side of the join, and is then within what has none", () => {
    // The first group lies wholly at the lowest x, the second above 0.5: below that no group has unlike f.
    // prettier-ignore
    const apart = pointsOf([[0, 100, 2, 30], [1, 200, 1, 40], [1, 250, 1, 45], [1, 300, 2, 45]]);
    for (const degree of degrees) {
      const h = hingeStretches(apart, degree)!;
      expect([...h.ends]).toEqual([0.5, 0.75, 1]);
      expect(bestJoin(h)).toBeCloseTo(0.75, 6);
      const all = joinsWithin(h, apart.groupedSs + 1, bestJoin(h));
      expect(all).toEqual([{ from: 0.5, to: 1, fromOpen: true, toOpen: true }]);
    }
  });
});
