/** Names that are probably meant to be the same. */
import type { Lot } from "../vocabulary/settings.ts";
import { probableName, probablyOne, type UsedName } from "../vocabulary/spelling.ts";
import { namedColumns, type Finding, type NamedColumn, type Strip } from "../vocabulary/trial.ts";
import * as messages from "../messages/values.ts";
import { textOrder } from "./groups.ts";

/** Names of a column with how many strips have each, and in what season and at what rate. */
function usesOf(strips: readonly Strip[], column: NamedColumn): Map<string, UsedName> {
  const used = new Map<string, { name: string; weight: number; uses: Set<string> }>();
  for (const strip of strips) {
    const name = strip[column] ?? "";
    let entry = used.get(name);
    if (entry === undefined) used.set(name, (entry = { name, weight: 0, uses: new Set() }));
    entry.weight++;
    if (entry.uses.size < mostUses)
      entry.uses.add(`${strip.season} ${Math.round(strip.rateSeedsPerM2 / 10)}`);
  }
  return used;
}

/** Enough to tell whether two names were used alike. */
const mostUses = 200;

/** A lot's name stands before others. */
const lotWeight = 1e9;

/**
 * Varieties, fields, farms and grounds whose spellings are probably one name, the name that stands first in each group.
 *
 * @param settled  names that were answered to be their own
 */
export function alikeNames(strips: readonly Strip[], lots: readonly Lot[], column: NamedColumn): string[][] {
  const used = usesOf(strips, column);
  if (column === "variety") {
    for (const { variety } of lots) {
      const entry = used.get(variety);
      used.set(variety, {
        name: variety,
        weight: (entry?.weight ?? 0) + lotWeight,
        uses: entry?.uses ?? new Set(),
      });
    }
  }
  return probablyOne([...used.values()].filter(({ name }) => name !== ""));
}

/**
 * Spellings that are probably one name, and varieties that strips and lots do not share.
 *
 * @param apart  names that were answered to be separate: not asked again
 */
export function checkNames(
  strips: readonly Strip[],
  lots: readonly Lot[],
  apart: readonly string[] = [],
): Finding[] {
  const own = new Set(apart);
  const findings = namedColumns.flatMap((column) =>
    alikeNames(strips, lots, column)
      .map(([name, ...others]) => [name!, ...others.filter((other) => !own.has(other))])
      .filter((names) => names.length > 1)
      .map((names) => messages.alikeNames(column, names)),
  );
  if (lots.length === 0 || strips.length === 0) return findings;
  const varieties = new Set(strips.map((strip) => strip.variety));
  const withLot = new Set(lots.map((lot) => lot.variety));
  const withoutLot = [...varieties].filter((variety) => !withLot.has(variety)).sort(textOrder);
  const withoutStrips = [...withLot].filter((variety) => !varieties.has(variety)).sort(textOrder);
  if (withoutLot.length > 0) findings.push(messages.varietyWithoutLot(withoutLot));
  if (withoutStrips.length > 0) {
    const near = withoutStrips.flatMap((variety) => {
      const name = probableName(variety, varieties);
      return name === null ? [] : [`${variety} may be ${name}`];
    });
    findings.push(messages.lotWithoutStrips(withoutStrips, near));
  }
  return findings;
}
