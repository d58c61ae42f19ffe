import { describe, expect, it } from "vitest";
import {
  addShifted,
  largest,
  scaleDown,
  smoothedLogs,
  WithEnds,
} from "../../../../src/model/beliefs/along-needs.ts";

const near = (found: ArrayLike<number>, wanted: readonly number[]): void => {
  expect(found).toHaveLength(wanted.length);
  wanted.forEach((one, i) => expect(found[i]).toBeCloseTo(one, 12));
};

/**
 * A cubic in pieces with the slopes of the neighbours, Catmull & Rom: halfway between b and c it is (9 (b + c) − a − d) ÷ 16, a
 * quarter of the way (−9 a + 111 b + 29 c − 3 d) ÷ 128, from Hermite's four polynomials.
 */
const halfway = (a: number, b: number, c: number, d: number): number => (9 * (b + c) - a - d) / 16;
const quarter = (a: number, b: number, c: number, d: number): number =>
  (-9 * a + 111 * b + 29 * c - 3 * d) / 128;

describe("values read further on along the axis", () => {
  const values = Float64Array.of(1, 4, 2, 8, 5);

  it("are themselves without a shift, and are added", () => {
    const into = Float64Array.of(10, 20, 30, 40, 50);
    addShifted(into, values, 0);
    near(into, [11, 24, 32, 48, 55]);
  });

  it("are those of other places for whole steps, beyond the ends that at the end", () => {
    const [up, down] = [new Float64Array(5), new Float64Array(5)];
    addShifted(up, values, 2);
    addShifted(down, values, -1);
    near(up, [2, 8, 5, 5, 5]);
    near(down, [1, 1, 4, 2, 8]);
  });

  it("are those of a cubic between places", () => {
    const [half, less] = [new Float64Array(5), new Float64Array(5)];
    addShifted(half, values, 0.5);
    near(half, [
      halfway(1, 1, 4, 2),
      halfway(1, 4, 2, 8),
      halfway(4, 2, 8, 5),
      halfway(2, 8, 5, 5),
      halfway(8, 5, 5, 5),
    ]);
    addShifted(less, values, -0.75);
    near(less, [
      quarter(1, 1, 1, 4),
      quarter(1, 1, 4, 2),
      quarter(1, 4, 2, 8),
      quarter(4, 2, 8, 5),
      quarter(2, 8, 5, 5),
    ]);
  });
});

describe("likelihoods that run on beyond both ends", () => {
  const all = { first: 0, last: 3 };
  const taken = (): { row: WithEnds; scaledBy: number } => {
    const row = new WithEnds(4, 3);
    const scaledBy = row.takeLikelihoods(
      {
        logs: Float64Array.of(Math.log(2), Math.log(8), Math.log(4), 0),
        bends: Float64Array.of(1, 4, 1, 0.25),
      },
      all,
    );
    return { row, scaledBy };
  };
  /** exp(log) ÷ √bend ÷ 8: 2 ÷ 8, 8 ÷ 2 ÷ 8, 4 ÷ 8 and 1 ÷ ½ ÷ 8. */
  const values = [0.25, 0.5, 0.5, 0.25];
  const ones = (): Float64Array => new Float64Array(4).fill(1);

  it("are divided by the largest, and by the root of the bend", () => {
    const { row, scaledBy } = taken();
    expect(scaledBy).toBeCloseTo(Math.log(8), 12);
    const into = Float64Array.of(1, 2, 3, 4);
    row.multiplyShifted(into, 0, all);
    near(into, [0.25, 1, 1.5, 1]);
  });

  it("are those of other places for whole steps", () => {
    const { row } = taken();
    const [up, down] = [ones(), ones()];
    row.multiplyShifted(up, 2, all);
    row.multiplyShifted(down, -3, all);
    near(up, [0.5, 0.25, 0.25, 0.25]);
    near(down, [0.25, 0.25, 0.25, 0.25]);
  });

  it("are those of a cubic between places, and never below 0", () => {
    const into = ones();
    taken().row.multiplyShifted(into, 0.5, all);
    const [a, b, c, d] = values as [number, number, number, number];
    near(into, [halfway(a, a, b, c), halfway(a, b, c, d), halfway(b, c, d, d), halfway(c, d, d, d)]);
    const steep = new WithEnds(4, 2);
    const even = Float64Array.of(1, 1, 1, 1);
    steep.takeLikelihoods({ logs: Float64Array.of(0, -50, -50, 0), bends: even }, all);
    const beside = ones();
    // Between the two low ones, beside the two high ones, the cubic is −2 ÷ 16.
    steep.multiplyShifted(beside, 0.5, all);
    near(beside, [halfway(1, 1, 0, 0), 0, halfway(0, 0, 1, 1), halfway(0, 1, 1, 1)]);
  });

  it("are worked out from one place to another alone", () => {
    const { row } = taken();
    const into = ones();
    row.multiplyShifted(into, 1, { first: 1, last: 2 });
    near(into, [1, 0.5, 0.25, 1]);
    const between = ones();
    row.multiplyShifted(between, 0.25, { first: 1, last: 2 });
    near(between, [1, quarter(0.25, 0.5, 0.5, 0.25), quarter(0.5, 0.5, 0.25, 0.25), 1]);
    const middle = new WithEnds(4, 1);
    middle.takeLikelihoods(
      { logs: Float64Array.of(9, 1, 1, 9), bends: Float64Array.of(1, 1, 1, 1) },
      { first: 1, last: 2 },
    );
    const whole = ones();
    middle.multiplyShifted(whole, 0, all);
    // Scaled by the largest among those worked out; the others stay 0, and nothing runs on.
    near(whole, [0, 1, 1, 0]);
    const beyond = ones();
    middle.multiplyShifted(beyond, 1, all);
    near(beyond, [1, 1, 0, 0]);
  });

  it("are smoothed by a kernel", () => {
    const { row } = taken();
    const smooth = new WithEnds(4, 3);
    smooth.takeSmoothed(row, Float64Array.of(0.5, 0.2, 0.05), all);
    const into = ones();
    smooth.multiplyShifted(into, 0, all);
    const [first, last] = [
      0.5 * 0.25 + 0.2 * (0.25 + 0.5) + 0.05 * (0.25 + 0.5),
      0.5 * 0.25 + 0.2 * (0.25 + 0.5) + 0.05 * (0.25 + 0.5),
    ];
    near(into, [
      first,
      0.5 * 0.5 + 0.2 * (0.25 + 0.5) + 0.05 * (0.25 + 0.25),
      0.5 * 0.5 + 0.2 * (0.5 + 0.25) + 0.05 * (0.25 + 0.25),
      last,
    ]);
    // They run on as they are at the ends once smoothed.
    const beyond = ones();
    smooth.multiplyShifted(beyond, 3, all);
    near(beyond, [last, last, last, last]);
    const some = new WithEnds(4, 3);
    some.takeSmoothed(row, Float64Array.of(0.5, 0.25), { first: 1, last: 2 });
    const within = ones();
    some.multiplyShifted(within, 0, all);
    near(within, [0, 0.25 + 0.25 * 0.75, 0.25 + 0.25 * 0.75, 0]);
  });
});

describe("logarithms along the axis", () => {
  it("are largest between two places, both included", () => {
    const values = Float64Array.of(9, -4, -2, -3, 8);
    expect(largest(values, { first: 1, last: 3 })).toBe(-2);
    expect(largest(values, { first: 3, last: 4 })).toBe(8);
    expect(largest(values, { first: 0, last: 1 })).toBe(9);
    expect(largest(values, { first: 2, last: 1 })).toBe(-Infinity);
  });

  it("are smoothed as what they are logarithms of, beyond the ends as at the ends", () => {
    const likelihoods = [1, 4, 2, 8];
    const smoothed = smoothedLogs(
      Float64Array.from(likelihoods, (one) => Math.log(one) + 2000),
      Float64Array.of(0.5, 0.2, 0.05),
    );
    const at = (place: number): number => likelihoods[Math.min(3, Math.max(0, place))]!;
    near(
      smoothed,
      likelihoods.map(
        (one, j) =>
          2000 + Math.log(0.5 * one + 0.2 * (at(j - 1) + at(j + 1)) + 0.05 * (at(j - 2) + at(j + 2))),
      ),
    );
  });
});

it("logarithms far below the largest stay numbers once smoothed", () => {
  const smoothed = smoothedLogs(Float64Array.of(0, -2000, -2000, -2000, -1), Float64Array.of(0.5, 0.25));
  // 1e-300 of the largest at least; the first keeps its own half and the quarter beyond the end.
  near(smoothed, [0.75, 0.25, 1e-300, 0.25 * Math.exp(-1), 0.75 * Math.exp(-1)].map(Math.log));
});

describe("likelihoods brought to one scale", () => {
  it("are divided by the largest, and 0 where they are no more than the least", () => {
    const likelihoods = Float64Array.of(5, 0.1, 4, 0.05, 2, 0.1, 7);
    expect(scaleDown(likelihoods, 4, 0.1, { first: 1, last: 5 })).toEqual({ first: 2, last: 4 });
    near(likelihoods, [5, 0, 1, 0, 0.5, 0, 7]);
  });

  it("end before they begin where all are too small", () => {
    expect(scaleDown(Float64Array.of(0.1, 0.2), 1, 0.5, { first: 0, last: 1 })).toEqual({
      first: 2,
      last: -1,
    });
  });
});
