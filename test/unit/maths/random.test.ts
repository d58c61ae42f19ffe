import { describe, expect, it } from "vitest";
import { drawNormal, random, shuffle } from "../../../src/maths/random.ts";

/** Draws that are known beforehand. */
const given = (...draws: number[]) => {
  let next = 0;
  return (): number => draws[next++]!;
};

describe("a stream of random numbers", () => {
  // Worked out in Python's whole numbers from the definitions of xmur3 and sfc32 (PractRand, `sfc32::raw32`, 12 draws thrown away).
  it.each([
    [20260428, "strips of Alder", [1181842253, 4151923416, 4094897369, 1198067441, 3574454063, 61739068]],
    [1, "", [3564035310, 1483750056, 1385079753]],
  ])("for seed %i and “%s” is that of its definition", (seed, task, expected) => {
    const draw = random(seed, task);
    expect(expected.map(() => draw() * 2 ** 32)).toEqual(expected);
  });
});

describe("a normal number", () => {
  // Box & Muller: √(−2 ln u) cos 2πv with u one less the first draw; ln ½ is −0.693147.
  it.each([
    [0.5, 0, 1.177410022515],
    [0.5, 0.5, -1.177410022515],
    [0.75, 0, 1.665109222315],
  ])("of the draws %d and %d", (u, v, expected) => expect(drawNormal(given(u, v))).toBeCloseTo(expected, 11));
});

describe("a shuffle", () => {
  it("changes each thing from the last with one that the draw names (Fisher & Yates), and leaves the list as it was", () => {
    const list = ["a", "b", "c", "d"];
    // d with the first; c with the last of the three left, itself; b with the first, which is d.
    expect(shuffle(list, given(0, 0.99, 0))).toEqual(["b", "d", "c", "a"]);
    expect(shuffle(list, given(0.5, 0.34, 0.6))).toEqual(["a", "d", "b", "c"]);
    expect(list).toEqual(["a", "b", "c", "d"]);
  });

  it("draws no more than it needs", () => {
    let draws = 0;
    shuffle([1, 2, 3], () => (draws++, 0.5));
    expect(draws).toBe(2);
  });
});
