/** A farm's files → everything that the analysis needs. */
import { checkTrial } from "../check/index.ts";
import { checkLot, checkSettings } from "../check/lots.ts";
import { lotCell } from "../messages/ranges.ts";
import {
  fileUnknown,
  filesOfOneKind,
  lotsBesideStrips,
  pointsNotUsed,
  seedPriceNotUsed,
} from "../messages/files.ts";
import { readLots, type LotPlace, type LotsRead } from "../read/lots.ts";
import { lotOfOtherFile } from "../messages/lots.ts";
import { seasonEntryLeftOut, seasonProblemText } from "../messages/season.ts";
import {
  readSeason,
  readSeasonInPart,
  type Season,
  type TypedEntry,
  type UsualSeason,
} from "../read/season-file/season.ts";
import { mergeAnswers, noAnswers, type Answers } from "../read/answers/answers.ts";
import { readAnswers } from "../read/answers/answers-file.ts";
import type { InputFile } from "../read/tables/input-file.ts";
import { openLots, openStrips } from "../read/tables/open-sheets.ts";
import type { Sheet } from "../read/tables/sheet.ts";
import { readTrial } from "../read/trial-files.ts";
import { environmentsOf } from "../vocabulary/environments.ts";
import type { Lot, Settings, UnitChoice } from "../vocabulary/settings.ts";
import { TrialError, type Finding, type Trial } from "../vocabulary/trial.ts";
import { takeEach, type FarmFile, type FileKind, type TakenFile } from "./farm-files.ts";
import type { Farm } from "./farm.ts";
import { leanOnRegion } from "./region.ts";
import { heldOf, saidByFiles, toldByFiles, type ReadParts } from "./told-by-files.ts";

export interface FarmOptions {
  /** Entries of the season file that are given elsewhere, such as `{ key: "crop", text: "barley", from: "--crop" }`. */
  typed?: readonly TypedEntry[];
  /** What was answered about the files; it overrides a file of answers among them. */
  answers?: Answers;
  /** Whether season-file entries that cannot be used are left out and reported instead of thrown. */
  seasonInPart?: boolean;
}

/** Settings and units, with the findings on them. */
export interface FarmSeason extends Season {
  findings: Finding[];
}

/** These kinds of file are useful even without strips. */
const noStrips: Trial = {
  strips: [],
  environments: [],
  columns: [],
  rowsRead: 0,
  rowsLeftOut: 0,
  findings: [],
};

/**
 * Reads all files of a farm: season file first, then lots, then strips. Without strips the trial is empty.
 *
 * @param files in any order; what each is, is given by `as` or recognized by its content
 * @throws TrialError `file-unknown`; `file-kind-twice` for two season files, files of answers, earlier results or regions; and
 *   whatever cannot be read or understood, with the file and what to do: see `readSeason`, `readLots`, `readTrial`, `openStrips`
 */
export async function readFarm(
  files: readonly FarmFile[],
  { typed = [], answers: given = noAnswers, seasonInPart = false }: FarmOptions = {},
): Promise<Farm> {
  const taken = await takeEach(files);
  checkKinds(taken);
  const ofKind = (kind: FileKind): FarmFile[] => taken.flatMap(({ as, file }) => (as === kind ? [file] : []));
  const answersFile = onlyOne("the answers", ofKind("answers"));
  const answers = answersFile === null ? given : mergeAnswers(readAnswers(answersFile), given);
  const seasonFile = onlyOne("the season file", ofKind("season"));
  const seasonAs = (usual: UsualSeason): FarmSeason =>
    (seasonInPart ? readFarmSeasonInPart : readFarmSeason)(seasonFile, typed, null, usual);
  const asSaid = seasonAs({});
  const tables = await openTables(ofKind("strips"), ofKind("lots"), answers);
  const first = await readParts(asSaid, tables, answers);
  const { parts, usual } = await asFilesTell(first, (told) => readParts(seasonAs(told), tables, answers));
  const { season, lots, settings, trial } = parts;
  const region = onlyOne("the region", ofKind("region"));
  const alone: Farm = {
    trial: {
      ...trial,
      findings: [
        // A price that every variety's lot replaces is used nowhere.
        ...season.findings.filter(
          ({ column }) => column !== "seed_price" || !everyVarietyPriced(trial, settings),
        ),
        ...saidByFiles(usual),
        ...lots.findings,
        ...tables.findings,
        ...trial.findings,
      ],
    },
    settings,
    units: season.units,
    answers,
    files: taken,
    stripFiles: tables.strips.map(({ file }) => file).sort(),
    earlier: onlyOne("the earlier result", ofKind("result")),
    remarks: [
      ...[...ofKind("harvested"), ...ofKind("seeded")].map(({ name }) => pointsNotUsed(name)),
      ...remarksOnSeedPrice(typed, trial, settings),
    ],
  };
  return region === null ? alone : leanOnRegion(alone, region);
}

/** @throws TrialError for the first file that cannot be read, or whose kind is not known */
function checkKinds(taken: readonly TakenFile[]): void {
  for (const { as, problem, name } of taken) {
    if (problem !== null) throw problem;
    if (as === null) throw fileUnknown(name);
  }
}

/** A farm's tables of strips, and where its lots are. */
interface FarmTables {
  strips: readonly Sheet[];
  lots: readonly FarmFile[] | readonly Sheet[];
  findings: readonly Finding[];
}

/** Lots have files of their own, or else sheets beside the strips. */
async function openTables(
  stripFiles: readonly FarmFile[],
  lotsFiles: readonly FarmFile[],
  answers: Answers,
): Promise<FarmTables> {
  const wanted = stripFiles.flatMap(({ sheets = [] }) => sheets);
  const { strips, lots, findings } = await openStrips(stripFiles, wanted, answers);
  return { strips, lots: lotsFiles.length > 0 ? lotsFiles : lots, findings };
}

interface FarmParts extends ReadParts {
  season: FarmSeason;
}

/** Lots, then strips, as the season has them. */
async function readParts(season: FarmSeason, tables: FarmTables, answers: Answers): Promise<FarmParts> {
  const lots = await readFarmLots(tables.lots, season.settings, season.units, answers);
  // Always in the same order, because the result lists them.
  const lotsInOrder = [...lots.lots].sort((a, b) => compareNames(a.variety, b.variety));
  const settings = { ...season.settings, lots: lotsInOrder };
  const trial =
    tables.strips.length === 0 ? noStrips : readTrial(tables.strips, settings, season.units, answers);
  return { season, lots, settings, trial };
}

/**
 * The parts with the crop, units and currency that the files themselves tell, as far as these hold once read so.
 *
 * @param first  read with what was said alone
 */
async function asFilesTell(
  first: FarmParts,
  readWith: (usual: UsualSeason) => Promise<FarmParts>,
): Promise<{ parts: FarmParts; usual: UsualSeason }> {
  const count = (usual: UsualSeason): number => Object.keys(usual).length;
  const partsAs = async (usual: UsualSeason): Promise<FarmParts> =>
    count(usual) === 0 ? first : readWith(usual);
  const told = toldByFiles(first);
  const again = await partsAs(told);
  const usual = heldOf(told, again);
  return { parts: count(usual) === count(told) ? again : await partsAs(usual), usual };
}

/** A seed price for all is of no use where every variety's lot has one. */
function remarksOnSeedPrice(typed: readonly TypedEntry[], trial: Trial, settings: Settings): string[] {
  const seedPrice = typed.find(({ key }) => key === "seed_price");
  return seedPrice !== undefined && everyVarietyPriced(trial, settings)
    ? [seedPriceNotUsed(seedPrice.from)]
    : [];
}

const compareNames = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

/**
 * The lots of files, or of sheets with lots beside the strips, if there are any. Of several lots of a variety, the
 * first is used.
 *
 * @throws TrialError as `readLots` and `openLots` do, `value-out-of-range` for what no lot can be
 */
export async function readFarmLots(
  from: readonly FarmFile[] | readonly Sheet[],
  settings: Settings,
  units: UnitChoice,
  answers: Answers = noAnswers,
): Promise<LotsRead> {
  const sheets = await Promise.all(
    from.map(async (one) => ("bytes" in one ? openLots(one, one.sheets?.[0] ?? null, answers) : one)),
  );
  const beside = from.flatMap((one) => ("bytes" in one ? [] : [lotsBesideStrips(one.file)]));
  const read = sheets.map((sheet) => readLots(sheet, settings, units, answers));
  const all = read.flatMap(({ lots, places }) => lots.map((lot, index) => ({ lot, place: places[index]! })));
  const { kept, findings } = oneLotEach(all);
  const doubts = kept.flatMap(({ lot, place: { file, row } }) =>
    checkLot(lot, settings, units, {
      where: (column) => lotCell(file, row, column),
      cell: (column) => ({ file, row, column }),
    }),
  );
  return {
    lots: kept.map(({ lot }) => lot),
    places: kept.map(({ place }) => place),
    findings: [...beside, ...read.flatMap((one) => one.findings), ...findings, ...doubts],
  };
}

interface PlacedLot {
  lot: Lot;
  place: LotPlace;
}

/** The first lot of each variety, with a finding for every further one. */
function oneLotEach(all: readonly PlacedLot[]): { kept: PlacedLot[]; findings: Finding[] } {
  const first = new Map(all.toReversed().map((one) => [one.lot.variety, one]));
  const kept = all.filter((one) => first.get(one.lot.variety) === one);
  const others = all.filter((one) => first.get(one.lot.variety) !== one);
  return {
    kept,
    findings: others.map(({ lot, place }) =>
      lotOfOtherFile({ ...place, column: "variety", value: lot.variety }, first.get(lot.variety)!.place),
    ),
  };
}

/**
 * Settings and units from a season file and from what was typed.
 *
 * @param base  used where neither says anything; the defaults unless given
 * @param usual what the files themselves show of crop, units and currency, used if nobody gives them
 * @throws TrialError as `readSeason` does; `value-out-of-range` for prices and rates that cannot be
 */
export function readFarmSeason(
  file: InputFile | null,
  typed: readonly TypedEntry[],
  base: Season | null = null,
  usual: UsualSeason = {},
): FarmSeason {
  const season = readSeason(file, typed, base, usual);
  const whereIs = (key: string): string => placeOfEntry(key, file, typed);
  return { ...season, findings: checkSettings(season.settings, season.units, whereIs) };
}

/**
 * The same for a season file with faults: entries that cannot be used are left out and reported.
 *
 * @throws TrialError as `readSeasonInPart` does; `value-out-of-range` for what was typed besides
 */
function readFarmSeasonInPart(
  file: InputFile | null,
  typed: readonly TypedEntry[],
  base: Season | null = null,
  usual: UsualSeason = {},
): FarmSeason {
  const without = new Set<string>();
  const impossible: Finding[] = [];
  for (;;) {
    const { season, leftOut } = readSeasonInPart(file, typed, base, usual, without);
    let key = "";
    const whereIs = (one: string): string => {
      key = one;
      return placeOfEntry(one, file, typed);
    };
    try {
      const doubts = checkSettings(season.settings, season.units, whereIs);
      const said = leftOut.map((problem) => seasonEntryLeftOut(seasonProblemText(problem)));
      return { ...season, findings: [...said, ...impossible, ...doubts] };
    } catch (error) {
      const isOfFile = !without.has(key) && typed.every((entry) => entry.key !== key);
      if (!(error instanceof TrialError) || key === "" || !isOfFile) throw error;
      without.add(key);
      impossible.push(seasonEntryLeftOut(error.message));
    }
  }
}

const placeOfEntry = (key: string, file: InputFile | null, typed: readonly TypedEntry[]): string =>
  typed.find((entry) => entry.key === key)?.from ?? (file === null ? key : `${file.name}, ${key}`);

/** The strips after checking: impossible ones left out, doubts reported. */
export const checkFarm = ({ trial, settings, units }: Farm): Trial => checkTrial(trial, settings, units);

function onlyOne(what: string, files: FarmFile[]): FarmFile | null {
  if (files.length > 1)
    throw filesOfOneKind(
      what,
      files.map(({ name }) => name),
    );
  return files[0] ?? null;
}

const everyVarietyPriced = (trial: Trial, { lots }: Settings): boolean => {
  const priced = new Set(
    lots
      .filter((lot) => lot.pricePerKg !== null || lot.pricePerThousandSeeds !== null)
      .map((lot) => lot.variety),
  );
  return trial.strips.every((strip) => priced.has(strip.variety));
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
