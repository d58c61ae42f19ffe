/** The rows of a benchmark told: on the terminal, and as the table between two markers in a Markdown file. */
import { writeBetweenMarkers } from "../between-markers.mjs";

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
export function writeResults(path, machine, results) {
  const lines = results.flatMap(({ part, rows }) =>
    rows.map(
      ({ what, measured, bar, met }) => `| ${part} | ${what} | ${measured} | ${bar} | ${metWord[met]} |`,
    ),
  );
  const table = ["| part | what | measured | bar | met |", "| --- | --- | --: | --: | --- |", ...lines];
  writeBetweenMarkers(path, "npm run bench", [`Measured on ${machine}.`, "", ...table]);
}
