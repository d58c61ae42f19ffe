import { describe, expect, it } from "vitest";
import { areLetters, magnitudeIn, parseLoose } from "../../../../src/read/units/loose-numbers.ts";

/** Value with its magnitude, unit and remark. */
function jotted(text: string): [number, string, string | null] | null {
  const loose = parseLoose(text);
  if (loose === null) return null;
  const { number, times, unit, remark } = loose;
  return [number.kind === "number" ? number.value * times : NaN, unit, remark];
}

describe("a jotted number", () => {
  it.each([
    ["58.2", 58.2, "", null],
    ["96 %", 96, "%", null],
    ["1.1 M", 1.1e6, "", null],
    ["1.1 mil", 1.1e6, "", null],
    ["1.1 mill. seeds", 1.1e6, "seeds", null],
    ["1.1 million seeds/ac", 1.1e6, "seeds/ac", null],
    ["2 millions", 2e6, "", null],
    ["2 mio", 2e6, "", null],
    ["2 mln", 2e6, "", null],
    ["2 mm", 2e6, "", null],
    ["2 millones", 2e6, "", null],
    ["2 Millionen", 2e6, "", null],
    ["300 k", 3e5, "", null],
    ["300k/ac", 3e5, "/ac", null],
    ["300 thousand", 3e5, "", null],
    ["300 thousands", 3e5, "", null],
    ["300 Tsd. Körner", 3e5, "Körner", null],
    ["300 mille", 3e5, "", null],
    ["300 miles", 3e5, "", null],
    ["300 kg", 300, "kg", null],
    ["5 m/s", 5e6, "/s", null],
    ["5 metres", 5, "metres", null],
    ["12½", 12.5, "", null],
    ["12 ½ bu", 12.5, "bu", null],
    ["½", 0.5, "", null],
    ["¼", 0.25, "", null],
    ["3¾", 3.75, "", null],
    ["⅓", 1 / 3, "", null],
    ["⅔ ac", 2 / 3, "ac", null],
    ["1⅛", 1.125, "", null],
    ["1⅜", 1.375, "", null],
    ["1⅝", 1.625, "", null],
    ["1⅞", 1.875, "", null],
    ["1½ million", 1.5e6, "", null],
    ["7 1/2", 7.5, "", null],
    ["7 3/4 in", 7.75, "in", null],
    ["7 1⁄2 in", 7.5, "in", null],
    ["1 1/2 M seeds", 1.5e6, "seeds", null],
    ["60-62", 61, "", "range"],
    ["60 – 62 bu/ac", 61, "bu/ac", "range"],
    ["60—62", 61, "", "range"],
    ["60 to 62", 61, "", "range"],
    ["60 bis 62", 61, "", "range"],
    ["1.1-1.3 M", 1.2e6, "", "range"],
    ["1,1-1,3", 1.2, "", "range"],
    ["40-60", 50, "", "range"],
    ["64.2 ± 1.3", 64.2, "", null],
    ["64.2 +/- 1.3 bu", 64.2, "bu", null],
    ["64.2 +- 1", 64.2, "", null],
    ["64.2±1,3", 64.2, "", null],
    ["13.1 ?", 13.1, "", "unsure"],
    ["13.1??", 13.1, "", "unsure"],
    ["13.1 (?)", 13.1, "", "unsure"],
    ["58.2*", 58.2, "", "unsure"],
    ["58.2 **", 58.2, "", "unsure"],
    ["58.2 (*)", 58.2, "", "unsure"],
    ["58.2†", 58.2, "", "unsure"],
    ["58.2²", 58.2, "", "unsure"],
    ["58.2ᵃᵇ", 58.2, "", "unsure"],
    ["58.2 (1)", 58.2, "", "unsure"],
    ["~58", 58, "", "unsure"],
    ["≈ 58 bu", 58, "bu", "unsure"],
    ["± 58", 58, "", "unsure"],
    ["ca. 58", 58, "", "unsure"],
    ["ca 58", 58, "", "unsure"],
    ["Circa 58", 58, "", "unsure"],
    ["about 58", 58, "", "unsure"],
    ["approx. 58", 58, "", "unsure"],
    ["env. 58", 58, "", "unsure"],
    ["etwa 58", 58, "", "unsure"],
    ["~58?", 58, "", "unsure"],
    ["~½", 0.5, "", "unsure"],
    ["~ 60-62", 61, "", "range"],
    ["56.3ab", 56.3, "ab", null],
    ["  58.2  ", 58.2, "", null],
  ] as [string, number, string, string | null][])("of %j is %f %j", (text, value, unit, remark) => {
    const [ours, behind, said] = jotted(text)!;
    expect(ours / value).toBeCloseTo(1, 12);
    expect([behind, said]).toEqual([unit, remark]);
  });

  it.each([
    // The second end is not above the first, or more than half as much again.
    "62-60",
    "60-60",
    "40-61",
    "",
    "about",
    "bushels",
    "$58",
    "58 USD",
    "?",
  ])("is none in %j", (text) => expect(parseLoose(text)).toBeNull());

  it("is no fraction where the lower figure is not the larger, and no range where a date is", () => {
    expect(jotted("7 2/1")?.[0]).not.toBe(9);
    expect(jotted("7 2/2")?.[0]).not.toBe(8);
    expect(jotted("7 1/23")?.[0]).not.toBe(7.5);
    expect(jotted("7 1/2/3")?.[0]).not.toBe(7.5);
    expect(jotted("4-5-2026")?.[2] ?? null).toBeNull();
  });

  it("has sixty characters at most", () => {
    expect(jotted(`5 ${"x".repeat(58)}`)).not.toBeNull();
    expect(jotted(`5 ${"x".repeat(59)}`)).toBeNull();
  });

  it("may be two by its decimal mark", () => {
    expect(parseLoose("5,250 kg")).toMatchObject({ number: { kind: "either" }, unit: "kg", times: 1 });
  });
});

describe("letters behind a number", () => {
  it("are those of a comparison of means, in the order of the alphabet, from a to h", () => {
    expect(["a", "b", "ab", "abc", "bcd", "ah", "efgh"].map(areLetters)).toEqual(new Array(7).fill(true));
    expect(["", "ba", "aa", "i", "lb", "ai", "abcdef", "a b", "A"].map(areLetters)).toEqual(
      new Array(9).fill(false),
    );
  });
});

describe("a word for thousand or million", () => {
  it("is taken off the unit", () => {
    expect(magnitudeIn("million seeds/ac")).toEqual({ times: 1e6, unit: "seeds/ac" });
    expect(magnitudeIn("k  seeds")).toEqual({ times: 1e3, unit: "seeds" });
    expect(magnitudeIn(" seeds ")).toEqual({ times: 1, unit: "seeds" });
    expect(magnitudeIn("kernels")).toEqual({ times: 1, unit: "kernels" });
  });
});
