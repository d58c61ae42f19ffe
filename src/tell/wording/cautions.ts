/** Cautions that go with every advised rate. */
import type { Result } from "../../vocabulary/result.ts";

/** The caution where there is room for only one. */
export const shortCaution =
  "The label, the law and your licensed local adviser come first. These rates are a starting point from your own strips, not a recommendation.";

/** @param treated whether some of the seed at hand is known to be */
export const treatedCaution = (treated: boolean): string =>
  `${treated ? "Some of this seed is treated" : "Where seed is treated"}: follow the label; wear its gloves and protection before touching it, as in a catch test; clean up spills. Never for food, feed or oil; keep it out of grain, and dispose of the rest as the law says.`;

/**
 * Sources: Minnesota Dept. of Agriculture, treated seed, and ND Century Code 4.1-53-14 (treated seed); UNL CropWatch
 * 2015 and USDA RMA (insurance dates); UNL CropWatch and Univ. of Minnesota trial notes 2015 (results hold for what was
 * tested).
 */
export function cautionTexts(result: Pick<Result, "settings">): string[] {
  return [
    shortCaution,
    treatedCaution(result.settings.lots.some((lot) => lot.treated)),
    "Before seeding late or far from local rates, read your insurance policy, if you have one, or ask your agent.",
    "Results hold for the varieties, fields, seasons and rates tested. Outside the tested rates this page gives no number.",
    "Finding no difference does not prove there is none: the strips may be too few.",
    "Money is at the prices shown. Check the lot's own tag, and calibrate the drill with that seed, stopped and secured.",
  ];
}
