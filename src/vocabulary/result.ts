/**
 * The result: one plain-JSON object that page, terminal and CSV read alike.
 *
 * No NaN, no clock, no path. Rates in seeds/m², yields in kg/ha, money per hectare; names end in their unit.
 */
import type { Coefficients, Optimum, StandardErrors } from "./fitted-curve.ts";
import type {
  Learning,
  PooledVarietyOptima,
  Pooling,
  PositionTrend,
  SeasonCovariate,
  SeasonOptima,
  VarietyByRate,
} from "./pooled-result.ts";
import type { GroundKind } from "./ground-words.ts";
import type { FormName, SeedUnit, Settings, UnitChoice, LodgingPriors } from "./settings.ts";
import type { Environment, Finding, LodgingScale } from "./trial.ts";

export type { Coefficients, Optimum, OptimumReason, StandardErrors } from "./fitted-curve.ts";

/** One form fitted to one variety in one environment, exact least squares with block effects; no price in it. */
export interface FittedForm {
  form: FormName;
  coefficients: Coefficients;
  standardErrors: StandardErrors;
  /** Residual sum of squares [(kg/ha)²]. */
  rss: number;
  residualDf: number;
  /** Null without residual degrees of freedom. */
  residualSdKgPerHa: number | null;
  /** Share of the sum of squares about the mean that blocks and rate explain; null where the yields do not differ. */
  rSquared: number | null;
  /** Null with too few strips for the correction. */
  aicc: number | null;
  /** Akaike weight among the fitted forms. */
  weight: number | null;
  /** Always true: the fit is the exact best one, not where a search stopped. What could not be fitted is in `formsLeftOut`. */
  converged: boolean;
}

/** The same with the rates of highest yield and most profit. */
export interface FormFit extends FittedForm {
  yieldOptimum: Optimum;
  economicOptimum: Optimum;
}

/** A form that these strips cannot carry. */
export interface FormLeftOut {
  form: FormName;
  /** Fewer rates, or fewer strips, than the form has terms; or block and rate change together. */
  reason: "too-few-rates" | "too-few-strips" | "tied-to-blocks";
}

/** All strips of one variety, environment, block and rate: what every form can be fitted from. */
export interface RateCell {
  block: string;
  rateSeedsPerM2: number;
  strips: number;
  meanYieldKgPerHa: number;
}

/** One line of an analysis of variance; F and p are null where the error is 0. */
export interface AnovaTerm {
  df: number;
  /** [(kg/ha)²] */
  ss: number;
  f: number | null;
  p: number | null;
}

/** Analysis of variance of one variety in one environment, rate as a factor; sums of squares in (kg/ha)². */
export interface RateAnova {
  blockDf: number;
  blockSs: number;
  /** Rates after blocks. */
  rateDf: number;
  rateSs: number;
  errorDf: number;
  errorSs: number;
  totalSs: number;
  f: number | null;
  p: number | null;
  /** The rates' sum of squares in order: straight line, bend, what is left; null where the rates carry no such term. */
  linear: AnovaTerm | null;
  quadratic: AnovaTerm | null;
  lackOfFit: AnovaTerm | null;
  grandMeanKgPerHa: number;
  /** Error sd as a share of the mean. */
  cvPct: number | null;
  /** Least significant difference between two rate means, told only after a significant F. */
  lsdKgPerHa: number | null;
  /** Rising; empty where there are too many rates to compare. */
  rates: {
    rateSeedsPerM2: number;
    strips: number;
    meanYieldKgPerHa: number;
    /** As if every block had held the rate; null where blocks and rates fall into separate parts. */
    adjustedMeanKgPerHa: number | null;
  }[];
}

/** How the gain of one more seed changes with the rate in a fit that outlying strips hardly touch. */
export interface ResistantSlope {
  /** Gain at rate 0 [kg/ha per seed/m²], and its change per seed/m². */
  atZero: number;
  perRate: number;
  /** Spread of the strips about that fit, outlying ones hardly counted. */
  residualSdKgPerHa: number;
}

/** One variety in one environment, before any price. */
export interface FittedVariety {
  variety: string;
  environment: string;
  season: number;
  /** The person's word for the ground, with the farm before it where one was named; absent where none was given. */
  ground?: string;
  /** The rate goes up or down with position in every block, or with the number of the block that each rate has; absent where not. */
  rateFollows?: "position" | "blocks";
  strips: number;
  blocks: number;
  /** The tested rates, rising. */
  ratesSeedsPerM2: number[];
  /** Sorted by rate, then block. */
  cells: RateCell[];
  /** Sum of squares of the strips around the means of their cells [(kg/ha)²]. */
  withinCellSs: number;
  forms: FittedForm[];
  formsLeftOut: FormLeftOut[];
  anova: RateAnova | null;
  /** Null with too few strips. */
  resistantSlope: ResistantSlope | null;
}

/** One variety in one environment. */
export interface VarietyFit extends Omit<FittedVariety, "forms"> {
  forms: FormFit[];
  /** Resistant fit beside the least-squares quadratic; null with too few strips. */
  resistant: {
    /** Kept to the tested rates. */
    economicOptimumSeedsPerM2: number;
    /** The quadratic is at odds with it: outlying strips may drive that curve. */
    differs: boolean;
  } | null;
  /** Null in a trial with very many fits. */
  prices: PriceSensitivity | null;
}

/** Economic-optimum rates of one fit over a table of prices. */
export interface PriceSensitivity {
  grainPricesPerKg: number[];
  seedPricesPerThousand: number[];
  /** One table for each form that can have an optimum between the tested rates. */
  forms: {
    form: FormName;
    /** One row for each price of grain, one column for each price of seed; the lowest or highest tested rate where the optimum is at that edge, null where there is none. */
    rateSeedsPerM2: (number | null)[][];
  }[];
}

/** Strip as drawn and judged in the report: observed, and with its block's difference taken off. */
export interface StripPoint {
  variety: string;
  environment: string;
  block: string;
  file: string;
  row: number;
  position: number | null;
  /** What somebody wrote beside the strip; "" where nobody did. */
  note: string;
  rateSeedsPerM2: number;
  yieldKgPerHa: number;
  blockAdjustedYieldKgPerHa: number;
  /** The same, with the difference of its environment taken off too: all seasons of a variety in one picture. */
  levelledYieldKgPerHa: number;
  standPlantsPerM2: number | null;
  headsPerM2: number | null;
  /** Lodging as a share, 0 upright; null where not scored. */
  lodgingShare: number | null;
  /** Externally studentized residual from the quadratic with blocks; null without error df. */
  studentizedResidual: number | null;
  /**
   * How far the rate of highest yield of its variety and environment (quadratic with blocks, kept to the tested rates) moves
   * when the strip is left out; null where the curve cannot do without it.
   */
  topShiftSeedsPerM2: number | null;
}

/**
 * One believable response curve of a variety with its weight.
 *
 * Its formula stands in `model/forms/believable-curve.ts`; yields are relative to the variety's mean yield.
 */
export interface BelievableCurve {
  /** Share of all belief; the weights of a variety's curves sum to 1. */
  weight: number;
  /** Index of the shape of its rise: 0 linear-plateau, 1 quadratic-plateau, 2 quadratic, 3 exponential, 4 square root, 5 reciprocal. */
  shape: number;
  /** Rate where the rise ends in a middling season. */
  needSeedsPerM2: number;
  /** Share of the mean yield lost at 0.6 of the need; 0 with no decline: yield does not respond. */
  loss: number;
  /** Share of the mean yield lost half a need past the shoulder; 0: it never falls. */
  decline: number;
  /** Where the fall begins, as a share of the need beyond it. */
  shoulder: number;
  /** Sd of log need from season to season, in a field. */
  seasonSpread: number;
  /** Which of the belief's `fieldShifts` goes with it. */
  place: number;
}

/**
 * The expected curve had other things been believed beforehand: all curves alike (`flat`), each variety without the others
 * (`alone`), a need first looked for a fifth lower or a quarter higher, or the farm without its region.
 */
export interface MovedPrior {
  prior: "flat" | "alone" | "need-lower" | "need-higher" | "without-region" | "without-recommended";
  expectedKgPerHa: number[];
}

/** What is believed of one variety before any price: kept, so that a moved price refits nothing. */
export interface Belief {
  variety: string;
  meanYieldKgPerHa: number;
  /** Lowest and highest rate tested, and how many different ones. */
  testedSeedsPerM2: [number, number];
  testedRates: number;
  environments: number;
  strips: number;
  /** Rate about which the need was first looked for. */
  priorNeedSeedsPerM2: number;
  /** Sd of a strip, as a share of the mean yield. */
  errorShare: number;
  /** Rates at which the curve is tabulated, evenly from lowest to highest tested; one alone where only one was tested. */
  ratesSeedsPerM2: number[];
  /** Expected yield over the seasons that may come; it runs through the mean of the strips. */
  expectedKgPerHa: number[];
  /** The same under other priors. */
  movedPriors: MovedPrior[];
  curves: BelievableCurve[];
  /**
   * The farm's fields whose lasting differences are looked at, named as in environments without the season; none where there
   * is one field, or every field was seen in a season of its own.
   */
  fields: string[];
  /** Where the fields may lie: shifts of the log need of each field, which sum to zero; a curve says which go with it. */
  fieldShifts: number[][];
  /** How strongly yield answers on each field, against the farm; none where fields are not distinguished. */
  fieldStrengths: FieldStrength[];
  /**
   * Chance that, of the two fields that are told apart most clearly, the one that seems to need more seed does, from all
   * varieties together: 0.5 to 1; null without fields.
   */
  chanceFieldsDiffer: number | null;
  /** Strips at each tested rate: curves are drawn through the same mean of the strips. */
  stripsAtRates: { rateSeedsPerM2: number; strips: number }[];
  /** Belief that the yields of the tested rates differ by less than 1%, 0 to 1. */
  noResponseChance: number;
  /** How much of what is believed of the need came from the other varieties: 0 nothing, 1 all. */
  leaning: number;
  /** What the region adds; null where there is none, or where it does not know the variety. */
  region: RegionShare | null;
}

/** A factor of the loss and the decline of every curve, log-normal. */
export interface FieldStrength {
  middle: number;
  sdLog: number;
}

/** What a region adds to what is believed of one variety. */
export interface RegionShare {
  /** Farms that the region's need of the variety rests on. */
  farms: number;
  /** How much of what is believed of the need came from the region: 0 nothing, 1 all. */
  leaning: number;
  /** Share of the region's farms whose need lies below this farm's, as far as both are known. */
  farmsBelow: number;
}

export interface Interval {
  level: number;
  lower: number;
  upper: number;
  /**
   * The end is the lowest or the highest rate tested: the strips do not say how much farther it reaches. Nothing is left out
   * there, so an interval of the best rate that is open at one end leaves out all that its level does at the other.
   */
  openBelow?: boolean;
  openAbove?: boolean;
}

/** Two varieties, and the chance that the first needs more seed than the second. */
export interface NeedsMore {
  more: string;
  less: string;
  chance: number;
}

/** Prices about today's at which an advice stays; an end is null where it holds as far as was looked. */
export interface PriceRange {
  lower: number | null;
  upper: number | null;
  looked: [number, number];
}

/** Of grain at today's price of seed, and of seed at today's price of grain. */
export interface PriceRanges {
  grainPricePerKg: PriceRange;
  seedPricePerThousand: PriceRange;
}

/** Next season's rate of one variety. */
export interface NextRate {
  variety: string;
  /** Today's rate; null where nobody gave it, and then there is no move and no gain. */
  rateNowSeedsPerM2: number | null;
  /** Where today's rate comes from. */
  rateNowFrom: "lot" | "setting" | null;
  /** Rate of highest yield and most profitable rate on the expected curve. */
  yieldOptimum: Optimum;
  economicOptimum: Optimum;
  /** None where the strips do not tell rates apart. */
  intervals: Interval[];
  /** Null where the strips do not tell rates apart. */
  flatZone: { lower: number; upper: number } | null;
  /** Highest rate that lodging allows; null where lodging says nothing. */
  lodgingCeilingSeedsPerM2: number | null;
  /** One step from today's rate; the best rate itself where today's is not given; null where no rate can be named. */
  rateNextSeedsPerM2: number | null;
  /** What the move is expected to bring; null where that is not known. */
  gainPerHa: { expected: number; lower: number; upper: number } | null;
  /**
   * Chance that the move from today's to next season's rate pays; null where nothing moves, or where both rates lie beyond
   * the same end of the tested ones and nothing is known of the gain.
   */
  chanceOfGain: number | null;
  /** Money that the chosen rate is expected to lose against the unknown best one; null where no rate is named. */
  expectedLossPerHa: number | null;
  /** How well the strips tell where the best rate lies; for a rate that stays, how well that is known to be right. */
  evidence: "strong" | "fair" | "weak" | "none";
  /** Most profitable rate on the expected curve had other things been believed before the strips. */
  sensitivity: { prior: MovedPrior["prior"]; rateSeedsPerM2: number }[];
  /** Prices at which the advice goes the same way; null where today's rate is not known, or no rate can be named. */
  holdsAt: PriceRanges | null;
  /** Codes with the numbers that their sentence in `tell/wording/reasons.ts` needs. */
  reasons: Reason[];
  seedPricePerThousand: number;
  /** What strips at two rates show; null with more or fewer. */
  twoRates: TwoRates | null;
  /** Rates of single fields; null where the strips do not tell fields apart, or name no best rate. */
  byField: RateByField | null;
  /** Rates on other ground and in dry or wet seasons, by the farms of the region; absent where they do not tell. */
  elsewhere?: RateElsewhere[];
  /** The rate to set at the drill: next season's, with more seed where the planned date is past the best one. */
  rateToSowSeedsPerM2: number | null;
  /** What that rate means in the drill; null while the lot's seeds per weight are not known. */
  sowing: Sowing | null;
  stand: ExpectedStand | null;
  late: LateSeeding;
}

/** The numbers that the sentence of each reason needs; sentences stand in `tell/wording/reasons.ts`. */
export interface ReasonNumbers {
  /** Largest step of a season as a share of today's rate, and the rate that it does not reach. */
  "step-limited": { share: number; targetSeedsPerM2: number };
  /** What the whole move would earn, and the sum that it does not reach [money/ha]; the ceiling of lodging, where the move ends there. */
  "inside-flat-zone": { gainPerHa: number; flatZonePerHa: number; ceilingSeedsPerM2?: number };
  /** Highest rate that lodging allows; seasons lodged too much at today's rate, of those scored. */
  "lodging-ceiling": { rateSeedsPerM2: number; lodged?: number; scored?: number };
  /** The lowest rate that the person accepts, less than which the strips ask for; and what lodging allows, where that is less. */
  "lowest-rate": { rateSeedsPerM2: number; ceilingSeedsPerM2?: number };
  /** The rate that did best though it is the last tested, and one beyond it that is worth a strip. */
  "at-highest-tested": { rateSeedsPerM2: number; testSeedsPerM2: number };
  "at-lowest-tested": { rateSeedsPerM2: number; testSeedsPerM2: number };
  /** Belief that the rate does not matter, and a wider span to test. */
  "no-response": { chance: number; testLowerSeedsPerM2: number; testHigherSeedsPerM2: number };
  /** The same, and yet a step pays on average over all that is believable. */
  "no-response-step": { chance: number; testLowerSeedsPerM2: number; testHigherSeedsPerM2: number };
  /** Only two rates were tested: today's is the better; it lies where the two say nothing; they cannot be distinguished. */
  "better-of-two": Record<string, never>;
  "beside-two-rates": Record<string, never>;
  "two-rates-alike": Record<string, never>;
  "too-few-rates": { rates: number };
  "today-outside-tested": { rateSeedsPerM2: number; lowestSeedsPerM2: number; highestSeedsPerM2: number };
  /** The best rate by the believable curves, and by another reading of the same strips that lies apart from it. */
  "readings-disagree": {
    rateSeedsPerM2: number;
    otherSeedsPerM2: number;
    otherIs: "tested-means" | "pooled-curve";
  };
  /** Two seasons with a clear answer each, whose best rates exclude each other; the rates of one that ends the tested ones are open. */
  "seasons-contradict": {
    lowerSeason: number;
    lowerSeedsPerM2: number;
    lowerOrLess?: true;
    higherSeason: number;
    higherSeedsPerM2: number;
    higherOrMore?: true;
  };
  /** In every field and season the rate goes with the order across the field. */
  "rate-follows-ground": Record<string, never>;
  "region-only": { farms: number };
  "one-season": Record<string, never>;
}

export type ReasonCode = keyof ReasonNumbers;

/** Why next season's rate is what it is. */
export type Reason = { [Code in ReasonCode]: { code: Code; numbers: ReasonNumbers[Code] } }[ReasonCode];

/** What the rate means in the drill, for this lot of seed. */
export interface Sowing {
  rateSeedsPerM2: number;
  seedsPerKg: number;
  seedsSownPerM2: number;
  kgPerHa: number;
  seedsPerMetreOfRow: number;
  /** Weight caught from one row over 30.48 m (100 ft). */
  catchGrams: number;
  orderKg: number | null;
  /** The same in what the lot is sold in; null where its price does not say. */
  sold: SoldAmount | null;
}

/** Seed in the bags, bushels or totes that it is sold in, not yet rounded to whole ones. */
export interface SoldAmount {
  unit: SeedUnit;
  perHa: number;
  /** For the lot's area. */
  order: number | null;
}

/** Stand to expect of a rate. */
export interface ExpectedStand {
  /** Whose counts the loss rests on; `setting`: nobody's, the figure of the settings. */
  from: "variety" | "farm" | "setting";
  standLoss: number;
  plantsPerM2: number;
}

/** Whether a variety needs strips next season: what one usual trial of it is expected to bring, at the prices of the settings. */
export interface StripAdvice {
  variety: string;
  /**
   * `most`: more than any other; `some`: worth strips too; `dear`: there is something to learn, but on its area the strips
   * cost more than they bring; `settled`: a trial would hardly change the rate.
   */
  need: "most" | "some" | "dear" | "settled";
  /** Work and lost yield of the usual trial, and the seasons over which its answer is used [money]. */
  costOfTrial: number;
  seasonsUsed: number;
  pastStrips: number;
  pastEnvironments: number;
  /** Area of its lot; null where not said. */
  areaHa: number | null;
  /** Size of the usual trial. */
  blocks: number;
  ratesPerVariety: number;
  /** Money a season that knowing the best rate would bring above today's choice, and what the trial is expected to bring of it. */
  valueOfKnowingAllPerHa: number;
  valueOfTrialPerHa: number;
  /**
   * Width of the 80% interval of the economic optimum, now and as expected after the trial; now null where the strips give none,
   * or one that goes beyond the rates tested.
   */
  intervalWidthNowSeedsPerM2: number | null;
  intervalWidthAfterSeedsPerM2: number;
}

/** The higher of two tested rates against the lower, paired within site-years. */
export interface TwoRates {
  lowerSeedsPerM2: number;
  higherSeedsPerM2: number;
  environments: number;
  environmentsHigherYieldedMore: number;
  /** Mean of the environments' differences, and its standard error over them; null with one environment. */
  differenceKgPerHa: number;
  standardErrorKgPerHa: number | null;
  /** The same difference in money, its seed paid; null where the two cannot be distinguished. */
  gainPerHa: number | null;
  /** That the higher rate earns more, by t over the environments; null with one environment, and where they cannot be distinguished. */
  chanceHigherPays: number | null;
}

/** Whether the fields of a farm need different rates of a variety, and which: what is believed of each by itself. */
export interface RateByField {
  /** What `fields` names: fields, or grounds where the person gave words for them. */
  by: "field" | "ground";
  /** As `Belief.chanceFieldsDiffer`. */
  chanceTheyDiffer: number;
  /**
   * The field that needs most seed also pays for most: not so where yield answers less to seed there, and then no field is said
   * to need more.
   */
  mostPaysToo: boolean;
  /** The chance suffices to say that fields differ by more than chance. */
  differ: boolean;
  /** What the best single rate earns less than each field at its own best rate, on average over the fields [money/ha]. */
  oneRateCostsPerHa: number;
  /** The one that needs least seed first. */
  fields: FieldRate[];
}

/** The rate of one field. */
export interface FieldRate {
  /** As in `Belief.fields`. */
  field: string;
  economicOptimum: Optimum;
  /** Of the best rate, at the narrower level of the settings. */
  likely: Interval;
  /** One step from today's rate toward the best of this field; the best itself where today's is not given. */
  rateNextSeedsPerM2: number;
  /** What that rate is expected to bring on this field over today's, and its chance to; null as for the farm. */
  gainPerHa: { expected: number; lower: number; upper: number } | null;
  chanceOfGain: number | null;
  /** What the farm's best single rate earns less here than the field's own [money/ha]. */
  oneRateCostsPerHa: number;
  /** The same on the planned date: more where seeding is late. */
  rateToSowSeedsPerM2: number;
  /** Seed of the lot for `rateToSowSeedsPerM2`; null where the lot is not known. */
  kgPerHa: number | null;
}

/** Ground or water unlike that of the farm's strips. */
export type OtherPlace =
  | { kind: "ground"; ground: GroundKind; against: GroundKind }
  /** Water that much above what the strips had on average, or below. */
  | { kind: "water"; moreMm: number };

/** What the farm's own curves become where the need is changed as the region's farms say. */
export interface RateElsewhere {
  where: OtherPlace;
  /** Farms of the region that show it. */
  farms: number;
  /** By how much the log need changes there, and the chance that it changes in that direction on this farm. */
  logShift: number;
  chance: number;
  economicOptimum: Optimum;
  /** Of the best rate, at the narrower level of the settings. */
  likely: Interval;
}

export type LateStop = "lodging" | "tested" | "cap";

/** More seed when late, by days past the best seeding date. */
export interface LateSeeding {
  /** Days between best and planned date, negative when early; null while one of them is unknown. */
  plannedDaysLate: number | null;
  rows: {
    daysLate: number;
    rateSeedsPerM2: number;
    /** What, and not the days, sets this rate: lodging, the highest tested rate, or the cap of the settings. */
    stoppedBy: LateStop | null;
  }[];
}

export interface CurvePoint {
  rateSeedsPerM2: number;
  value: number;
  lower: number | null;
  upper: number | null;
}

/** A sampled curve that a chart draws: no chart evaluates a formula. */
export interface Curve {
  kind: "response" | "net-return" | "gain" | "season" | "lodging" | "lodging-chance" | "stand" | "heads";
  variety: string;
  environment: string | null;
  points: CurvePoint[];
}

/** Stand loss, the share of viable seeds that give no plant, of one variety. */
export interface StandSummary {
  variety: string;
  /** Null: what to expect in a season to come. */
  environment: string | null;
  counts: number;
  /** At the middle rate, drawn toward the farm's mean by as much as the counts are few and scattered. */
  standLoss: number;
  /** Four in five lie between: of the seasons to come, or of what the counts of an environment leave open; null where not known. */
  lower: number | null;
  upper: number | null;
}

/** What the stand counts of all varieties say of this farm's stand loss. */
export interface FarmStand {
  counts: number;
  environments: number;
  /** Middle rate, at which the losses hold. */
  centreSeedsPerM2: number;
  /** Mean over the environments, and the range that four in five of them lie in; null with one environment. */
  standLoss: number;
  lower: number | null;
  upper: number | null;
  /** Change of the loss per 100 seeds/m² more, within variety and environment; null where rates do not vary. */
  perHundredSeeds: { estimate: number; standardError: number; t: number; df: number; p: number } | null;
  /** The counts suffice to be used instead of `settings.standLoss`. */
  suffices: boolean;
}

/** Heads against rate of one variety. */
export interface Tillering {
  variety: string;
  /** Mean over environments by rate. */
  rates: { rateSeedsPerM2: number; strips: number; headsPerM2: number; headsPerPlant: number | null }[];
  /**
   * Change of heads per plant, in per cent, for 1% more plants, within environments: −1 says that the same heads come
   * from any stand, 0 that plants do not notice each other. Null without stand counts at two rates or more.
   */
  answer: { estimate: number; standardError: number; df: number } | null;
}

/** Protein of one variety, straight against the rate, environments with their own level. */
export interface ProteinResponse {
  variety: string;
  strips: number;
  centreSeedsPerM2: number;
  /** The variety's own slope drawn toward the slope of all varieties, by as much as they differ. */
  slopePctPerSeedPerM2: number;
  ownSlope: { estimate: number; standardError: number; df: number } | null;
  levels: { environment: string; proteinPct: number }[];
}

/** A coefficient with its quasi-likelihood standard error. */
export interface Coefficient {
  name: string;
  estimate: number;
  standardError: number;
  t: number;
  p: number;
}

/**
 * Lodging share against rate, log odds, environments and varieties as fixed effects: what the strips say by themselves.
 * Coefficients: one of each variety at the rate `centreSeedsPerM2` in the first environment, the differences of the other
 * environments from the first, and the rise per 100 seeds/m².
 */
export interface LodgingRegression {
  centreSeedsPerM2: number;
  coefficients: Coefficient[];
  dispersion: number;
  deviance: number;
  residualDf: number;
  /** Environments and varieties left out of this regression because nothing, or everything, lodged there. */
  withoutInformation: string[];
  /**
   * The rate's coefficient, z for t, when only the order of the scores counts and their steps need not be even: proportional
   * odds. Null with more than 12 different scores, with many strips or environments, and where it has no finite answer.
   */
  byOrder: Coefficient | null;
  /** Does each variety have its own slope? Null with one variety. */
  varietyByRate: { f: number; df: number; residualDf: number; p: number } | null;
}

/** One believable way that lodging of a variety answers to rate and season, with its weight. */
export interface LodgingBelief {
  weight: number;
  /** Mean log odds of the share lodged at `centreSeedsPerM2` over the seasons, and its rise per seed/m². */
  level: number;
  slope: number;
  /** Variances of the two and their covariance: what is not known. */
  levelVariance: number;
  slopeVariance: number;
  covariance: number;
  /** Variance of the log odds between environments: what next season brings. */
  seasonVariance: number;
}

/** Lodging of one variety: what was seen, and what is believed of a season to come. No price and no limit is in it. */
export interface VarietyLodging {
  variety: string;
  scale: LodgingScale;
  strips: number;
  testedSeedsPerM2: [number, number];
  centreSeedsPerM2: number;
  /** Chance that anything at all lodges in a season's field; the beliefs are of seasons in which something does. */
  chanceOfAny: number;
  /** Empty where the strips are too few, or none lodged: `reason` says which. */
  beliefs: LodgingBelief[];
  reason: "" | "too-few-strips" | "never-lodged";
  /** Mean share lodged by environment and rate. */
  seen: {
    environment: string;
    season: number;
    rates: { rateSeedsPerM2: number; strips: number; share: number }[];
  }[];
}

/** Highest rate that lodging allows, within the tested rates. */
export type LodgingCeiling =
  | { kind: "found"; rateSeedsPerM2: number }
  /** Even the lowest tested rate, which is this one, lodges too often. */
  | { kind: "at-lowest"; rateSeedsPerM2: number }
  /** No tested rate lodges too often. */
  | { kind: "open" }
  | { kind: "none"; reason: "not-scored" | "too-few-strips" | "never-lodged" | "rate-not-shown" };

/** What lodging comes to at a tested rate under the limit of the settings. */
export interface LodgingByRate {
  variety: string;
  scale: LodgingScale;
  rateSeedsPerM2: number;
  /** Mean share lodged over the environments that had this rate. */
  seenShare: number;
  /** Mean share, and chance of more than the limit, in a season to come. */
  expectedShare: number;
  chanceOverLimit: number;
}

/** All scores of one scale, or of scales that convert into each other. */
export interface LodgingModel {
  /** "percent" where scales that count area are pooled. */
  scale: LodgingScale;
  strips: number;
  environments: number;
  priors: LodgingPriors;
  regression: LodgingRegression | null;
  varieties: VarietyLodging[];
}

export interface Result {
  schema: "stripcurve-result-1";
  engineVersion: string;
  units: UnitChoice;
  settings: Settings;
  rows: { read: number; used: number; leftOut: number };
  findings: Finding[];
  varieties: string[];
  environments: Environment[];
  fits: VarietyFit[];
  strips: StripPoint[];
  beliefs: Belief[];
  /** All seasons together, by variety. */
  pooled: PooledVarietyOptima[];
  /** The mixed model behind `pooled`; null where no variety has two rates. */
  pooling: Pooling | null;
  /** Null with one variety. */
  varietyByRate: VarietyByRate | null;
  /** Optimum season by season. */
  seasons: SeasonOptima[];
  /** What the optimum moves with, where enough environments tell. */
  seasonCovariates: SeasonCovariate[];
  /** What was known after each season. */
  learning: Learning[];
  /** Null without enough positions. */
  positionTrend: PositionTrend | null;
  stand: StandSummary[];
  /** Null where no stand was counted. */
  farmStand: FarmStand | null;
  tillering: Tillering[];
  protein: ProteinResponse[];
  lodging: LodgingByRate[];
  /** Price-free and limit-free: `lodging` is read from it. */
  lodgingModels: LodgingModel[];
  next: NextRate[];
  /** Those with most to gain from strips first. */
  stripAdvice: StripAdvice[];
  curves: Curve[];
}

/** What rests on other columns than yield. No price and no limit is in it. */
export type Observations = Pick<Result, "stand" | "farmStand" | "tillering" | "protein" | "lodgingModels">;
