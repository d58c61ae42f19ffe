/**
 * Next season's rate of one variety: the rate of highest expected net return, how sure that is, and one step toward it.
 *
 * Bayes decision: the choice maximises net return averaged over all believable curves and over coming seasons, within
 * the tested rates (common practice of decision theory; no textbook was looked up).
 */
import type { Belief, Interval, LodgingCeiling, NextRate, Optimum, Reason } from "../../vocabulary/result.ts";
import type { Lot, Settings } from "../../vocabulary/settings.ts";
import { evidenceWord, noResponseLimit } from "./evidence.ts";
import { isTested } from "../../vocabulary/tested-rates.ts";
import { indexOfLargest } from "../../maths/weighted-quantiles.ts";
import { rateOfBest, valueAt } from "./curve-table.ts";
import { believedOptimum, intervalsOfBest } from "./believed-optimum.ts";
import { keepLowest, lowestRate } from "./lowest-rate.ts";
import { worthOfMove } from "./moves.ts";
import { earnedByCurve, netOf, type NetReturns } from "./net-return.ts";
import { priceRanges } from "./price-range.ts";
import { bestStep, chooseStep } from "./step.ts";

export interface VarietyFacts {
  seasons: number;
  lodgingCeiling: LodgingCeiling;
}

/** Only the choice; `decide` adds what it means for drill and field. */
export type RateChoice = Omit<
  NextRate,
  "rateToSowSeedsPerM2" | "sowing" | "stand" | "late" | "twoRates" | "byField" | "elsewhere"
>;

/**
 * The choice for one variety, with its interval, its chance to pay, what it may lose, and its reasons.
 *
 * @param net    what each believable curve earns at each rate of the table, see `netReturns` [money/ha]
 * @param facts  seasons that the strips come from, and the ceiling set by lodging
 * @returns rates in viable seeds/m², money per hectare; null where the strips name none
 */
export function chooseRate(
  belief: Belief,
  net: NetReturns,
  facts: VarietyFacts,
  settings: Settings,
): RateChoice {
  const lot = settings.lots.find((one) => one.variety === belief.variety);
  const { rates, weights, expected, yields } = net;
  const [narrowLevel, wideLevel] = settings.intervalLevels;
  const interval = intervalsOfBest(net.bestRates, weights, belief);
  const [narrow, wide] = [interval(narrowLevel), interval(wideLevel)];
  const economicOptimum = believedOptimum(belief, expected, wide);
  const mostGrain = intervalsOfBest(yields.mostGrain, weights, belief)(wideLevel);
  const ceiling = "rateSeedsPerM2" in facts.lodgingCeiling ? facts.lodgingCeiling.rateSeedsPerM2 : null;
  const now = rateNow(lot, settings);
  const noResponse = belief.noResponseChance >= noResponseLimit;
  const lowest = lowestRate(lot, settings);
  const bounds = { now: now?.rate ?? null, lowest, ceiling, interval: wide };
  const within: StepBounds = { belief, ...bounds, settings };
  const step = stepWhere(expected, rates, within);
  const moves = now !== null && step.rate !== null && step.rate !== now.rate;
  return {
    variety: belief.variety,
    rateNowSeedsPerM2: now?.rate ?? null,
    rateNowFrom: now?.from ?? null,
    yieldOptimum: believedOptimum(belief, belief.expectedKgPerHa, mostGrain),
    economicOptimum,
    intervals: [narrow, wide],
    flatZone: flatZone(net, settings.flatZonePerHa),
    lodgingCeilingSeedsPerM2: ceiling,
    rateNextSeedsPerM2: step.rate,
    ...(now === null || step.rate === null
      ? { gainPerHa: null, chanceOfGain: null }
      : worthOfMove(belief, net, now.rate, step.rate, settings)),
    expectedLossPerHa: step.rate === null ? null : expectedLoss(net, step.rate),
    evidence: evidenceWord({
      seasons: facts.seasons,
      testedRates: belief.testedRates,
      noResponse,
      moves,
      interval: narrow,
      tested: belief.testedSeedsPerM2,
    }),
    sensitivity: sensitivityOf(belief, net),
    holdsAt:
      now === null || step.rate === null || noResponse || wantedRate(expected, within) === null
        ? null
        : priceRanges(belief, net, now.rate, (money) => stepWhere(money, rates, within).rate, settings),
    reasons: [
      ...reasonsOf(belief, economicOptimum, { ...bounds, moves }, facts).filter(
        ({ code }) => !step.reasons.some((reason) => forbids[reason.code] === code),
      ),
      ...step.reasons,
    ],
    seedPricePerThousand: net.prices.seedPricePerThousand,
  };
}

/** Whoever accepts no lower rate, or may sow no higher one, is not asked to test a rate beyond those tested that way. */
const forbids: Partial<Record<Reason["code"], Reason["code"]>> = {
  "lowest-rate": "at-lowest-tested",
  "lodging-ceiling": "at-highest-tested",
};

/** The best rate under another prior. */
const sensitivityOf = (belief: Belief, { rates, prices }: NetReturns): RateChoice["sensitivity"] =>
  belief.movedPriors.map(({ prior, expectedKgPerHa }) => ({
    prior,
    rateSeedsPerM2: rateOfBest(rates, netOf(expectedKgPerHa, prices)),
  }));

/** What a step depends on besides the money that each rate earns. */
interface StepBounds {
  belief: Belief;
  /** Rates [viable seeds/m²]; null where none is known. */
  now: number | null;
  lowest: number | null;
  ceiling: number | null;
  /** The wide interval of the best rate. */
  interval: Interval;
  settings: Settings;
}

/** The rate to aim at, given what the rates of the table earn; null where none can be named. */
function wantedRate(earned: ArrayLike<number>, { belief, now, interval }: StepBounds): number | null {
  const best = believedOptimum(belief, earned, interval);
  // Even if no response is the likeliest, money decides whether to change; but without today's rate, no rate is named.
  const noResponse = belief.noResponseChance >= noResponseLimit;
  return best.kind === "none" || (noResponse && now === null) ? null : best.rateSeedsPerM2;
}

/** The step toward the wanted rate, kept between the lowest rate and the ceiling of lodging. */
function stepWhere(
  earned: ArrayLike<number>,
  rates: NetReturns["rates"],
  within: StepBounds,
): { rate: number | null; reasons: Reason[] } {
  const { belief, now, lowest, ceiling, settings } = within;
  const wanted = wantedRate(earned, within);
  if (now === null)
    return keepLowest(bestStep(wanted, ceiling, settings), { lowest, ceiling, asksForLess: false }, settings);
  const allowed = wanted === null || ceiling === null ? wanted : Math.min(wanted, ceiling);
  const target = allowed === null ? null : Math.max(allowed, lowest ?? 0);
  const gainAt = (rate: number): number => valueAt(rates, earned, rate) - valueAt(rates, earned, now);
  const asksForLess = allowed !== null && allowed < target! && gainAt(allowed) > settings.flatZonePerHa;
  const free = chooseStep(
    {
      rateNowSeedsPerM2: now,
      // The rate without the ceiling, so that the step can say that lodging limits it.
      target: wanted === null ? null : Math.max(wanted, lowest ?? 0),
      wholeGainPerHa: target === null ? 0 : gainAt(target),
      ceiling,
    },
    settings,
  );
  // What a change from a rate that was not tested would add is not known.
  const reasons = free.reasons.filter(({ code }) => code !== "inside-flat-zone" || isTested(now, belief));
  return keepLowest({ ...free, reasons }, { lowest, ceiling, asksForLess }, settings);
}

/** Reasons about the best rate or about money. */
const namesBest: ReadonlySet<Reason["code"]> = new Set([
  "inside-flat-zone",
  "at-highest-tested",
  "at-lowest-tested",
]);

/** What is read from a curve, for when none is reported. */
export const untold = {
  intervals: [],
  flatZone: null,
  gainPerHa: null,
  chanceOfGain: null,
  expectedLossPerHa: null,
  sensitivity: [],
} satisfies Partial<RateChoice>;

/** Where the strips do not distinguish between rates, no odds, range or money is given. */
export function withoutNumbers(choice: RateChoice): RateChoice {
  if (choice.evidence !== "none") return choice;
  const noOptimum = (optimum: Optimum): Optimum =>
    optimum.kind === "none" ? optimum : { kind: "none", reason: "no-response" };
  return {
    ...choice,
    ...untold,
    yieldOptimum: noOptimum(choice.yieldOptimum),
    economicOptimum: noOptimum(choice.economicOptimum),
    reasons: choice.reasons.filter(({ code }) => !namesBest.has(code)),
  };
}

/** Today's rate, from the lot or the settings; never assumed. */
function rateNow(
  lot: Lot | undefined,
  settings: Settings,
): { rate: number; from: NonNullable<NextRate["rateNowFrom"]> } | null {
  if (lot !== undefined && lot.rateNowSeedsPerM2 !== null)
    return { rate: lot.rateNowSeedsPerM2, from: "lot" };
  if (settings.rateNowSeedsPerM2 !== null) return { rate: settings.rateNowSeedsPerM2, from: "setting" };
  return null;
}

/** Rates around the best one that earn within `sum` of it. */
function flatZone({ rates, expected }: NetReturns, sum: number): { lower: number; upper: number } {
  const best = indexOfLargest(expected);
  const enough = expected[best]! - sum;
  let [from, to] = [best, best];
  while (from > 0 && expected[from - 1]! >= enough) from--;
  while (to < rates.length - 1 && expected[to + 1]! >= enough) to++;
  return { lower: rates[from]!, upper: rates[to]! };
}

/** How much less the rate is expected to earn than the best rate would if the curve were known [money/ha]. */
function expectedLoss(net: NetReturns, rate: number): number {
  const earned = earnedByCurve(net, rate);
  return net.weights.reduce(
    (sum, weight, c) => sum + weight * Math.max(0, net.mostPerHa[c]! - earned[c]!),
    0,
  );
}

function reasonsOf(
  belief: Belief,
  optimum: Optimum,
  { now, lowest: accepted, moves }: { now: number | null; lowest: number | null; moves: boolean },
  facts: VarietyFacts,
): Reason[] {
  const [lowest, highest] = belief.testedSeedsPerM2;
  const spacing = (highest - lowest) / Math.max(1, belief.testedRates - 1);
  const testLowerSeedsPerM2 = Math.max(lowest - spacing, lowest / 2, accepted ?? 0);
  const testHigherSeedsPerM2 = highest + spacing;
  const reasons: Reason[] = [];
  if (belief.strips === 0 && belief.region !== null)
    reasons.push({ code: "region-only", numbers: { farms: belief.region.farms } });
  if (optimum.kind === "none")
    reasons.push({ code: "too-few-rates", numbers: { rates: belief.testedRates } });
  else if (belief.noResponseChance >= noResponseLimit)
    reasons.push({
      code: moves ? "no-response-step" : "no-response",
      numbers: { chance: belief.noResponseChance, testLowerSeedsPerM2, testHigherSeedsPerM2 },
    });
  if (optimum.kind === "at-edge")
    reasons.push({
      code: `at-${optimum.edge}-tested`,
      numbers: {
        rateSeedsPerM2: optimum.rateSeedsPerM2,
        testSeedsPerM2: optimum.edge === "highest" ? testHigherSeedsPerM2 : testLowerSeedsPerM2,
      },
    });
  if (now !== null && !isTested(now, belief))
    reasons.push({
      code: "today-outside-tested",
      numbers: { rateSeedsPerM2: now, lowestSeedsPerM2: lowest, highestSeedsPerM2: highest },
    });
  if (facts.seasons === 1) reasons.push({ code: "one-season", numbers: {} });
  return reasons;
}
