/** Every entry of a season file: its key, kind, place in the settings, and a line of help. */
import { crops, type CropName } from "../../vocabulary/crops.ts";
import {
  lodgingScaleNames,
  lodgingScales,
  parseLodgingScale,
  toLodgingScore,
} from "../../numbers/lodging-scales.ts";
import {
  formNames,
  type FormName,
  type LodgingPriors,
  type Settings,
  type UnitChoice,
} from "../../vocabulary/settings.ts";
import type { LodgingScale } from "../../vocabulary/trial.ts";
import { parseCrop } from "../crop-names.ts";
import {
  choice,
  day,
  EntryFault,
  grainPrice,
  maybe,
  measured,
  moneyPerArea,
  numberOf,
  percent,
  percentPoints,
  plain,
  seedPrice,
  yesOrNo,
  type Kind,
  type SeasonContext,
  type Limits,
} from "./season-kinds.ts";

/** One entry whose value is a single text or number. */
export interface SeasonEntry {
  key: string;
  help: string;
  unit: (context: SeasonContext) => string;
  /** The settings with the entry's text in them. @throws EntryFault */
  apply: (text: string, settings: Settings, context: SeasonContext) => Settings;
  /** The entry's value in the settings, as text. */
  tell: (settings: Settings, context: SeasonContext) => string;
  schema: Record<string, unknown>;
}

function entry<Value>(
  key: string,
  kind: Kind<Value>,
  get: (settings: Settings) => Value,
  set: (value: Value) => Partial<Settings>,
  help: string,
): SeasonEntry {
  return {
    key,
    help,
    unit: kind.unit,
    apply: (text, settings, context) => ({ ...settings, ...set(kind.read(text, context)) }),
    tell: (settings, context) => kind.tell(get(settings), context),
    schema: { ...kind.schema, description: [help, kind.schema["description"]].filter(Boolean).join(" ") },
  };
}

const cropNames = Object.keys(crops) as CropName[];
const rate = measured(
  "rate",
  { us: "seeds/ac", metric: "seeds/m2" },
  { least: 0.1, most: 20_000 },
  "1.2 million seeds/ac",
);
const perArea = { least: 0, most: 1e6 };
const anyShare = { least: 0, most: 100 };

/** Words that name the system of units. */
export const unitSystem: Kind<UnitChoice["system"]> = choice<UnitChoice["system"]>(["us", "metric"]);
export const cropKind: Kind<CropName> = choice<CropName>(cropNames, parseCrop);
export const currencyKind: Kind<string> = {
  unit: () => "",
  read: (text) => {
    if (/^(?:\p{Sc}|[A-Za-z]{1,3}\$|[A-Z]{3})$/u.test(text)) return text;
    throw new EntryFault("Write a currency sign or its three letters, such as $, € or USD.");
  },
  tell: (currency) => currency,
  schema: { type: "string" },
};

const lodgingScaleKind: Kind<LodgingScale> = {
  ...choice<LodgingScale>(Object.keys(lodgingScales) as LodgingScale[], parseLodgingScale, lodgingScaleNames),
  tell: (scale) => lodgingScales[scale].names[0],
};

/** A score of the lodging scale, or a share of it in percent. */
const lodgingLimit = (settings: Settings): Kind<number> => ({
  unit: () => `score of the lodging scale ${lodgingScales[settings.lodgingScale].names[0]}, or %`,
  read: (text, context) => {
    if (text.trim().endsWith("%")) return percent(anyShare).read(text, context);
    const score = toLodgingScore(settings.lodgingScale, numberOf(text));
    if (score !== null) return score.share;
    const { lowest, highest } = lodgingScales[settings.lodgingScale];
    throw new EntryFault(
      `The lodging scale runs from ${lowest} to ${highest}. Write a score of it, or a share such as 30%, or name another lodging_scale.`,
    );
  },
  tell: (share, context) => percent(anyShare).tell(share, context),
  schema: {
    type: ["number", "string"],
    description: "A score of lodging_scale, or a share of it in percent, like 30%.",
  },
});

/** Entries whose value is one text, in the order of the template. Units, currency and crop are read before them. */
export const seasonEntries: SeasonEntry[] = [
  entry(
    "grain_price",
    grainPrice({ least: 0.001, most: 100 }),
    (settings) => settings.grainPricePerKg,
    (grainPricePerKg) => ({ grainPricePerKg }),
    "Price of grain at the farm gate.",
  ),
  entry(
    "seed_price",
    seedPrice({ least: 0, most: 1_000 }),
    (settings) => settings.seedPricePerThousand,
    (seedPricePerThousand) => ({ seedPricePerThousand }),
    "What viable seeds cost where the lots give no price.",
  ),
  entry(
    "rate_now",
    maybe(rate),
    (settings) => settings.rateNowSeedsPerM2,
    (rateNowSeedsPerM2) => ({ rateNowSeedsPerM2 }),
    "Today's rate of viable seeds where the lots give none. Empty: not known, and then no gain is shown.",
  ),
  entry(
    "lowest_rate",
    maybe(rate),
    (settings) => settings.lowestRateSeedsPerM2,
    (lowestRateSeedsPerM2) => ({ lowestRateSeedsPerM2 }),
    "Lowest rate you accept, because of weeds, where the lots say none: no less is advised. Empty: none.",
  ),
  entry(
    "row_spacing",
    measured("rowSpacing", { us: "in", metric: "cm" }, { least: 0.02, most: 3 }, "7.5 in"),
    (settings) => settings.rowSpacingM,
    (rowSpacingM) => ({ rowSpacingM }),
    "Distance between the drill's rows.",
  ),
  entry(
    "stand_loss",
    percent({ least: 0, most: 95 }),
    (settings) => settings.standLoss,
    (standLoss) => ({ standLoss }),
    "Viable seeds that give no plant, where the farm's own stand counts do not say.",
  ),
  entry(
    "best_seeding_date",
    maybe(day),
    (settings) => settings.bestSeedingDate,
    (bestSeedingDate) => ({ bestSeedingDate }),
    "Last day of the best time to seed. Later seeding asks for more seed.",
  ),
  entry(
    "planned_seeding_date",
    maybe(day),
    (settings) => settings.plannedSeedingDate,
    (plannedSeedingDate) => ({ plannedSeedingDate }),
    "Day on which seeding is planned.",
  ),
  entry(
    "late_per_day",
    percent({ least: 0, most: 10 }),
    (settings) => settings.latePerDay,
    (latePerDay) => ({ latePerDay }),
    "More seed for each day after the best date.",
  ),
  entry(
    "late_cap",
    rate,
    (settings) => settings.lateCapSeedsPerM2,
    (lateCapSeedsPerM2) => ({ lateCapSeedsPerM2 }),
    "Highest rate that lateness may ask for.",
  ),
  entry(
    "largest_step",
    percent({ least: 0, most: 100 }),
    (settings) => settings.largestStep,
    (largestStep) => ({ largestStep }),
    "Largest change of a rate in one season.",
  ),
  entry(
    "flat_zone",
    moneyPerArea(perArea),
    (settings) => settings.flatZonePerHa,
    (flatZonePerHa) => ({ flatZonePerHa }),
    "Rates that earn within this sum of the best are as good as the best.",
  ),
  entry(
    "rate_step",
    measured(
      "rateStep",
      { us: "seeds/ac", metric: "seeds/m2" },
      { least: 1e-6, most: 1_000 },
      "10000 seeds/ac",
    ),
    (settings) => settings.rateStepSeedsPerM2,
    (rateStepSeedsPerM2) => ({ rateStepSeedsPerM2 }),
    "Smallest step the drill can be set to; rates are rounded to it.",
  ),
  entry(
    "lodging_scale",
    lodgingScaleKind,
    (settings) => settings.lodgingScale,
    (lodgingScale) => ({ lodgingScale }),
    "Scale of lodging scores whose column names none.",
  ),
  {
    key: "lodging_limit",
    help: "Lodging above this is too much.",
    unit: () => "score of the scale, or %",
    apply: (text, settings, context) => ({
      ...settings,
      lodgingLimit: lodgingLimit(settings).read(text, context),
    }),
    tell: (settings, context) => lodgingLimit(settings).tell(settings.lodgingLimit, context),
    schema: {
      type: ["number", "string"],
      description: "Lodging above this is too much: a score of lodging_scale, or a share of it, like 30%.",
    },
  },
  entry(
    "lodging_chance",
    percent(anyShare),
    (settings) => settings.lodgingChance,
    (lodgingChance) => ({ lodgingChance }),
    "How often lodging above the limit is acceptable.",
  ),
  entry(
    "lodging_cost",
    moneyPerArea(perArea),
    (settings) => settings.lodgingCostPerHa,
    (lodgingCostPerHa) => ({ lodgingCostPerHa }),
    "Cost where the crop lies flat: slower combining and grain left lying.",
  ),
  entry(
    "test_level",
    percent({ least: 0.01, most: 50 }),
    (settings) => settings.testLevel,
    (testLevel) => ({ testLevel }),
    "Significance level of tests and of the least significant difference.",
  ),
  entry(
    "seed",
    plain({ least: 0, most: 2 ** 32 - 1 }, true),
    (settings) => settings.seed,
    (seed) => ({ seed }),
    "Where random draws start; the same number gives the same answer.",
  ),
];

type Priors = Settings["priors"];
const prior = <Value>(
  key: string,
  kind: Kind<Value>,
  get: (priors: Priors) => Value,
  set: (value: Value, priors: Priors) => Partial<Priors>,
  help: string,
): SeasonEntry => {
  const whole = entry(
    key,
    kind,
    ({ priors }) => get(priors),
    () => ({}),
    help,
  );
  return {
    ...whole,
    apply: (text, settings, context) => ({
      ...settings,
      priors: { ...settings.priors, ...set(kind.read(text, context), settings.priors) },
    }),
  };
};

const spread = { least: 0.01, most: 5 };
const chance = percent({ least: 0, most: 99 });
const loss = percent({ least: 0.1, most: 90 });

const lodgingPrior = (key: string, name: keyof LodgingPriors, limits: Limits, help: string): SeasonEntry =>
  prior(
    key,
    plain(limits),
    ({ lodging }) => lodging[name],
    (value, { lodging }) => ({ lodging: { ...lodging, [name]: value } }),
    help,
  );

/** Entries below `priors`. */
export const priorEntries: SeasonEntry[] = [
  prior(
    "flat",
    yesOrNo,
    (priors) => priors.flat,
    (flat) => ({ flat }),
    "Treat all curves as equally likely instead of the assumptions below.",
  ),
  prior(
    "need",
    maybe(rate),
    (priors) => priors.needSeedsPerM2,
    (needSeedsPerM2) => ({ needSeedsPerM2 }),
    "Rate where the rise of yield ends. Empty: midway between the crop's usual rate and the middle of those tested.",
  ),
  prior(
    "need_spread",
    plain(spread),
    (priors) => priors.needSdLog,
    (needSdLog) => ({ needSdLog }),
    "How far off that may be: standard deviation of its logarithm.",
  ),
  prior(
    "variety_spread",
    plain({ least: 0.001, most: 5 }),
    (priors) => priors.needBetweenSdLog,
    (needBetweenSdLog) => ({ needBetweenSdLog }),
    "How much the need differs between varieties of a farm: standard deviation of its logarithm.",
  ),
  prior(
    "loss",
    loss,
    (priors) => priors.lossMedian,
    (lossMedian) => ({ lossMedian }),
    "Yield lost at 0.6 of the need, median.",
  ),
  prior(
    "loss_spread",
    plain(spread),
    (priors) => priors.lossSdLog,
    (lossSdLog) => ({ lossSdLog }),
    "Standard deviation of the logarithm of that loss.",
  ),
  prior(
    "no_decline_chance",
    chance,
    (priors) => priors.noDeclineChance,
    (noDeclineChance) => ({ noDeclineChance }),
    "Chance that yield never falls at high rates.",
  ),
  prior(
    "decline",
    loss,
    (priors) => priors.declineMedian,
    (declineMedian) => ({ declineMedian }),
    "Yield lost at high rates where it does fall, median.",
  ),
  prior(
    "decline_spread",
    plain(spread),
    (priors) => priors.declineSdLog,
    (declineSdLog) => ({ declineSdLog }),
    "Standard deviation of the logarithm of that decline.",
  ),
  prior(
    "season_spread",
    plain({ least: 0.001, most: 2 }),
    (priors) => priors.seasonSpread,
    (seasonSpread) => ({ seasonSpread }),
    "How much the need moves from season to season: half-normal scale of its logarithm.",
  ),
  prior(
    "field_spread",
    plain({ least: 0.001, most: 2 }),
    (priors) => priors.fieldSpread,
    (fieldSpread) => ({ fieldSpread }),
    "How much the need differs between fields for good: half-normal scale of its logarithm.",
  ),
  prior(
    "field_in_season_spread",
    plain({ least: 0.001, most: 2 }),
    (priors) => priors.fieldInSeasonSpread,
    (fieldInSeasonSpread) => ({ fieldInSeasonSpread }),
    "How much a season moves the need of one field and not of another: half-normal scale of its logarithm.",
  ),
  prior(
    "strength_spread",
    plain({ least: 0, most: 2 }),
    (priors) => priors.strengthSpread,
    (strengthSpread) => ({ strengthSpread }),
    "How much the strength of the response differs between site-years: standard deviation, 1 being its average.",
  ),
  prior(
    "misfit_correlation",
    plain({ least: 0, most: 1 }),
    (priors) => priors.misfitCorrelation,
    (misfitCorrelation) => ({ misfitCorrelation }),
    "How alike site-years are in what no response curve gets right, 0 to 1; with 0.03, many count as 33 at the most.",
  ),
  prior(
    "recommended_spread",
    percent({ least: 5, most: 100 }),
    (priors) => priors.recommendedSdLog,
    (recommendedSdLog) => ({ recommendedSdLog }),
    "How far the best rate commonly is from the one that came with the variety, where the lots give it.",
  ),
  prior(
    "no_response_chance",
    chance,
    (priors) => priors.noResponseChance,
    (noResponseChance) => ({ noResponseChance }),
    "Chance that yield does not respond to the rate at all.",
  ),
  prior(
    "strip_error",
    percent({ least: 0.1, most: 50 }),
    (priors) => priors.stripError,
    (stripError) => ({ stripError }),
    "How much strips differ by chance (standard deviation); it counts as much as four strips.",
  ),
  lodgingPrior(
    "lodging_level",
    "levelMean",
    { least: -8, most: 8 },
    "Lodging of a variety over the seasons, in log odds: -2 is 12% of the scale, 0 is half of it.",
  ),
  lodgingPrior("lodging_level_spread", "levelSd", spread, "Standard deviation of that level."),
  lodgingPrior(
    "lodging_slope_spread",
    "slopeSd",
    spread,
    "How strongly lodging may answer to the rate: standard deviation in log odds, from a thin to a thick strip.",
  ),
  lodgingPrior(
    "lodging_season_spread",
    "seasonSpread",
    spread,
    "How much lodging differs between seasons: half-normal scale in log odds.",
  ),
  lodgingPrior("lodging_field_spread", "fieldSpread", spread, "The same between the fields of a season."),
  lodgingPrior(
    "lodging_variety_spread",
    "varietySpread",
    spread,
    "The same between the varieties of a field, beyond what they differ by on average.",
  ),
  lodgingPrior(
    "lodging_variety_slope_spread",
    "slopeSpread",
    spread,
    "How much varieties differ in how lodging answers to the rate: half-normal scale in log odds.",
  ),
];

export const formKind: Kind<FormName> = choice<FormName>(formNames);
export const levelKind: Kind<number> = percent({ least: 1, most: 99.9 });
/** Of a protein step. */
export const proteinKind: Kind<number> = percentPoints({ least: 0, most: 60 });
export const premiumKind: Kind<number> = grainPrice({ least: -100, most: 100 });
