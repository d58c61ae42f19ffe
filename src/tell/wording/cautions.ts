/** Cautions that go with every advised rate. */
import type { Result } from "../../vocabulary/result.ts";

/**
 * Sources: Minnesota Dept. of Agriculture, treated seed, and ND Century Code 4.1-53-14 (treated seed); UNL CropWatch
 * 2015 and USDA RMA (insurance dates); UNL CropWatch and Univ. of Minnesota trial notes 2015 (results hold for what was
 * tested).
 */
export function cautionTexts(result: Pick<Result, "settings">): string[] {
  const treated = result.settings.lots.some((lot) => lot.treated);
  return [
    "The label, the law and your licensed local adviser come first. This page is arithmetic on your own strips, not a recommendation for another farm.",
    `${treated ? "Some of this seed is treated" : "Where seed is treated"}: follow the tag. Never use it for food, feed or oil, keep it out of grain, and store and dispose of what is left as the law says.`,
    "Crop insurance sets a final planting date for each county and crop; after it the guarantee falls day by day. Ask your agent before seeding late.",
    "Results hold for the varieties, fields, seasons and rates that were tested. A rate outside the tested range is a guess, and this page makes none.",
    "No difference found is not the same as no difference: the strips may have been too few to show it.",
    "Sums are for the prices shown. Prices, seed size and germination change: check the lot's own tag, and calibrate the drill with that seed.",
  ];
}
