/** A file that was given twice under two names: its strips are one set of strips, and count once. */
import { gather } from "../maths/group-by.ts";
import { copiedInPart, rowOfCopy } from "../messages/files.ts";
import type { Finding, Strip } from "../vocabulary/trial.ts";
import { fileBaseName } from "./tables/beside-table.ts";
import type { Sheet } from "./tables/sheet.ts";

/** Fewer strips that are alike may be alike by chance. */
const fewestStrips = 4;
/** Of so many strips of a file is it asked whether another has them. */
const lookedAt = 8;

const sameStrip = (a: Strip, b: Strip): boolean =>
  a.variety === b.variety &&
  a.season === b.season &&
  a.block === b.block &&
  a.rateSeedsPerM2 === b.rateSeedsPerM2;

/** All but the field, which the copy of a tab has from its own name. */
const recorded = (strip: Strip): string => JSON.stringify({ ...strip, place: null, field: null, note: null });

/** How many of the strips are among the others, and as often. */
function countWithin(some: readonly Strip[], others: readonly Strip[]): number {
  const counts = new Map<string, number>();
  for (const strip of others) {
    const key = recorded(strip);
    counts.set(key, (counts.get(key) ?? 0) + 1);
  }
  return some.filter((strip) => {
    const key = recorded(strip);
    const count = counts.get(key) ?? 0;
    counts.set(key, count - 1);
    return count > 0;
  }).length;
}

/**
 * Strips of files all of whose strips are in another file as well: the copies, the later or the smaller of the two. Where
 * most are, one may be an edited copy of the other: both are used, and it is doubtful.
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
  const bySheet = gather(strips, (strip) => strip.place.file);
  const looked = [...bySheet.values()].flatMap((its) =>
    // Steps of the golden section meet no rhythm of rates, blocks or corrections.
    Array.from({ length: lookedAt }, (_, k) => its[Math.floor(its.length * ((k * 0.618034) % 1))]!),
  );
  const firsts = gather(looked, (strip) => strip.yieldKgPerHa);
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
    const alike = [...(others.get(sheet) ?? [])]
      .filter((other) => !left.has(other) && !own(other) && bySheet.get(other)!.length >= its.length)
      .map((other) => ({ other, count: countWithin(its, bySheet.get(other)!) }));
    const original = alike.find(({ count }) => count === its.length)?.other;
    const answer = (holds: string): string =>
      tab === null || sheet === source
        ? `files: {${JSON.stringify(fileBaseName(source))}: ${holds}}`
        : `tabs: {${JSON.stringify(tab)}: ${holds}}`;
    const edited = alike.find(({ count }) => count > its.length / 2);
    if (original === undefined && edited === undefined) continue;
    left.add(sheet);
    if (original === undefined) {
      findings.push(copiedInPart(sheet, edited!.other, edited!.count, its.length, answer));
      continue;
    }
    for (const strip of its) {
      copies.add(strip);
      findings.push(rowOfCopy(strip.place, original, answer("strips")));
    }
  }
  return { copies, findings };
}
