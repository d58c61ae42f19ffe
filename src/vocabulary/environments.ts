/** Which environment (one field in one season) a strip belongs to. */
import type { Environment, Strip } from "./trial.ts";

type Whereabouts = Pick<Strip, "season" | "farm" | "field">;

/** A name that holds our own separator, or begins as a quoted one does, goes in quotes: two environments never share an id. */
const quoted = (name: string): string => (/^"|,/.test(name) ? JSON.stringify(name) : name);

/**
 * The id of an environment, readable as it is.
 *
 * @example environmentId({season: 2024, farm: "Home", field: "North 40"}) is "2024 Home, North 40"; without a farm
 * "2024 North 40"; with neither "2024"
 */
export function environmentId({ season, farm, field }: Whereabouts): string {
  if (farm === "") return field === "" ? String(season) : `${season} ${quoted(field)}`;
  return field === "" ? `${season} ${quoted(farm)}` : `${season} ${quoted(farm)}, ${quoted(field)}`;
}

/**
 * What lasts of an environment over the seasons: the ground where the person gave a word for it, else its id without the season.
 *
 * @example fieldOf({ environment: "2024 Home, Hill", season: 2024 }) // "Home, Hill"
 */
export function fieldOf({
  environment,
  season,
  ground,
}: {
  environment: string;
  season: number;
  ground?: string;
}): string {
  if (ground !== undefined) return ground;
  const before = String(season);
  return environment.startsWith(before) ? environment.slice(before.length).trim() : environment;
}

const order = (a: string | number, b: string | number): number => (a < b ? -1 : a > b ? 1 : 0);

interface Found {
  environment: Environment;
  blocks: Set<string>;
}

/** What is kept under a key, made when it is first asked for. */
function at<Key, Value>(map: Map<Key, Value>, key: Key, make: () => Value): Value {
  let value = map.get(key);
  if (value === undefined) map.set(key, (value = make()));
  return value;
}

/** The environments that strips come from, with their counts, sorted by season, farm, field. Linear in the strips. */
export function environmentsOf(strips: readonly Strip[]): Environment[] {
  const found: Found[] = [];
  const seasons = new Map<number, Map<string, Map<string, Found>>>();
  for (const { season, farm, field, block } of strips) {
    const farms = at(seasons, season, () => new Map<string, Map<string, Found>>());
    const fields = at(farms, farm, () => new Map<string, Found>());
    const entry = at(fields, field, () => {
      const id = environmentId({ season, farm, field });
      const made = {
        environment: { id, farm, field, season, strips: 0, blocks: 0 },
        blocks: new Set<string>(),
      };
      found.push(made);
      return made;
    });
    entry.environment.strips++;
    entry.blocks.add(block);
  }
  return found
    .map(({ environment, blocks }) => ({ ...environment, blocks: blocks.size }))
    .sort((a, b) => order(a.season, b.season) || order(a.farm, b.farm) || order(a.field, b.field));
}
