/** From the points of a harvest to the strips file and the page about it. */
import { planRanges } from "../check/ranges.ts";
import { holdWish } from "../check/wishes.ts";
import { asOption } from "../messages/harvest.ts";
import { readFieldSheet } from "../points/field-sheet.ts";
import { lengthTold } from "../points/harvest-doubts.ts";
import type { HarvestRequest } from "../points/harvest-request.ts";
import { stripsFromPoints } from "../points/strips-from-points.ts";
import type { InputFile } from "../read/tables/input-file.ts";
import { harvestStripsCsv } from "../tell/csv/harvest-strips.ts";
import { tellHarvestPage } from "../tell/html/harvest-page.ts";
import type { Harvest } from "../vocabulary/harvest.ts";
import { pageParts, type PageMaker } from "./page-maker.ts";

export interface HarvestMade {
  harvest: Harvest;
  /** The strips file. */
  csv: string;
}

/**
 * @throws TrialError with a code of `messages/harvest.ts` where the files show no strips, `value-out-of-range` for a width
 *   that no machine has
 */
export async function harvestStrips(
  yields: readonly InputFile[],
  seeded: readonly InputFile[],
  sheet: InputFile | null,
  request: HarvestRequest,
): Promise<HarvestMade> {
  holdWidths(request);
  const harvest = await stripsFromPoints(yields, seeded, sheet, request);
  const headers = sheet === null ? {} : readFieldSheet(sheet, request.crop).headers;
  return { harvest, csv: harvestStripsCsv(harvest, headers as Record<string, string>) };
}

export const reportHarvest = async (
  { harvest }: HarvestMade,
  maker: PageMaker,
  files: string[],
): Promise<string> => tellHarvestPage(harvest, await pageParts("harvest", maker, files));

function holdWidths({ combineWidthM, drillWidthM, system, callWish = asOption }: HarvestRequest): void {
  for (const [wish, width] of [
    ["combine-width", combineWidthM],
    ["drill-width", drillWidthM],
  ] as const)
    if (width !== null)
      holdWish(callWish(wish), width, planRanges.machineWidthM, (metres) => lengthTold(metres, system));
}
