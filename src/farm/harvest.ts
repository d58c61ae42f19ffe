/** From the points of a harvest to the strips file and the page about it. */
import { readFieldSheet } from "../points/field-sheet.ts";
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

/** @throws TrialError with a code of `messages/harvest.ts` where the files show no strips */
export async function harvestStrips(
  yields: readonly InputFile[],
  seeded: readonly InputFile[],
  sheet: InputFile | null,
  request: HarvestRequest,
): Promise<HarvestMade> {
  const harvest = await stripsFromPoints(yields, seeded, sheet, request);
  const headers = sheet === null ? {} : readFieldSheet(sheet, request.crop).headers;
  return { harvest, csv: harvestStripsCsv(harvest, headers as Record<string, string>) };
}

export const reportHarvest = async (
  { harvest }: HarvestMade,
  maker: PageMaker,
  files: string[],
): Promise<string> => tellHarvestPage(harvest, await pageParts("harvest", maker, files));
