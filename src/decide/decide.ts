/**
 * Everything that a price changes: all choices that follow from the model. `analyze` and the page both call this one
 * function.
 */
import type { PooledVariety, PooledVarietyOptima, SeasonOptima } from "../vocabulary/pooled-result.ts";
import type {
  Belief,
  Curve,
  FittedVariety,
  LodgingByRate,
  NextRate,
  Observations,
  Result,
  StripPoint,
  TwoRates,
  VarietyFit,
  VarietyLodging,
} from "../vocabulary/result.ts";
import { speakingLodgings } from "../vocabulary/speaking-lodging.ts";
import type { Settings } from "../vocabulary/settings.ts";
import type { Environment, Finding } from "../vocabulary/trial.ts";
import { findingsOfPrices } from "../messages/fitting.ts";
import { sortFindings } from "../messages/finding.ts";
import { fitsByVariety } from "./fits-by-variety.ts";
import { believedCurves } from "./rate/believed-curves.ts";
import { findLodgingCeiling, withLodgedSeasons } from "./rate/lodging-ceiling.ts";
import { lateLimitsOf, lateTable, rateOnPlannedDate } from "./drill/late-seeding.ts";
import { keepLowest, lowestRate } from "./rate/lowest-rate.ts";
import { netReturns, varietyPrices, type NetReturns } from "./rate/net-return.ts";
import { chooseRate, withoutNumbers, type RateChoice, type VarietyFacts } from "./rate/next-rate.ts";
import { addPooledOptima } from "./optima/pooled-optimum.ts";
import { paysForQuality, qualityMoney } from "./rate/quality.ts";
import { rateByField } from "./rate/rate-by-field.ts";
import { ratesElsewhere } from "./rate/rate-elsewhere.ts";
import { holdAgainstStrips, type OtherReadings } from "./rate/second-reading.ts";
import { compareTwoRates } from "./rate/two-rates.ts";
import { chooseOfTwoRates } from "./rate/two-rates-choice.ts";
import { readObservations } from "./read-observations.ts";
import { seasonCurves } from "./optima/season-curves.ts";
import { addOptima, drivenByOutliers } from "./optima/season-optima.ts";
import { optimaMovedByOneStrip } from "./optima/decisive-strip.ts";
import { spreadOfSeasons } from "./optima/season-spread.ts";
import { sowLot } from "./drill/sowing.ts";
import { expectStand } from "./drill/stand-bridge.ts";

/** What the model found, before any price. */
export interface Modelled extends Observations {
  fits: readonly FittedVariety[];
  beliefs: readonly Belief[];
  pooled: readonly PooledVariety[];
  environments: readonly Environment[];
}

/** What follows from it at given prices. */
export interface Decided {
  fits: VarietyFit[];
  pooled: PooledVarietyOptima[];
  seasons: SeasonOptima[];
  lodging: LodgingByRate[];
  next: NextRate[];
  curves: Curve[];
}

/**
 * Everything that depends on prices: optima of the fits, next season's rate of each variety, seed cards and drawn curves.
 *
 * @param modelled  what `model` found; nothing is fitted again, so a new price costs milliseconds
 * @param settings  prices per kg of grain and per thousand viable seeds, rates in viable seeds/m²
 * @throws {TrialError} where the price of grain is not above 0
 */
export const decide = (modelled: Modelled, settings: Settings): Decided =>
  atOnce(decideInSteps(modelled, settings));

/** The same with a pause before each variety, for a page that is read meanwhile. */
function* decideInSteps(modelled: Modelled, settings: Settings): Generator<undefined, Decided> {
  const observed = readObservations(modelled, settings);
  const lodgings = speakingLodgings(modelled.lodgingModels);
  const fits = addOptima(modelled.fits, settings);
  const pooled = addPooledOptima(modelled.pooled, settings);
  const next: NextRate[] = [];
  const curves: Curve[] = [];
  for (const belief of modelled.beliefs) {
    yield;
    const ofVariety = (one: { variety: string }): boolean => one.variety === belief.variety;
    const lodging = lodgings.find(ofVariety);
    const own = fitsByVariety(modelled.fits).get(belief.variety) ?? [];
    const { choice, twoRates, net } = chooseOfVariety(
      belief,
      { protein: modelled.protein, lodgings, fits, pooled },
      settings,
    );
    const rate = choice.rateNextSeedsPerM2;
    const lot = settings.lots.find(ofVariety);
    const limits = lateLimitsOf(choice, belief);
    const rateToSow = rate === null ? null : rateOnPlannedDate(rate, settings, limits);
    next.push({
      ...choice,
      reasons: withLodgedSeasons(choice.reasons, lodging, choice.rateNowSeedsPerM2, settings),
      rateToSowSeedsPerM2: rateToSow,
      sowing: lot === undefined || rateToSow === null ? null : sowLot(rateToSow, lot, settings),
      stand: rateToSow === null ? null : expectStand(belief.variety, rateToSow, modelled, settings),
      twoRates,
      byField: rateByField(belief, net.prices, choice, own, settings),
      ...ratesElsewhere(
        belief,
        net.prices,
        choice,
        // What is known of a variety without strips comes from the others, so from their ground.
        belief.strips === 0 ? modelled.fits : own,
        settings,
      ),
      late: lateTable(rate, settings, limits),
    });
    curves.push(
      ...believedCurves(belief, net, choice.rateNowSeedsPerM2, settings).filter(({ kind }) =>
        showsCurve(belief, choice, kind),
      ),
    );
  }
  return {
    fits,
    pooled,
    seasons: spreadOfSeasons(modelled.fits, settings),
    lodging: observed.lodging,
    next,
    curves: [...curves, ...seasonCurves(modelled.fits), ...observed.curves],
  };
}

/** Everything a choice needs, for all varieties; each takes its own part. */
export interface ChoiceGround extends Pick<Modelled, "protein"> {
  /** As `speakingLodgings` gives them. */
  lodgings: readonly VarietyLodging[];
  fits: readonly VarietyFit[];
  /** Empty where the seasons together are not pooled. */
  pooled: readonly PooledVarietyOptima[];
}

/** Next season's rate of one variety, apart from drill, stand and fields. */
export function chooseOfVariety(
  belief: Belief,
  { protein, lodgings, fits, pooled }: ChoiceGround,
  settings: Settings,
): { choice: RateChoice; twoRates: TwoRates | null; net: NetReturns } {
  const ofVariety = (one: { variety: string }): boolean => one.variety === belief.variety;
  const lodging = lodgings.find(ofVariety);
  const net = netReturns(
    belief,
    varietyPrices(belief, qualityMoney(protein.find(ofVariety), lodging, settings), settings),
  );
  const own = fits.filter(ofVariety);
  const facts = {
    seasons: new Set(own.map(({ season }) => season)).size,
    lodgingCeiling: findLodgingCeiling(lodging, settings),
  };
  const quadratic = pooled.find(ofVariety)?.forms.find(({ form }) => form === "quadratic");
  // The pooled curve knows the money of grain and seed only.
  const pays = paysForQuality(protein.find(ofVariety), lodging, settings);
  const readings = { fits: own, pooled: pays ? null : (quadratic?.economicOptimum ?? null) };
  return { ...choose(belief, net, facts, readings, settings), net };
}

/**
 * Next season's rate as it is reported: for two rates only their difference counts, and no numbers are given where
 * rates are not distinguished.
 */
function choose(
  belief: Belief,
  net: NetReturns,
  facts: VarietyFacts,
  readings: OtherReadings,
  settings: Settings,
): { choice: RateChoice; twoRates: TwoRates | null } {
  const chosen = chooseRate(belief, net, facts, settings);
  const choice = holdAgainstStrips(chosen, belief, net, readings, settings.flatZonePerHa);
  const two = compareTwoRates(readings.fits, net.prices.seedPricePerThousand, settings);
  if (two === null || belief.testedRates > 2) return { choice: withoutNumbers(choice), twoRates: two };
  const ofTwo = chooseOfTwoRates(choice, two, facts.seasons, settings);
  const lowest = lowestRate(
    settings.lots.find(({ variety }) => variety === belief.variety),
    settings,
  );
  const { rateNextSeedsPerM2: next } = ofTwo.choice;
  if (lowest === null || next === null || next >= lowest)
    return { ...ofTwo, choice: withoutNumbers(ofTwo.choice) };
  // The two rates ask for less seed than the person accepts: what they would earn is not reported for the rate that is
  // kept.
  const kept = keepLowest(
    { rate: choice.rateNextSeedsPerM2, reasons: choice.reasons },
    { lowest, ceiling: choice.lodgingCeilingSeedsPerM2, asksForLess: true },
    settings,
  );
  const held = { ...choice, rateNextSeedsPerM2: kept.rate, reasons: kept.reasons };
  return { ...ofTwo, choice: withoutNumbers(held) };
}

/** Two rates show no curve, and where rates are not distinguished no money is drawn. */
const showsCurve = ({ testedRates }: Belief, { evidence }: RateChoice, kind: Curve["kind"]): boolean =>
  testedRates > 2 && ((kind !== "net-return" && kind !== "gain") || evidence !== "none");

/** Which fits are doubtful at today's prices. */
export const doubtOptima = (
  fits: readonly VarietyFit[],
  strips: readonly StripPoint[],
  settings: Settings,
): Finding[] => [...optimaMovedByOneStrip(fits, strips, settings), ...drivenByOutliers(fits)];

/** The same trial at other prices or limits: nothing is fitted again. */
export const decideAgain = (result: Result, settings: Settings): Result =>
  atOnce(decideAgainInSteps(result, settings));

/** The same as `decideAgain`, with a pause before each variety. */
export function* decideAgainInSteps(result: Result, settings: Settings): Generator<undefined, Result> {
  const decided = yield* decideInSteps(result, settings);
  const lasting = result.findings.filter(({ code }) => !findingsOfPrices.has(code));
  const doubts = doubtOptima(decided.fits, result.strips, settings);
  return { ...result, settings, ...decided, findings: sortFindings([...lasting, ...doubts]) };
}

function atOnce<Gives>(steps: Generator<undefined, Gives>): Gives {
  for (;;) {
    const { done, value } = steps.next();
    if (done === true) return value;
  }
}
