/**
 * What a measurement says of a bar: a row of the table that `npm run bench` prints and writes into DEVELOPERS.md.
 *
 * Rows go as JSON lines, `{"what", "measured", "bar", "met"}`, to the file named in STRIPCURVE_BARS; without it, nowhere.
 */
import { appendFileSync } from "node:fs";

/** A row of the table: `met` is null where a number stands without a bar. */
export function putRow(what: string, measured: string, bar = "", met: boolean | null = null): void {
  const path = process.env["STRIPCURVE_BARS"];
  if (path !== undefined) appendFileSync(path, `${JSON.stringify({ what, measured, bar, met })}\n`);
}

/** A row whose number must not exceed the bar; with no bar it is only told. */
export function putAtMost(what: string, value: number, unit: string, bar: number | null): void {
  if (bar === null) putRow(what, told(value, unit));
  else putRow(what, told(value, unit), `≤ ${told(bar, unit)}`, value <= bar);
}

/** A row whose number must reach the bar. */
export const putAtLeast = (what: string, value: number, unit: string, bar: number): void =>
  putRow(what, told(value, unit), `≥ ${told(bar, unit)}`, value >= bar);

const told = (value: number, unit: string): string =>
  `${value.toLocaleString("en", { maximumSignificantDigits: value < 100 ? 2 : 3 })} ${unit}`.trim();
