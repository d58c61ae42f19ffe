/**
 * Which variety needs strips most next season, and which is settled: one usual trial of each is simulated on what is
 * believed.
 */
import { random } from "../maths/random.ts";
import type { Result, StripAdvice } from "../vocabulary/result.ts";
import type { Settings } from "../vocabulary/settings.ts";
import { closedWidth } from "../vocabulary/tested-rates.ts";
import { habitRates } from "./choose-rates.ts";
import { knowVarieties } from "./know-varieties.ts";
import { expectedNet } from "./outlook.ts";
import { rangeToldNow } from "./plan-variety.ts";
import { setUpBench, simulateTrials } from "./simulate-trials.ts";
import { usualSize } from "./size-trial.ts";
import { usualSeasonsUsed, usualStripCost, weighStrips, type StripPrices } from "./strips-pay.ts";

/** A rough look is enough to rank varieties. */
const draws = { search: 0, general: 100, withGain: 0, longest: usualSize.rates };

/** A strip of the usual trial, if no field is known yet: 40 ft wide and 600 ft long; our choice, without source. */
const usualStripHa = 0.22;

/**
 * A variety is settled when its strips are not known to pay and are worth less than this share of the sum within which
 * all rates are as good.
 */
const settledShare = 0.1;

/**
 * Every variety with strips, those with most to gain from more of them first.
 *
 * What a trial is worth counts per hectare times the variety's area where the lots give all areas.
 *
 * @param prices work per strip and seasons that the answer is used, if given
 */
export function adviseStrips(
  known: Pick<Result, "beliefs" | "next" | "protein" | "lodgingModels">,
  settings: Settings,
  prices: StripPrices = { costPerStrip: usualStripCost, seasonsUsed: usualSeasonsUsed },
): StripAdvice[] {
  if (known.beliefs.length === 0) return [];
  const varieties = known.beliefs.map((belief) => belief.variety);
  const wishes = {
    varieties,
    ratesSeedsPerM2: null,
    lowestRateSeedsPerM2: null,
    highestRateSeedsPerM2: null,
    expectedYieldKgPerHa: null,
  };
  const advice = knowVarieties(wishes, known, settings).flatMap(
    ({ outlook, now, lot, rangeNow, pastStrips, pastEnvironments }): StripAdvice[] => {
      const draw = random(settings.seed, `advice ${outlook.variety}`);
      const bench = setUpBench(outlook, now, Infinity, draws, draw);
      const at = habitRates(bench, usualSize.rates);
      // A drill too coarse for five rates gets no advice; the plan says why.
      if (at === null) return [];
      const { errorSdKgPerHa } = outlook;
      const finds = simulateTrials(bench, { at, blocks: usualSize.blocks, errorSdKgPerHa });
      const range = rangeToldNow({ rangeNow, pastStrips }, bench);
      const net = expectedNet(outlook);
      const lostPerHa = at.reduce((sum, g) => sum + net[bench.bestNow]! - net[g]!, 0);
      const cost = usualSize.blocks * (usualSize.rates * prices.costPerStrip + lostPerHa * usualStripHa);
      const { pays } = weighStrips(finds.valuePerHa, lot?.areaHa ?? null, cost, prices.seasonsUsed);
      const littleToLearn = finds.valuePerHa < settledShare * settings.flatZonePerHa;
      return [
        {
          variety: outlook.variety,
          need: pays === true ? "some" : littleToLearn ? "settled" : pays === false ? "dear" : "some",
          costOfTrial: cost,
          seasonsUsed: prices.seasonsUsed,
          pastStrips,
          pastEnvironments,
          areaHa: lot?.areaHa ?? null,
          blocks: usualSize.blocks,
          ratesPerVariety: usualSize.rates,
          valueOfKnowingAllPerHa: bench.valueOfKnowingAllPerHa,
          valueOfTrialPerHa: finds.valuePerHa,
          intervalWidthNowSeedsPerM2: range && closedWidth(range),
          intervalWidthAfterSeedsPerM2: finds.intervalWidthSeedsPerM2,
        },
      ];
    },
  );
  const areasKnown = advice.every((one) => one.areaHa !== null);
  const worth = (one: StripAdvice): number => one.valueOfTrialPerHa * (areasKnown ? one.areaHa! : 1);
  const order = ["some", "dear", "settled"];
  const place = (one: StripAdvice): number => order.indexOf(one.need);
  advice.sort((a, b) => place(a) - place(b) || worth(b) - worth(a));
  return advice.map((one, i) => (i === 0 && one.need === "some" ? { ...one, need: "most" } : one));
}
