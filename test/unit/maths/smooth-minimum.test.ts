import { describe, expect, it } from "vitest";
import { findSmoothMinimum } from "../../../src/maths/smooth-minimum.ts";

describe("the lowest point of a smooth function", () => {
  it("is found in a bent valley (Rosenbrock 1960)", () => {
    const found = findSmoothMinimum(
      ([x, y]) => ({
        value: (1 - x!) ** 2 + 100 * (y! - x! * x!) ** 2,
        gradient: Float64Array.of(-2 * (1 - x!) - 400 * x! * (y! - x! * x!), 200 * (y! - x! * x!)),
      }),
      Float64Array.of(-1.2, 1),
    );
    expect(found.converged).toBe(true);
    expect(found.x[0]).toBeCloseTo(1, 5);
    expect(found.x[1]).toBeCloseTo(1, 5);
  });

  it("is not taken for a flat place from which the function falls: x⁴/4 − x²/2 begun at 0", () => {
    const found = findSmoothMinimum(
      ([x]) => ({ value: x! ** 4 / 4 - x! ** 2 / 2, gradient: Float64Array.of(x! ** 3 - x!) }),
      Float64Array.of(0),
    );
    expect(Math.abs(found.x[0]!)).toBeCloseTo(1, 5);
    expect(found.value).toBeCloseTo(-0.25, 9);
  });

  it("is found from a borrowed curve, also a wrong one", () => {
    const bowl = (x: Float64Array) => ({
      value: x[0]! ** 2 + 3 * x[1]! ** 2,
      gradient: Float64Array.of(2 * x[0]!, 6 * x[1]!),
    });
    const wrong = Float64Array.of(5, 2, 2, 4);
    const found = findSmoothMinimum(bowl, Float64Array.of(1, -2), wrong);
    expect(found.converged).toBe(true);
    expect(found.value).toBeLessThan(1e-9);
  });

  it("is not claimed where the function has none", () => {
    const falls = findSmoothMinimum(
      ([x]) => ({ value: -x!, gradient: Float64Array.of(-1) }),
      Float64Array.of(0),
    );
    expect(falls.converged).toBe(false);
  });
});

describe("the steps of the search, by hand", () => {
  /** x² + 3y² about (2, −1): inverse second derivatives ½ and 1/6. */
  const bowl = ([x, y]: Float64Array) => ({
    value: (x! - 2) ** 2 + 3 * (y! + 1) ** 2,
    gradient: Float64Array.of(2 * (x! - 2), 6 * (y! + 1)),
  });

  it("reach the bottom of a parabola in one: Newton's step is exact there", () => {
    const found = findSmoothMinimum(bowl, Float64Array.of(2.5, 0.2));
    expect(found).toMatchObject({ converged: true, iterations: 1 });
    // Where it begins, one look beside it in each of two directions, and the step.
    expect(found.evaluations).toBe(4);
    expect(found.x[0]).toBeCloseTo(2, 8);
    expect(found.x[1]).toBeCloseTo(-1, 8);
    [1 / 2, 0, 0, 1 / 6].forEach((entry, i) => expect(found.inverse[i]).toBeCloseTo(entry, 4));
  });

  it("look beside a place in proportion to it", () => {
    const looked: number[] = [];
    findSmoothMinimum(([x]) => {
      looked.push(x!);
      return { value: (x! - 4) ** 2, gradient: Float64Array.of(2 * (x! - 4)) };
    }, Float64Array.of(5));
    expect(looked[1]! - 5).toBeCloseTo(5e-5, 12);
  });

  it("take in what the slope did on the way: the new curve explains it", () => {
    // A borrowed curve is never measured; after one step H·(change of slope) = step (the secant equation, Nocedal & Wright).
    const borrowed = Float64Array.of(0.3, 0.05, 0.05, 0.1);
    const start = Float64Array.of(2.5, 0.2);
    const found = findSmoothMinimum(bowl, start, borrowed, 2);
    expect(found).toMatchObject({ converged: false, iterations: 1, evaluations: 2 });
    expect([...borrowed]).toEqual([0.3, 0.05, 0.05, 0.1]);
    const before = bowl(start).gradient;
    const rise = found.gradient.map((slope, i) => slope - before[i]!);
    const [a, b, c, d] = found.inverse as unknown as [number, number, number, number];
    expect(b).toBeCloseTo(c, 12);
    expect(a * rise[0]! + b * rise[1]!).toBeCloseTo(found.x[0]! - 2.5, 10);
    expect(c * rise[0]! + d * rise[1]!).toBeCloseTo(found.x[1]! - 0.2, 10);
    // The step itself: −H·slope = −(0.3 × 1 + 0.05 × 7.2, 0.05 × 1 + 0.1 × 7.2) = −(0.66, 0.77).
    expect(found.x[0]).toBeCloseTo(2.5 - 0.66, 12);
    expect(found.x[1]).toBeCloseTo(0.2 - 0.77, 12);
  });

  it("are no longer than the place is far from zero, and shortened by the parabola through value and slope", () => {
    // x² from 1 with a borrowed 5: the step −10 is cut to (1 + 1) ÷ 10 of itself, to −1. There the value is 1 again: the
    // parabola through both values and the slope −20 along the step has its lowest point at 20 × 0.2² ÷ (2 × 4) = 0.1: at 0.
    const looked: number[] = [];
    const found = findSmoothMinimum(
      ([x]) => {
        looked.push(x!);
        return { value: x! * x!, gradient: Float64Array.of(2 * x!) };
      },
      Float64Array.of(1),
      Float64Array.of(5),
      3,
    );
    expect(looked).toEqual([1, -1, 0]);
    expect(found.x[0]).toBe(0);
  });

  it("are cut to a tenth where a place is not allowed, and to a half where they fall too little", () => {
    const looked: number[] = [];
    const found = findSmoothMinimum(
      ([x]) => {
        looked.push(x!);
        return { value: x! < -0.5 ? Infinity : x! * x!, gradient: Float64Array.of(2 * x!) };
      },
      Float64Array.of(1),
      Float64Array.of(5),
      3,
    );
    expect(looked).toHaveLength(3);
    expect(looked[2]).toBeCloseTo(0.8, 12);
    expect(found.value).toBeCloseTo(0.64, 12);
    // x from 1 by a step of −2 to −1, where a value of 1 − 1e-5 is lower, but by less than 1e-4 × 2. The parabola through
    // value and slope would go a hair beyond the half.
    const steep: number[] = [];
    findSmoothMinimum(
      ([x]) => {
        steep.push(x!);
        return { value: x! < 0 ? 1 - 1e-5 : x!, gradient: Float64Array.of(1) };
      },
      Float64Array.of(1),
      Float64Array.of(2),
      3,
    );
    expect(steep).toEqual([1, -1, 0]);
  });

  it("end where there is nothing to search, and where it begins is not allowed", () => {
    const nothing = findSmoothMinimum(
      () => ({ value: 7, gradient: new Float64Array(0) }),
      new Float64Array(0),
    );
    expect(nothing).toMatchObject({ converged: true, value: 7, evaluations: 1, iterations: 0 });
    const refused = findSmoothMinimum(
      () => ({ value: Infinity, gradient: Float64Array.of(0) }),
      Float64Array.of(1),
    );
    expect(refused).toMatchObject({ converged: false, evaluations: 1 });
  });

  it("measure a borrowed curve once more where the bottom is at zero, and leave a saddle", () => {
    // x²y-like evenness: value y² + x⁴/4 − x²/2 is flat in x at 0, and lowest at x = ±1.
    const saddle = ([x, y]: Float64Array) => ({
      value: y! ** 2 + x! ** 4 / 4 - x! ** 2 / 2,
      gradient: Float64Array.of(x! ** 3 - x!, 2 * y!),
    });
    const found = findSmoothMinimum(saddle, Float64Array.of(0, 1), Float64Array.of(1, 0, 0, 0.5));
    expect(found.converged).toBe(true);
    expect(Math.abs(found.x[0]!)).toBeCloseTo(1, 4);
    expect(found.value).toBeCloseTo(-0.25, 9);
  });

  it("trust a borrowed curve where no coordinate of the bottom is zero", () => {
    // With the true curve borrowed: where it begins and one step, and nothing measured.
    const found = findSmoothMinimum(bowl, Float64Array.of(2.5, 0.2), Float64Array.of(0.5, 0, 0, 1 / 6));
    expect(found).toMatchObject({ converged: true, evaluations: 2, iterations: 1 });
  });

  it("count a slope that is no number as no curve", () => {
    // Where the slope beside the start is infinite, the curve is taken to be 1: the step goes straight down the slope.
    const looked: number[] = [];
    findSmoothMinimum(
      ([x]) => {
        looked.push(x!);
        return { value: x! ** 2, gradient: Float64Array.of(looked.length === 2 ? Infinity : 2 * x!) };
      },
      Float64Array.of(0.25),
      undefined,
      3,
    );
    expect(looked[2]).toBe(0.25 - 0.5);
  });
});
