/**
 * Outside check: textbook designs for a quadratic on an interval.
 *
 * D-optimal: equal parts at both ends and the middle. c-optimal for the curvature: a quarter, a half, a quarter at the
 * same points; for the slope at the middle (and so for a maximum believed there): half at each end. Fedorov 1972,
 * Theory of Optimal Experiments; Atkinson & Donev 1992, Optimum Experimental Designs; both FROM MEMORY. Every value
 * is also worked out by hand from the 3 × 3 moment matrix: det M* = 4/27; five even points: m2 = 1/2, m4 = 17/40,
 * det = 7/80.
 */
import { describe, expect, it } from "vitest";
import { dEfficiency } from "../../../src/plan/d-efficiency.ts";
import { searchDesign, spreadPoints } from "../../../src/plan/search-design.ts";

const candidates = Array.from({ length: 25 }, (_, i) => (80 + 5 * i) / 100);
const search = { candidates, fixed: [], apart: 0 };

describe("designs for a quadratic", () => {
  it("finds the D-optimal design: equal parts at the ends and the middle", () => {
    const found = searchDesign({ ...search, count: 6, score: (rates) => dEfficiency(rates, 0.8, 2) })!;
    expect(found.points).toEqual([0.8, 0.8, 1.4, 1.4, 2, 2]);
    expect(found.score).toBeCloseTo(1, 12);
  });

  it("rates five even points at the cube root of (7/80) / (4/27)", () => {
    expect(dEfficiency([0.8, 1.1, 1.4, 1.7, 2], 0.8, 2)).toBeCloseTo(Math.cbrt((7 / 80) * (27 / 4)), 12);
  });

  it("gives two rates no credit for a curve", () => {
    expect(dEfficiency([0.8, 0.8, 2, 2], 0.8, 2)).toBe(0);
  });

  it("takes even spacing as the habit, with today's rate in its place", () => {
    const habit = { candidates, count: 5, fixed: [1.3], apart: 0.1 };
    expect(spreadPoints(habit)).toEqual([0.8, 1.1, 1.3, 1.7, 2]);
    expect(spreadPoints({ ...habit, apart: 0.7 })).toBeNull();
  });
});
