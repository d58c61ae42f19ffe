/** The files of a folder of clients: which is whose, and which is nobody's. */
import type { ClientTrouble } from "../farm/clients.ts";
import { clientWithoutStrips, notATable, secondOfItsKind } from "../messages/files.ts";
import { answersFileName, noAnswers } from "../read/answers/answers.ts";
import { fileBaseName } from "../read/tables/beside-table.ts";
import { holdsWhat, openSheets } from "../read/tables/open-sheets.ts";
import { TrialError } from "../vocabulary/trial.ts";
import { listFolder, readInput, type FolderEntry } from "./files.ts";

const table = /\.(?:csv|tsv|txt|xlsx)$/i;
const lotsFile = /^lots\.(?:csv|tsv|txt|xlsx)$/i;
const seasonFile = /^season\.ya?ml$/i;
const answersFile = new RegExp(`^${answersFileName.replace(".", "\\.")}$`, "i");

/** What is in a folder, by the names alone. */
export interface NamedFiles {
  strips: FolderEntry[];
  folders: FolderEntry[];
  lots: string | undefined;
  season: string | undefined;
  answers: string | undefined;
  /** Further files of lots or season, where only one is allowed. */
  second: ClientTrouble[];
  others: string[];
}

/** Entries by what their names say they are. */
export function filesByName(entries: readonly FolderEntry[]): NamedFiles {
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

/** A file's name tells whose it is, without its ending, unless another's is the same. */
export function clientNames({ strips, folders }: NamedFiles): (file: FolderEntry) => string {
  const short = ({ name }: FolderEntry): string => name.replace(table, "");
  const all = [...strips.map(short), ...folders.map(({ name }) => name)];
  return (file) => (all.filter((one) => one === short(file)).length > 1 ? file.name : short(file));
}

/** What is read of a client's folder, and what is not. */
export interface ClientFiles {
  /** Of strips; none where the client cannot be read. */
  tables: FolderEntry[];
  lots: string | undefined;
  season: string | undefined;
  answers: string | undefined;
  troubles: ClientTrouble[];
}

/** Looks for a client's files in the client's own folder. */
export async function clientFiles({ name, path }: FolderEntry): Promise<ClientFiles> {
  const inside = await withFolders(filesByName(await listFolder(path)));
  const others = [...inside.others, ...inside.folders.map((entry) => entry.path)];
  const strips: FolderEntry[] = [];
  for (const entry of inside.strips) {
    if (await isStray(entry)) others.push(entry.path);
    else strips.push(entry);
  }
  const { tables, lots, second, damaged } = await tablesApart(strips, inside.lots, name);
  const { season, answers } = inside;
  if (tables.length === 0) {
    const found = [...others, ...strips.map((entry) => entry.path), inside.lots, season].flatMap((one) =>
      one === undefined ? [] : fileBaseName(one),
    );
    const without: ClientTrouble = { name, read: "not", message: clientWithoutStrips(found) };
    return { tables, lots, season, answers, troubles: [...damaged, without] };
  }
  const seconds = [...inside.second, ...second].map((one) => ({ ...one, name: `${name}/${one.name}` }));
  return {
    tables,
    lots,
    season,
    answers,
    troubles: [...damaged, ...others.map((other) => stray(other, name)), ...seconds],
  };
}

/** A client's folder without a table of its own, as where each season has a folder: what those hold, one folder deep. */
async function withFolders(inside: NamedFiles): Promise<NamedFiles> {
  if (inside.strips.length > 0) return inside;
  const deeper: NamedFiles[] = [];
  const without: FolderEntry[] = [];
  for (const entry of inside.folders) {
    const found = filesByName(await listFolder(entry.path));
    const within = <One extends { name: string }>(ones: readonly One[]): One[] =>
      ones.map((one) => ({ ...one, name: `${entry.name}/${one.name}` }));
    if (found.strips.length === 0) without.push(entry);
    else deeper.push({ ...found, strips: within(found.strips), second: within(found.second) });
  }
  const first = (of: (found: NamedFiles) => string | undefined): string | undefined =>
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

/** @param folder  the client's, where the file is not beside the clients */
export const stray = (path: string, folder: string | null = null): ClientTrouble => ({
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
export async function isStray({ name, path }: FolderEntry): Promise<boolean> {
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
