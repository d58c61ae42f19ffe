/** Whether strips pay: one rule for report and plan. */
import type { StripAdvice } from "../vocabulary/result.ts";

/** Work per strip and seasons that its answer is used, unless given; our choice, without source. */
export const usualStripCost = 25;
export const usualSeasonsUsed = 3;

/** What a strip costs in work, and how long its answer is used. */
export interface StripPrices {
  costPerStrip: number;
  seasonsUsed: number;
}

/**
 * Varieties whose strips are worth planting: all of them, unless areas are known and the strips of some pay; then the
 * others are left out.
 */
export function worthPlanting<Variety extends { outlook: { variety: string } }>(
  known: readonly Variety[],
  advice: readonly StripAdvice[],
): { plant: Variety[]; leave: Variety[] } {
  const pay = advice.some((one) => one.areaHa !== null && (one.need === "most" || one.need === "some"));
  const costMore = advice.filter(
    (one) => pay && one.areaHa !== null && (one.need === "dear" || one.need === "settled"),
  );
  const leaves = ({ outlook }: Variety): boolean => costMore.some((one) => one.variety === outlook.variety);
  return { plant: known.filter((one) => !leaves(one)), leave: known.filter(leaves) };
}

/**
 * What strips are worth over the seasons that their answer is used, compared with what they cost.
 *
 * @param valuePerHa what they are expected to earn in a season [money/ha]
 * @param areaHa     area that the answer is used on; null: not known
 * @returns null for both while the area is not known; strips that are worth nothing never pay
 */
export function weighStrips(
  valuePerHa: number,
  areaHa: number | null,
  cost: number,
  seasonsUsed: number,
): { value: number | null; pays: boolean | null } {
  if (!(valuePerHa > 0)) return { value: 0, pays: false };
  if (areaHa === null) return { value: null, pays: null };
  const value = valuePerHa * areaHa * seasonsUsed;
  return { value, pays: value >= cost };
}
