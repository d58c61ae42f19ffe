/**
 * Measures the finished page in a real browser: `npm run bench -- page`.
 *
 * Two reports, written by the built command: the demo farm, and 60 field-seasons × 8 varieties × 6 rates × 4 blocks.
 */
import { statSync } from "node:fs";
import { join } from "node:path";
import { findBrowser } from "../../browser/find-browser.mjs";
import { putAtMost, putRow } from "../bars.ts";
import { ownFolder, runCommand } from "../command/run-command.ts";
import { writeNetwork } from "../scale/write-network.ts";
import { say, table } from "../table.ts";
import { measurePage, type PageTimes } from "./measure-page.ts";

const folder = ownFolder();
const demo = join(folder, "demo.html");
const large = join(folder, "large.html");
const network = join(folder, "network.csv");
const seasons = ["2024", "2025", "2026"].map((season) => `data-demo/strips-${season}.csv`);
runCommand(
  ["report", ...seasons, "--lots", "data-demo/lots.csv", "--season", "data-demo/season.yaml", "-o", demo],
  1,
);
writeNetwork([network], 60 * 8 * 6 * 4);
const writing = runCommand(["report", network, "-o", large], 3);
const megabytes = statSync(large).size / 1e6;
putAtMost("report of 11,520 strips, size", megabytes, "MB", 6);
putAtMost("report of 11,520 strips, written from a cold start", writing.wallSeconds, "s", null);
putAtMost("report of 11,520 strips, memory", writing.peakMb, "MB", null);

const browser = findBrowser();
if (browser === null) {
  say("No Chromium found: the page is NOT measured. Name one in CHROMIUM.");
  putRow("pages in a browser", "not measured: no browser");
} else void measure(browser);

async function measure(path: string): Promise<void> {
  const runs = 5;
  const demoTimes = await measurePage(path, demo, runs);
  const largeTimes = await measurePage(path, large, runs);
  const cells = (of: (times: PageTimes) => number): string[] =>
    [demoTimes, largeTimes].map((times) => of(times).toFixed(0));
  table(
    [`milliseconds, median of ${runs} openings`, "demo", "11,520 strips"],
    [
      ["first paint", ...cells((times) => times.firstPaint)],
      ["first paint, scripts off", ...cells((times) => times.firstPaintScriptsOff)],
      ["read to its end", ...cells((times) => times.read)],
      ["prices can be moved", ...cells((times) => times.alive)],
      ["a price moved: decided", ...cells((times) => times.decided)],
      ["a price moved: redrawn in sight", ...cells((times) => times.inSight)],
      ["a price moved: all redrawn", ...cells((times) => times.redrawn)],
      ["a price moved: shown", ...cells((times) => times.shown)],
      ["a folded part opened: drawn", ...cells((times) => times.unfolded)],
    ],
  );
  say(`The report of 11,520 strips has ${megabytes.toFixed(2)} MB.\n`);
  putAtMost("demo report, first paint with scripts off", demoTimes.firstPaintScriptsOff, "ms", null);
  putRow("demo report, a price moved: redrawn in sight", `${demoTimes.inSight.toFixed(0)} ms`);
  putAtMost("demo report, a price moved: all redrawn", demoTimes.redrawn, "ms", 50);
  putAtMost("report of 11,520 strips, opened and alive", largeTimes.alive / 1000, "s", 2);
  putAtMost("report of 11,520 strips, a price moved: all redrawn", largeTimes.redrawn, "ms", 120);
}
