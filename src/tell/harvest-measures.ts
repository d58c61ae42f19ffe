/** Units that a harvest is told in. */
import type { CropName } from "../vocabulary/crops.ts";
import type { Harvest } from "../vocabulary/harvest.ts";
import { measuresOf, type Measure, type Measures } from "../numbers/measures.ts";
import type { NumberStyle } from "../numbers/written-numbers.ts";
import { defaultSettings } from "../vocabulary/settings.ts";

export const harvestMeasures = ({ units, crop }: Harvest, style: NumberStyle): Measures =>
  measuresOf({ units, settings: { ...defaultSettings, crop: crop as CropName } }, style);

/** The measure of what was put down: seeds, or their weight. */
export const rateText = ({ rateIsWeight }: Harvest, measures: Measures): Measure =>
  rateIsWeight ? measures.seedWeight : measures.rate;
