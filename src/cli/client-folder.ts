/** `report --reader agronomist` with a folder: which file in it is whose. */
import { joinClients, type Client, type Clients } from "../farm/clients.ts";
import { readFarmLots } from "../farm/read-farm.ts";
import { TrialError } from "../vocabulary/trial.ts";
import { readAsked, readAskedSeason } from "./asked.ts";
import { listFolder, readInput, type FolderEntry } from "./files.ts";
import { say, type Progress } from "./messages.ts";
import type { SharedOptions } from "./shared-options.ts";

const table = /\.(?:csv|tsv|txt|xlsx)$/i;
const lotsFile = /^lots\.(?:csv|tsv|txt|xlsx)$/i;
const seasonFile = /^season\.ya?ml$/i;

/** What a folder says of strips, lots and season. */
interface Found {
  strips: FolderEntry[];
  folders: FolderEntry[];
  lots: string | undefined;
  season: string | undefined;
  others: string[];
}

/**
 * A folder of clients: each file of strips in it is a client, and so is each folder with files of strips. A `lots.csv` or
 * `season.yaml` beside a client's strips is that client's; one beside the clients is for those who have none.
 *
 * @throws TrialError `folder-without-clients`; whatever cannot be read or understood
 */
export async function readClients(
  folder: string,
  options: SharedOptions,
  progress: Progress,
): Promise<Clients> {
  const home = sorted(await listFolder(folder));
  const shared = { ...options, lots: options.lots ?? home.lots, season: options.season ?? home.season };
  const clients: Client[] = [];
  const others = home.others;
  const read = async (name: string, strips: FolderEntry[], own: SharedOptions): Promise<void> => {
    const paths = strips.map((entry) => entry.path);
    clients.push({ name, farm: await readAsked(paths, own, progress) });
  };
  for (const entry of home.strips) await read(entry.name.replace(table, ""), [entry], shared);
  for (const { name, path } of home.folders) {
    const inside = sorted(await listFolder(path));
    others.push(...inside.others, ...inside.folders.map((entry) => entry.path));
    if (inside.strips.length === 0) others.push(path);
    else
      await read(name, inside.strips, {
        ...shared,
        lots: inside.lots ?? shared.lots,
        season: inside.season ?? shared.season,
      });
  }
  if (others.length > 0 && options.quiet !== true) {
    progress.done();
    say(`Not read, being no tables of strips: ${others.join(", ")}.`);
  }
  if (clients.length === 0)
    throw new TrialError(
      "folder-without-clients",
      `${folder} holds no clients: put a table of strips (.csv, .xlsx) into it for each, or a folder of them.`,
    );
  const { settings, units } = await readAskedSeason(shared);
  const lotsRead = shared.lots === undefined ? null : await readInput(shared.lots);
  const { lots } = await readFarmLots(
    lotsRead === null
      ? null
      : { ...lotsRead, sheets: shared.lotsSheet === undefined ? [] : [shared.lotsSheet] },
    settings,
    units,
  );
  return joinClients(clients, { settings: { ...settings, lots }, units });
}

function sorted(entries: readonly FolderEntry[]): Found {
  const files = entries.filter((entry) => !entry.isFolder);
  const pathOf = (name: RegExp): string | undefined => files.find((entry) => name.test(entry.name))?.path;
  const isStrips = ({ name }: FolderEntry): boolean => table.test(name) && !lotsFile.test(name);
  const isOther = (entry: FolderEntry): boolean =>
    !isStrips(entry) && !lotsFile.test(entry.name) && !seasonFile.test(entry.name);
  return {
    strips: files.filter(isStrips),
    folders: entries.filter((entry) => entry.isFolder),
    lots: pathOf(lotsFile),
    season: pathOf(seasonFile),
    others: files.filter(isOther).map((entry) => entry.path),
  };
}
