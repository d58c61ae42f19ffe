/**
 * `npm run calibrate:region [-- REGIONS JUDGED]`: what leaning on a region earns on simulated farms, written to `results.md`.
 *
 * `--scores FILE` keeps each region's scores there, too, one a line, and `--from FILE` writes the table from scores that
 * were kept; `--family NAME` takes one family alone, of which there are scores but no table.
 */
import { writeFileSync } from "node:fs";
import { parseArgs } from "node:util";
import { chosenFamilies, scoresOf, scoresOptions } from "../kept-scores.ts";
import { tellGround } from "./by-ground.ts";
import { seasonCounts, tellRegions } from "./results-table.ts";
import { scoreRegion, type RegionScores } from "./score-region.ts";
import { regionFamilies } from "./simulate-region.ts";

const { values: asked, positionals } = parseArgs({ allowPositionals: true, options: scoresOptions });
const regions = Number(positionals[0] ?? 12);
const judged = Number(positionals[1] ?? 6);
const chosen = chosenFamilies(regionFamilies, asked.family);

const scoreAll = (): RegionScores[] =>
  chosen.flatMap((family) =>
    seasonCounts.flatMap((seasons) =>
      Array.from({ length: regions }, (_, number) => scoreRegion(family, seasons, number, judged)),
    ),
  );

async function calibrate(): Promise<void> {
  const scored = await scoresOf(asked, scoreAll);
  if (scored === null) return;
  const page = `${tellRegions(scored, regions, judged)}\n${tellGround(8 * regions)}`;
  writeFileSync("test/calibration/region/results.md", page);
  process.stdout.write(page);
}

void calibrate();
