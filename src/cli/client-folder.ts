/** A folder of clients: which file in it is whose, and what keeps a client from being read. */
import { joinClients, type Client, type ClientTrouble, type Clients } from "../farm/clients.ts";
import type { Farm } from "../farm/farm.ts";
import { clientInPart, clientWithoutStrips, notATable, secondOfItsKind } from "../messages/files.ts";
import { finding } from "../messages/finding.ts";
import { reasonsOfEntriesLeftOut, seasonEntriesLeftOut } from "../messages/season.ts";
import { capitalized, counted, listed } from "../numbers/written-numbers.ts";
import { answersFileName, noAnswers, type Answers } from "../read/answers/answers.ts";
import { fileBaseName } from "../read/tables/beside-table.ts";
import { holdsWhat, openSheets } from "../read/tables/open-sheets.ts";
import { TrialError } from "../vocabulary/trial.ts";
import { answersPath, readAsked, readAskedLots, readAskedSeason } from "./asked.ts";
import { listFolder, readInput, type FolderEntry } from "./files.ts";
import { say, type Progress } from "./messages.ts";
import type { SharedOptions } from "./shared-options.ts";

const table = /\.(?:csv|tsv|txt|xlsx)$/i;
const lotsFile = /^lots\.(?:csv|tsv|txt|xlsx)$/i;
const seasonFile = /^season\.ya?ml$/i;
const answersFile = new RegExp(`^${answersFileName.replace(".", "\\.")}$`, "i");

/**
 * The one folder that was given.
 *
 * @throws TrialError `folder-and-files` where there is more
 */
export function onlyFolder(paths: readonly string[]): string {
  if (paths.length > 1)
    throw new TrialError("folder-and-files", "Give one folder of clients and nothing else, or files.");
  return paths[0]!;
}

/** What a folder says of strips, lots and season. */
interface Found {
  strips: FolderEntry[];
  folders: FolderEntry[];
  lots: string | undefined;
  season: string | undefined;
  answers: string | undefined;
  /** Further files of lots or season, where only one is allowed. */
  second: ClientTrouble[];
  others: string[];
}

/**
 * A folder of clients: each file of strips in it is a client, and so is each folder with files of strips. A `lots.csv` or
 * `season.yaml` or `columns.yaml` beside a client's strips is that client's; one beside the clients is for those who have none.
 *
 * A client that cannot be read is left out with what to do, and one whose season file, lots or answers cannot be is read without.
 *
 * @throws TrialError `folder-without-clients` where no client can be read; for what holds for all clients
 */
export async function readClients(
  folder: string,
  options: SharedOptions,
  progress: Progress,
): Promise<Clients> {
  const home = sorted(await listFolder(folder));
  const shared: SharedOptions = {
    ...options,
    lots: options.lots ?? onlyIfThere(home.lots),
    season: options.season ?? home.season,
    ...(home.answers === undefined ? {} : { answers: options.answers ?? home.answers }),
  };
  const clients: Client[] = [];
  const troubles: ClientTrouble[] = [...home.others.map((path) => stray(path)), ...home.second];
  const folderNames = home.folders.map(({ name }) => name);
  /** A file's name tells whose it is, without its ending, unless another's is the same. */
  const clientOf = ({ name }: FolderEntry): string => {
    const short = name.replace(table, "");
    const alike = [...home.strips.map((entry) => entry.name.replace(table, "")), ...folderNames];
    return alike.filter((one) => one === short).length > 1 ? name : short;
  };
  const read = async (name: string, strips: FolderEntry[], own: SharedOptions): Promise<void> => {
    const { farm, trouble } = await readClient(
      name,
      strips.map(({ path }) => path),
      own,
      progress,
    );
    if (farm !== null) clients.push({ name, farm });
    if (trouble !== null) troubles.push(trouble);
  };
  for (const entry of home.strips) {
    if (await isStray(entry)) troubles.push(stray(entry.path));
    else await read(clientOf(entry), [entry], shared);
  }
  for (const { name, path } of home.folders) {
    const inside = await withFolders(sorted(await listFolder(path)));
    const strips: FolderEntry[] = [];
    const others = [...inside.others, ...inside.folders.map((entry) => entry.path)];
    for (const entry of inside.strips) {
      if (await isStray(entry)) others.push(entry.path);
      else strips.push(entry);
    }
    const { tables, lots, second, damaged } = await tablesApart(strips, inside.lots, name);
    troubles.push(...damaged);
    if (tables.length === 0) {
      const found = [...others, ...strips.map(({ path: own }) => own), inside.lots, inside.season].flatMap(
        (one) => (one === undefined ? [] : fileBaseName(one)),
      );
      troubles.push({ name, read: "not", message: clientWithoutStrips(found) });
      continue;
    }
    const seconds = [...inside.second, ...second].map((one) => ({ ...one, name: `${name}/${one.name}` }));
    troubles.push(...others.map((other) => stray(other, name)), ...seconds);
    await read(name, tables, {
      ...shared,
      lots: onlyIfThere(lots) ?? shared.lots,
      season: inside.season ?? shared.season,
      ...(inside.answers === undefined ? {} : { answers: options.answers ?? inside.answers }),
    });
  }
  if (clients.length === 0)
    throw new TrialError(
      "folder-without-clients",
      [
        `${folder} holds no clients that can be read: put a table of strips (.csv, .xlsx) into it for each, or a folder of them.`,
        ...troubles.map(({ name, message }) => `  ${name}: ${message}`),
      ].join("\n"),
    );
  const { settings, units } = await readAskedSeason(shared);
  const { lots } = await readAskedLots(shared, settings, units);
  const joined = joinClients(clients, { settings: { ...settings, lots }, units }, troubles);
  if (options.quiet !== true) {
    progress.done();
    sayTroubles(joined);
  }
  return joined;
}

/** A client's folder without a table of its own, as where each season has a folder: what those hold, one folder deep. */
async function withFolders(inside: Found): Promise<Found> {
  if (inside.strips.length > 0) return inside;
  const deeper: Found[] = [];
  const without: FolderEntry[] = [];
  for (const entry of inside.folders) {
    const found = sorted(await listFolder(entry.path));
    const within = <One extends { name: string }>(ones: readonly One[]): One[] =>
      ones.map((one) => ({ ...one, name: `${entry.name}/${one.name}` }));
    if (found.strips.length === 0) without.push(entry);
    else deeper.push({ ...found, strips: within(found.strips), second: within(found.second) });
  }
  const first = (of: (found: Found) => string | undefined): string | undefined =>
    [inside, ...deeper].map(of).find((path) => path !== undefined);
  return {
    strips: deeper.flatMap(({ strips }) => strips),
    folders: [...without, ...deeper.flatMap(({ folders }) => folders)],
    lots: first(({ lots }) => lots),
    season: first(({ season }) => season),
    answers: first(({ answers }) => answers),
    second: [inside, ...deeper].flatMap(({ second }) => second),
    others: [inside, ...deeper].flatMap(({ others }) => others),
  };
}

const onlyIfThere = (path: string | undefined): string[] | undefined =>
  path === undefined ? undefined : [path];

/** Who is told, and each that is not or in part. */
function sayTroubles({ clients, troubles }: Clients): void {
  const skipped = troubles.filter(({ read, name }) => read === "not" && !name.includes("."));
  const count = skipped.length === 0 ? "" : `, ${counted(skipped.length, "client")} left out`;
  say(`${capitalized(counted(clients.length, "client"))} read${count}.`);
  for (const { name, message } of troubles) say(`  ${name}: ${message}`);
}

/** @param folder  the client's, where the file is not beside the clients */
const stray = (path: string, folder: string | null = null): ClientTrouble => ({
  name: `${folder === null ? "" : `${folder}/`}${fileBaseName(path)}`,
  read: "not",
  message: notATable,
});

const secondFile = (path: string, read: { name: string }): ClientTrouble => ({
  ...stray(path),
  message: secondOfItsKind(read.name),
});

/** A client's tables of strips, and what the others are. */
interface TablesApart {
  tables: FolderEntry[];
  lots: string | undefined;
  second: ClientTrouble[];
  /** Those that hold neither strips nor lots, and what is the matter with each. */
  damaged: ClientTrouble[];
}

/**
 * Tells a client's tables apart, whatever their names: of several of lots the first is read, `lots.csv` before others. One
 * table alone, and several of which none holds anything, are taken for strips, so that reading them says what is wrong.
 */
async function tablesApart(
  entries: readonly FolderEntry[],
  named: string | undefined,
  folder: string,
): Promise<TablesApart> {
  const looked: { entry: FolderEntry; holds: "strips" | "lots" | null; problem: string }[] = [];
  if (entries.length > 1) for (const entry of entries) looked.push({ entry, ...(await lookInto(entry)) });
  const sound = looked.filter(({ holds }) => holds !== null);
  if (sound.length === 0) return { tables: [...entries], lots: named, second: [], damaged: [] };
  const ofLots = sound.length < 2 ? [] : sound.filter(({ holds }) => holds === "lots");
  const lots = named ?? ofLots[0]?.entry.path;
  return {
    tables: sound.filter((one) => !ofLots.includes(one)).map(({ entry }) => entry),
    lots,
    second: ofLots
      .filter(({ entry }) => entry.path !== lots)
      .map(({ entry }) => secondFile(entry.path, { name: fileBaseName(lots!) })),
    damaged: looked
      .filter(({ holds }) => holds === null)
      .map(({ entry, problem }) => ({ name: `${folder}/${entry.name}`, read: "not", message: problem })),
  };
}

/** What a file holds in any of its tables: lots only where none holds strips. */
async function lookInto({
  path,
}: FolderEntry): Promise<{ holds: "strips" | "lots" | null; problem: string }> {
  try {
    const held = (await openSheets(await readInput(path))).map((sheet) => holdsWhat(sheet, noAnswers));
    const holds = held.includes("strips") ? "strips" : held.includes("lots") ? "lots" : null;
    return { holds, problem: notATable };
  } catch (error) {
    if (error instanceof TrialError) return { holds: null, problem: error.message };
    throw error;
  }
}

/** What office programs leave beside a workbook that is open. */
const lockFile = /^(?:~\$|\.)/;

/** A text file that names no columns is somebody's note, and a lock file nobody's. */
async function isStray({ name, path }: FolderEntry): Promise<boolean> {
  if (lockFile.test(name)) return true;
  if (!/\.txt$/i.test(name)) return false;
  try {
    const [sheet] = await openSheets(await readInput(path));
    return sheet === undefined || holdsWhat(sheet, noAnswers) === null;
  } catch (error) {
    if (error instanceof TrialError) return true;
    throw error;
  }
}

/** One way to read a client, with what it leaves out. */
interface Way {
  /** As said, nothing where all is read. */
  left: string[];
  options: SharedOptions;
  given?: Answers;
  seasonInPart?: boolean;
}

/** Of a client's season file, lots and answers the fewest are left out, and of a season file first its faulty entries only. */
async function waysToRead(paths: readonly string[], own: SharedOptions): Promise<Way[]> {
  const parts: ((way: Way) => Way)[] = [];
  if (own.season !== undefined)
    parts.push((way) => ({
      ...way,
      left: [...way.left, "its season file"],
      options: { ...way.options, season: undefined },
    }));
  if (own.lots !== undefined)
    parts.push((way) => ({
      ...way,
      left: [...way.left, "its lots"],
      options: { ...way.options, lots: undefined },
    }));
  if ((await answersPath(paths, own)) !== null)
    parts.push((way) => ({ ...way, left: [...way.left, "its answers"], given: noAnswers }));
  const whole: Way = { left: [], options: own };
  return subsetsOf(parts).flatMap((some) => {
    const way = some.reduce((rest, without) => without(rest), whole);
    return way.options.season === undefined ? [way] : [way, { ...way, seasonInPart: true }];
  });
}

/**
 * One client's farm. Parts of its season file, lots or answers that cannot be read are left out; null where there is no answer.
 * No client keeps the others from being read.
 */
async function readClient(
  name: string,
  paths: readonly string[],
  own: SharedOptions,
  progress: Progress,
): Promise<{ farm: Farm | null; trouble: ClientTrouble | null }> {
  const faults = new Set<string>();
  for (const { left, options, given, seasonInPart } of await waysToRead(paths, own)) {
    try {
      const farm = await readAsked(paths, options, progress, given, seasonInPart);
      return toldInPart(name, farm, left, faults);
    } catch (error) {
      if (!(error instanceof TrialError)) throw error;
      error.message.split("\n").forEach((line) => faults.add(line));
    }
  }
  return { farm: null, trouble: { name, read: "not", message: [...faults].join(" ") } };
}

/**
 * A farm with what was left out of its files.
 *
 * @param left    the files that were
 * @param faults  what kept the files from being read in full
 */
function toldInPart(
  name: string,
  farm: Farm,
  left: readonly string[],
  faults: ReadonlySet<string>,
): { farm: Farm; trouble: ClientTrouble | null } {
  if (faults.size === 0) return { farm, trouble: null };
  const { findings } = farm.trial;
  const entries = reasonsOfEntriesLeftOut(findings);
  const others = oncePerLine([...faults].filter((fault) => !entries.includes(fault)));
  const reason = left.length === 0 ? null : clientInPart(listed([...left]), others.join(" "));
  const told = reason === null ? [] : [finding("doubt", "client-in-part", reason, {})];
  const message = [
    ...(reason === null ? [] : [reason]),
    ...(entries.length === 0 ? [] : [seasonEntriesLeftOut(entries)]),
  ].join(" ");
  return {
    farm: { ...farm, trial: { ...farm.trial, findings: [...told, ...findings] } },
    trouble: { name, read: "in part", message },
  };
}

/** What is said of one line of a file by its text and by its entry is said once. */
const oncePerLine = (faults: readonly string[]): string[] => {
  const bare = (fault: string): string => fault.replace(/^(.*?, line \d+), .*: (?=\p{Lu})/u, "$1: ");
  return faults.filter((fault, index) => faults.findIndex((other) => bare(other) === bare(fault)) === index);
};

/** All choices of some of them, the fewest first. */
const subsetsOf = <Part>(parts: readonly Part[]): Part[][] =>
  parts
    .reduce<Part[][]>((all, part) => [...all, ...all.map((some) => [...some, part])], [[]])
    .sort((a, b) => a.length - b.length);

function sorted(entries: readonly FolderEntry[]): Found {
  const files = entries.filter((entry) => entry.kind === "file");
  const ofKind = (name: RegExp): FolderEntry[] => files.filter((entry) => name.test(entry.name));
  const [lots, ...moreLots] = ofKind(lotsFile);
  const [season, ...moreSeasons] = ofKind(seasonFile);
  const isStrips = ({ name }: FolderEntry): boolean => table.test(name) && !lotsFile.test(name);
  const isOther = (entry: FolderEntry): boolean =>
    !isStrips(entry) && ![lotsFile, seasonFile, answersFile].some((known) => known.test(entry.name));
  return {
    strips: files.filter(isStrips),
    folders: entries.filter((entry) => entry.kind === "folder"),
    lots: lots?.path,
    season: season?.path,
    answers: ofKind(answersFile)[0]?.path,
    second: [
      ...moreLots.map(({ path }) => secondFile(path, lots!)),
      ...moreSeasons.map(({ path }) => secondFile(path, season!)),
    ],
    others: [...files.filter(isOther), ...entries.filter((entry) => entry.kind === "else")].map(
      (entry) => entry.path,
    ),
  };
}
