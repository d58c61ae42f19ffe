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
