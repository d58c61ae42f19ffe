/** `report --reader agronomist`: whose strips are whose. */
import { environmentsOf } from "../vocabulary/environments.ts";
import { TrialError, type Strip, type Trial } from "../vocabulary/trial.ts";
import { joinTrials, readAsked, readAskedLots, readAskedSeason, type Asked } from "./asked.ts";
import { listFolder, type FolderEntry } from "./files.ts";
import { say, type Progress } from "./messages.ts";
import type { SharedOptions } from "./shared-options.ts";

export interface Client {
  name: string;
  asked: Asked;
}

/** Every client on its own, and the strips of all together with what the command itself says of prices and lots. */
export interface Clients {
  clients: Client[];
  all: Asked;
}

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
    const asked = await readAsked(
      strips.map((entry) => entry.path),
      own,
      progress,
    );
    clients.push({ name, asked: { ...asked, trial: ofClient(name, asked.trial) } });
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
  const { settings: season, units } = await readAskedSeason(shared);
  const { lots } = await readAskedLots(shared, season, units);
  return {
    clients: clients.sort((a, b) => (a.name < b.name ? -1 : 1)),
    all: {
      trial: joinTrials(clients.map(({ asked }) => asked.trial)),
      settings: { ...season, lots },
      units,
      fileNames: clients.flatMap(({ asked }) => asked.fileNames),
    },
  };
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

/** Two clients may each have a field "North": the client's name goes before the farm's, so that they stay apart. */
function ofClient(name: string, trial: Trial): Trial {
  const strips = trial.strips.map((strip) => ({
    ...strip,
    farm: strip.farm === "" || strip.farm === name ? name : `${name}, ${strip.farm}`,
  }));
  return { ...trial, strips, environments: environmentsOf(strips) };
}

/**
 * Files whose strips name several farms: each farm is a client. Null where they are of one farm.
 *
 * What was found and left out stays with all together, unless a file is one client's alone.
 */
export function clientsByFarm(asked: Asked): Clients | null {
  const { trial } = asked;
  const farms = new Map<string, Strip[]>();
  const farmsOfFile = new Map<string, Set<string>>();
  for (const strip of trial.strips) {
    const own = farms.get(strip.farm);
    if (own === undefined) farms.set(strip.farm, [strip]);
    else own.push(strip);
    const { file } = strip.place;
    farmsOfFile.set(file, (farmsOfFile.get(file) ?? new Set()).add(strip.farm));
  }
  if (farms.size < 2) return null;
  const clients = [...farms]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([farm, strips]): Client => {
      const isOwn = ({ file }: { file: string | null }): boolean =>
        file !== null && farmsOfFile.get(file)?.size === 1 && farmsOfFile.get(file)!.has(farm);
      const findings = trial.findings.filter(isOwn);
      const rows = findings.filter(({ severity, row }) => severity === "stops" && row !== null);
      const rowsLeftOut = new Set(rows.map(({ file, row }) => `${row} ${file}`)).size;
      return {
        name: farm === "" ? "No farm named" : farm,
        asked: {
          ...asked,
          trial: {
            strips,
            environments: environmentsOf(strips),
            columns: trial.columns.filter(isOwn),
            rowsRead: strips.length + rowsLeftOut,
            rowsLeftOut,
            findings,
          },
          fileNames: [...new Set(strips.map((strip) => strip.place.file))],
        },
      };
    });
  return { clients, all: asked };
}
