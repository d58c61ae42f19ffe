/** Whether files that name no farm are of one: two fields called "Home" may be two. */
import { farmsApart, fieldOfTwoFiles } from "../messages/files.ts";
import type { Finding, Strip } from "../vocabulary/trial.ts";
import { fileBaseName } from "./tables/beside-table.ts";

/** Name of a file as a farm's. */
const farmOf = (file: string): string => fileBaseName(file).replace(/\.(?:csv|tsv|txt|xlsx)$/i, "");

/**
 * Gives strips without a farm the name of their file where two files tell of the same variety, rate and block in the same
 * field and season with other yields: they cannot be one field's. Files that add other blocks or seasons stay one farm's.
 *
 * @param sourceOf  the file as given of a strip's place, which may name a sheet of it
 * @returns what was decided, for the person to correct, and the farms that got their names from files
 */
export function tellFarmsApart(
  strips: readonly Strip[],
  sourceOf: ReadonlyMap<string, string>,
): { named: string[]; findings: Finding[] } {
  const filesOfField = new Map<string, Set<string>>();
  const nameless = strips.filter(({ farm, field }) => farm === "" && field !== "");
  const source = ({ place }: Strip): string => sourceOf.get(place.file) ?? place.file;
  for (const strip of nameless) {
    const files = filesOfField.get(strip.field);
    if (files === undefined) filesOfField.set(strip.field, new Set([source(strip)]));
    else files.add(source(strip));
  }
  const shared = new Set([...filesOfField].filter(([, files]) => files.size > 1).map(([field]) => field));
  if (shared.size === 0) return { named: [], findings: [] };
  const cells = new Map<string, { file: string; yields: Set<number> }[]>();
  const apart = new Set<string>();
  for (const strip of nameless) {
    if (!shared.has(strip.field)) continue;
    const { field, season, variety, rateSeedsPerM2, block, yieldKgPerHa } = strip;
    const key = JSON.stringify([field, season, variety, Math.round(rateSeedsPerM2), block]);
    let entries = cells.get(key);
    if (entries === undefined) cells.set(key, (entries = []));
    const file = source(strip);
    const own = entries.find((entry) => entry.file === file);
    if (own === undefined) entries.push({ file, yields: new Set([yieldKgPerHa]) });
    else own.yields.add(yieldKgPerHa);
  }
  for (const entries of cells.values()) {
    if (entries.length < 2) continue;
    for (const one of entries) {
      const differs = entries.some(
        (other) => other !== one && [...one.yields].some((grain) => !other.yields.has(grain)),
      );
      if (differs) apart.add(one.file);
    }
  }
  for (const strip of nameless) if (apart.has(source(strip))) strip.farm = farmOf(source(strip));
  const findings: Finding[] = [];
  if (apart.size > 0) findings.push(farmsApart([...apart].map(fileBaseName), [...shared]));
  const joined = [...shared].filter(
    (field) => [...filesOfField.get(field)!].filter((file) => !apart.has(file)).length > 1,
  );
  if (joined.length > 0) findings.push(fieldOfTwoFiles(joined));
  return { named: [...apart].map(farmOf), findings };
}
