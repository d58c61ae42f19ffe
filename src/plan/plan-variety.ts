/** The rates of one variety: searched for, and compared with even spacing. */
import { firstAndLast } from "../maths/first-and-last.ts";
import type { Interval } from "../vocabulary/result.ts";
import type { PlanOption, PlanRequest, RateDesign, VarietyPlan } from "../vocabulary/strip-plan.ts";
import { plainRates, type Candidate, type KnownVariety } from "./candidate.ts";
import { chooseRates, habitRates } from "./choose-rates.ts";
import { dEfficiency } from "./d-efficiency.ts";
import { narrowingLevel, simulateTrials, type TrialBench } from "./simulate-trials.ts";

/**
 * Evenly spaced rates are kept unless others narrow the answer by this share. They guard best against a curve outside
 * the believable ones, and less than this is within the error of the simulation.
 */
const worthwhile = 0.02;

/** Range of the best rate as the report names it; before a first strip as the planner finds it, from what is usual. */
export function rangeToldNow(
  { rangeNow, pastStrips }: Pick<KnownVariety, "rangeNow" | "pastStrips">,
  { intervalNow: [lower, upper] }: Pick<TrialBench, "intervalNow">,
): Interval | null {
  return rangeNow ?? (pastStrips > 0 ? null : { level: narrowingLevel, lower, upper });
}

/** The rates of one variety, and what they would find compared with evenly spaced ones. */
export function planVariety(request: PlanRequest, candidate: Candidate, size: PlanOption): VarietyPlan {
  const { known, bench, errorSdKgPerHa } = candidate;
  const { outlook } = bench;
  const { blocks, ratesPerVariety } = size;
  const design = (at: readonly number[]): RateDesign => {
    const rates = at.map((g) => outlook.ratesSeedsPerM2[g]!);
    return {
      ratesSeedsPerM2: rates,
      finds: simulateTrials(bench, { at, blocks, errorSdKgPerHa }),
      dEfficiency: dEfficiency(rates, ...firstAndLast(outlook.ratesSeedsPerM2)),
    };
  };
  const habit = design(
    habitRates(bench, ratesPerVariety) ?? plainRates(request, candidate, ratesPerVariety)!,
  );
  const given =
    request.ratesSeedsPerM2 === null ? null : design(plainRates(request, candidate, ratesPerVariety)!);
  const searched =
    given === null ? design(chooseRates(bench, ratesPerVariety, blocks, errorSdKgPerHa)!) : null;
  const width = (one: RateDesign): number => one.finds.intervalWidthSeedsPerM2;
  const better = searched !== null && width(searched) < (1 - worthwhile) * width(habit);
  return {
    variety: outlook.variety,
    rateNowSeedsPerM2: known.rateNowSeedsPerM2,
    testedSeedsPerM2: known.testedSeedsPerM2,
    lodgingChanceAtHighest: known.lodgingChanceAtHighest,
    areaHa: known.lot?.areaHa ?? null,
    pastStrips: known.pastStrips,
    pastEnvironments: known.pastEnvironments,
    now: {
      economicOptimumSeedsPerM2: outlook.ratesSeedsPerM2[bench.bestNow]!,
      intervalSeedsPerM2: bench.intervalNow,
      range: rangeToldNow(known, bench),
      valueOfKnowingAllPerHa: bench.valueOfKnowingAllPerHa,
      chanceOfGain: bench.chanceOfGain,
      chanceToBeatNow: bench.chanceToBeatNow,
    },
    chosen: given ?? (better ? searched : habit),
    habit,
    searched,
  };
}
