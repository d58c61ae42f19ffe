import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { pack, unpack } from "../../../src/tell/html/pack.ts";

describe("packing for the page", () => {
  it("writes the keys of like rows once", () => {
    expect(
      pack([
        { a: 1, b: "x" },
        { a: 2, b: "y" },
      ]),
    ).toEqual({
      "rows of": ["a", "b"],
      rows: [
        [1, "x"],
        [2, "y"],
      ],
    });
  });

  it("keeps twelve significant digits", () => {
    expect(pack({ rate: 296.52645776059836 })).toEqual({ rate: 296.526457761 });
  });

  it("comes back as it was", () => {
    const json = fc.jsonValue({ maxDepth: 4 }).filter((value) => {
      const text = JSON.stringify(value);
      return !text.includes("rows of") && !/[\d.]{12}|e[+-]?\d|__proto__|-0/.test(text);
    });
    fc.assert(
      fc.property(json, (value) => {
        expect(unpack(JSON.parse(JSON.stringify(pack(value))))).toEqual(value);
      }),
      { seed: 7, numRuns: 300 },
    );
  });
});
