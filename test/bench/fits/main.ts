/**
 * Measures the fits of each variety in each environment, inside the engine: `npm run bench -- fits`.
 *
 * Where R is installed the same strips go through it, side by side; `--install-r` fetches Debian's R first (needs root),
 * `--no-r` leaves it out. `--quick` leaves out the largest network.
 */
import { addOptima } from "../../../src/decide/optima/season-optima.ts";
import { fitSeasons } from "../../../src/model/seasons/fit-seasons.ts";
import { formNamed } from "../../../src/model/forms/index.ts";
import type { FormName } from "../../../src/vocabulary/settings.ts";
import { defaultSettings } from "../../../src/vocabulary/settings.ts";
import { makeTrial } from "../../make-trial.ts";
import {
  anovaOf,
  exactVariance,
  regressionDigits,
  varianceDigits,
  varianceSets,
} from "../../reference/nist/nist.ts";
import { putAtLeast, putAtMost, putRow } from "../bars.ts";
import { say, table, time } from "../table.ts";
import { fitByLevenbergMarquardt, fitPolynomials, plainPoints } from "./against-libraries.ts";
import { fitInR, installR, rIsInstalled } from "./against-r.ts";
import { exactFits } from "./exact.ts";
import { makeNetwork } from "./network.ts";

const asked = (flag: string): boolean => process.argv.includes(flag);
const bent = ["quadratic", "linear-plateau", "quadratic-plateau"] as const;
const digits = (value: number): string => value.toFixed(1);
const factor = (value: number): string => `${value.toLocaleString("en", { maximumSignificantDigits: 3 })} ×`;

const network = makeNetwork(11_520);
const found = exactFits(network);
const fitsMade = [...found.values()].reduce((sum, forms) => sum + forms.length, 0);
const exact = time(20, () => exactFits(network));
const whole = time(10, () => fitSeasons(network, defaultSettings));
const { fits, strips } = fitSeasons(network, defaultSettings);
const optima = time(10, () => addOptima(fits, defaultSettings));

say(`11,520 strips, ${found.size} varieties × environments, ${fitsMade} fits`);
const timed = (what: string, { first, median }: { first: number; median: number }): string[] => [
  what,
  first.toFixed(0),
  median.toFixed(1),
  ((1000 * median) / fitsMade).toFixed(1),
];
table(
  ["what", "first ms", "then ms", "µs a fit"],
  [
    timed("all exact fits of all forms, from raw strips", exact),
    timed("… with analysis of variance, diagnostics, resistant slope", whole),
    timed("both optima with their intervals, and price tables", optima),
  ],
);

putAtMost(
  "an exact fit of a form to a variety in an environment",
  (1000 * exact.median) / fitsMade,
  "µs",
  null,
);

if (asked("--install-r") && !rIsInstalled()) installR();
if (!asked("--no-r") && rIsInstalled()) againstR();
else say("R is not installed (or --no-r): the comparison with R is left out.\n");
againstLibraries();
growth();
numericalHardness();

/** The bar: 20 times as fast as R's three stages on the same strips, ours with start-up costs included. */
function againstR(): void {
  const cold = time(0, () => exactFits(makeNetwork(11_520))).first;
  const r = fitInR(network);
  const seconds = r.seconds.reduce((sum, one) => sum + one, 0);
  say(`The same strips in ${r.version}`);
  table(
    ["stage", "R s", "fits where R's least residual is larger", "or missing"],
    bent.map((form, stage) => [
      form === "quadratic" ? "quadratic by lm" : `${form} by nls, five starts`,
      r.seconds[stage]!.toFixed(1),
      ...shortfall(form, r.rss[form]),
    ]),
  );
  say(
    `All five forms here ${exact.median.toFixed(1)} ms (${cold.toFixed(0)} ms with making the strips), R's three ${seconds.toFixed(1)} s: ${factor((1000 * seconds) / exact.median)} as fast; bar 20 ×\n`,
  );
  putAtLeast(
    "exact fits of 11,520 strips, as fast as R's three stages",
    (1000 * seconds) / exact.median,
    "×",
    20,
  );
}

function shortfall(form: FormName, theirs: ReadonlyMap<string, number | null>): [string, string] {
  let [larger, missing] = [0, 0];
  for (const [key, forms] of found) {
    const rss = theirs.get(key);
    const own = forms.find((one) => one.form === form)!.rss;
    if (rss === null || rss === undefined) missing++;
    else if (rss > own * (1 + 1e-6)) larger++;
    else if (rss < own * (1 - 1e-9)) throw new Error(`R found a better ${form} for ${key}: ${rss} < ${own}`);
  }
  return [String(larger), String(missing)];
}

function againstLibraries(): void {
  const groups = plainPoints(strips);
  const plain = exactFits(
    makeTrial(
      strips.map((strip, i) => ({
        ...network.strips[i]!,
        variety: strip.variety,
        field: strip.environment,
        season: 2000,
        block: "",
        rateSeedsPerM2: strip.rateSeedsPerM2,
        yieldKgPerHa: strip.blockAdjustedYieldKgPerHa,
      })),
    ),
  );
  const rows: string[][] = [];
  const row = (what: string, form: FormName, theirs: number, larger: string): void => {
    const here = time(5, () => exactFits(network, [formNamed(form)])).median;
    putRow(`${what}: its time over ours`, factor(theirs / here));
    rows.push([what, theirs.toFixed(1), here.toFixed(1), factor(theirs / here), larger]);
  };
  row("quadratic by ml-regression", "quadratic", time(3, () => fitPolynomials(groups)).median, "0");
  const own = [...plain.values()];
  for (const form of ["linear-plateau", "quadratic-plateau"] as const) {
    let theirs: number[] = [];
    const taken = time(0, () => (theirs = fitByLevenbergMarquardt(groups, form)));
    const larger = theirs.filter(
      (rss, i) => rss > own[i]!.find((one) => one.form === form)!.rss * (1 + 1e-6),
    ).length;
    row(`${form} by ml-levenberg-marquardt, five starts`, form, taken.first, String(larger));
  }
  say(
    "General-purpose libraries on block-adjusted yields, against the same form with its blocks here, from raw strips",
  );
  table(["what", "ms", "here", "ratio", `of ${groups.length} with a larger residual`], rows);
}

function growth(): void {
  const sizes = [10_000, 100_000, ...(asked("--quick") ? [] : [1_000_000])];
  const kinds: [string, boolean][] = [
    ["planned rates", false],
    ["every strip its own rate", true],
  ];
  const rows = kinds.map(([what, ownRates]) => {
    const times = sizes.map((size) => {
      const trial = makeNetwork(size, ownRates);
      return time(size > 1e5 ? 0 : 2, () => fitSeasons(trial, defaultSettings));
    });
    const best = times.map(({ first, median }) => Math.min(first, median));
    const exponent = Math.log10(best.at(-1)! / best.at(-2)!);
    return [what, ...best.map((ms) => ms.toFixed(0)), exponent.toFixed(2)];
  });
  const field = [3000, 30_000, ...(asked("--quick") ? [] : [300_000])].map((size) => oneField(size));
  say("Fitting and diagnostics, ms by number of strips");
  table(["what", ...sizes.map((size) => size.toLocaleString("en")), "grows as strips to the"], rows);
  say("One variety in one field, every strip its own rate: all fits and optima, ms");
  table(
    ["", ...field.map(({ size }) => size.toLocaleString("en")), "grows as strips to the"],
    [
      [
        "as-applied map",
        ...field.map(({ ms }) => ms.toFixed(0)),
        Math.log10(field.at(-1)!.ms / field.at(-2)!.ms).toFixed(2),
      ],
    ],
  );
}

function oneField(size: number): { size: number; ms: number } {
  const trial = makeNetwork(size, true);
  for (const strip of trial.strips) Object.assign(strip, { variety: "Alder", season: 2024, field: "Home" });
  const taken = time(1, () => addOptima(fitSeasons(trial, defaultSettings).fits, defaultSettings));
  return { size, ms: taken.median };
}

function numericalHardness(): void {
  say(
    "NIST Statistical Reference Datasets: digits of agreement with the certified values, fewest of each set",
  );
  const regressions = regressionDigits();
  const variances = varianceSets().map((set) => ({
    name: set.name,
    fewest: varianceDigits(anovaOf(set), set),
    stored: varianceDigits(exactVariance(set), set),
  }));
  table(
    ["set", "digits", "digits that the stored numbers hold"],
    [
      ...regressions.map(({ name, fewest }) => [name, digits(fewest), ""]),
      ...variances.map(({ name, fewest, stored }) => [name, digits(fewest), digits(stored)]),
    ],
  );
  const worst = <Set extends { fewest: number }>(sets: readonly Set[]): Set =>
    sets.reduce((a, b) => (b.fewest < a.fewest ? b : a));
  const regression = worst(regressions);
  const variance = worst(variances);
  putRow(
    "NIST regression sets, fewest digits of agreement",
    `${digits(regression.fewest)} (${regression.name})`,
  );
  putRow(
    "NIST analysis of variance sets, fewest digits of agreement",
    `${digits(variance.fewest)} of the ${digits(variance.stored)} that the stored numbers hold (${variance.name})`,
  );
}
