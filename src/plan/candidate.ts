/** A variety on the bench: what is known of it, ready to try trials on. */
import { random } from "../maths/random.ts";
import type { BelievableCurve, Interval } from "../vocabulary/result.ts";
import type { Lot, Settings } from "../vocabulary/settings.ts";
import type { PlanRequest } from "../vocabulary/strip-plan.ts";
import { habitRates, mostRates } from "./choose-rates.ts";
import { nearestRate, type Outlook } from "./outlook.ts";
import { setUpBench, type TrialBench } from "./simulate-trials.ts";

/** A variety as the planner knows it. */
export interface KnownVariety {
  outlook: Outlook;
  /** The curves behind the outlook, in the same order, and the yield that they are shares of. */
  curves: readonly BelievableCurve[];
  yieldKgPerHa: number;
  rateNowSeedsPerM2: number;
  /** Its index in the outlook. */
  now: number;
  lot: Lot | null;
  /** Range of the best rate as the report names it; null where it names none. */
  rangeNow: Interval | null;
  /** Lowest and highest rate tested so far, and the chance of too much lodging at the highest; null if not known. */
  testedSeedsPerM2: [number, number] | null;
  lodgingChanceAtHighest: number | null;
  pastStrips: number;
  pastEnvironments: number;
}

/**
 * Simulated trials per design: enough for a few per cent of error in what it finds, and far less between two designs.
 */
const trials = { search: 150, general: 400, withGain: 120, longest: mostRates };

/**
 * Variance between main strips, as a share of that between strips inside them.
 *
 * Yates 1935, oats in split plots: 106.06 against 177.08.
 */
const mainStripVariance = 106.06 / 177.08;

/** A variety on the bench. */
export interface Candidate {
  known: KnownVariety;
  bench: TrialBench;
  /** Sd of a strip among those that its rate is compared with [kg/ha]. */
  errorSdKgPerHa: number;
}

/**
 * A variety set up for simulated trials, with draws of its own that depend only on its name and the seed.
 *
 * @param known  outlook [kg/ha and money/ha over rates in seeds/m²] and what was tested so far
 */
export function setUpCandidate(request: PlanRequest, known: KnownVariety, settings: Settings): Candidate {
  const { outlook, now } = known;
  const draw = random(settings.seed, `plan trials ${outlook.variety}`);
  const mainStrips = request.layout === "rates-in-strips" ? mainStripVariance : 0;
  return {
    known,
    bench: setUpBench(outlook, now, request.gainPerHa, trials, draw),
    errorSdKgPerHa: outlook.errorSdKgPerHa * Math.sqrt(1 + mainStrips),
  };
}

/** Rates of a variety that were asked for, null where the planner chooses. */
export const askedRates = (request: PlanRequest): number | null =>
  request.ratesSeedsPerM2?.length ?? request.ratesPerVariety;

/** Rates the person has set, otherwise evenly spaced ones; null if there is no room for that many. */
export const plainRates = (request: PlanRequest, { bench }: Candidate, count: number): number[] | null =>
  request.ratesSeedsPerM2?.map((rate) => nearestRate(bench.outlook.ratesSeedsPerM2, rate)) ??
  habitRates(bench, count);
