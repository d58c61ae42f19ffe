/** Which environment (one field in one season) a strip belongs to. */
import type { Environment, Strip } from "./trial.ts";

type Whereabouts = Pick<Strip, "season" | "farm" | "field">;

/** A name that holds our own separator goes in quotes, so that two environments never share an id. */
const quoted = (name: string): string => (/[",]/.test(name) ? JSON.stringify(name) : name);

/**
 * The id of an environment, readable as it is.
 *
 * @example environmentId({season: 2024, farm: "Home", field: "North 40"}) is "2024 Home, North 40"; without a farm
 * "2024 North 40"; with neither "2024"
 */
export function environmentId({ season, farm, field }: Whereabouts): string {
  const place = [farm, field]
    .filter((name) => name !== "")
    .map(quoted)
    .join(", ");
  return place === "" ? String(season) : `${season} ${place}`;
}

const order = (a: string | number, b: string | number): number => (a < b ? -1 : a > b ? 1 : 0);

/** The environments that strips come from, with their counts, sorted by season, farm, field. Linear in the strips. */
export function environmentsOf(strips: readonly Strip[]): Environment[] {
  const found = new Map<string, { environment: Environment; blocks: Set<string> }>();
  for (const strip of strips) {
    const id = environmentId(strip);
    let entry = found.get(id);
    if (entry === undefined) {
      const { season, farm, field } = strip;
      entry = { environment: { id, farm, field, season, strips: 0, blocks: 0 }, blocks: new Set() };
      found.set(id, entry);
    }
    entry.environment.strips++;
    entry.blocks.add(strip.block);
  }
  return [...found.values()]
    .map(({ environment, blocks }) => ({ ...environment, blocks: blocks.size }))
    .sort((a, b) => order(a.season, b.season) || order(a.farm, b.farm) || order(a.field, b.field));
}
