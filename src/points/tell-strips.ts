/** Strips with their yields as they are handed on, and the map of all points beside them. */
import {
  harvestSteps,
  leftOutReasons,
  type Harvest,
  type HarvestedStrip,
  type HarvestMap,
  type HarvestStep,
} from "../vocabulary/harvest.ts";
import type { HarvestedStrips } from "./harvested-strips.ts";
import type { Machines } from "./machines.ts";
import type { SeededStrip } from "./seeded-ground.ts";
import type { SownStrips } from "./sown-strips.ts";
import { pointVariance, type StripSum } from "./strip-yields.ts";

const mostMapPoints = 9_000;

/** Blocks may be so much smaller than a full set of treatments before strips are counted off instead. */
const smallBlock = 0.6;

/**
 * Block of each strip in order: a new one where a treatment comes again. Where treatments stand in no such sets, as many
 * strips with a yield as there are treatments are a block.
 */
function blocksByPlace(inOrder: readonly { strip: SeededStrip; sum: StripSum }[]): number[] {
  const treatment = ({ variety, rateClass }: SeededStrip): string => `${variety} ${rateClass}`;
  const treatments = new Set(inOrder.map(({ strip }) => treatment(strip))).size;
  const seen = new Set<string>();
  let block = 1;
  const bySets = inOrder.map(({ strip }) => {
    if (seen.has(treatment(strip))) {
      block++;
      seen.clear();
    }
    seen.add(treatment(strip));
    return block;
  });
  if (inOrder.length / block >= smallBlock * treatments) return bySets;
  const size = Math.max(treatments, 4);
  const withYield = inOrder.filter(({ sum }) => sum.points > 0).length;
  const blocks = Math.max(1, Math.round(withYield / size));
  const each = withYield / blocks;
  let before = 0;
  return inOrder.map(({ sum }) => {
    const at = Math.min(blocks, Math.floor(before / Math.max(1, each)) + 1);
    if (sum.points > 0) before++;
    return at;
  });
}

/** @param variety  of strips that neither file nor sheet names one for */
export function tellStrips(
  sown: SownStrips,
  { sums, errors, unscaled }: HarvestedStrips,
  variety: string,
): HarvestedStrip[] {
  const { ground, order, rows } = sown;
  const told: HarvestedStrip[] = [];
  const inOrder = order.map((s) => ({
    strip: ground.strips[s]!,
    sum: sums.strips[s]!,
    standardError: errors.standardErrors[s] ?? null,
    unscaledMass: unscaled?.strips[s]?.mass ?? null,
  }));
  const blocks = blocksByPlace(inOrder);
  const spread = pointVariance(sums.strips);
  inOrder.forEach(({ strip, sum, standardError, unscaledMass }, index) => {
    const row = rows?.[index] ?? null;
    // Strips that the sheet does not list are borders.
    if (rows !== null && row === null) return;
    const has = sum.area > 0 && sum.points > 0;
    const se = has ? standardError : null;
    told.push({
      position: row?.position ?? index + 1,
      block: row === null ? String(blocks[index]) : row.block,
      variety: row?.variety || strip.variety || variety,
      rate: strip.rate,
      rateClass: strip.rateClass,
      seedsPerKg: strip.seedsPerKg > 0 ? strip.seedsPerKg : null,
      yieldKgPerHa: has ? sum.mass / sum.area : null,
      standardErrorKgPerHa: se,
      points: sum.points,
      shared: sum.shared,
      worth: se === null || se === 0 ? null : Math.min(sum.points, Math.max(1, spread / se ** 2)),
      areaHa: has ? sum.area / 10_000 : 0,
      lengthM: strip.lengthM,
      moisturePct: sum.moistureArea > 0 ? sum.moisture / sum.moistureArea : null,
      sheet: row === null ? null : (row.cells as Record<string, string>),
      scaleFactor: has && unscaledMass !== null ? sum.mass / unscaledMass : null,
    });
  });
  return told;
}

/** How strips move with each step left out. */
export function offOneByOne(
  off: ReadonlySet<HarvestStep>,
  { delay, sums, errors, without }: HarvestedStrips,
): Harvest["withoutStep"] {
  return harvestSteps
    .filter((step) => !off.has(step))
    .map((step) => {
      const { strips } = without(new Set([...off, step]), step === "delay" ? 0 : delay.seconds);
      let [largest, moved, lost] = [0, 0, 0];
      for (const [s, after] of strips.entries()) {
        const before = sums.strips[s]!;
        if (before.area === 0 && after.area > 0) lost++;
        if (before.area === 0 || after.area === 0) continue;
        const move = Math.abs(after.mass / after.area - before.mass / before.area);
        largest = Math.max(largest, move);
        if (move > (errors.standardErrors[s] ?? Infinity)) moved++;
      }
      return { step, largestMoveKgPerHa: largest, moved, stripsLost: lost };
    });
}

export function mapOf(
  {
    combine,
    drill: {
      read: { cloud: drill },
    },
  }: Machines,
  { ground, order }: SownStrips,
  { cleaned: { reason, strip: stripAtPlace, share, yieldKgPerHa } }: HarvestedStrips,
): HarvestMap {
  const {
    read: { cloud },
    passes,
  } = combine;
  const position = new Map(order.map((s, index) => [s, index + 1]));
  const tidy = (value: number): number => Math.round(value * 10) / 10;
  const seeded: HarvestMap["seeded"] = [];
  const everySeeded = Math.max(1, Math.ceil(drill.count / mostMapPoints));
  for (let i = 0; i < drill.count; i += everySeeded) {
    const strip = position.get(ground.stripOf[i]!);
    if (strip !== undefined)
      seeded.push({ x: tidy(drill.numbers.x![i]!), y: tidy(drill.numbers.y![i]!), strip });
  }
  const harvested: HarvestMap["harvested"] = [];
  const every = Math.max(1, Math.ceil(cloud.count / mostMapPoints));
  for (let k = 0; k < cloud.count; k += every) {
    const i = passes.order[k]!;
    const value = yieldKgPerHa[k]!;
    harvested.push({
      x: tidy(cloud.numbers.x![i]!),
      y: tidy(cloud.numbers.y![i]!),
      yieldKgPerHa: Number.isFinite(value) ? Math.round(value) : null,
      strip: position.get(stripAtPlace[k]!) ?? null,
      share: Math.round(1_000 * share[k]!) / 1_000,
      why:
        reason[k] === 0 ? null : (leftOutReasons[reason[k]! - 1] as HarvestMap["harvested"][number]["why"]),
    });
  }
  return { seeded, harvested };
}
