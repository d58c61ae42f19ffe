import { describe, expect, it } from "vitest";
import { axisBetween, layCloser, logOn } from "../../../src/maths/log-axis.ts";

const values = (axis: ReturnType<typeof axisBetween>): number[] =>
  Array.from({ length: axis.count }, (_, i) => Math.exp(logOn(axis, i)));

describe("an axis of even logarithms", () => {
  it("runs from the lowest to the highest in even ratios", () => {
    const [one, ten, hundred] = values(axisBetween(1, 100, 3));
    expect(one).toBeCloseTo(1, 12);
    expect(ten).toBeCloseTo(10, 12);
    expect(hundred).toBeCloseTo(100, 10);
  });

  it("is laid closer over the places with weight, one more at either end", () => {
    const axis = axisBetween(1, 1e8, 9);
    const closer = layCloser(axis, Float64Array.of(0, 0, 0, 0.5, 0.5, 0, 0, 0, 0), 1e-4, 7);
    const [lowest, ...rest] = values(closer);
    expect(lowest).toBeCloseTo(1e2, 8);
    expect(rest.at(-1)).toBeCloseTo(1e5, 5);
    expect(closer.count).toBe(7);
  });

  it("leaves out tails that weigh next to nothing, and no more", () => {
    const axis = axisBetween(1, 1e8, 9);
    const weights = Float64Array.of(0, 0, 2e-5, 2e-4, 0.999, 2e-4, 0, 0, 0);
    expect(values(layCloser(axis, weights, 1e-4, 5))[0]).toBeCloseTo(1e2, 8);
  });

  it("stays where weight lies nearly everywhere", () => {
    const axis = axisBetween(1, 1e8, 9);
    expect(layCloser(axis, new Float64Array(9).fill(1 / 9), 1e-4, 20)).toBe(axis);
  });

  it("gets no closer than half a per cent", () => {
    const axis = axisBetween(1, 1.1, 9);
    const closer = layCloser(axis, Float64Array.of(0, 0, 0, 0, 1, 0, 0, 0, 0), 1e-4, 33);
    expect(closer.step).toBeCloseTo(0.005, 12);
    expect(closer.count).toBeLessThan(8);
  });
});
