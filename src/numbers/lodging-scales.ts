/**
 * Lodging scales: their ends, their direction, and which of them may be pooled.
 *
 * Three of them count the area lodged and convert into each other. The others judge something else (the angle too, a
 * grade, a variety's rating) and are never mixed: a 5 of one is no 5 of another, and some run the other way.
 *
 * Sources: Crop Ontology CO_321:0001280 (percent), 0001281 (0–5), 0001282 (0–9 percent code), 0001283 (1–5), 0001284 (1–9);
 * USDA National Small Grains Collection descriptor LODGING (1 none, 9 flat); Rebetzke et al., plot-sampling
 * protocols, Australia, undated and read in an open protocol wiki, so secondary (area × angle); UK national-list rating where 9 is the most resistant. Common practice, no source: the visual 0–9 score (0 erect, 9
 * flat) and the Belgian index (area 1–10 × intensity 1–5 × 0.2).
 */
import type { LodgingScale, LodgingScore } from "../vocabulary/trial.ts";

interface Scale {
  lowest: number;
  highest: number;
  /** The score of a crop that stands, and of the worst the scale has. Upright above worst: the scale runs the other way. */
  upright: number;
  worst: number;
  /** Share of the area that one step stands for, where the scale counts area alone. */
  areaPerStep: number | null;
  /** How the scale may be written in a header's brackets or in the season file, after `plain`; the first is told. */
  names: [string, ...string[]];
}

export const lodgingScales: Record<LodgingScale, Scale> = {
  percent: {
    lowest: 0,
    highest: 100,
    upright: 0,
    worst: 100,
    areaPerStep: 0.01,
    names: ["percent", "%", "pct", "0-100", "percent of area", "area %"],
  },
  "zero-to-nine": {
    lowest: 0,
    highest: 9,
    upright: 0,
    worst: 9,
    areaPerStep: null,
    names: ["0-9", "0-9 visual", "zero-to-nine"],
  },
  "zero-to-nine-percent": {
    lowest: 0,
    highest: 9,
    upright: 0,
    worst: 9,
    areaPerStep: 0.1,
    names: ["0-9 percent", "0-9 %", "0-9 area", "zero-to-nine-percent"],
  },
  "zero-to-five-percent": {
    lowest: 0,
    highest: 5,
    upright: 0,
    worst: 5,
    areaPerStep: 0.2,
    names: ["0-5", "0-5 percent", "0-5 %", "0-5 area", "zero-to-five-percent"],
  },
  "one-to-five": {
    lowest: 1,
    highest: 5,
    upright: 1,
    worst: 5,
    areaPerStep: null,
    names: ["1-5", "1-5 grade", "one-to-five"],
  },
  "one-to-nine": {
    lowest: 1,
    highest: 9,
    upright: 1,
    worst: 9,
    areaPerStep: null,
    names: ["1-9", "1-9 incidence", "one-to-nine"],
  },
  "one-to-nine-resistance": {
    lowest: 1,
    highest: 9,
    upright: 9,
    worst: 1,
    areaPerStep: null,
    names: ["1-9 resistance", "9-1", "1-9 9 best", "1-9 9 = best", "one-to-nine-resistance"],
  },
  "area-angle": {
    lowest: 0,
    highest: 100,
    upright: 0,
    worst: 100,
    areaPerStep: null,
    names: ["area-angle", "area angle", "area x angle", "area × angle", "angle index"],
  },
  belgian: {
    lowest: 0.2,
    highest: 10,
    upright: 0.2,
    worst: 10,
    areaPerStep: null,
    names: ["belgian", "0.2-10"],
  },
};

/** One spelling for dashes, spaces and case: `1 – 9 Resistance` → `1-9 resistance`. */
const plain = (text: string): string =>
  text
    .toLowerCase()
    .replace(/\s+/g, " ")
    .replace(/ ?(?:[-–—]|\bto\b) ?/g, "-")
    .replace(/[,;:_]/g, " ")
    .replace(/ +/g, " ")
    .trim();

const scaleOfName = new Map<string, LodgingScale>(
  (Object.keys(lodgingScales) as LodgingScale[]).flatMap((scale) =>
    lodgingScales[scale].names.map((name) => [plain(name), scale] as const),
  ),
);

/**
 * Scale named in a header's brackets or in the season file, null when no scale is called so.
 *
 * @example parseLodgingScale("0–9") // "zero-to-nine"
 */
export const parseLodgingScale = (text: string): LodgingScale | null => scaleOfName.get(plain(text)) ?? null;

/** What a person may write for each scale, first the usual one: for messages and help. */
export const lodgingScaleNames: string[] = (Object.keys(lodgingScales) as LodgingScale[]).map(
  (scale) => lodgingScales[scale].names[0],
);

/** Share of the area where the scale counts area, else of the way from upright to the worst; and back. */
export function shareOfScore(score: number, scale: LodgingScale): number {
  const { upright, worst, areaPerStep } = lodgingScales[scale];
  return areaPerStep === null ? Math.abs(score - upright) / Math.abs(worst - upright) : score * areaPerStep;
}

export function scoreOfShare(share: number, scale: LodgingScale): number {
  const { upright, worst, areaPerStep } = lodgingScales[scale];
  return areaPerStep === null ? upright + share * (worst - upright) : share / areaPerStep;
}

/**
 * A score of a scale with its share, null when the scale has no such score.
 *
 * @example toLodgingScore("zero-to-nine-percent", 3) // share 0.3
 * @example toLodgingScore("one-to-nine-resistance", 9) // share 0: the best rating, upright
 */
export function toLodgingScore(scale: LodgingScale, score: number): LodgingScore | null {
  const { lowest, highest } = lodgingScales[scale];
  return score >= lowest && score <= highest ? { scale, score, share: shareOfScore(score, scale) } : null;
}

/**
 * The one scale under which scores are analysed together: `percent` for any that count area, else their own.
 *
 * @example poolingScale("zero-to-nine-percent") // "percent"
 */
export const poolingScale = (scale: LodgingScale): LodgingScale =>
  lodgingScales[scale].areaPerStep === null ? scale : "percent";

/** Whether scores of two scales may stand in one analysis: the same scale, or both count area. */
export const mayPoolLodging = (one: LodgingScale, other: LodgingScale): boolean =>
  poolingScale(one) === poolingScale(other);

/**
 * The same score on another scale, null where the scales do not convert.
 *
 * @example convertLodging({ scale: "zero-to-nine-percent", score: 3, share: 0.3 }, "percent") // 30
 */
export function convertLodging(score: LodgingScore, to: LodgingScale): LodgingScore | null {
  if (score.scale === to) return score;
  if (!mayPoolLodging(score.scale, to)) return null;
  return toLodgingScore(to, Math.min(scoreOfShare(score.share, to), lodgingScales[to].highest));
}

/**
 * Area × angle index: share of the area lodged [%] × lean from upright [degrees] ÷ 90, summed over the parts of a plot.
 *
 * @example areaAngleIndex([{ areaPct: 50, degrees: 60 }, { areaPct: 50, degrees: 40 }]) // 55.6, printed as 56
 * Secondary source: Rebetzke et al., plot-sampling protocols, undated, as an open protocol wiki has them.
 */
export const areaAngleIndex = (parts: readonly { areaPct: number; degrees: number }[]): number =>
  parts.reduce((sum, part) => sum + (part.areaPct * part.degrees) / 90, 0);

/** Belgian index from area (1–10) and intensity (1 upright – 5 flat). Area × intensity × 0.2: common practice, no printed source. */
export const belgianIndex = (area: number, intensity: number): number => area * intensity * 0.2;
