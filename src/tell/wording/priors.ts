/** What was believed before the strips, and how much it matters. */
import { crops } from "../../vocabulary/crops.ts";
import type { NextRate, Result } from "../../vocabulary/result.ts";
import type { LodgingPriors, Priors } from "../../vocabulary/settings.ts";
import { scoreText } from "./lodging.ts";
import { plainNumber, type Measures } from "../../numbers/measures.ts";
import { listed } from "../../numbers/written-numbers.ts";
import { bareRate } from "./optimum.ts";

/** Other starting assumptions. */
export const startingPoints: Record<NextRate["sensitivity"][number]["prior"], string> = {
  flat: "all curves equally likely",
  alone: "without the other varieties",
  "need-lower": "seed need assumed 20% lower",
  "need-higher": "seed need assumed 25% higher",
  "without-region": "without the region",
  "without-recommended": "without the rates that came with the varieties",
};

/** The most profitable rate with other starting assumptions. */
export function sensitivitySentence({ sensitivity }: NextRate, measures: Measures): string {
  if (sensitivity.length === 0) return "";
  const told = sensitivity.map(
    ({ prior, rateSeedsPerM2 }) => `${bareRate(rateSeedsPerM2, measures)} (${startingPoints[prior]})`,
  );
  return `With other starting assumptions the most profitable rate would be ${listed(told)}.`;
}

/** A belief or a rule that is our own choice, and the entries of the season file that change it. */
export interface StatedChoice {
  what: string;
  value: string;
  keys: string[];
}

/** What was believed of curves before the strips. */
export function startingBeliefs({ settings, beliefs }: Result, measures: Measures): StatedChoice[] {
  const { priors } = settings;
  const need =
    beliefs[0]?.priorNeedSeedsPerM2 ?? priors.needSeedsPerM2 ?? crops[settings.crop].usualSeedsPerM2;
  return [
    {
      what: "All curves equally likely, whatever is listed below",
      value: priors.flat ? "yes" : "no",
      keys: ["flat"],
    },
    ...beliefsOnNeed(priors, need, measures),
    ...beliefsOnResponse(priors, measures),
    ...beliefsOnLodgingTold(priors.lodging, measures),
  ];
}

const about = (share: number, measures: Measures): string => `about ${measures.share(share)}`;

/** Where yield stops rising, and how that differs. */
const beliefsOnNeed = (priors: Priors, need: number, measures: Measures): StatedChoice[] => [
  {
    what: "Rate at which yield stops rising (the seed need)",
    value: `${measures.rate.text(need)}, give or take ${measures.share(priors.needSdLog)}`,
    keys: ["need", "need_spread"],
  },
  {
    what: "How much the need differs between varieties",
    value: about(priors.needBetweenSdLog, measures),
    keys: ["variety_spread"],
  },
  {
    what: "How much the need changes from season to season",
    value: about(priors.seasonSpread, measures),
    keys: ["season_spread"],
  },
  {
    what: "How much the need differs between fields in every season (where several fields were tested more than once)",
    value: about(priors.fieldSpread, measures),
    keys: ["field_spread"],
  },
  {
    what: "How much a season moves the need in one field but not in another",
    value: about(priors.fieldInSeasonSpread, measures),
    keys: ["field_in_season_spread"],
  },
];

/** How yield rises up to there and falls beyond, and how much strips differ. */
function beliefsOnResponse(priors: Priors, measures: Measures): StatedChoice[] {
  const span = (median: number, sdLog: number): string =>
    `${measures.share(median)}; two-thirds range ${measures.share(median * Math.exp(-sdLog))} to ${measures.share(Math.min(1, median * Math.exp(sdLog)))}`;
  return [
    {
      what: "How much the strength of the response differs between seasons and fields",
      value: about(priors.strengthSpread, measures),
      keys: ["strength_spread"],
    },
    {
      what: "How alike seasons and fields are in what no response curve gets right (many of them then count as fewer)",
      value: measures.share(priors.misfitCorrelation),
      keys: ["misfit_correlation"],
    },
    {
      what: "Yield lost at 60% of the need (half of the variance is shared by a farm's varieties)",
      value: span(priors.lossMedian, priors.lossSdLog),
      keys: ["loss", "loss_spread"],
    },
    {
      what: "Chance that yield never falls at high rates",
      value: measures.share(priors.noDeclineChance),
      keys: ["no_decline_chance"],
    },
    {
      what: "Yield lost at high rates, where it falls",
      value: span(priors.declineMedian, priors.declineSdLog),
      keys: ["decline", "decline_spread"],
    },
    {
      what: "How far the best rate usually is from the one that came with the variety, where the lots give it",
      value: about(priors.recommendedSdLog, measures),
      keys: ["recommended_spread"],
    },
    {
      what: "Chance that yield does not respond to the rate at all",
      value: measures.share(priors.noResponseChance),
      keys: ["no_response_chance"],
    },
    {
      what: "How much strips differ by chance (given the weight of four strips)",
      value: measures.share(priors.stripError),
      keys: ["strip_error"],
    },
  ];
}

/** Shares of the scale, and odds: twice the odds make two lodged strips in eleven out of one in ten. */
function beliefsOnLodgingTold(lodging: LodgingPriors, measures: Measures): StatedChoice[] {
  const share = (logOdds: number): string => measures.share(1 / (1 + Math.exp(-logOdds)));
  const times = (spread: number): string =>
    `odds ${plainNumber(Math.exp(spread), 1, measures)} times up or down`;
  const { levelMean, levelSd } = lodging;
  return [
    {
      what: "Lodging of a variety over the seasons",
      value: `${share(levelMean)} of the scale; two-thirds range ${share(levelMean - levelSd)} to ${share(levelMean + levelSd)}`,
      keys: ["lodging_level", "lodging_level_spread"],
    },
    {
      what: "How lodging responds to the rate, from a thin to a thick stand",
      value: times(lodging.slopeSd),
      keys: ["lodging_slope_spread"],
    },
    {
      what: "How much that response differs between varieties",
      value: times(lodging.slopeSpread),
      keys: ["lodging_variety_slope_spread"],
    },
    {
      what: "How much lodging differs between seasons",
      value: times(lodging.seasonSpread),
      keys: ["lodging_season_spread"],
    },
    {
      what: "… between the fields of a season",
      value: times(lodging.fieldSpread),
      keys: ["lodging_field_spread"],
    },
    {
      what: "… between the varieties of a field",
      value: times(lodging.varietySpread),
      keys: ["lodging_variety_spread"],
    },
  ];
}

/** Rules of the advice that are a matter of choice. */
export function statedRules({ settings, lodging }: Result, measures: Measures): StatedChoice[] {
  const assumed: readonly string[] = settings.assumed;
  const rules: StatedChoice[] = [
    {
      what: "Largest change in one season",
      value: measures.chosenShare(settings.largestStep),
      keys: ["largest_step"],
    },
    {
      what: "Smallest gain worth a change; also sets the flat zone",
      value: measures.moneyPerArea.chosen(settings.flatZonePerHa),
      keys: ["flat_zone"],
    },
    {
      what: "Lodging above this is too much",
      value: scoreText(settings.lodgingLimit, lodging[0]?.scale ?? null, measures),
      keys: ["lodging_limit"],
    },
    {
      what: "How often more than that is acceptable",
      value: measures.chosenShare(settings.lodgingChance),
      keys: ["lodging_chance"],
    },
    {
      what: "Viable seeds that give no plant, where stands were not counted",
      value: measures.chosenShare(settings.standLoss),
      keys: ["stand_loss"],
    },
    {
      what: "More seed for each day late",
      value: measures.chosenShare(settings.latePerDay),
      keys: ["late_per_day"],
    },
  ];
  return rules.map((rule) =>
    rule.keys.some((key) => assumed.includes(key)) ? { ...rule, value: `${rule.value} (assumed)` } : rule,
  );
}
