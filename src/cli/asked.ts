/** From what was typed to what is analysed: season file, options, lots and strips, read in that order. */
import { environmentsOf } from "../vocabulary/environments.ts";
import type { InputFile } from "../read/tables/input-file.ts";
import { readLots, type LotsRead } from "../read/lots.ts";
import { openTable } from "../read/tables/open-table.ts";
import { readSeason, type Season, type TypedEntry } from "../read/season-file/season.ts";
import { readTrial } from "../read/trial-files.ts";
import type { Settings, UnitChoice } from "../vocabulary/settings.ts";
import { TrialError, type Trial } from "../vocabulary/trial.ts";
import { readInput, readInputs, standardStream } from "./files.ts";
import { say, type Progress } from "./messages.ts";
import type { SharedOptions } from "./shared-options.ts";

/** What a command works on. */
export interface Asked {
  /** As read, not yet checked. */
  trial: Trial;
  settings: Settings;
  units: UnitChoice;
  /** Strip files as the person named them. */
  fileNames: string[];
}

/** Options that say what an entry of the season file says; they win over it. */
const seasonOptions = [
  ["units", "units", "--units"],
  ["crop", "crop", "--crop"],
  ["grainPrice", "grain_price", "--grain-price"],
  ["seedPrice", "seed_price", "--seed-price"],
] as const;

const typedEntries = (options: SharedOptions): TypedEntry[] =>
  seasonOptions.flatMap(([name, key, from]) => {
    const text = options[name];
    return text === undefined ? [] : [{ key, text, from }];
  });

const everyVarietyPriced = (trial: Trial, { lots }: Settings): boolean => {
  const priced = new Set(
    lots
      .filter((lot) => lot.pricePerKg !== null || lot.pricePerThousandSeeds !== null)
      .map((lot) => lot.variety),
  );
  return trial.strips.every((strip) => priced.has(strip.variety));
};

/**
 * Settings and units from season file and options.
 *
 * @param more  what further options say of entries of the season file
 * @throws TrialError for a file or an entry that cannot be read or understood
 */
export async function readAskedSeason(
  options: SharedOptions,
  more: readonly TypedEntry[] = [],
): Promise<Season> {
  const file = options.season === undefined ? null : await readInput(options.season);
  return readSeason(file, [...typedEntries(options), ...more]);
}

/**
 * The lots, none where none are given.
 *
 * @throws TrialError for a file that cannot be read or understood
 */
export async function readAskedLots(
  { lots, lotsSheet }: SharedOptions,
  settings: Settings,
  units: UnitChoice,
): Promise<LotsRead> {
  if (lots === undefined) return { lots: [], findings: [] };
  return readLots(await openTable(await readInput(lots), lotsSheet ?? null), settings, units);
}

/** A command that can do without strips works on these. */
const noStrips: Trial = {
  strips: [],
  environments: [],
  columns: [],
  rowsRead: 0,
  rowsLeftOut: 0,
  findings: [],
};

/** The strips of several trials as one. */
export const joinTrials = (trials: readonly Trial[]): Trial => {
  const strips = trials.flatMap((trial) => trial.strips);
  return {
    strips,
    environments: environmentsOf(strips),
    columns: trials.flatMap((trial) => trial.columns),
    rowsRead: trials.reduce((sum, trial) => sum + trial.rowsRead, 0),
    rowsLeftOut: trials.reduce((sum, trial) => sum + trial.rowsLeftOut, 0),
    findings: trials.flatMap((trial) => trial.findings),
  };
};

/**
 * Reads all that a command needs.
 *
 * @throws TrialError whatever cannot be read or understood, with the file and what to do
 */
export async function readAsked(
  paths: readonly string[],
  options: SharedOptions,
  progress: Progress,
): Promise<Asked> {
  const sources = [...paths, options.lots, options.season];
  if (sources.filter((path) => path === standardStream).length > 1) {
    throw new TrialError("standard-input-twice", "Standard input (-) can stand for one file only.");
  }
  progress.at("Reading the strips");
  const { settings: season, units } = await readAskedSeason(options);
  const lots = await readAskedLots(options, season, units);
  const settings = { ...season, lots: lots.lots };
  const files: InputFile[] = [];
  for (const file of await readInputs(paths)) files.push(await openTable(file, options.sheet ?? null));
  const trial = files.length === 0 ? noStrips : readTrial(files, settings, units);
  if (options.seedPrice !== undefined && options.quiet !== true && everyVarietyPriced(trial, settings)) {
    progress.done();
    say("--seed-price is not used: the lots price the seed of every variety.");
  }
  return {
    trial: { ...trial, findings: [...lots.findings, ...trial.findings] },
    settings,
    units,
    fileNames: files.map((file) => file.name),
  };
}
