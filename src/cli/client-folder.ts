/** A folder of clients → their farms, and what keeps a client from being read. */
import { folderAndFiles, folderWithoutClients } from "../messages/options.ts";
import { joinClients, type Client, type ClientTrouble, type Clients } from "../farm/clients.ts";
import type { Farm } from "../farm/farm.ts";
import { clientInPart } from "../messages/files.ts";
import { finding } from "../messages/finding.ts";
import { reasonsOfEntriesLeftOut, seasonEntriesLeftOut } from "../messages/season.ts";
import { capitalized, counted, listed } from "../numbers/written-numbers.ts";
import { noAnswers, type Answers } from "../read/answers/answers.ts";
import { TrialError } from "../vocabulary/trial.ts";
import { answersPath, readAsked, readAskedLots, readAskedSeason } from "./asked.ts";
import {
  filesByName,
  clientFiles,
  clientNames,
  isStray,
  stray,
  type ClientFiles,
  type NamedFiles,
} from "./client-files.ts";
import { listFolder, type FolderEntry } from "./files.ts";
import { say, type Progress } from "./messages.ts";
import type { SharedOptions } from "./shared-options.ts";

/**
 * The one folder that was given.
 *
 * @throws TrialError `folder-and-files` where there is more
 */
export function onlyFolder(paths: readonly string[]): string {
  const [folder, ...others] = paths;
  if (folder === undefined || others.length > 0) throw folderAndFiles();
  return folder;
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
  const home = filesByName(await listFolder(folder));
  const shared = sharedByClients(home, options);
  const read = new ClientReader(progress, [...home.others.map((path) => stray(path)), ...home.second]);
  const nameOf = clientNames(home);
  for (const file of home.strips) {
    if (await isStray(file)) read.troubles.push(stray(file.path));
    else await read.add(nameOf(file), [file], shared);
  }
  for (const own of home.folders) {
    const files = await clientFiles(own);
    read.troubles.push(...files.troubles);
    if (files.tables.length > 0)
      await read.add(own.name, files.tables, ownBeforeShared(files, shared, options));
  }
  if (read.clients.length === 0) throw folderWithoutClients(folder, read.troubles);
  const { settings, units } = await readAskedSeason(shared);
  const { lots } = await readAskedLots(shared, settings, units);
  const joined = joinClients(read.clients, { settings: { ...settings, lots }, units }, read.troubles);
  if (options.quiet !== true) {
    progress.done();
    sayTroubles(joined);
  }
  return joined;
}

/** Reads one client after another. */
class ClientReader {
  readonly clients: Client[] = [];
  readonly troubles: ClientTrouble[];
  readonly #progress: Progress;

  constructor(progress: Progress, troubles: ClientTrouble[]) {
    this.#progress = progress;
    this.troubles = troubles;
  }

  async add(name: string, tables: readonly FolderEntry[], own: SharedOptions): Promise<void> {
    const paths = tables.map(({ path }) => path);
    const { farm, trouble } = await readClient(name, paths, own, this.#progress);
    if (farm !== null) this.clients.push({ name, farm });
    if (trouble !== null) this.troubles.push(trouble);
  }
}

/** What holds for clients without lots, season or answers of their own: what was given, else what is beside the clients. */
const sharedByClients = (home: NamedFiles, options: SharedOptions): SharedOptions => ({
  ...options,
  lots: options.lots ?? onlyIfThere(home.lots),
  season: options.season ?? home.season,
  ...(home.answers === undefined ? {} : { answers: options.answers ?? home.answers }),
});

/** A client's own lots and season come before those of all; answers that were given come before either. */
const ownBeforeShared = (
  { lots, season, answers }: ClientFiles,
  shared: SharedOptions,
  given: SharedOptions,
): SharedOptions => ({
  ...shared,
  lots: onlyIfThere(lots) ?? shared.lots,
  season: season ?? shared.season,
  ...(answers === undefined ? {} : { answers: given.answers ?? answers }),
});

const onlyIfThere = (path: string | undefined): string[] | undefined =>
  path === undefined ? undefined : [path];

/** Who is told, and each that is not or in part. */
function sayTroubles({ clients, troubles }: Clients): void {
  const skipped = troubles.filter(({ read, name }) => read === "not" && !name.includes("."));
  const count = skipped.length === 0 ? "" : `, ${counted(skipped.length, "client")} left out`;
  say(`${capitalized(counted(clients.length, "client"))} read${count}.`);
  for (const { name, message } of troubles) say(`  ${name}: ${message}`);
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
