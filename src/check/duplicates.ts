/** One strip written down twice. */
import type { Finding, Strip } from "../vocabulary/trial.ts";
import { sorted } from "../maths/group-by.ts";
import * as messages from "../messages/values.ts";
import { textOrder, type VarietyGroup } from "./groups.ts";

const measured = (strip: Strip): (number | null)[] => [
  strip.rateSeedsPerM2,
  strip.yieldKgPerHa,
  strip.moisturePct,
  strip.standPlantsPerM2,
  strip.headsPerM2,
  strip.lodging?.share ?? null,
  strip.proteinPct,
  strip.testWeightKgPerHl,
];

const sameNumbers = (a: Strip, b: Strip): boolean => {
  const others = measured(b);
  return measured(a).every((value, i) => value === others[i]);
};

/** Strips that could be one and the same come to stand side by side. */
const byPlace = (a: Strip, b: Strip): number =>
  textOrder(a.block, b.block) ||
  (a.position ?? 0) - (b.position ?? 0) ||
  a.rateSeedsPerM2 - b.rateSeedsPerM2 ||
  a.yieldKgPerHa - b.yieldKgPerHa;

/**
 * Finds strips that were certainly read twice, to be left out, and points at those that perhaps were.
 *
 * Certain: same variety, environment, block, position, rate and yield. Perhaps: no positions are known and all that
 * was measured is the same. Two different strips of a variety on one position of a block are pointed at as well.
 * Sorting within variety and environment is the only step that is not linear.
 *
 * @returns the strips that repeat an earlier one, and what was found
 */
export function checkDuplicates(groups: readonly VarietyGroup[]): { twice: Set<Strip>; findings: Finding[] } {
  const twice = new Set<Strip>();
  const findings: Finding[] = [];
  for (const group of groups) {
    const inOrder = sorted(group.strips, byPlace);
    let [first] = inOrder;
    for (const strip of inOrder.slice(1)) {
      const sameSpot = strip.block === first.block && strip.position === first.position;
      const sameStrip =
        sameSpot &&
        strip.rateSeedsPerM2 === first.rateSeedsPerM2 &&
        strip.yieldKgPerHa === first.yieldKgPerHa;
      if (sameStrip && strip.position !== null) {
        twice.add(strip);
        findings.push(messages.stripTwice(first.place, strip.place));
        continue;
      }
      if (sameStrip && sameNumbers(strip, first))
        findings.push(messages.perhapsTwice(first.place, strip.place));
      if (sameSpot && !sameStrip && strip.position !== null) {
        findings.push(messages.samePosition(first.place, strip.position, strip.place));
      }
      first = strip;
    }
  }
  return { twice, findings };
}
