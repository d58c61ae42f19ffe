import { describe, expect, it } from "vitest";
import {
  groupMeans,
  meanOf,
  roundingSs,
  sumOfProducts,
  takeGroupMeansOff,
} from "../../../src/maths/grouped-points.ts";
import { pointsOf, type Cell } from "./points-by-hand.ts";

describe("points in groups", () => {
  // Group 0: 2 × 4 and 10, so 6 on average. Group 1: 8 and 3 × 20, so 17. All seven: 86 ÷ 7.
  // prettier-ignore
  const cells: Cell[] = [[1, 2, 3, 20], [1, 1, 1, 8], [0, 1, 2, 4], [0, 2, 1, 10]];
  const laidOut = () => pointsOf(cells, 7);

  it("are in the order of x, then of the group, each less the mean of its group", () => {
    const p = laidOut();
    expect(p).toMatchObject({
      points: 4,
      groups: 2,
      observations: 7,
      within: 7,
      x: Float64Array.of(1, 1, 2, 2),
      group: Int32Array.of(0, 1, 0, 1),
      weight: Float64Array.of(2, 1, 1, 3),
      y: Float64Array.of(4 - 6, 8 - 17, 10 - 6, 20 - 17),
      groupWeight: Float64Array.of(3, 4),
      groupMean: Float64Array.of(6, 17),
      starts: Int32Array.of(0, 2, 4),
      lowest: 1,
      highest: 2,
      size: 20,
    });
    expect(p.mean).toBeCloseTo(86 / 7, 12);
  });

  it("are the same in whatever order they come", () => {
    const p = laidOut();
    const places = [
      [3, 2, 1, 0],
      [2, 1, 3, 0],
      [1, 2, 3, 0],
      [2, 0, 1, 3],
      [2, 3, 1, 0],
      [2, 1, 0, 3],
    ];
    for (const order of places)
      expect(
        pointsOf(
          order.map((i) => cells[i]!),
          7,
        ),
      ).toMatchObject({ x: p.x, group: p.group, weight: p.weight, y: p.y });
  });

  it("have a sum of squares about the groups' means, and about the mean of all", () => {
    const p = laidOut();
    // 7 + 2 × 2² + 9² + 4² + 3 × 3² = 139. The groups' means lie 44 ÷ 7 below and 33 ÷ 7 above that of all:
    // (3 × 44² + 4 × 33²) ÷ 49 = 10,164 ÷ 49 more.
    expect(p.groupedSs).toBeCloseTo(139, 12);
    expect(p.totalSs).toBeCloseTo(139 + 10_164 / 49, 9);
  });

  it("keep their digits at a high level", () => {
    // 0.25 and 0.5 are exact beside 2 to the power of 40.
    const level = 2 ** 40;
    // prettier-ignore
    const high = pointsOf([[0, 1, 1, level], [0, 2, 1, level + 0.5], [1, 1, 1, level + 0.25], [1, 2, 1, level + 0.25]]);
    expect([...high.y]).toEqual([-0.25, 0, 0.25, 0]);
    expect([high.groupedSs, high.totalSs, high.mean]).toEqual([0.125, 0.125, level + 0.25]);
    expect([...high.groupMean]).toEqual([level + 0.25, level + 0.25]);
  });

  it("have values with means over groups, weighted, and a plain mean over the groups", () => {
    const p = laidOut();
    const values = Float64Array.of(1, 2, 4, 6);
    // (2 × 1 + 4) ÷ 3 = 2 and (2 + 3 × 6) ÷ 4 = 5.
    expect(groupMeans(p, values)).toEqual(Float64Array.of(2, 5));
    expect(takeGroupMeansOff(p, values)).toEqual(Float64Array.of(2, 5));
    expect(values).toEqual(Float64Array.of(-1, -3, 2, 1));
    expect(meanOf(Float64Array.of(2, 5))).toBe(3.5);
    // 2 × 1 × −1 + 2 × −3 + 3 × 2 + 3 × 4 × 1 = 10.
    expect(sumOfProducts(p, Float64Array.of(1, 2, 3, 4), values)).toBe(10);
  });

  it("have a sum of squares that is rounding: the last digits of the largest mean, for each observation", () => {
    const p = laidOut();
    // 2⁻⁵² is the last digit of 1: 7 × (4 × 20 × 2⁻⁵²)².
    expect(roundingSs(p) / (7 * 6400 * 2 ** -104)).toBeCloseTo(1, 12);
    expect(roundingSs(pointsOf([[0, 1, 1, 0]]))).toBe(1e-300);
    // A mean below 0 is as large as one above.
    expect(pointsOf([[0, 1, 1, -30]]).size).toBe(30);
  });
});
