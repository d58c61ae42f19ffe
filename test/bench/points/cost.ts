/** What the command costs on a harvest of 100,000 points and on ten such files, as from ten combines of one field. */
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { simulateHarvest, simulatedStrips } from "../../simulate-harvest.ts";
import { putAtMost } from "../bars.ts";
import { ownFolder, runCommand, usageCells } from "../command/run-command.ts";
import { table } from "../table.ts";

const files = 10;

/** Puts the rows of the bars on time, memory and growth. */
export function measureCost(): void {
  const folder = ownFolder();
  const path = (name: string): string => join(folder, name);
  // Each combine errs in its own way: points that are alike would be counted once.
  const harvestOf = (seed: number) =>
    simulateHarvest({
      seed,
      strips: simulatedStrips(1),
      combineM: 7.3152,
      path: "throughout",
      overlapM: 0.2,
      lengthM: 800,
      everyS: 0.175,
    });
  const made = harvestOf(1);
  writeFileSync(path("seeded.csv"), made.seededCsv);
  const yields = Array.from({ length: files }, (_, f) => path(`yield-${f}.csv`));
  yields.forEach((name, f) => writeFileSync(name, (f === 0 ? made : harvestOf(f + 1)).yieldCsv));
  const use = (paths: string[], times: number) =>
    runCommand(
      ["strips", ...paths, "--seeded", path("seeded.csv"), "-o", path("strips.csv"), "--overwrite"],
      times,
    );
  const [one, ten] = [use(yields.slice(0, 1), 3), use(yields, 1)];
  const points = (count: number): string => `${count.toLocaleString("en")} points`;
  table(
    ["strips", "wall s", "cpu s", "peak MB"],
    [
      [points(made.points), ...usageCells(one)],
      [points(files * made.points), ...usageCells(ten)],
    ],
  );
  putAtMost(`strips from ${points(made.points)}`, one.wallSeconds, "s", 5);
  putAtMost(`strips from ${points(made.points)}, memory`, one.peakMb, "MB", 500);
  putAtMost(`strips from ${points(files * made.points)} in ten files`, ten.wallSeconds, "s", 60);
  putAtMost(
    `strips, growth from ${points(made.points)} to ten times as many, exponent`,
    Math.log10(ten.cpuSeconds / one.cpuSeconds),
    "",
    1.1,
  );
}
