/** What is asked of the points of drill and combine. */
import type { CallHarvestWish } from "../messages/harvest.ts";
import type { InputFile } from "../read/tables/input-file.ts";
import type { CropName } from "../vocabulary/crops.ts";
import type { HarvestStep, ScaleUse } from "../vocabulary/harvest.ts";

export interface HarvestRequest {
  crop: CropName;
  system: "us" | "metric";
  currency: string;
  season: number | null;
  farm: string;
  field: string;
  /** Variety where neither file nor sheet names one. */
  variety?: string;
  /** Header → what it is, with its unit, as answered. */
  columns?: Readonly<Record<string, string>>;
  /** Delay that the person gave [s]; null: find it. */
  delayS: number | null;
  combineWidthM: number | null;
  drillWidthM: number | null;
  /** Weights of a weigh wagon, and whether yields are calibrated to them. */
  weighed?: { file: InputFile; use: ScaleUse } | null;
  off: readonly HarvestStep[];
  /** Whether to work out how strips move with each step off: takes as long again for each. */
  eachStepOff: boolean;
  callWish?: CallHarvestWish;
}
