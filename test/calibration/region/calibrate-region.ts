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
import type { Belief } from "../../../src/vocabulary/result.ts";
import { defaultSettings, unknownLot, type Settings } from "../../../src/vocabulary/settings.ts";
import { noQuality } from "../score-farm.ts";
import { scoreGround } from "./by-ground.ts";
import { regionFamilies, simulateRegion, type RegionFamily } from "./simulate-region.ts";

interface Score {
  lost: number;
  held: [boolean, boolean];
  /** Logarithm of the weight that is believed within 5% of the best rate, plus a thousandth. */
  logScore: number;
}
/** So near to the best rate counts for the log score. */
const nearby = Math.log(1.05);

type Way = "alone" | "region" | "no strips";

function score(belief: Belief, expectedYield: (rate: number) => number, settings: Settings): Score {
  const net = netReturns(belief, varietyPrices(belief, noQuality, settings));
  const earned = (rate: number): number =>
    settings.grainPricePerKg * expectedYield(rate) - 10 * settings.seedPricePerThousand * rate;
  const [lowest, highest] = belief.testedSeedsPerM2;
  let [best, most] = [lowest, -Infinity];
  for (let i = 0; i <= 300; i++) {
    const rate = lowest + ((highest - lowest) * i) / 300;
    if (earned(rate) > most + 1e-9) [best, most] = [rate, earned(rate)];
  }
  const rates = net.bestRates;
  const slack = (highest - lowest) / 240;
  const holds = (level: number): boolean => {
    const { lower, upper } = weightedInterval(rates, net.weights, level);
    return best >= lower - slack && best <= upper + slack;
  };
  const near = net.weights.reduce(
    (sum, weight, i) => sum + (Math.abs(Math.log(rates[i]! / best)) <= nearby ? weight : 0),
    0,
  );
  return {
    logScore: Math.log(near + 1e-3),
    lost: toMoneyPerAcre(most - earned(rateOfBest(net.rates, net.expected))),
    held: [holds(0.8), holds(0.95)],
  };
}

function scoreRegion(
  family: RegionFamily,
  seasons: number,
  number: number,
  judged: number,
): Record<Way, Score[]> {
  const all = simulateRegion({ ...family, farms: family.farms + judged }, seasons, number);
  const shared = all
    .slice(judged)
    .map(({ cells }) => farmEvidence(cells.map((one) => ({ ...one, field: "" }))));
  const region = regionOf(shared, defaultSettings, 1);
  const scores: Record<Way, Score[]> = { alone: [], region: [], "no strips": [] };
  for (const { cells, varieties } of all.slice(0, judged)) {
    const alone = believeCurves(cells, defaultSettings);
    const leaned = believeCurves(cells, { ...defaultSettings, region });
    varieties.forEach(({ variety, expectedYield }, v) => {
      const take = (way: Way, beliefs: readonly Belief[]): void => {
        const belief = beliefs.find((one) => one.variety === variety);
        if (belief !== undefined) scores[way].push(score(belief, expectedYield, defaultSettings));
      };
      take("alone", alone);
      take("region", leaned);
      if (v > 0) return;
      const others = cells.filter((one) => one.variety !== variety);
      take("no strips", believeCurves(others, { ...defaultSettings, region, lots: [unknownLot(variety)] }));
    });
  }
  return scores;
}

const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;
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
    "| family | seasons | alone $/ac | region $/ac | ratio | no own strips $/ac | 80 % alone | region | no strips | 95 % alone | region | no strips | log score alone | region |",
    `| --- | --: |${" --: |".repeat(12)}`,
  ];
  for (const family of regionFamilies)
    for (const seasons of [1, 3]) {
      const all: Record<Way, Score[]> = { alone: [], region: [], "no strips": [] };
      for (let number = 0; number < regions; number++) {
        const some = scoreRegion(family, seasons, number, judged);
        for (const way of ["alone", "region", "no strips"] as const) all[way].push(...some[way]);
      }
      const lost = (way: Way): number => mean(all[way].map((one) => one.lost));
      const held = (way: Way, level: 0 | 1): string => percent(all[way].map((one) => one.held[level]));
      const logScore = (way: Way): string => mean(all[way].map((one) => one.logScore)).toFixed(2);
      const ways = ["alone", "region", "no strips"] as const;
      lines.push(
        `| ${family.name} | ${seasons} | ${lost("alone").toFixed(2)} | ${lost("region").toFixed(2)} | ${(lost("region") / lost("alone")).toFixed(2)} | ${lost("no strips").toFixed(2)} | ${ways.map((way) => held(way, 0)).join(" | ")} | ${ways.map((way) => held(way, 1)).join(" | ")} | ${logScore("alone")} | ${logScore("region")} |`,
      );
      process.stdout.write(`${lines.at(-1)!}\n`);
    }
  const about = `Written by \`npm run calibrate:region -- ${regions} ${judged}\`: ${regions} regions of each family, ${judged} farms of three varieties judged in each. A farm decides by its own strips alone, by these and the region of other farms, and by the region without strips of the variety (one variety a farm). Money lost against the best rate, how often the intervals held it, and the mean logarithm of the weight believed within 5 % of it (plus a thousandth; nearer to 0 is better).`;
  writeFileSync(
    "test/calibration/region/results.md",
    `# What a region earns\n\n${about}\n\n${lines.join("\n")}\n\n${byGround(8 * regions)}`,
  );
}

main(Number(process.argv[2] ?? 12), Number(process.argv[3] ?? 6));
