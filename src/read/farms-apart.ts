/** Whether files that do not say so are of one farm, and of one field: two fields called "Home" may be two. */
import { gather } from "../maths/group-by.ts";
import { farmsApart, fieldOfTwoFiles, fieldsApart } from "../messages/files.ts";
import type { Finding, Strip } from "../vocabulary/trial.ts";
import { fileBaseName, isOwnName, yearsIn } from "./tables/beside-table.ts";
import type { Sheet } from "./tables/sheet.ts";

/** Name of a file as a farm's. */
const farmOf = (file: string): string => fileBaseName(file).replace(/\.(?:csv|tsv|txt|xlsx)$/i, "");

/** What was decided, for the person to correct, and the names that come from files. */
export interface ToldApart {
  named: string[];
  findings: Finding[];
}

/**
 * The files of strips that tell of the same variety, rate and block in the same place and season with other yields: they
 * cannot be of one field.
 *
 * @param placeOf  where a strip says that it was; files whose places differ are not held against each other
 */
function filesThatDiffer(
  strips: readonly Strip[],
  fileOf: (strip: Strip) => string,
  placeOf: (strip: Strip) => string,
): Set<string> {
  const cells = new Map<string, Map<string, Set<number>>>();
  for (const strip of strips) {
    const { season, variety, rateSeedsPerM2, block } = strip;
    const key = JSON.stringify([placeOf(strip), season, variety, Math.round(rateSeedsPerM2), block]);
    let files = cells.get(key);
    if (files === undefined) cells.set(key, (files = new Map<string, Set<number>>()));
    const yields = files.get(fileOf(strip));
    if (yields === undefined) files.set(fileOf(strip), new Set([strip.yieldKgPerHa]));
    else yields.add(strip.yieldKgPerHa);
  }
  const apart = new Set<string>();
  for (const files of cells.values()) {
    if (files.size < 2) continue;
    for (const [file, yields] of files) {
      const differs = [...files].some(
        ([other, theirs]) => other !== file && [...yields].some((grain) => !theirs.has(grain)),
      );
      if (differs) apart.add(file);
    }
  }
  return apart;
}

/** The places that several files have strips of, with those files. */
function sharedPlaces(
  strips: readonly Strip[],
  fileOf: (strip: Strip) => string,
  placeOf: (strip: Strip) => string,
): Map<string, Set<string>> {
  const files = [...gather(strips, placeOf)].map(
    ([place, there]) => [place, new Set(there.map(fileOf))] as const,
  );
  return new Map(files.filter(([, of]) => of.size > 1));
}

/**
 * Gives strips without a farm the name of their file where two files cannot be of one field. Files that add other blocks or
 * seasons stay one farm's.
 *
 * @param sourceOf  the file as given of a strip's place, which may name a sheet of it
 */
export function tellFarmsApart(strips: readonly Strip[], sourceOf: ReadonlyMap<string, string>): ToldApart {
  const nameless = strips.filter(({ farm, field }) => farm === "" && field !== "");
  const source = ({ place }: Strip): string => sourceOf.get(place.file) ?? place.file;
  const fieldOf = ({ field }: Strip): string => field;
  const shared = sharedPlaces(nameless, source, fieldOf);
  if (shared.size === 0) return { named: [], findings: [] };
  const apart = filesThatDiffer(
    nameless.filter(({ field }) => shared.has(field)),
    source,
    fieldOf,
  );
  for (const strip of nameless) if (apart.has(source(strip))) strip.farm = farmOf(source(strip));
  const findings: Finding[] = [];
  if (apart.size > 0) findings.push(farmsApart([...apart].map(fileBaseName), [...shared.keys()]));
  const joined = [...shared].filter(([, files]) => [...files].filter((file) => !apart.has(file)).length > 1);
  if (joined.length > 0) findings.push(fieldOfTwoFiles(joined.map(([field]) => field)));
  return { named: [...apart].map(farmOf), findings };
}

/**
 * Gives strips without a field the name of their tab or file where two of these cannot be of one field. Names of tabs count
 * only where each has one of its own.
 */
export function tellFieldsApart(strips: readonly Strip[], sheets: readonly Sheet[]): ToldApart {
  const nameless = strips.filter(({ field }) => field === "");
  const sheetOf = ({ place }: Strip): string => place.file.replace(/ \(block \d+\)$/, "");
  const apart = filesThatDiffer(nameless, sheetOf, ({ farm }) => farm);
  const own = sheets
    .filter(({ file }) => apart.has(file))
    .map(({ file, source, tab }) => {
      return { file, source, tab: tab !== null && isOwnName(tab) ? tab.trim() : "" };
    });
  const [first] = own;
  if (first === undefined) return { named: [], findings: [] };
  const tabs = new Set(own.map(({ tab }) => tab));
  const byTab = tabs.size === own.length && !tabs.has("");
  const names = new Map(own.map(({ file, source, tab }) => [file, byTab ? tab : fieldNamed(source, file)]));
  for (const strip of nameless) strip.field = names.get(sheetOf(strip)) ?? "";
  const named = [...names.values()];
  const answer = byTab ? { tabs: first.tab } : { files: fileBaseName(first.source) };
  return { named, findings: [fieldsApart([...apart].map(fileBaseName), named, answer)] };
}

/** `hill 2025.csv` is of a field called "hill"; a tab of a file keeps the brackets that tell it from others. */
function fieldNamed(source: string, file: string): string {
  const base = farmOf(source);
  const [year] = yearsIn(base);
  const name = base.replace(year ?? "", "").replace(/^[\s_-]+|[\s_-]+$/g, "") || base;
  return name + file.slice(source.length);
}
