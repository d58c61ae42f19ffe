/** A file that was given twice under two names: its strips are one set of strips, and count once. */
import { rowOfCopy } from "../messages/files.ts";
import type { Finding, Strip } from "../vocabulary/trial.ts";
import { fileBaseName } from "./tables/beside-table.ts";
import type { Sheet } from "./tables/sheet.ts";

/** Fewer strips that are alike may be alike by chance. */
const fewestStrips = 4;

const sameStrip = (a: Strip, b: Strip): boolean =>
  a.variety === b.variety &&
  a.season === b.season &&
  a.field === b.field &&
  a.block === b.block &&
  a.rateSeedsPerM2 === b.rateSeedsPerM2;

const recorded = (strip: Strip): string => JSON.stringify({ ...strip, place: null, note: null });

/** Whether each of the strips stands among the others, and as often. */
function isWithin(some: readonly Strip[], others: readonly Strip[]): boolean {
  if (some.length > others.length) return false;
  const counts = new Map<string, number>();
  for (const strip of others) {
    const key = recorded(strip);
    counts.set(key, (counts.get(key) ?? 0) + 1);
  }
  return some.every((strip) => {
    const key = recorded(strip);
    const count = counts.get(key) ?? 0;
    counts.set(key, count - 1);
    return count > 0;
  });
}

/**
 * Strips of files all of whose strips are in another file as well: the copies, the later or the smaller of the two.
 *
 * Yields agree by chance now and then, but not in every strip of a file. What was answered to hold strips of its own stays.
 *
 * @param given  files and sheets in the order given
 * @param own     those that were answered to be strips of their own
 * @returns the strips to leave out, with a finding for each
 */
export function findCopies(
  strips: readonly Strip[],
  given: readonly Sheet[],
  own: (sheet: string) => boolean,
): { copies: Set<Strip>; findings: Finding[] } {
  const copies = new Set<Strip>();
  const findings: Finding[] = [];
  if (given.length < 2) return { copies, findings };
  const bySheet = new Map<string, Strip[]>();
  const firsts = new Map<number, Strip[]>();
  for (const strip of strips) {
    const its = bySheet.get(strip.place.file);
    if (its !== undefined) {
      its.push(strip);
      continue;
    }
    bySheet.set(strip.place.file, [strip]);
    const alike = firsts.get(strip.yieldKgPerHa);
    if (alike === undefined) firsts.set(strip.yieldKgPerHa, [strip]);
    else alike.push(strip);
  }
  const others = new Map<string, Set<string>>();
  for (const strip of strips) {
    for (const first of firsts.get(strip.yieldKgPerHa) ?? []) {
      if (first.place.file === strip.place.file || !sameStrip(first, strip)) continue;
      const found = others.get(first.place.file);
      if (found === undefined) others.set(first.place.file, new Set([strip.place.file]));
      else found.add(strip.place.file);
    }
  }
  const left = new Set<string>();
  for (const { file: sheet, source, tab } of given.toReversed()) {
    const its = bySheet.get(sheet) ?? [];
    if (its.length < fewestStrips || own(sheet)) continue;
    const original = [...(others.get(sheet) ?? [])].find(
      (other) => !left.has(other) && !own(other) && isWithin(its, bySheet.get(other)!),
    );
    if (original === undefined) continue;
    left.add(sheet);
    const answer =
      tab === null || sheet === source
        ? `files: {${JSON.stringify(fileBaseName(source))}: strips}`
        : `tabs: {${JSON.stringify(tab)}: strips}`;
    for (const strip of its) {
      copies.add(strip);
      findings.push(rowOfCopy(strip.place, original, answer));
    }
  }
  return { copies, findings };
}
