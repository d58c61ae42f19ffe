import { describe, expect, it } from "vitest";
import { allFinite } from "../../../src/farm/finite.ts";

describe("allFinite", () => {
  it("gives a result on as it is", () => {
    const told = { next: [{ rate: 300, gain: null, why: "far" }], curves: new Float64Array([NaN]) };
    expect(allFinite(told)).toBe(told);
  });

  it.each([NaN, Infinity, -Infinity])("stops %s, wherever it stands, and says where", (lost) => {
    expect(() => allFinite({ next: [{ rate: 300 }, { rate: 300, gain: { lower: lost } }] })).toThrow(
      /next\.1\.gain\.lower/,
    );
  });
});
