import { expect, it } from "vitest";
import { kept } from "../../../src/maths/kept.ts";

it("a value is worked out once for a key, and kept", () => {
  const known = new Map([["at hand", 7]]);
  let worked = 0;
  const workOut = (): number => ++worked;
  expect(kept(known, "at hand", workOut)).toBe(7);
  expect([kept(known, "new", workOut), kept(known, "new", workOut)]).toEqual([1, 1]);
  expect(worked).toBe(1);
  expect(known.get("new")).toBe(1);
});
