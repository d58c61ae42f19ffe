/** Sentences on a harvest given as points. */
import {
  rateGap,
  type DelayTold,
  type Harvest,
  type HarvestStep,
  type LeftOutReason,
  type ScaleFactors,
} from "../../vocabulary/harvest.ts";
import type { Measure } from "../../numbers/measures.ts";
import { capitalized, countWord, fixed, type NumberStyle } from "../../numbers/written-numbers.ts";

const reasonWords: Record<LeftOutReason, string> = {
  "header-up": "header up",
  turning: "turning, or outside any pass",
  "no-yield": "no yield logged",
  "no-grain": "no grain, or more than any spot can yield",
  speed: "speed unlike the rest of the pass",
  "short-swath": "cut narrower than nine tenths of the header",
  overlap: "ground that was cut before",
  "start-of-pass": "start of a pass, while the flow still rises",
  "end-of-pass": "end of a pass, while the flow runs out",
  "far-out": "far from the readings next to it in the pass",
  "not-seeded": "not on seeded ground of the trial",
  "shared-cut": "cut in several strips, and what each gave cannot be worked out",
  "strip-end": "within {30 m} of a strip's end",
  "change-over": "within {30 m} of where the seed changes",
};

const stepWords: Record<HarvestStep, { name: string; does: string; source: string }> = {
  delay: {
    name: "grain delay",
    does: "moves each yield back to where it was cut",
    source: "Beal & Tian 2001, Appl. Eng. Agric. 17:385",
  },
  "no-grain": {
    name: "no grain",
    does: "leaves out zeros and values above four times the field's median",
    source: "Sudduth & Drummond 2007, Agron. J. 99:1471",
  },
  speed: {
    name: "speed",
    does: "leaves out points slower than half or faster than one and a half times their pass",
    source: "Sudduth & Drummond 2007, Agron. J. 99:1471",
  },
  swath: {
    name: "narrow cut",
    does: "leaves out cuts below nine tenths of the full header",
    source: "Simbahan et al. 2004, Agron. J. 96:1091",
  },
  overlap: {
    name: "overlap",
    does: "leaves out ground that an earlier pass has cut",
    source: "Simbahan et al. 2004, Agron. J. 96:1091",
  },
  "starts-and-ends": {
    name: "starts and ends",
    does: "leaves out {15 m} at either end of every pass",
    source: "Simbahan et al. 2004, Agron. J. 96:1091; the length is common practice",
  },
  "far-out": {
    name: "far out",
    does: "leaves out values beyond 3.5 robust standard deviations of the ten points to either side",
    source: "Simbahan et al. 2004, Agron. J. 96:1091; the limit is common practice",
  },
  shares: {
    name: "shared cuts",
    does: "splits a cut that covers several strips by its area in each, and works out each strip's yield by least squares",
    source: "common practice; least squares with areas as weights",
  },
  "change-over": {
    name: "ends and change-overs",
    does: "leaves out {30 m} inside each end of a strip and wherever the seed changes",
    source: "a reading averages about 30 m: Knight & Pettitt 2003",
  },
  moisture: {
    name: "market moisture",
    does: "adjusts the yield to market moisture",
    source: "Mulvaney & Devkota 2020, UF/IFAS AG442",
  },
};

export function delaySentence(delay: DelayTold, style: NumberStyle): string {
  const seconds = `${fixed(delay.seconds, 1, style)} s`;
  if (delay.how === "off") return "The correction for grain delay is switched off.";
  if (delay.how === "given") return `Grain came ${seconds} after the cut, as you gave it.`;
  if (delay.how === "assumed" && delay.seconds === 0) return `${delay.why} No delay is taken off.`;
  if (delay.how === "assumed") return `${delay.why} A delay of ${seconds} is assumed.`;
  return (
    `Grain came ${seconds} after the cut (${standardErrorText(delay.standardErrorS!, style)}), ` +
    `found from ${delay.pairs} pairs of passes that ran side by side in opposite directions.`
  );
}

/** To a tenth of a second, like the delay itself, but never "0.0". */
const standardErrorText = (seconds: number, style: NumberStyle): string =>
  seconds < 0.05 ? "standard error below 0.1 s" : `standard error ${fixed(seconds, 1, style)} s`;

/** The lengths of the steps, rounded in the reader's own unit. */
const lengths = {
  us: { "{15 m}": "50 ft", "{30 m}": "100 ft" },
  metric: { "{15 m}": "15 m", "{30 m}": "30 m" },
};

/** In both units where the reader's is not known yet. */
const inUnits = (text: string, units?: Harvest["units"]): string =>
  text.replaceAll(/\{(?:15|30) m\}/g, (mark) => {
    const length = mark as keyof typeof lengths.us;
    return units === undefined
      ? `${lengths.us[length]} (${lengths.metric[length]})`
      : lengths[units.system][length];
  });

/** Why points were left out. */
export const reasonText = (reason: LeftOutReason, { units }: Harvest): string =>
  inUnits(reasonWords[reason], units);

export const stepName = (step: HarvestStep): string => stepWords[step].name;
export const stepSource = (step: HarvestStep): string => stepWords[step].source;
export const switchedOffSentence = ({ switchedOff }: Harvest): string =>
  `Switched off here: ${switchedOff.map(stepName).join(", ")}.`;

/** What a step does to the points. */
export const stepText = (step: HarvestStep, units?: Harvest["units"]): string =>
  inUnits(stepWords[step].does, units);

/** Share by which the lowest rate of each class is above the highest of the one below it. */
export const withGaps = (
  classes: Harvest["rateClasses"],
): (Harvest["rateClasses"][number] & { gapBelow: number | null })[] =>
  classes.map((one, c) => {
    const below = classes[c - 1];
    return { ...one, gapBelow: below === undefined ? null : one.lowest / below.highest - 1 };
  });

/** Which rates were found, and whether gaps separate them. */
export function ratesSentence(
  { rateClasses: classes }: Harvest,
  measure: Measure,
  style: NumberStyle,
): string {
  const [first, last] = [classes[0], classes.at(-1)];
  if (first === undefined || last === undefined) return "";
  const ends = `${measure.number(first.lowest)} to ${measure.text(last.highest)}`;
  if (first === last) return `One rate was found: ${measure.text(first.rate)}.`;
  const gaps = withGaps(classes).flatMap(({ gapBelow }) => gapBelow ?? []);
  const least = Math.min(...gaps);
  if (Math.log1p(least) > rateGap) {
    const rates = classes.map(({ rate }, c) =>
      c === classes.length - 1 ? measure.text(rate) : measure.number(rate),
    );
    return (
      `${capitalized(countWord(classes.length))} rates were found: ${rates.slice(0, -1).join(", ")} and ${rates.at(-1)}. ` +
      `The nearest two are ${fixed(100 * least, 0, style)}% apart.`
    );
  }
  const none = gaps.filter((one) => Math.log1p(one) <= rateGap).length;
  return (
    `Rates run from ${ends}, and ${none === gaps.length ? "no gap separates them" : `at ${none} of ${gaps.length} borders no gap separates one class from the next`}. ` +
    `Rate classes are used only for the map and the blocks; each strip keeps the rate it was sown at.`
  );
}

/** Points read are points used plus points left out, each for one reason. */
export function countSentence(harvest: Harvest, style: NumberStyle): string {
  const n = (value: number): string => fixed(value, 0, style);
  const out = harvest.leftOut.reduce((sum, { points }) => sum + points, 0);
  const noPlace = harvest.withoutPlace === 0 ? "" : `, ${n(harvest.withoutPlace)} have no coordinates`;
  return `${n(harvest.pointsRead)} points were read: ${n(harvest.pointsUsed)} are used, ${n(out)} are left out${noPlace}.`;
}

export const unitSentence =
  "Each strip counts as one observation. Its points only show how well its mean is known.";

export const sharedSentence =
  "“Shared” counts points whose cut was partly in another strip. Each counts for both strips by area, and is listed with the strip that has more of it.";

const percentOf = (factor: number, style: NumberStyle): string =>
  `${fixed(Math.abs(100 * (factor - 1)), 1, style)}% ${factor >= 1 ? "more" : "less"} grain than the monitor`;

/** How the scale compares with the monitor, and which of the two the yields come from. */
export function scaleSentence(
  { of, use, loads, factor, scatterPct }: ScaleFactors,
  style: NumberStyle,
): string {
  const whose = {
    none: "The yields here are the monitor's own, as asked; the weights are not used.",
    one: `The yields here are the monitor's times ${fixed(factor, 3, style)}, the factor of all loads together.`,
    each: `The yields here are adjusted to the scale: each ${of} that was weighed takes its own factor, the others take ${fixed(factor, 3, style)}.`,
  };
  const scatter =
    scatterPct === null ? "" : ` The factors vary by ${fixed(scatterPct, 1, style)}% (standard deviation).`;
  return `The scale found ${percentOf(factor, style)} (${loads.length} of ${of === "strip" ? "the strips" : "the passes"} weighed).${scatter} ${whose[use]}`;
}

/** Where the yield of a strip comes from, in a word for tables. */
export const yieldFrom = (scale: ScaleFactors): "monitor" | "scale" | "monitor × scale" =>
  scale.use === "none" ? "monitor" : scale.use === "each" ? "scale" : "monitor × scale";
