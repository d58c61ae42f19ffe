import { expect, test } from "vitest";
import { Nearby } from "../../../src/points/nearby.ts";

/** Points at 0, 1, … 9 m on a line. */
const line = Float64Array.from({ length: 10 }, (_, i) => i);
const nearby = new Nearby(line, new Float64Array(10), [...line.keys()], 4);

const found = (x: number, within?: number): number[] => {
  const points: number[] = [];
  nearby.around(x, 0, (point) => void points.push(point), within);
  return points;
};

test("all points within a cell's length are found, and those of the cells around", () => {
  expect(found(5)).toEqual([...line.keys()]);
  expect(found(9)).toEqual([4, 5, 6, 7, 8, 9]);
  expect(found(100)).toEqual([]);
});

test("points beyond a squared distance are skipped, those at it are not", () => {
  expect(found(5, 4)).toEqual([3, 4, 5, 6, 7]);
});

test("who looks for the nearest is handed no point farther than what it has found", () => {
  const taken: [number, number][] = [];
  nearby.around(3.2, 0, (point, distanceSquared) => {
    taken.push([point, distanceSquared]);
    return distanceSquared;
  });
  expect(taken.map(([point]) => point)).toEqual([0, 1, 2, 3]);
  expect(taken.at(-1)![1]).toBeCloseTo(0.04, 12);
});
