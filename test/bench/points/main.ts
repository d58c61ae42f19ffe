/**
 * Harvests of known truth as points: what becomes of bias, intervals, delay, strips, money and time.
 *
 * A run in full writes the table of `results.md`; `--kind=words` runs the harvests of that name alone, `--cost` time and memory.
 */
import { execFileSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { stripsFromPoints } from "../../../src/points/strips-from-points.ts";
import { harvestSteps, type Harvest, type HarvestStep } from "../../../src/vocabulary/harvest.ts";
import { putAtMost, putRow } from "../bars.ts";
import {
  plainRequest,
  simulateHarvest,
  simulatedStrips,
  textFile,
  type HarvestWish,
  type SimulatedHarvest,
} from "../../simulate-harvest.ts";
import { measureCost } from "./cost.ts";
import { lossPerHa } from "./money.ts";

const table = "test/bench/points/results.md";
const quick = process.argv.includes("--quick");

const beside: Partial<HarvestWish> = { path: "throughout", overlapM: 0.2 };
const only = process.argv.find((one) => one.startsWith("--kind="))?.slice(7);
const allKinds: [string, Partial<HarvestWish>][] = [
  ["35 ft combine, delay 5 s, trend over 30 m", { delayS: 5, trendRangeM: 30 }],
  ["35 ft combine, delay 10 s, trend over 100 m", {}],
  ["35 ft combine, delay 14 s, trend over 300 m", { delayS: 14, trendRangeM: 300 }],
  ["35 ft combine, curved passes", { curveM: 12 }],
  ["35 ft combine, strips at an angle", { turnedDeg: 33 }],
  ["24 ft combine pass beside pass, with overlap", { ...beside, combineM: 7.3152 }],
  ["35 ft combine pass beside pass, with overlap", beside],
];
const kinds = allKinds.filter(([name]) => only === undefined || name.includes(only));
const farms = quick ? 2 : 12;
const blockStrips = 8;
/** Without neighbours of the same treatment, which are one strip to whoever has no sheet. */
const seeds = Array.from({ length: 500 }, (_, seed) => seed + 1)
  .filter((seed) =>
    simulatedStrips(seed).every(
      ({ variety, rate }, s, all) => variety !== all[s - 1]?.variety || rate !== all[s - 1]?.rate,
    ),
  )
  .slice(0, farms);

/** Area in strips of the cuts that are used, and how much of it was put to another strip than it lay in [m of width]. */
function wrongStrip({ map }: Harvest, { acrossM, drillM, combineM }: SimulatedHarvest): [number, number] {
  let [used, wrong] = [0, 0];
  // The map shows one of so many points.
  const every = Math.round(acrossM.length / map.harvested.length);
  const field = Math.max(...map.seeded.map(({ strip }) => strip)) * drillM;
  map.harvested.forEach(({ strip, share, why }, row) => {
    if (why !== null || strip === null) return;
    const [left, right] = [acrossM[row * every]! - combineM / 2, acrossM[row * every]! + combineM / 2];
    const inStrips = Math.min(right, field) - Math.max(left, 0);
    const own = Math.min(right, strip * drillM) - Math.max(left, (strip - 1) * drillM);
    used += inStrips;
    wrong += Math.abs(share * inStrips - Math.max(0, own));
  });
  return [used, wrong];
}

interface Kind {
  name: string;
  bias: number;
  strips: number;
  pairs: number;
  held: number;
  used: number;
  wrong: number;
  lost: { truth: number; strips: number; raw: number };
  delays: number[];
  without: number;
}

async function measure(name: string, wish: Partial<HarvestWish>): Promise<Kind> {
  const kind = {
    name,
    bias: 0,
    strips: 0,
    pairs: 0,
    held: 0,
    used: 0,
    wrong: 0,
    without: 0,
    lost: { truth: 0, strips: 0, raw: 0 },
    delays: [] as number[],
  };
  for (const seed of seeds) {
    const strips = simulatedStrips(seed);
    const made = simulateHarvest({ seed, strips, ...wish });
    const files = [[textFile("y.csv", made.yieldCsv)], [textFile("s.csv", made.seededCsv)]] as const;
    const harvest = await stripsFromPoints(...files, null, plainRequest);
    if (harvest.delay.how === "estimated")
      kind.delays.push(Math.abs(harvest.delay.seconds - (wish.delayS ?? 10)));
    harvest.strips.forEach(({ yieldKgPerHa }, s) => {
      if (yieldKgPerHa === null) {
        kind.without++;
        return;
      }
      kind.bias += yieldKgPerHa / made.groundMeans[s]! - 1;
      kind.strips++;
    });
    for (const { first, second, differenceKgPerHa, standardErrorKgPerHa } of harvest.differences) {
      const truth = strips[second - 1]!.yieldKgPerHa - strips[first - 1]!.yieldKgPerHa;
      kind.pairs++;
      if (Math.abs(differenceKgPerHa - truth) <= 1.96 * standardErrorKgPerHa) kind.held++;
    }
    const [used, wrong] = wrongStrip(harvest, made);
    kind.used += used;
    kind.wrong += wrong;
    // Every point averaged into the strip it lies in, as by hand.
    const raw = await stripsFromPoints(...files, null, {
      ...plainRequest,
      off: harvestSteps as unknown as HarvestStep[],
    });
    const yields = (one: Harvest): (number | null)[] => one.strips.map(({ yieldKgPerHa }) => yieldKgPerHa);
    kind.lost.truth += (await lossPerHa(strips, made.groundMeans, blockStrips)) / farms;
    kind.lost.strips += (await lossPerHa(strips, yields(harvest), blockStrips)) / farms;
    kind.lost.raw += (await lossPerHa(strips, yields(raw), blockStrips)) / farms;
  }
  return kind;
}

const percent = (value: number, decimals = 1): string => `${(100 * value).toFixed(decimals)}%`;

async function main(): Promise<void> {
  const measured: Awaited<ReturnType<typeof measure>>[] = [];
  if (process.argv.includes("--cost")) return measureCost();
  for (const [name, wish] of kinds) measured.push(await measure(name, wish));
  const lines = [
    "| harvest | bias of a strip | intervals of differences that hold | delay off by at most | area in the wrong strip | strips without a yield | lost with the true means | lost with these strips | lost with all points averaged |",
    "| --- | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: |",
    ...measured.map(
      ({ name, bias, strips, pairs, held, delays, used, wrong, without, lost }) =>
        `| ${name} | ${percent(bias / strips, 2)} | ${percent(held / pairs)} of ${pairs} | ${Math.max(0, ...delays).toFixed(1)} s (${delays.length} of ${farms}) | ${percent(wrong / used, 2)} | ${without} of ${strips + without} | $${lost.truth.toFixed(2)}/ha | $${lost.strips.toFixed(2)}/ha | $${lost.raw.toFixed(2)}/ha |`,
    ),
  ];
  process.stdout.write(`${lines.join("\n")}\n`);
  if (!quick) {
    writeFileSync(
      table,
      [
        "# Strips from simulated harvests",
        "",
        `Each line: ${farms} fields of 24 strips, 40 ft wide and 1,312 ft long, two varieties at four rates in three blocks. The ` +
          "combine's log is late, smooth, jittery and 5% of it bad; the field has a trend. “Lost”: grain less seed against the best " +
          "rate of the known curve, at $6/bu and $20 per million seeds. Written by `npm run bench -- points`.",
        "",
        ...lines,
        "",
      ].join("\n"),
    );
    execFileSync("node_modules/.bin/oxfmt", [table]);
  }
  const sum = (pick: (kind: (typeof measured)[number]) => number): number =>
    measured.reduce((total, kind) => total + pick(kind), 0);
  const share = (100 * sum(({ held }) => held)) / sum(({ pairs }) => pairs);
  const worstBias = Math.max(...measured.map(({ bias, strips }) => Math.abs(bias / strips)));
  putAtMost(
    "points: largest bias of strip yields in seven kinds of simulated harvest",
    100 * worstBias,
    "%",
    1,
  );
  putRow(
    "points: 95% intervals of neighbours' differences that hold the truth",
    `${share.toFixed(1)} %`,
    "90 to 98 %",
    share >= 90 && share <= 98,
  );
  putAtMost(
    "points: delay, where found, off by at most",
    Math.max(...measured.flatMap(({ delays }) => delays)),
    "s",
    1.5,
  );
  const worstWrong = Math.max(...measured.map(({ used, wrong }) => wrong / used));
  putAtMost("points: area in the wrong strip", 100 * worstWrong, "%", 0.5);
  const lost = (of: "truth" | "strips" | "raw"): number => sum(({ lost: money }) => money[of]);
  putAtMost("points: money lost, over that with the true means", lost("strips") / lost("truth"), "×", 1.1);
  putRow("points: money lost with all points averaged", `${(lost("raw") / lost("truth")).toFixed(2)} ×`);
  if (!quick) measureCost();
}

void main();
