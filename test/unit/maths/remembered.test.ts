import { expect, it } from "vitest";
import { remembered, rememberedWith } from "../../../src/maths/remembered.ts";

it("works a thing out once, also where nothing comes of it", () => {
  let made = 0;
  const sizeOf = remembered((of: readonly number[]) => {
    made++;
    return of.length === 0 ? null : of.length;
  });
  const [none, two] = [[], [1, 2]];
  expect([sizeOf(two), sizeOf(none), sizeOf(two), sizeOf(none)]).toEqual([2, null, 2, null]);
  expect(made).toBe(2);
  // Of the same numbers, but another thing.
  expect(sizeOf([1, 2])).toBe(2);
  expect(made).toBe(3);
});

it("keeps no more than 2,000, and begins afresh with the next", () => {
  let made = 0;
  const countOf = remembered((of: readonly number[]) => {
    made++;
    return of.length;
  });
  const things = Array.from({ length: 2000 }, () => [1]);
  for (const thing of things) countOf(thing);
  for (const thing of things) countOf(thing);
  expect(made).toBe(2000);
  const next = [1];
  countOf(next);
  countOf(next);
  countOf(things[0]!);
  expect(made).toBe(2002);
});

it("knows a thing by a part of it, where that tells it from others", () => {
  let made = 0;
  const sizeOf = remembered(
    ({ cells }: { cells: readonly number[] }) => {
      made++;
      return cells.length;
    },
    ({ cells }) => cells,
  );
  const cells = [1, 2];
  expect([sizeOf({ cells }), sizeOf({ cells }), sizeOf({ cells: [1, 2, 3] })]).toEqual([2, 2, 3]);
  expect(made).toBe(2);
});

it("works out anew what follows from another second thing, and keeps the last", () => {
  let made = 0;
  const times = rememberedWith((of: readonly number[], other: number) => {
    made++;
    return of.map((one) => one * other);
  });
  const [one, two] = [[1], [2]];
  const tripled = times(one, 3);
  expect(times(one, 3)).toBe(tripled);
  expect(times(two, 3)).toEqual([6]);
  expect(times(one, 3)).toBe(tripled);
  expect(made).toBe(2);
  expect(times(one, 4)).toEqual([4]);
  expect(times(one, 3)).toEqual([3]);
  expect(made).toBe(4);
});
