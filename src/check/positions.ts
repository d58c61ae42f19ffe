/** Whether the ground could explain what looks like a response: rates or varieties that follow the position. */
import { mean, sampleCorrelation } from "simple-statistics";
import type { Finding, Strip } from "../vocabulary/trial.ts";
import * as messages from "../messages/layout.ts";
import { gather } from "../maths/group-by.ts";
import { textOrder } from "./groups.ts";
import type { LaidOut } from "./rate-levels.ts";

/** From here on position and rate are hard to distinguish (common practice: 1 / (1 - r²) inflates the variance by 2.8). */
const confoundingCorrelation = 0.8;

/** Ranks from 1; equal numbers share the mean of their ranks. */
function ranks(numbers: readonly number[]): number[] {
  const order = numbers.map((_, i) => i).sort((a, b) => numbers[a]! - numbers[b]!);
  const ranked = new Array<number>(numbers.length);
  for (let start = 0, end = 0; start < order.length; start = end) {
    while (end < order.length && numbers[order[end]!] === numbers[order[start]!]) end++;
    for (let i = start; i < end; i++) ranked[order[i]!] = (start + end + 1) / 2;
  }
  return ranked;
}

const centred = (numbers: readonly number[]): number[] => {
  const middle = mean(numbers);
  return numbers.map((x) => x - middle);
};

const isConstant = (numbers: readonly number[]): boolean => numbers.every((x) => x === numbers[0]);

/**
 * Rank correlation of rate and position inside blocks.
 *
 * Spearman's coefficient with the ranks of each block about their own mean, so that differences between blocks do not
 * count. Null with fewer than 4 strips or nothing that varies.
 */
export function positionCorrelation(blocks: readonly (readonly Strip[])[]): number | null {
  const positionRanks = blocks.flatMap((strips) => centred(ranks(strips.map((strip) => strip.position!))));
  const rateRanks = blocks.flatMap((strips) => centred(ranks(strips.map((strip) => strip.rateSeedsPerM2))));
  if (positionRanks.length < 4 || isConstant(positionRanks) || isConstant(rateRanks)) return null;
  return sampleCorrelation(positionRanks, rateRanks);
}

/** The rate levels of a block as they lie across the field, as a text to compare. */
function rateOrder(strips: readonly Strip[], levelOf: Map<Strip, number>): string {
  return [...strips]
    .sort((a, b) => a.position! - b.position!)
    .map((strip) => levelOf.get(strip)!)
    .join(" ");
}

function followsPosition(group: LaidOut): { sameOrder: boolean; correlation: number | null } {
  if (group.levels.length < 3) return { sameOrder: false, correlation: null };
  const levelOf = new Map(
    group.levels.flatMap((level, i) => level.strips.map((strip) => [strip, i] as const)),
  );
  const blocks = [...gather(group.strips, (strip) => strip.block).values()];
  const orders = blocks.map((strips) => rateOrder(strips, levelOf));
  return {
    sameOrder: blocks.length > 1 && orders.every((order) => order === orders[0]),
    correlation: positionCorrelation(blocks),
  };
}

type VarietyOrder = "own-ground" | "same-order" | "free";

/** How the varieties lie in an environment whose positions run on through all of them. */
function varietyOrder(strips: readonly Strip[]): VarietyOrder {
  const blocks = [...gather(strips, (strip) => strip.block).values()].map((block) =>
    [...block].sort((a, b) => a.position! - b.position!),
  );
  const orders: string[] = [];
  for (const block of blocks) {
    if (block.some((strip, i) => strip.position === block[i - 1]?.position)) return "free";
    const runs = block.filter((strip, i) => strip.variety !== block[i - 1]?.variety);
    const varieties = runs.map((strip) => strip.variety);
    if (varieties.length < 2 || new Set(varieties).size < varieties.length) return "free";
    orders.push(JSON.stringify(varieties));
  }
  const varieties = new Set(strips.map((strip) => strip.variety)).size;
  if (blocks.length === 1) return "own-ground";
  // Two varieties in two or three blocks often lie alike by luck.
  return orders.every((order) => order === orders[0]) && (varieties > 2 || blocks.length > 3)
    ? "same-order"
    : "free";
}

/** Rates or varieties that follow the order across the field. Looks only where every strip has its position. */
export function checkPositions(groups: readonly LaidOut[]): Finding[] {
  const placed = groups.filter((group) => group.strips.every((strip) => strip.position !== null));
  const findings: Finding[] = [];
  for (const [variety, seen] of gather(placed, (group) => group.variety)) {
    const judged = seen.map((group) => ({ environment: group.environment, ...followsPosition(group) }));
    const alike = judged.filter((one) => one.sameOrder).map((one) => one.environment);
    if (alike.length > 0) findings.push(messages.sameOrder(variety, alike));
    const along = judged
      .filter((one) => Math.abs(one.correlation ?? 0) >= confoundingCorrelation)
      .map((one) => `${one.environment} (rank correlation ${one.correlation!.toFixed(2)})`);
    if (along.length > 0) findings.push(messages.ratesAlongField(variety, along));
  }
  const orders = [...gather(placed, (group) => group.environment)]
    .filter(([, together]) => together.length > 1)
    .map(([environment, together]) => ({
      environment,
      order: varietyOrder(together.flatMap((group) => group.strips)),
    }));
  const where = (order: VarietyOrder): string[] =>
    orders
      .filter((one) => one.order === order)
      .map((one) => one.environment)
      .sort(textOrder);
  if (where("same-order").length > 0) findings.push(messages.varietiesInSameOrder(where("same-order")));
  if (where("own-ground").length > 0) findings.push(messages.varietiesOnTheirOwnGround(where("own-ground")));
  return findings;
}
