/** Harvests of known truth as points: what becomes of bias, intervals, delay and time. */
import { stripsFromPoints, type HarvestRequest } from "../../../src/points/strips-from-points.ts";
import { putAtMost, putRow } from "../bars.ts";
import { simulateHarvest, simulatedStrips, type HarvestWish } from "../../simulate-harvest.ts";

const quick = process.argv.includes("--quick");
const request: HarvestRequest = {
  ...{ crop: "wheat", system: "us", currency: "$", season: null, farm: "", field: "", delayS: null },
  ...{ combineWidthM: null, drillWidthM: null, off: [], eachStepOff: false },
};
const file = (name: string, text: string) => ({ name, bytes: new TextEncoder().encode(text) });

const narrow: Partial<HarvestWish> = { combineM: 7.3152, path: "throughout", overlapM: 0.2 };
const kinds: [string, Partial<HarvestWish>][] = [
  ["35 ft combine, delay 5 s, range 30 m", { delayS: 5, trendRangeM: 30 }],
  ["35 ft combine, delay 10 s, range 100 m", {}],
  ["35 ft combine, delay 14 s, range 300 m", { delayS: 14, trendRangeM: 300 }],
  ["35 ft combine, curved passes", { curveM: 12 }],
  ["35 ft combine, at an angle", { turnedDeg: 33 }],
  ["24 ft combine throughout, with overlap", narrow],
];
const farms = quick ? 2 : 12;
/** Without neighbours of the same treatment, which are one strip to whoever has no sheet. */
const seeds = Array.from({ length: 500 }, (_, seed) => seed + 1)
  .filter((seed) =>
    simulatedStrips(seed).every(
      ({ variety, rate }, s, all) => variety !== all[s - 1]?.variety || rate !== all[s - 1]?.rate,
    ),
  )
  .slice(0, farms);

async function main(): Promise<void> {
  let [pairs, held, worstBias, worstDelay, delaysFound, harvests, points, cpu] = [0, 0, 0, 0, 0, 0, 0, 0];
  for (const [name, wish] of kinds) {
    let [bias, n, kindPairs, kindHeld, raw, ours] = [0, 0, 0, 0, 0, 0];
    const delays: number[] = [];
    for (const seed of seeds) {
      const strips = simulatedStrips(seed);
      const made = simulateHarvest({ seed, strips, ...wish });
      const files = [[file("y.csv", made.yieldCsv)], [file("s.csv", made.seededCsv)]] as const;
      const before = process.cpuUsage().user;
      const harvest = await stripsFromPoints(files[0], files[1], null, request);
      cpu += (process.cpuUsage().user - before) / 1e6;
      points += made.points;
      harvests++;
      if (harvest.delay.how === "estimated")
        delays.push(Math.abs(harvest.delay.seconds - (wish.delayS ?? 10)));
      for (const [s, strip] of harvest.strips.entries()) {
        if (strip.yieldKgPerHa === null) continue;
        const error = strip.yieldKgPerHa / made.groundMeans[s]! - 1;
        bias += error;
        ours += Math.abs(error);
        n++;
      }
      raw += harvest.rawDifference.meanAbsKgPerHa / 4_000;
      for (const { first, second, differenceKgPerHa, standardErrorKgPerHa } of harvest.differences) {
        const truth = strips[second - 1]!.yieldKgPerHa - strips[first - 1]!.yieldKgPerHa;
        kindPairs++;
        if (Math.abs(differenceKgPerHa - truth) <= 1.96 * standardErrorKgPerHa) kindHeld++;
      }
    }
    const delay = Math.max(0, ...delays);
    process.stdout.write(
      `${name}: bias ${((100 * bias) / n).toFixed(2)} %, mean error of a strip ${((100 * ours) / n).toFixed(2)} % ` +
        `(all points averaged: moved by ${((100 * raw) / farms).toFixed(1)} % on average), intervals of differences hold ` +
        `${((100 * kindHeld) / kindPairs).toFixed(1)} % of ${kindPairs}, delay found in ${delays.length} of ${farms}, off by at most ${delay.toFixed(1)} s, ` +
        `strips with a yield ${n} of ${farms * 24}` +
        "\n",
    );
    pairs += kindPairs;
    held += kindHeld;
    delaysFound += delays.length;
    worstBias = Math.max(worstBias, Math.abs(bias / n));
    worstDelay = Math.max(worstDelay, delay);
  }
  const share = (100 * held) / pairs;
  putAtMost("largest bias of strip yields in six kinds of simulated harvest", 100 * worstBias, "%", 1);
  putRow(
    "95 % intervals of neighbours' differences that hold the truth",
    `${share.toFixed(1)} %`,
    "90 to 98 %",
    share >= 90 && share <= 98,
  );
  putAtMost("delay, where found, off by at most", worstDelay, "s", 1.5);
  putRow("delay found", `${delaysFound} of ${harvests}`);
  putAtMost("100,000 points to strips, processor time", (cpu / points) * 100_000, "s", null);
}

void main();
