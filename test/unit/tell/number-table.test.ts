/** The tables behind the charts: as many rows as somebody reads, and a word where there are more. */
import { expect, it } from "vitest";
import { numberTable } from "../../../src/tell/html/figure.ts";

const table = (rows: number): string =>
  numberTable({
    caption: "Strips",
    head: ["Strip", "Yield"],
    rows: Array.from({ length: rows }, (_, row) => [`strip ${row + 1}`, String(60 + row)]),
  }).text;
const rowsOf = (html: string): number => html.match(/<th scope="row">/g)!.length;

it("a table of a thousand rows shows each of them and says nothing more", () => {
  const html = table(1_000);
  expect(rowsOf(html)).toBe(1_000);
  expect(html).not.toContain("not shown here");
});

it("no line breaks between a minus sign and its currency", () => {
  const rows = [["1.04 million", "−$38", "−$62 to −$16/ac", "−0.02"]];
  const html = numberTable({ caption: "Gain", head: ["Rate", "Gain", "Range", "Shift"], rows }).text;
  expect(html).toContain(">−\u2060$38<");
  expect(html).toContain(">−\u2060$62 to −\u2060$16/ac<");
  expect(html).toContain(">−0.02<");
});

it("of more rows the first thousand are shown, and where the others are is said", () => {
  const html = table(1_003);
  expect(rowsOf(html)).toBe(1_000);
  expect(html).toContain("strip 1000<");
  expect(html).not.toContain("strip 1001<");
  expect(html).toContain("3 more rows are not shown here; stripcurve fit --csv writes all of them.");
  expect(table(1_001)).toContain("1 more row is not shown here; stripcurve fit --csv writes all of them.");
});
