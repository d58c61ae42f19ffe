/** Measures the built command on the demo farm, from a cold start: `npm run bench -- command`. */
import { statSync } from "node:fs";
import { join } from "node:path";
import { putAtMost } from "../bars.ts";
import { say, table } from "../table.ts";
import { ownFolder, runCommand, usageCells } from "./run-command.ts";

const report = join(ownFolder(), "report.html");
const demo = [
  ...[2024, 2025, 2026].map((season) => `data-demo/strips-${season}.csv`),
  "--lots",
  "data-demo/lots.csv",
  "--season",
  "data-demo/season.yaml",
];
const runs = 5;
const [check, fit, page] = [["check"], ["fit"], ["report", "-o", report]].map(([command, ...rest]) =>
  runCommand([command!, ...demo, ...rest], runs),
) as [ReturnType<typeof runCommand>, ReturnType<typeof runCommand>, ReturnType<typeof runCommand>];
const megabytes = statSync(report).size / 1e6;

table(
  [`demo farm, median of ${runs} runs`, "wall s", "cpu s", "peak MB"],
  [
    ["check", ...usageCells(check)],
    ["fit", ...usageCells(fit)],
    ["report", ...usageCells(page)],
  ],
);
say(`The report has ${megabytes.toFixed(2)} MB.\n`);
putAtMost("demo report from a cold start", page.wallSeconds, "s", 1.5);
putAtMost("demo report, memory", page.peakMb, "MB", 250);
putAtMost("demo report, size", megabytes, "MB", 0.8);
