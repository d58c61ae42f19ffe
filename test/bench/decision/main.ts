/**
 * Measures the decision on its own: `npm run bench -- decision`.
 *
 * A decision is all that follows once each variety in each environment is fitted: what to believe of the curves, and the
 * rates that earn most at today's prices. A moved price runs the second part alone.
 */
import { readFileSync } from "node:fs";
import { analyze } from "../../../src/analyze.ts";
import { checkTrial } from "../../../src/check/index.ts";
import { decide, decideAgain } from "../../../src/decide/decide.ts";
import { believeCurves } from "../../../src/model/beliefs/believable-curves.ts";
import { fitSeasons } from "../../../src/model/seasons/fit-seasons.ts";
import { modelObservations } from "../../../src/model/observed/observations.ts";
import { readLots } from "../../../src/read/lots.ts";
import { readSeason } from "../../../src/read/season-file/season.ts";
import { readTrial } from "../../../src/read/trial-files.ts";
import { defaultSettings, defaultUnits, type Settings } from "../../../src/vocabulary/settings.ts";
import type { Trial } from "../../../src/vocabulary/trial.ts";
import { putAtMost } from "../bars.ts";
import { table, time } from "../table.ts";
import { networkInUnits } from "./network.ts";

const demo = readDemo();
const network = networkInUnits(11_520);
table(
  ["the decision, in the engine", "first ms", "then ms", "bar ms", "kept"],
  [
    row("demo: decision", timeDecision(demo.trial, demo.settings, 5), 500),
    row("demo: a price moves", timePriceMove(demo.trial, demo.settings), 20),
    row("60 environments × 8 varieties: decision", timeDecision(network, defaultSettings, 1), 10_000),
    row("60 environments × 8 varieties: a price moves", timePriceMove(network, defaultSettings), null),
  ],
);

interface Time {
  first: number;
  median: number;
}

function timeDecision(asRead: Trial, settings: Settings, runs: number): Time {
  const trial = checkTrial(asRead, settings, defaultUnits);
  const { fits } = fitSeasons(trial, settings);
  const { observations } = modelObservations(trial.strips, settings);
  const { environments } = trial;
  return time(runs, () => {
    const beliefs = believeCurves(fits, settings);
    decide({ fits, beliefs, pooled: [], environments, ...observations }, settings);
  });
}

function timePriceMove(trial: Trial, settings: Settings): Time {
  const result = analyze(trial, settings, defaultUnits);
  let times = 1;
  return time(20, () => {
    times *= 1.01;
    decideAgain(result, { ...settings, grainPricePerKg: times * settings.grainPricePerKg });
  });
}

function row(what: string, { first, median }: Time, bar: number | null): string[] {
  putAtMost(what, median, "ms", bar);
  const kept = bar === null ? "" : median <= bar ? "yes" : "no";
  return [what, first.toFixed(1), median.toFixed(1), bar === null ? "" : String(bar), kept];
}

function readDemo(): { trial: Trial; settings: Settings } {
  const file = (name: string): { name: string; bytes: Uint8Array } => ({
    name,
    bytes: readFileSync(`data-demo/${name}`),
  });
  const { settings, units } = readSeason(file("season.yaml"));
  const { lots } = readLots(file("lots.csv"), settings, units);
  const strips = [2024, 2025, 2026].map((season) => file(`strips-${season}.csv`));
  return { trial: readTrial(strips, settings, units), settings: { ...settings, lots } };
}
