/** From what was typed to what is read: which files, and what the options say of a season file's entries. */
import { dirname, join, resolve } from "node:path";
import { lotsSheetWithoutLots, standardInputTwice } from "../messages/options.ts";
import { fileTwice } from "../messages/reading.ts";
import type { Farm } from "../farm/farm.ts";
import { readFarm, readFarmLots, readFarmSeason, type FarmSeason } from "../farm/read-farm.ts";
import { isFarmArchive, unpackFarm } from "../farm/farm-archive.ts";
import { takeEach, takeFiles, type FarmFile, type FileKind } from "../farm/farm-files.ts";
import { answersFileName, noAnswers, type Answers } from "../read/answers/answers.ts";
import { readAnswers } from "../read/answers/answers-file.ts";
import type { LotsRead } from "../read/lots.ts";
import type { Season, TypedEntry } from "../read/season-file/season.ts";
import type { Settings, UnitChoice } from "../vocabulary/settings.ts";
import { notStrips, pointsAsStrips } from "../messages/files.ts";
import { isLayerArchive } from "../points/layer-archive.ts";
import { isWorkbook } from "../read/tables/open-sheets.ts";
import { isThere, readInput, standardStream } from "./files.ts";
import { makeRoomFor } from "./memory.ts";
import { say, type Progress } from "./messages.ts";
import type { SharedOptions } from "./shared-options.ts";

/** Options that say what an entry of the season file says; they win over it. */
const seasonOptions = [
  ["units", "units", "--units"],
  ["crop", "crop", "--crop"],
  ["grainPrice", "grain_price", "--grain-price"],
  ["seedPrice", "seed_price", "--seed-price"],
  ["rateNow", "rate_now", "--rate-now"],
] as const;

const typedEntries = (options: SharedOptions): TypedEntry[] =>
  seasonOptions.flatMap(([name, key, from]) => {
    const text = options[name];
    return text === undefined ? [] : [{ key, text, from }];
  });

const sheetsOf = (name: string | undefined): string[] => (name === undefined ? [] : [name]);

/**
 * Settings and units from season file and options.
 *
 * @param more  what further options say of entries of the season file
 * @param base  what holds without a season file; without it the defaults
 * @throws TrialError for a file or an entry that cannot be read or understood
 */
export async function readAskedSeason(
  options: SharedOptions,
  more: readonly TypedEntry[] = [],
  base: Season | null = null,
): Promise<FarmSeason> {
  const file = options.season === undefined ? null : await readInput(options.season);
  return readFarmSeason(file, [...typedEntries(options), ...more], file === null ? base : null);
}

const lotsFiles = (paths: readonly string[] = [], sheet?: string): Promise<FarmFile[]> =>
  Promise.all(
    paths.map(async (path): Promise<FarmFile> => ({
      ...(await readInput(path)),
      as: "lots",
      sheets: sheetsOf(sheet),
    })),
  );

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
  return readFarmLots(await lotsFiles(lots, lotsSheet), settings, units);
}

/** Where the answers are: as told, else beside the first file; null where there are none. */
export async function answersPath(
  paths: readonly string[],
  { answers }: SharedOptions,
): Promise<string | null> {
  if (answers !== undefined) return answers;
  const [first] = paths;
  if (first === undefined || first === standardStream) return null;
  const beside = join(dirname(first), answersFileName);
  return (await isThere(beside)) ? beside : null;
}

/** Where files belong that were given as strips and are something else. Lots are recognized where strips are read. */
const optionOfKind: Partial<Record<FileKind, { what: string; flag: string }>> = {
  season: { what: "a season file", flag: "--season" },
  answers: { what: "a file of answers about columns", flag: "--answers" },
  result: { what: "an earlier result", flag: "report --since" },
  region: { what: "a region", flag: "--region" },
};

/** A file of strips; or all that is in a farm file, but for what an option gives. */
async function filesAt(path: string, { lots, season, region, sheet }: SharedOptions): Promise<FarmFile[]> {
  const file = await readInput(path);
  if (!isFarmArchive(file)) {
    const [taken] = isWorkbook(file) && !isLayerArchive(file) ? [] : await takeFiles([file]);
    if (taken?.as === "harvested" || taken?.as === "seeded")
      throw pointsAsStrips(path, taken.as === "harvested");
    const option = optionOfKind[taken?.as ?? "strips"];
    if (option !== undefined) throw notStrips(path, option.what, option.flag);
    return [{ ...file, as: "strips", sheets: sheet }];
  }
  const inside = await takeEach(unpackFarm([file]));
  const given: Partial<Record<FileKind, unknown>> = { lots, season, region };
  return inside.flatMap((one) => (given[one.as ?? "strips"] === undefined ? [one.file] : []));
}

/**
 * What was answered about the files, nothing where there is no file of answers.
 *
 * @throws TrialError as `readAnswers` does
 */
export async function readAskedAnswers(paths: readonly string[], options: SharedOptions): Promise<Answers> {
  const path = await answersPath(paths, options);
  return path === null ? noAnswers : readAnswers(await readInput(path, false));
}

/**
 * Reads all that a command needs.
 *
 * @param given         answers; without them those that are found
 * @param seasonInPart  whether the season file may have faults
 * @throws TrialError whatever cannot be read or understood, with the file and what to do
 */
export async function readAsked(
  paths: readonly string[],
  options: SharedOptions,
  progress: Progress,
  given?: Answers,
  seasonInPart = false,
): Promise<Farm> {
  const sources = [...paths, ...(options.lots ?? []), options.season];
  if (sources.filter((path) => path === standardStream).length > 1) throw standardInputTwice();
  const twice = paths.find((path, index) => paths.findIndex((one) => resolve(one) === resolve(path)) < index);
  if (twice !== undefined) throw fileTwice(twice);
  if (options.lotsSheet !== undefined && options.lots === undefined)
    throw lotsSheetWithoutLots(options.lotsSheet);
  progress.at("Reading the strips");
  const files: FarmFile[] = [];
  const answers = given ?? (await readAskedAnswers(paths, options));
  if (options.season !== undefined) files.push({ ...(await readInput(options.season)), as: "season" });
  files.push(...(await lotsFiles(options.lots, options.lotsSheet)));
  for (const path of paths) files.push(...(await filesAt(path, options)));
  if (options.region !== undefined) files.push({ ...(await readInput(options.region)), as: "region" });
  makeRoomFor(files);
  const farm = await readFarm(files, { typed: typedEntries(options), answers, seasonInPart });
  if (farm.remarks.length > 0 && options.quiet !== true) {
    progress.done();
    farm.remarks.forEach(say);
  }
  return farm;
}
