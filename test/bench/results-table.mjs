/** The rows of a benchmark told: on the terminal, and as the table between two markers in a Markdown file. */
import { readFileSync, writeFileSync } from "node:fs";
import { format, resolveConfig } from "prettier";

const markers = ["<!-- results of npm run bench -->", "<!-- end of results -->"];
const metWord = { true: "yes", false: "**no**", null: "" };

/** One line a row; what is not met stands out. */
export function printResults(results) {
  const rows = results.flatMap(({ rows }) => rows);
  const width = (name) => Math.max(...rows.map((row) => row[name].length));
  const widths = { what: width("what"), measured: width("measured"), bar: width("bar") };
  const unmet = rows.filter(({ met }) => met === false).length;
  const barred = rows.filter(({ met }) => met !== null).length;
  console.log("── bars ──\n");
  for (const { what, measured, bar, met } of rows)
    console.log(
      `${what.padEnd(widths.what)}  ${measured.padStart(widths.measured)}  ${bar.padStart(widths.bar)}  ${met === null ? "" : met ? "met" : "NOT MET"}`.trimEnd(),
    );
  console.log(`\n${barred - unmet} of ${barred} bars met.`);
}

/** Puts the table in the place of the last one. */
export async function writeResults(path, machine, results) {
  const text = readFileSync(path, "utf8");
  const [start, end] = [text.indexOf(markers[0]), text.indexOf(markers[1])];
  if (start < 0 || end < start) throw new Error(`${path} has lost its markers ${markers.join(" … ")}.`);
  const lines = results.flatMap(({ part, rows }) =>
    rows.map(
      ({ what, measured, bar, met }) => `| ${part} | ${what} | ${measured} | ${bar} | ${metWord[met]} |`,
    ),
  );
  const table = ["| part | what | measured | bar | met |", "| --- | --- | --: | --: | --- |", ...lines];
  const section = [markers[0], "", `Measured on ${machine}.`, "", ...table, "", ""].join("\n");
  const written = `${text.slice(0, start)}${section}${text.slice(end)}`;
  writeFileSync(path, await format(written, { ...(await resolveConfig(path)), filepath: path }));
}
