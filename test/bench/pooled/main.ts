/**
 * Measures the pooled analysis of all forms beside one mixed model by lme4, on the same strips in the same run:
 * `npm run bench -- pooled`. Without R and lme4 it gives its own times alone.
 */
import { spawnSync } from "node:child_process";
import { environmentId } from "../../../src/vocabulary/environments.ts";
import { fitSeasons } from "../../../src/model/seasons/fit-seasons.ts";
import { poolSeasons } from "../../../src/model/pooled/pool-seasons.ts";
import { defaultSettings } from "../../../src/vocabulary/settings.ts";
import type { Trial } from "../../../src/vocabulary/trial.ts";
import { putAtMost } from "../bars.ts";
import { makeNetwork } from "../fits/network.ts";
import { say, table, time } from "../table.ts";

/** What the largest supported number of environments costs stands beside the size of the bar. */
const networks: [string, number][] = [
  ["60 environments × 8 varieties", 11_520],
  ["250 environments × 8 varieties", 48_000],
  ["1,000 environments × 8 varieties", 192_000],
];

const network = withGaps(makeNetwork(11_520));
const { fits } = fitSeasons(network, defaultSettings);
let pooled!: ReturnType<typeof poolSeasons>;
const measured = time(4, () => (pooled = poolSeasons(network, fits, defaultSettings)));

table(
  ["pooled analysis of all forms, ms", "strips", "first", "then"],
  networks.map(([what, strips], i) => {
    const one = i === 0 ? measured : poolTime(strips);
    return [what, strips.toLocaleString("en"), one.first.toFixed(0), one.median.toFixed(0)];
  }),
);
againstLme4();

/** One strip in fifty is missing, as in the field. */
function withGaps(whole: Trial): Trial {
  return { ...whole, strips: whole.strips.filter((_, i) => i % 50 !== 17) };
}

function poolTime(strips: number): { first: number; median: number } {
  const trial = withGaps(makeNetwork(strips));
  const seasons = fitSeasons(trial, defaultSettings);
  return time(1, () => poolSeasons(trial, seasons.fits, defaultSettings));
}

function againstLme4(): void {
  const rows = network.strips.map((strip) =>
    [environmentId(strip), strip.variety, strip.block, strip.rateSeedsPerM2, strip.yieldKgPerHa].join(),
  );
  const run = spawnSync("Rscript", ["test/bench/pooled/one-model.R"], {
    input: ["env,variety,block,rate,yield", ...rows].join("\n"),
    encoding: "utf8",
  });
  if (run.status !== 0)
    return say("R with lme4 is not installed: the comparison with one mixed model of it is left out.\n");
  const lme4 = JSON.parse(run.stdout) as { version: string; seconds: number; minusTwoLogLikelihood: number };
  const own = pooled.pooling!.forms.find((one) => one.form === "quadratic" && one.sharing === "own")!;
  say(
    `One model in ${lme4.version}: ${(1000 * lme4.seconds).toFixed(0)} ms. All forms here take ${(measured.first / (1000 * lme4.seconds)).toFixed(2)} × that the first time, ${(measured.median / (1000 * lme4.seconds)).toFixed(2)} × after; bar 3 ×.`,
  );
  putAtMost(
    "pooled analysis of 60 environments × 8 varieties, all forms, over one model in lme4",
    measured.median / (1000 * lme4.seconds),
    "×",
    3,
  );
  say(
    `−2 log likelihood of the same model: ${own.minusTwoLogLikelihood!.toFixed(4)} here, ${lme4.minusTwoLogLikelihood.toFixed(4)} there.\n`,
  );
}
