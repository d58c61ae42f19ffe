/**
 * `npm run calibrate:region [-- REGIONS JUDGED]`: simulated regions of known truth; what leaning on one earns, beside a farm alone.
 *
 * Each variety of some farms is decided three ways: by the farm's own strips alone, by these and the region of other
 * farms, and by the region without any strips of the variety. The farms that are judged are never part of the region.
 */
import { writeFileSync } from "node:fs";
import { netReturns, varietyPrices } from "../../../src/decide/rate/net-return.ts";
import { rateOfBest } from "../../../src/decide/rate/curve-table.ts";
import { weightedInterval } from "../../../src/maths/weighted-quantiles.ts";
import { believeCurves } from "../../../src/model/beliefs/believable-curves.ts";
import { farmEvidence } from "../../../src/model/region/farm-evidence.ts";
import { regionOf } from "../../../src/model/region/region-of.ts";
import { toMoneyPerAcre } from "../../../src/numbers/units.ts";
import type { Belief, Interval } from "../../../src/vocabulary/result.ts";
import { defaultSettings, unknownLot, type Settings } from "../../../src/vocabulary/settings.ts";
import { noQuality } from "../score-farm.ts";
import { scoreGround } from "./by-ground.ts";
import {
  regionFamilies,
  simulateRegion,
  type RegionFamily,
  type RegionFarmVariety,
} from "./simulate-region.ts";

interface Score {
  lost: number;
  /** Of the 80 and the 95 % range. */
  held: [boolean, boolean];
  /** Weight of what is believed inside them: more than 80 % where they end at the lowest or the highest tested rate. */
  promised: [number, number];
  /** Logarithm of the weight that is believed within 5% of the best rate, plus a thousandth. */
  logScore: number;
}
/** So near to the best rate counts for the log score. */
const nearby = Math.log(1.05);
const levels = [0.8, 0.95] as const;

type Way = "alone" | "region" | "no strips";
const ways: readonly Way[] = ["alone", "region", "no strips"];

function score(belief: Belief, { expectedYield }: RegionFarmVariety, settings: Settings): Score {
  const { rates, expected, bestRates, weights } = netReturns(
    belief,
    varietyPrices(belief, noQuality, settings),
  );
  const [lowest, highest] = belief.testedSeedsPerM2;
  const earned = earnedBy(expectedYield);
  const best = bestOf(earned, [lowest, highest]);
  const slack = (highest - lowest) / 240;
  const ranges = levels.map((level) => weightedInterval(bestRates, weights, level));
  const isIn = ({ lower, upper }: Pick<Interval, "lower" | "upper">, rate: number): boolean =>
    rate >= lower - slack && rate <= upper + slack;
  const weightWhere = (wanted: (rate: number) => boolean): number =>
    weights.reduce((sum, weight, i) => sum + (wanted(bestRates[i]!) ? weight : 0), 0);
  const near = weightWhere((rate) => Math.abs(Math.log(rate / best)) <= nearby);
  return {
    logScore: Math.log(near + 1e-3),
    lost: toMoneyPerAcre(earned(best) - earned(rateOfBest(rates, expected))),
    held: [isIn(ranges[0]!, best), isIn(ranges[1]!, best)],
    promised: [weightWhere((rate) => isIn(ranges[0]!, rate)), weightWhere((rate) => isIn(ranges[1]!, rate))],
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
function lostAtBest(variety: RegionFarmVariety, tested: readonly [number, number]): number {
  const earned = earnedBy(variety.expectedYield);
  const foretold = bestOf(earnedBy(variety.expectedBeforehand), tested);
  return toMoneyPerAcre(earned(bestOf(earned, tested)) - earned(foretold));
}

interface RegionScores extends Record<Way, Score[]> {
  lostAtBest: number[];
}

function scoreRegion(family: RegionFamily, seasons: number, number: number, judged: number): RegionScores {
  const all = simulateRegion({ ...family, farms: family.farms + judged }, seasons, number);
  const shared = all
    .slice(judged)
    .map(({ cells }) => farmEvidence(cells.map((one) => ({ ...one, field: "" }))));
  const region = regionOf(shared, defaultSettings, 1);
  const scores: RegionScores = { alone: [], region: [], "no strips": [], lostAtBest: [] };
  for (const { cells, varieties } of all.slice(0, judged)) {
    const alone = believeCurves(cells, defaultSettings);
    const leaned = believeCurves(cells, { ...defaultSettings, region });
    varieties.forEach((truth, v) => {
      const { variety } = truth;
      const take = (way: Way, beliefs: readonly Belief[]): Belief | undefined => {
        const belief = beliefs.find((one) => one.variety === variety);
        if (belief !== undefined) scores[way].push(score(belief, truth, defaultSettings));
        return belief;
      };
      take("alone", alone);
      take("region", leaned);
      if (v > 0) return;
      const others = cells.filter((one) => one.variety !== variety);
      const settings = { ...defaultSettings, region, lots: [unknownLot(variety)] };
      const without = take("no strips", believeCurves(others, settings));
      if (without !== undefined) scores.lostAtBest.push(lostAtBest(truth, without.testedSeedsPerM2));
    });
  }
  return scores;
}

const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

/**
 * Ratio of the mean money lost in two ways, with its standard error: regions are independent, the farms of one are not.
 *
 * The ratio is worked out without each region in turn (the jackknife: Tukey 1958, Ann. Math. Stat. 29:614).
 *
 * @param lost     in each region, as many numbers as were judged there
 * @param against  the same by the way that it is held against
 */
function ratioOver(lost: readonly number[][], against: readonly number[][]): string {
  const ratioWithout = (left: number | null): number => {
    const [over, under] = [lost, against].map((all) =>
      mean(all.filter((_, region) => region !== left).flat()),
    );
    return over! / under!;
  };
  const without = lost.map((_, region) => ratioWithout(region));
  const middle = mean(without);
  const variance = (lost.length - 1) * mean(without.map((ratio) => (ratio - middle) ** 2));
  return `${ratioWithout(null).toFixed(2)} ± ${Math.sqrt(variance).toFixed(2)}`;
}

const percent = (values: readonly boolean[]): string => `${Math.round(100 * mean(values.map(Number)))} %`;

/** What the region tells of ground without strips, in words. */
function byGround(regions: number): string {
  const scores = Array.from({ length: regions }, (_, number) => scoreGround(number));
  const lost = (of: "lost" | "lostByLevel"): string => mean(scores.flatMap((one) => one[of])).toFixed(2);
  const rms = Math.sqrt(mean(scores.map(({ error }) => error ** 2)));
  return `## Ground without strips

${regions} regions of 15 farms with two varieties on level ground and on the hill for three seasons; the hill needs more or less by an sd of 20 %, by 8 % more or less on each farm. The change of the need was found within ${(100 * rms).toFixed(1)} % (root mean square) and without bias (mean ${(100 * mean(scores.map(({ error }) => error))).toFixed(1)} %); its 80 % interval held it in ${percent(scores.map(({ held }) => held))} of the regions. A farm outside the region with strips on level ground alone was told a rate for its hill: the 80 % range held the best rate in ${percent(scores.flatMap(({ rateHeld }) => rateHeld))}, and the rate lost ${lost("lost")} $/ac on the hill, where its rate for level ground lost ${lost("lostByLevel")}.
`;
}

function main(regions: number, judged: number): void {
  const lines = [
    "| family | seasons | alone $/ac | region $/ac | ratio | no own strips $/ac | at best | over first season | 80 % alone | region | no strips | 95 % alone | region | no strips | log score alone | region |",
    `| --- | --: |${" --: |".repeat(14)}`,
  ];
  for (const family of regionFamilies) {
    /** Alone, in the first season of each region. */
    let first: number[][] = [];
    for (const seasons of [1, 3]) {
      const ofRegions = Array.from({ length: regions }, (_, number) =>
        scoreRegion(family, seasons, number, judged),
      );
      const scores = (way: Way): Score[] => ofRegions.flatMap((one) => one[way]);
      const lostIn = (way: Way): number[][] => ofRegions.map((one) => one[way].map(({ lost }) => lost));
      const lost = (way: Way): string => mean(lostIn(way).flat()).toFixed(2);
      if (seasons === 1) first = lostIn("alone");
      const held = (way: Way, level: 0 | 1): string =>
        `${percent(scores(way).map((one) => one.held[level]))} of ${Math.round(100 * mean(scores(way).map((one) => one.promised[level])))}`;
      const logScore = (way: Way): string => mean(scores(way).map((one) => one.logScore)).toFixed(2);
      const cells = [
        family.name,
        seasons,
        lost("alone"),
        lost("region"),
        ratioOver(lostIn("region"), lostIn("alone")),
        lost("no strips"),
        mean(ofRegions.flatMap((one) => one.lostAtBest)).toFixed(2),
        ratioOver(lostIn("no strips"), first),
        ...ways.map((way) => held(way, 0)),
        ...ways.map((way) => held(way, 1)),
        logScore("alone"),
        logScore("region"),
      ];
      lines.push(`| ${cells.join(" | ")} |`);
      process.stdout.write(`${lines.at(-1)!}\n`);
    }
  }
  writeFileSync(
    "test/calibration/region/results.md",
    `# What a region earns\n\n${about(regions, judged)}\n\n${lines.join("\n")}\n\n${byGround(8 * regions)}`,
  );
}

function about(regions: number, judged: number): string {
  return `Written by \`npm run calibrate:region -- ${regions} ${judged}\`: ${regions} regions of each family, ${judged} farms of three varieties judged in each. A farm decides by its own strips alone, by these and the region of other farms, and by the region without strips of the variety (one variety a farm). Beside this last one stands what one would lose *at best* who knows the region, and what the farm's other varieties need there, exactly; then its share of what a farm loses alone after its first season. Both ratios stand with their standard errors over regions. The ranges: how often they held the best rate, *of* how much of what is believed lies in them. A range that ends at the lowest or the highest tested rate holds more than its name says, so the two are to be compared with each other. Log score: mean logarithm of the weight believed within 5 % of the best rate (plus a thousandth; nearer to 0 is better).`;
}

main(Number(process.argv[2] ?? 12), Number(process.argv[3] ?? 6));
