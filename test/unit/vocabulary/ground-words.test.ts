import { expect, it } from "vitest";
import { groundKindOf } from "../../../src/vocabulary/ground-words.ts";

it.each([
  ["Hill", "hill"],
  ["hill_top", "hill"],
  ["Home, Side  slope", "slope"],
  ["Irrigué", "irrigated"],
  ["Niederung", "bottom"],
])("takes %s for a kind of ground that farms have in common", (word, kind) => {
  expect(groundKindOf(word)).toBe(kind);
});

it.each(["Miller's hill", "north forty", "", "hilly"])("keeps %j at home", (word) => {
  expect(groundKindOf(word)).toBeNull();
});
