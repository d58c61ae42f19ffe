import { describe, expect, it } from "vitest";
import { parseNumber, readNumber } from "../../../../src/read/units/numbers.ts";

const point = (value: number) => ({ kind: "number", value, mark: "point" });
const comma = (value: number) => ({ kind: "number", value, mark: "comma" });
const plain = (value: number) => ({ kind: "number", value, mark: null });
const either = (asPoint: number, asComma: number) => ({ kind: "either", point: asPoint, comma: asComma });

/** How numbers are parted by custom: BIPM, SI Brochure 9th ed. (2019), 5.4.4: point or comma, thin spaces between groups of three. */
const cases: [string, object][] = [
  ["1200000", plain(1_200_000)],
  ["-3", plain(-3)],
  ["+3", plain(3)],
  ["54.2", point(54.2)],
  ["54,2", comma(54.2)],
  ["0.200", point(0.2)],
  ["0,200", comma(0.2)],
  [".5", point(0.5)],
  [",5", comma(0.5)],
  ["1.200", either(1.2, 1200)],
  ["1,200", either(1200, 1.2)],
  ["-12,345", either(-12_345, -12.345)],
  ["1200,500", comma(1200.5)],
  ["1,200.5", point(1200.5)],
  ["1.200,5", comma(1200.5)],
  ["1,200,000", point(1_200_000)],
  ["1.200.000", comma(1_200_000)],
  ["1 200 000", plain(1_200_000)],
  ["1\u00a0200,5", comma(1200.5)],
  ["1\u202f200\u202f000.5", point(1_200_000.5)],
  ["1'200'000", plain(1_200_000)],
  ["1.2e6", point(1_200_000)],
  ["1,2E+06", comma(1_200_000)],
  ["1.200E+06", point(1_200_000)],
  ["12E5", plain(1_200_000)],
  ["\u22123", plain(-3)],
  [" 54.2 ", point(54.2)],
];

describe("parseNumber", () => {
  it.each(cases)("reads %j", (text, expected) => expect(parseNumber(text)).toEqual(expected));

  it.each([
    ...[
      "",
      " ",
      "-",
      "abc",
      "12 bu",
      "1.2.3",
      "1,2,3",
      "12,00,000",
      "1,200,00",
      "1.200.000,5.5",
      "1e999",
      "5.",
      "1e5e5",
    ],
    ...[
      "0x10",
      "Infinity",
      "NaN",
      "1/2",
      "=A1",
      "12-05-2026",
      "1 2",
      "٣",
      "$5",
      "5%",
      "1".repeat(400),
      "--3",
      "1.200.000e3",
    ],
  ])("finds no number in %j", (text) => expect(parseNumber(text)).toEqual({ kind: "none" }));
});

describe("readNumber", () => {
  it.each(cases)("agrees with parseNumber on %j", (text, expected) => {
    const number = expected as ReturnType<typeof parseNumber>;
    for (const mark of ["point", "comma"] as const) {
      expect(readNumber(text, mark)).toBe(
        number.kind === "number" ? number.value : number.kind === "either" ? number[mark] : NaN,
      );
    }
    expect(readNumber(text, null)).toBe(number.kind === "number" ? number.value : NaN);
  });
});
