import { expect, it } from "vitest";
import { gather, groupBy } from "../../../src/maths/group-by.ts";

const words = ["pea", "oat", "rye", "pod", "oak", "rape"];
const first = (word: string): string => word[0]!;

it("puts things together by a key, keys in the order met", () => {
  expect([...gather(words, first)]).toEqual([
    ["p", ["pea", "pod"]],
    ["o", ["oat", "oak"]],
    ["r", ["rye", "rape"]],
  ]);
});

it("sorts the same by the key", () => {
  expect(groupBy(words, first)).toEqual([
    ["o", ["oat", "oak"]],
    ["p", ["pea", "pod"]],
    ["r", ["rye", "rape"]],
  ]);
  expect(groupBy(["c", "a", "b"], (key) => key).map(([key]) => key)).toEqual(["a", "b", "c"]);
});
