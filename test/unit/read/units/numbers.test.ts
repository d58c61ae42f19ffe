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
  ["12e-2", plain(0.12)],
  ["1.5e100", point(1.5e100)],
  ["+1.200", either(1.2, 1200)],
  ["123.456", either(123.456, 123_456)],
  ["1234.567", point(1234.567)],
  ["0012", plain(12)],
  ["012,345", comma(12.345)],
  ["1.200.000,75", comma(1_200_000.75)],
  ["1,200,000.75", point(1_200_000.75)],
  ["999,999,999", point(999_999_999)],
  ["12\u2009345", plain(12_345)],
  ["12\u2019345", plain(12_345)],
  ["123456789012345678901", plain(123456789012345680000)],
  ["0.1234567890123456789", point(0.12345678901234568)],
  ["1".repeat(64), plain(Number("1".repeat(64)))],
  ["\u22123", plain(-3)],
  [" 54.2 ", point(54.2)],
];

describe("parseNumber", () => {
  it.each(cases)("reads %j", (text, expected) => expect(parseNumber(text)).toEqual(expected));

  it.each([
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
    "1".repeat(65),
    "1e1000",
    "1e-1000x",
    "x1",
    "1x",
    "e5",
    "+",
    ".",
    "1 20",
    "1 2000",
    "12 34 567",
    "0,200,000",
    "0.200.000",
    "1,2000,000",
    "1234,567,890",
    "1,200.",
    "1.200,5x",
    "1,200.5.5",
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
