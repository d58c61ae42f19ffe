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
import { readLots, type LotsRead } from "../read/lots.ts";
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
import type { Settings, UnitChoice } from "../vocabulary/settings.ts";
import { TrialError, type Finding, type Trial } from "../vocabulary/trial.ts";
import { takeFiles, type FarmFile, type FileKind } from "./farm-files.ts";
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
  const taken = await takeFiles(files);
  for (const { as, problem, name } of taken) {
    if (problem !== null) throw problem;
    if (as === null) throw fileUnknown(name);
  }
  const ofKind = (kind: FileKind): FarmFile[] => files.filter((_, index) => taken[index]!.as === kind);
  const answersFile = onlyOne("the answers", ofKind("answers"));
  const answers = answersFile === null ? given : mergeAnswers(readAnswers(answersFile), given);
  const seasonFile = onlyOne("the season file", ofKind("season"));
  const seasonOf = seasonInPart ? readFarmSeasonInPart : readFarmSeason;
  const asSaid = seasonOf(seasonFile, typed);
  const stripFiles = ofKind("strips");
  const wanted = stripFiles.flatMap(({ sheets = [] }) => sheets);
  const sheets = await openStrips(stripFiles, wanted, answers);
  const tables = sheets.strips;
  const lotsFiles = ofKind("lots");
  const lotsFrom = lotsFiles.length > 0 ? lotsFiles : sheets.lots;
  const readWith = async (season: FarmSeason): Promise<ReadParts & { season: FarmSeason }> => {
    const lots = await readFarmLots(lotsFrom, season.settings, season.units, answers);
    // Always in the same order, because the result lists them.
    const lotsInOrder = [...lots.lots].sort((a, b) => compareNames(a.variety, b.variety));
    const settings = { ...season.settings, lots: lotsInOrder };
    const trial = tables.length === 0 ? noStrips : readTrial(tables, settings, season.units, answers);
    return { season, lots, settings, trial };
  };
  const first = await readWith(asSaid);
  const readAs = (usual: UsualSeason): ReturnType<typeof readWith> | typeof first =>
    Object.keys(usual).length === 0 ? first : readWith(seasonOf(seasonFile, typed, null, usual));
  const told = toldByFiles(first);
  const again = await readAs(told);
  const usual = heldOf(told, again);
  const { season, lots, settings, trial } =
    Object.keys(usual).length === Object.keys(told).length ? again : await readAs(usual);
  const pointsPassedOver = [...ofKind("harvested"), ...ofKind("seeded")].map(({ name }) =>
    pointsNotUsed(name),
  );
  const seedPrice = typed.find(({ key }) => key === "seed_price");
  const region = onlyOne("the region", ofKind("region"));
  const alone: Farm = {
    trial: {
      ...trial,
      findings: [
        ...season.findings,
        ...saidByFiles(usual),
        ...lots.findings,
        ...sheets.findings,
        ...trial.findings,
      ],
    },
    settings,
    units: season.units,
    answers,
    files: taken,
    stripFiles: tables.map(({ file }) => file).sort(),
    earlier: onlyOne("the earlier result", ofKind("result")),
    remarks:
      seedPrice !== undefined && everyVarietyPriced(trial, settings)
        ? [...pointsPassedOver, seedPriceNotUsed(seedPrice.from)]
        : pointsPassedOver,
  };
  return region === null ? alone : leanOnRegion(alone, region);
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
  const { lots, places, findings } = oneLotEach(
    sheets.map((sheet) => readLots(sheet, settings, units, answers)),
  );
  const doubts = lots.flatMap((lot, index) => {
    const { file, row } = places[index]!;
    return checkLot(lot, settings, units, {
      where: (column) => lotCell(file, row, column),
      cell: (column) => ({ file, row, column }),
    });
  });
  return { lots, places, findings: [...beside, ...findings, ...doubts] };
}

/** The first lot of each variety, with a finding for every further one. */
function oneLotEach(read: readonly LotsRead[]): LotsRead {
  const all = read.flatMap(({ lots, places }) => lots.map((lot, index) => ({ lot, place: places[index]! })));
  const first = new Map(all.toReversed().map((one) => [one.lot.variety, one]));
  const kept = all.filter((one) => first.get(one.lot.variety) === one);
  const others = all.filter((one) => first.get(one.lot.variety) !== one);
  return {
    lots: kept.map(({ lot }) => lot),
    places: kept.map(({ place }) => place),
    findings: [
      ...read.flatMap(({ findings }) => findings),
      ...others.map(({ lot, place }) =>
        lotOfOtherFile({ ...place, column: "variety", value: lot.variety }, first.get(lot.variety)!.place),
      ),
    ],
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
