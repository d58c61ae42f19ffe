/**
 * One simulated region of known truth: what leaning on it earns, beside a farm alone.
 *
 * Each variety of some farms is decided three ways: by the farm's own strips alone, by these and the region of other
 * farms, and by the region without any strips of the variety. The farms that are judged are never part of the region.
 */
import { netReturns, varietyPrices } from "../../../src/decide/rate/net-return.ts";
import { rateOfBest } from "../../../src/decide/rate/curve-table.ts";
import { intervalsOfBest } from "../../../src/decide/rate/believed-optimum.ts";
import { believeCurves } from "../../../src/model/beliefs/believable-curves.ts";
import { farmEvidence } from "../../../src/model/region/farm-evidence.ts";
import { regionOf } from "../../../src/model/region/region-of.ts";
import { toMoneyPerAcre } from "../../../src/numbers/units.ts";
import type { Belief, Interval } from "../../../src/vocabulary/result.ts";
import { defaultSettings, unknownLot, type Settings } from "../../../src/vocabulary/settings.ts";
import { noQuality, sideOf, slackOf } from "../score-farm.ts";
import { simulateRegion, type RegionFamily, type RegionFarmVariety } from "./simulate-region.ts";

/** One variety of one farm, decided in one way. */
export interface Score {
  /** Against the best rate [$/ac]. */
  lost: number;
  /** Whether the 80 and the 95 % range held the best rate. */
  held: [boolean, boolean];
  /** Logarithm of the weight that is believed within 5 % of the best rate, plus a thousandth. */
  logScore: number;
}

export type Way = "alone" | "region" | "no strips";
export const ways: readonly Way[] = ["alone", "region", "no strips"];

/** All that was judged in one region; `lostAtBest` belongs to the varieties without strips. */
export interface RegionScores {
  family: string;
  seasons: number;
  of: Record<Way, Score[]>;
  lostAtBest: number[];
}

/** So near to the best rate counts for the log score. */
const nearby = Math.log(1.05);
const levels = [0.8, 0.95] as const;

export function scoreRegion(
  family: RegionFamily,
  seasons: number,
  number: number,
  judged: number,
): RegionScores {
  const all = simulateRegion({ ...family, farms: family.farms + judged }, seasons, number);
  const shared = all
    .slice(judged)
    .map(({ cells }) => farmEvidence(cells.map((one) => ({ ...one, field: "" }))));
  const region = regionOf(shared, defaultSettings, 1);
  const of: RegionScores["of"] = { alone: [], region: [], "no strips": [] };
  const lostAtBest: number[] = [];
  for (const { cells, varieties } of all.slice(0, judged)) {
    const alone = believeCurves(cells, defaultSettings);
    const leaned = believeCurves(cells, { ...defaultSettings, region });
    varieties.forEach((truth, v) => {
      const { variety } = truth;
      const take = (way: Way, beliefs: readonly Belief[]): Belief | undefined => {
        const belief = beliefs.find((one) => one.variety === variety);
        if (belief !== undefined) of[way].push(score(belief, truth, defaultSettings));
        return belief;
      };
      take("alone", alone);
      take("region", leaned);
      if (v > 0) return;
      const others = cells.filter((one) => one.variety !== variety);
      const settings = { ...defaultSettings, region, lots: [unknownLot(variety)] };
      const without = take("no strips", believeCurves(others, settings));
      if (without !== undefined) lostAtBest.push(loseAtBest(truth, without.testedSeedsPerM2));
    });
  }
  return { family: family.name, seasons, of, lostAtBest };
}

function score(belief: Belief, { expectedYield }: RegionFarmVariety, settings: Settings): Score {
  const { rates, expected, bestRates, weights } = netReturns(
    belief,
    varietyPrices(belief, noQuality, settings),
  );
  const earned = earnedBy(expectedYield);
  const best = bestOf(earned, belief.testedSeedsPerM2);
  const intervals = levels.map(intervalsOfBest(bestRates, weights, belief));
  const holds = (interval: Interval): boolean => sideOf(best, interval, slackOf(belief)) === 0;
  const near = weights.reduce(
    (sum, weight, i) => sum + (Math.abs(Math.log(bestRates[i]! / best)) <= nearby ? weight : 0),
    0,
  );
  return {
    lost: toMoneyPerAcre(earned(best) - earned(rateOfBest(rates, expected))),
    held: [holds(intervals[0]!), holds(intervals[1]!)],
    logScore: Math.log(near + 1e-3),
  };
}

/** Grain less seed [money per ha]. */
const earnedBy =
  (yieldAt: (rate: number) => number) =>
  (rate: number): number =>
    defaultSettings.grainPricePerKg * yieldAt(rate) - 10 * defaultSettings.seedPricePerThousand * rate;

function bestOf(earned: (rate: number) => number, [lowest, highest]: readonly [number, number]): number {
  let [best, most] = [lowest, -Infinity];
  for (let i = 0; i <= 300; i++) {
    const rate = lowest + ((highest - lowest) * i) / 300;
    if (earned(rate) > most + 1e-9) [best, most] = [rate, earned(rate)];
  }
  return best;
}

/** Lost without strips by one who knows the region, and what the farm's other varieties need, exactly [$/ac]. */
function loseAtBest(variety: RegionFarmVariety, tested: readonly [number, number]): number {
  const earned = earnedBy(variety.expectedYield);
  const foretold = bestOf(earnedBy(variety.expectedBeforehand), tested);
  return toMoneyPerAcre(earned(bestOf(earned, tested)) - earned(foretold));
}
