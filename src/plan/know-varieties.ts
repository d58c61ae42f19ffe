/** From what is believed and from the seed lots to varieties that a trial can be planned for. */
import { firstAndLast } from "../maths/first-and-last.ts";
import { mean } from "simple-statistics";
import { expectedYieldUnknown, nothingToPlant } from "../messages/planning.ts";
import { crops } from "../vocabulary/crops.ts";
import { qualityMoney, type QualityMoney } from "../decide/rate/quality.ts";
import { chanceOverLimit } from "../decide/rate/lodging-ceiling.ts";
import { lowestRate } from "../decide/rate/lowest-rate.ts";
import { pricePerThousandViable, seedCostPerHa } from "../decide/rate/seed-cost.ts";
import { narrowingLevel } from "./simulate-trials.ts";
import { firstBelief } from "../model/beliefs/first-belief.ts";
import { recommendedFor } from "../model/beliefs/recommended-rate.ts";
import { averageOverSeasons, relativeYield } from "../model/forms/believable-curve.ts";
import type { BelievableCurve, Result } from "../vocabulary/result.ts";
import { speakingLodgings } from "../vocabulary/speaking-lodging.ts";
import { usualNeed, type Settings } from "../vocabulary/settings.ts";
import type { PlanRequest } from "../vocabulary/strip-plan.ts";
import { settableRates } from "./choose-rates.ts";
import { nearestRate, type Outlook } from "./outlook.ts";
import type { KnownVariety } from "./candidate.ts";

/** Rates that may be tried unless the request says otherwise, as shares of the crop's usual rate. */
const triedFrom = 0.5;
const triedTo = 1.75;

/** Rates that differ by less than this, the rounding of a conversion, are one rate [seeds/m²]. */
const sameRate = 1e-6;

/** Three kinds of season with the moments of a normal distribution (Gauss–Hermite): shifts in sds of log need. */
const seasonShifts = [-Math.sqrt(3), 0, Math.sqrt(3)];
const seasonWeights = [1 / 6, 2 / 3, 1 / 6];

/** What a request says about the varieties themselves. */
export type VarietyWishes = Pick<
  PlanRequest,
  "varieties" | "ratesSeedsPerM2" | "lowestRateSeedsPerM2" | "highestRateSeedsPerM2" | "expectedYieldKgPerHa"
>;

/**
 * Every variety that may be planted: those asked for, otherwise those of past strips and lots, sorted by name.
 *
 * @param known what the analysis of past strips says; empty lists before a first trial
 * @throws TrialError `plan-no-variety` without any; `plan-expected-yield` if neither strips nor request give the yield
 */
export function knowVarieties(
  request: VarietyWishes,
  known: Pick<Result, "beliefs" | "next" | "protein" | "lodgingModels">,
  settings: Settings,
): KnownVariety[] {
  const lodgings = speakingLodgings(known.lodgingModels);
  const beliefs = new Map(known.beliefs.map((belief) => [belief.variety, belief]));
  const lots = new Map(settings.lots.map((lot) => [lot.variety, lot]));
  const names = request.varieties.length > 0 ? request.varieties : [...beliefs.keys(), ...lots.keys()];
  if (names.length === 0) throw nothingToPlant();
  const yields = known.beliefs.map((belief) => belief.meanYieldKgPerHa);
  const farmYield = request.expectedYieldKgPerHa ?? (yields.length === 0 ? null : mean(yields));
  if (farmYield === null) throw expectedYieldUnknown();
  return [...new Set(names)].sort().map((variety) => {
    const belief = beliefs.get(variety) ?? null;
    const lot = lots.get(variety) ?? null;
    const next = known.next.find((one) => one.variety === variety);
    const rateNowSeedsPerM2 =
      next?.rateNowSeedsPerM2 ??
      lot?.rateNowSeedsPerM2 ??
      settings.rateNowSeedsPerM2 ??
      toStep(crops[settings.crop].usualSeedsPerM2, settings.rateStepSeedsPerM2);
    const ofVariety = (one: { variety: string }): boolean => one.variety === variety;
    const lodging = lodgings.find(ofVariety);
    const parts: OutlookParts = {
      variety,
      rates: ratesToTry(request, rateNowSeedsPerM2, lowestRate(lot ?? undefined, settings), settings),
      tested: belief?.testedSeedsPerM2 ?? [rateNowSeedsPerM2, rateNowSeedsPerM2],
      rateNowSeedsPerM2,
      curves:
        belief?.curves ?? firstBelief(settings, known.beliefs, undefined, recommendedFor(variety, settings)),
      fieldShifts: belief?.fieldShifts ?? [],
      yieldKgPerHa: belief?.meanYieldKgPerHa ?? farmYield,
      errorShare: belief?.errorShare ?? known.beliefs[0]?.errorShare ?? settings.priors.stripError,
      grainPricePerKg: settings.grainPricePerKg,
      seedPricePerThousand: pricePerThousandViable(lot ?? undefined, settings),
      quality: qualityMoney(known.protein.find(ofVariety), lodging, settings),
    };
    return {
      outlook: outlookOf(parts),
      curves: parts.curves,
      yieldKgPerHa: parts.yieldKgPerHa,
      rateNowSeedsPerM2,
      now: nearestRate(parts.rates, rateNowSeedsPerM2),
      lot,
      rangeNow: next?.intervals.find(({ level }) => level === narrowingLevel) ?? null,
      testedSeedsPerM2: belief?.testedSeedsPerM2 ?? null,
      lodgingChanceAtHighest:
        belief === null || lodging === undefined
          ? null
          : chanceOverLimit(lodging, belief.testedSeedsPerM2[1], settings.lodgingLimit),
      pastStrips: belief?.strips ?? 0,
      pastEnvironments: belief?.environments ?? 0,
    };
  });
}

const toStep = (rate: number, step: number): number => Math.round(rate / step) * step;

/** Coarse steps of the drill between the ends, today's rate, and the rates the person has set. */
function ratesToTry(
  request: VarietyWishes,
  now: number,
  lowest: number | null,
  settings: Settings,
): number[] {
  const usual = usualNeed(settings.crop, settings.priors);
  const set = request.ratesSeedsPerM2 ?? [];
  const low = request.lowestRateSeedsPerM2 ?? Math.min(lowest ?? triedFrom * usual, now, ...set);
  const high = request.highestRateSeedsPerM2 ?? Math.max(triedTo * usual, now, ...set);
  const settable = settableRates(now, low, high, settings.rateStepSeedsPerM2);
  const rates = [...settable, ...set].sort((a, b) => a - b);
  return rates.filter((rate, g) => g === 0 || rate - rates[g - 1]! > sameRate);
}

interface OutlookParts {
  variety: string;
  rates: readonly number[];
  tested: readonly [number, number];
  rateNowSeedsPerM2: number;
  curves: readonly BelievableCurve[];
  fieldShifts: readonly (readonly number[])[];
  yieldKgPerHa: number;
  errorShare: number;
  grainPricePerKg: number;
  seedPricePerThousand: number;
  quality: QualityMoney;
}

function outlookOf(parts: OutlookParts): Outlook {
  const { rates, curves, yieldKgPerHa, quality } = parts;
  const total = curves.reduce((sum, curve) => sum + curve.weight, 0);
  const grainPerKg = rates.map((rate) => parts.grainPricePerKg + quality.premiumPerKg(rate));
  const costPerHa = rates.map(
    (rate) => seedCostPerHa(rate, parts.seedPricePerThousand) + quality.costPerHa(rate),
  );
  const inside = rates.flatMap((rate, g) => (rate >= parts.tested[0] && rate <= parts.tested[1] ? [g] : []));
  const now = nearestRate(rates, parts.rateNowSeedsPerM2);
  const netPerHa = new Float64Array(curves.length * rates.length);
  const yields = new Float64Array(curves.length * seasonShifts.length * rates.length);
  let [at, inSeason] = [0, 0];
  for (const curve of curves) {
    const shares = averageOverSeasons(curve, rates, parts.fieldShifts[curve.place]);
    for (let g = 0; g < shares.length; g++)
      netPerHa[at++] = grainPerKg[g]! * yieldKgPerHa * (1 + shares[g]!) - costPerHa[g]!;
    for (const shift of seasonShifts)
      for (let g = 0; g < rates.length; g++)
        yields[inSeason++] = yieldKgPerHa * relativeYield(curve, rates[g]!, shift * curve.seasonSpread);
  }
  return {
    variety: parts.variety,
    ratesSeedsPerM2: Float64Array.from(rates),
    weights: Float64Array.from(curves, (curve) => curve.weight / total),
    netPerHa,
    seasonWeights: Float64Array.from(seasonWeights),
    yieldKgPerHa: yields,
    errorSdKgPerHa: parts.errorShare * yieldKgPerHa,
    tested: inside.length === 0 ? [now, now] : firstAndLast(inside),
  };
}
