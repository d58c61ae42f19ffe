import { describe, expect, it } from "vitest";
import { gather, groupBy } from "../../../src/maths/group-by.ts";
import { normalKernel, normalSmoother, smoothedAt } from "../../../src/maths/normal-kernel.ts";
import { bell, normalise } from "../../../src/maths/normal-weights.ts";

describe("a normal kernel", () => {
  // e^0, e^-0.5, e^-2 and e^-4.5 are 1, 0.606531, 0.135335 and 0.011109; with both sides 2.505950.
  const weights = [0.39905, 0.242036, 0.054006, 0.004433];

  it("is the density over three sds, with sum 1", () => {
    const half = normalKernel(1, 1);
    expect(half).toHaveLength(4);
    weights.forEach((weight, i) => expect(half[i]).toBeCloseTo(weight, 6));
    expect(Array.from(normalKernel(0, 1))).toEqual([1]);
    // Half the step: seven weights, the third of which is at one sd.
    expect(normalKernel(1, 0.5)).toHaveLength(7);
    expect(normalKernel(1, 0.5)[2]! / normalKernel(1, 0.5)[0]!).toBeCloseTo(0.606531, 6);
  });

  it("takes the outermost values for those beyond the ends", () => {
    const half = normalKernel(1, 1);
    const peak = [0, 0, 1, 0, 0];
    [2, 1, 0, 1, 2].forEach((away, place) =>
      expect(smoothedAt(peak, place, half)).toBeCloseTo(weights[away]!, 6),
    );
    expect(smoothedAt([1, 0, 0, 0], 0, half)).toBeCloseTo(0.39905 + 0.242036 + 0.054006 + 0.004433, 6);
  });

  it("takes every second step from 2.5 steps on", () => {
    expect(normalSmoother(2.4, 1)).toMatchObject({ stride: 1, reach: 8 });
    // 3 × 2.5 sds are 3.75 strides of 2, four of them.
    const wide = normalSmoother(2.5, 1);
    expect(wide).toMatchObject({ stride: 2, reach: 8 });
    expect(wide.half[1]! / wide.half[0]!).toBeCloseTo(Math.exp(-0.5 * 0.64), 12);
  });
});

it("a bell is 1 in its middle, e^-2 at two sds; weights are made to sum to 1", () => {
  expect([bell(0, 3), bell(2, 1), bell(-4, 2)]).toEqual([1, Math.exp(-2), Math.exp(-2)]);
  expect(normalise([1, 3])).toEqual([0.25, 0.75]);
});

it("things are put together by their key, in the order met or sorted", () => {
  const words = ["oat", "rye", "rice", "barley", "oats"];
  const first = (word: string): string => word[0]!;
  expect([...gather(words, first)]).toEqual([
    ["o", ["oat", "oats"]],
    ["r", ["rye", "rice"]],
    ["b", ["barley"]],
  ]);
  expect(groupBy(words, first).map(([key]) => key)).toEqual(["b", "o", "r"]);
});
