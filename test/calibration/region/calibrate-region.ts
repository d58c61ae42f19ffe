/**
 * `npm run calibrate:region [-- REGIONS JUDGED]`: what leaning on a region earns on simulated farms, written to `results.md`.
 *
 * `--scores FILE` keeps each region's scores there, too, one a line, and `--from FILE` writes the table from scores that
 * were kept; `--family NAME` takes one family alone, of which there are scores but no table.
 */
import { readFileSync, writeFileSync } from "node:fs";
import { parseArgs } from "node:util";
import { tellGround } from "./by-ground.ts";
import { seasonCounts, tellRegions } from "./results-table.ts";
import { scoreRegion, type RegionScores } from "./score-region.ts";
import { regionFamilies } from "./simulate-region.ts";

const { values: asked, positionals } = parseArgs({
  allowPositionals: true,
  options: { scores: { type: "string" }, from: { type: "string" }, family: { type: "string" } },
});
const regions = Number(positionals[0] ?? 12);
const judged = Number(positionals[1] ?? 6);
const chosen = regionFamilies.filter(({ name }) => asked.family === undefined || name === asked.family);
if (chosen.length === 0) throw new Error(`There is no family "${asked.family!}".`);

const scoreAll = (): RegionScores[] =>
  chosen.flatMap((family) =>
    seasonCounts.flatMap((seasons) =>
      Array.from({ length: regions }, (_, number) => scoreRegion(family, seasons, number, judged)),
    ),
  );

const scored =
  asked.from === undefined
    ? scoreAll()
    : readFileSync(asked.from, "utf8")
        .trim()
        .split("\n")
        .map((line) => JSON.parse(line) as RegionScores);
const lines = scored.map((one) => `${JSON.stringify(one)}\n`).join("");
if (asked.scores !== undefined) writeFileSync(asked.scores, lines);
if (asked.family === undefined) {
  const page = `${tellRegions(scored, regions, judged)}\n${tellGround(8 * regions)}`;
  writeFileSync("test/calibration/region/results.md", page);
  process.stdout.write(page);
} else if (asked.scores === undefined) process.stdout.write(lines);
