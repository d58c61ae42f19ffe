/** Sorts strips by client, for an adviser with many clients. */
import { noAnswers } from "../read/answers/answers.ts";
import { otherCropApart, speltOtherwise } from "../messages/files.ts";
import type { CropName } from "../vocabulary/crops.ts";
import { environmentsOf } from "../vocabulary/environments.ts";
import { forCrop, type Settings, type UnitChoice } from "../vocabulary/settings.ts";
import { probablyOne } from "../vocabulary/spelling.ts";
import type { Strip, Trial } from "../vocabulary/trial.ts";
import type { Farm } from "./farm.ts";
import { joinTrials } from "./read-farm.ts";

export interface Client {
  name: string;
  farm: Farm;
}

/** Why a client, or a file beside the clients, was not read in full. */
export interface ClientTrouble {
  name: string;
  /**
   * `in part`: its strips are shown, with something assumed; `apart`: it, or one of its varieties, is shown separately;
   * `not`: nothing is shown.
   */
  read: "in part" | "apart" | "not";
  /** What is the matter and what to do, in whole sentences. */
  message: string;
}

/** Every client on its own, and the strips of all together, with the prices and lots that hold for all. */
export interface Clients {
  clients: Client[];
  all: Farm;
  troubles: ClientTrouble[];
}

/**
 * Clients whose files were read one by one, in the order of their names, and all who grow the commonest crop together:
 * strips of two crops have no curve in common.
 *
 * @param shared settings and units for all together: prices and lots that hold where a client has none
 */
export function joinClients(
  clients: readonly Client[],
  { settings, units }: { settings: Settings; units: UnitChoice },
  troubles: readonly ClientTrouble[] = [],
): Clients {
  const named = clients
    .map(({ name, farm }): Client => ({ name, farm: { ...farm, trial: ofClient(name, farm.trial) } }))
    .sort((a, b) => (a.name < b.name ? -1 : 1));
  const crop = commonCrop(named, settings.crop);
  const together = named.filter(({ farm }) => farm.settings.crop === crop);
  const apart = named.filter(({ farm }) => farm.settings.crop !== crop);
  return {
    clients: named,
    troubles: [
      ...troubles,
      ...apart.map(({ name, farm }): ClientTrouble => ({
        name,
        read: "apart",
        message: otherCropApart(farm.settings.crop, crop),
      })),
      ...speltApart(together),
    ],
    all: {
      trial: joinTrials(together.map(({ farm }) => farm.trial)),
      settings: forCrop(settings, units.system, crop),
      units,
      answers: noAnswers,
      files: named.flatMap(({ farm }) => farm.files),
      stripFiles: named.flatMap(({ farm }) => farm.stripFiles),
      earlier: null,
      remarks: [],
    },
  };
}

/**
 * Clients who probably spell another client's variety differently. Only they can say so; until then it is kept
 * separate.
 */
function speltApart(clients: readonly Client[]): ClientTrouble[] {
  const growers = new Map<string, string[]>();
  const own = new Set<string>();
  for (const { name, farm } of clients) {
    for (const variety of new Set(farm.trial.strips.map((strip) => strip.variety)))
      growers.set(variety, [...(growers.get(variety) ?? []), name]);
    for (const variety of farm.trial.namesApart ?? []) own.add(variety);
  }
  const names = [...growers].map(([name, of]) => ({ name, weight: of.length, uses: new Set<string>() }));
  return probablyOne(names).flatMap(([usual, ...others]) =>
    others
      .filter((other) => !own.has(other))
      .flatMap((other) =>
        growers
          .get(other)!
          .map((name): ClientTrouble => ({ name, read: "apart", message: speltOtherwise(other, usual!) })),
      ),
  );
}

/** The crop of most clients; of two equally common ones, the crop given for all. */
function commonCrop(clients: readonly Client[], shared: CropName): CropName {
  const counts = new Map<CropName, number>();
  for (const { farm } of clients) counts.set(farm.settings.crop, (counts.get(farm.settings.crop) ?? 0) + 1);
  const most = Math.max(0, ...counts.values());
  return (counts.get(shared) ?? 0) === most
    ? shared
    : ([...counts].find(([, count]) => count === most)?.[0] ?? shared);
}

/**
 * Two clients may each have a field "North": the client's name is put before the farm's, so that they stay separate.
 */
function ofClient(name: string, trial: Trial): Trial {
  const ofFarm = (farm: string): string => (farm === "" || farm === name ? name : `${name}, ${farm}`);
  const strips = trial.strips.map((strip) => ({ ...strip, farm: ofFarm(strip.farm) }));
  const { namesApart } = trial;
  return {
    ...trial,
    ...(namesApart === undefined ? {} : { namesApart: [...namesApart, ...namesApart.map(ofFarm)] }),
    strips,
    environments: environmentsOf(strips),
  };
}

/**
 * Strips that name several farms: each farm is a client. Null if they are all from one farm.
 *
 * Findings and rows left out are kept with all clients together, unless the file has strips of one client only.
 */
export function splitClients(all: Farm): Clients | null {
  const { trial } = all;
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
        farm: {
          ...all,
          trial: {
            strips,
            environments: environmentsOf(strips),
            columns: trial.columns.filter(isOwn),
            rowsRead: strips.length + rowsLeftOut,
            rowsLeftOut,
            findings,
          },
          stripFiles: [...new Set(strips.map((strip) => strip.place.file))],
        },
      };
    });
  return { clients, all, troubles: [] };
}
