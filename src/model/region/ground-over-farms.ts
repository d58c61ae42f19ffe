/**
 * How the need changes with the ground and with water, over the farms of a region that show it.
 *
 * A farm speaks by contrasts within a variety of its own: its need on the hill against its need on level ground, or in wet
 * seasons against dry ones. So neither the farm's own need nor the variety's is taken for an effect of the ground. Contrasts
 * differ between farms by an sd that is weighed on a grid, and a farm that is unlike all others decides nothing alone.
 */
import { mean } from "simple-statistics";
import { normalQuantile } from "../../maths/distributions.ts";
import { logOn, placesOn, type LogAxis } from "../../maths/log-axis.ts";
import { groupBy } from "../../maths/group-by.ts";
import { normalKernel, smoothedAt } from "../../maths/normal-kernel.ts";
import { bell } from "../../maths/normal-weights.ts";
import type { GroundKind } from "../../vocabulary/ground-words.ts";
import {
  moreWaterMm,
  regionLevel,
  type GroundShift,
  type NeedShift,
  type SharedFarm,
  type SharedSums,
  type WaterShift,
} from "../../vocabulary/region.ts";
import type { CurveGrid } from "../beliefs/curve-grid.ts";
import type { GridLikelihood, RayLikelihood } from "../beliefs/grid-likelihood.ts";
import type { CurveLikelihood } from "./farm-likelihoods.ts";

/** What strips say of the curves of each variety among them. */
export type CurvesOf = (farm: SharedFarm) => readonly CurveLikelihood[];

/** The curves that are weighed, and the chance of no response beforehand. */
export interface CurvesBefore {
  grid: Pick<CurveGrid, "needs" | "states" | "rays">;
  noResponseChance: number;
}

/** Shifts of the log need that are looked at. */
const shifts: LogAxis = { from: -0.8, step: 0.04, count: 41 };
/** Sd of a shift beforehand, and scale of the half-normal prior of its sd between farms: our choices. */
const priorSd = { ground: 0.2, water: 0.1 };
const betweenFarmsSds = [0.03, 0.08, 0.15, 0.25];
const usualBetweenFarms = 0.1;
/** Share of farms that are unlike all others: our choice. */
const oddShare = 0.15;
/** Sd of log need by which a season moves all farms of a region together, whatever the water: our choice. */
const sharedSeasonSd = 0.06;
/** Curves of less weight than this, against the likeliest, are left out. */
const negligible = 1e-5;

/**
 * Each two kinds of ground that enough farms have side by side.
 *
 * @param fewest  farms that a shift must be based on
 */
export function groundShifts(
  farms: readonly SharedFarm[],
  before: CurvesBefore,
  curvesOf: CurvesOf,
  fewest: number,
): GroundShift[] {
  const contrasts = farms.flatMap((farm) => contrastsOfGround(farm, before, curvesOf));
  return groupBy(contrasts, ({ ground, against }) => `${ground} ${against}`).flatMap(([, same]) => {
    const { ground, against } = same[0]!;
    const all = same.map(({ contrast }) => contrast);
    return all.length < fewest ? [] : [{ ground, against, ...overFarms(all, priorSd.ground, 0) }];
  });
}

/** Each two kinds of ground that a farm has a variety on. */
function contrastsOfGround(
  farm: SharedFarm,
  before: CurvesBefore,
  curvesOf: CurvesOf,
): { ground: GroundKind; against: GroundKind; contrast: number[] }[] {
  const kinds = [...new Set(farm.sums.flatMap(({ ground }) => ground ?? []))].sort();
  if (kinds.length < 2) return [];
  const places = kinds.map((kind) => ({
    kind,
    of: curvesOf(sumsWhere(farm, ({ ground }) => ground === kind)),
  }));
  return places.flatMap((one, a) =>
    places.slice(a + 1).flatMap((other) => {
      const pair = [
        { at: 1, of: one.of },
        { at: 0, of: other.of },
      ];
      const contrast = farmContrast(pair, before);
      return contrast === null ? [] : [{ ground: one.kind, against: other.kind, contrast }];
    }),
  );
}

/** How the need changes with more water, over the farms that noted it in seasons that were unlike. */
export function waterShift(
  farms: readonly SharedFarm[],
  before: CurvesBefore,
  curvesOf: CurvesOf,
  fewest: number,
): WaterShift | null {
  const contrasts: number[][] = [];
  const seen: { season: number; x: number }[] = [];
  for (const farm of farms) {
    const levels = [...new Set(farm.sums.flatMap(({ waterMm }) => waterMm ?? []))].sort((a, b) => a - b);
    if (levels.length < 2) continue;
    const middle = mean(levels);
    const places = levels.map((level) => ({
      at: (level - middle) / moreWaterMm,
      of: curvesOf(sumsWhere(farm, ({ waterMm }) => waterMm === level)),
    }));
    const contrast = farmContrast(places, before);
    if (contrast === null) continue;
    contrasts.push(contrast);
    const bySeason = new Map(
      farm.sums.flatMap(({ season, waterMm }) => (waterMm === undefined ? [] : [[season, waterMm] as const])),
    );
    for (const [season, waterMm] of bySeason) seen.push({ season, x: (waterMm - middle) / moreWaterMm });
  }
  if (contrasts.length < fewest) return null;
  return {
    seasons: new Set(seen.map(({ season }) => season)).size,
    ...overFarms(contrasts, priorSd.water, sharedSeasonVariance(seen)),
  };
}

const sumsWhere = ({ sums }: SharedFarm, wanted: (one: SharedSums) => boolean): SharedFarm => ({
  sums: sums.filter(wanted),
});

/** What a season does to all farms together gets into the slope on water as far as seasons were dry or wet for all of them. */
function sharedSeasonVariance(seen: readonly { season: number; x: number }[]): number {
  const sums = new Map<number, number>();
  for (const { season, x } of seen) sums.set(season, (sums.get(season) ?? 0) + x);
  const squares = seen.reduce((sum, { x }) => sum + x * x, 0);
  return (sharedSeasonSd ** 2 * [...sums.values()].reduce((sum, x) => sum + x * x, 0)) / squares ** 2;
}

/** Strips of a farm at one place of what the need may change with. */
interface AtPlace {
  /** Need there = the farm's own + at × shift, in logarithms. */
  at: number;
  of: readonly CurveLikelihood[];
}

/**
 * How well each shift explains one farm; the largest is 1.
 *
 * @returns null where no variety was grown at two places
 */
function farmContrast(places: readonly AtPlace[], before: CurvesBefore): number[] | null {
  const varieties = [...new Set(places.flatMap(({ of }) => of.map(({ variety }) => variety)))].sort();
  const logs = placesOn(shifts).map(() => 0);
  let shown = false;
  for (const variety of varieties) {
    const mine = places.flatMap(({ at, of }) => {
      const found = of.find((one) => one.variety === variety);
      return found === undefined ? [] : [{ at, likelihood: found.likelihood }];
    });
    if (mine.length < 2) continue;
    shown = true;
    explained(mine, before).forEach((value, s) => (logs[s]! += Math.log(value)));
  }
  if (!shown) return null;
  const most = Math.max(...logs);
  return logs.map((log) => Math.exp(log - most));
}

interface VarietyAtPlace {
  at: number;
  likelihood: GridLikelihood;
}

/**
 * Likelihood of each shift: one curve at all places, only its need changed, summed over the curves and over the needs of the
 * farm, which are taken as equally likely beforehand.
 */
function explained(
  places: readonly VarietyAtPlace[],
  { grid: { needs, states }, noResponseChance }: CurvesBefore,
): number[] {
  const curves = curvesAtAll(places);
  const logNone = places.reduce((sum, { likelihood }) => sum + likelihood.logNoResponse, 0);
  const most = Math.max(logNone, ...curves.map(({ log }) => log));
  const none = noResponseChance * Math.exp(logNone - most);
  const sums = placesOn(shifts).map(() => 0);
  for (const { log, values } of curves) {
    const weight = Math.exp(log - most);
    if (weight < negligible) continue;
    states.forEach(({ logPrior }, t) => {
      const ofState = values.map((all) => all.subarray(t * needs.count, (t + 1) * needs.count));
      const factor = weight * Math.exp(logPrior);
      for (let s = 0; s < sums.length; s++) {
        const offsets = places.map(({ at }) => (at * logOn(shifts, s)) / needs.step);
        sums[s]! += factor * overlap(ofState, offsets);
      }
    });
  }
  return sums.map((sum) => none + ((1 - noResponseChance) * sum) / needs.count);
}

/** Curves that are believable at every place: the logarithm of prior and likelihood, and the values along the need of each. */
function curvesAtAll(places: readonly VarietyAtPlace[]): { log: number; values: Float64Array[] }[] {
  const [first, ...others] = places.map(
    ({ likelihood }) => new Map(likelihood.rays.map((one) => [one.ray, one])),
  );
  return [...first!.values()].flatMap((one) => {
    const there = others.map((place) => place.get(one.ray));
    if (there.includes(undefined)) return [];
    const all = [one, ...(there as RayLikelihood[])];
    return [
      {
        log: all.reduce((sum, { log }) => sum + log, one.ray.logPrior),
        values: all.map(({ values }) => values),
      },
    ];
  });
}

/** Sum over the needs of the product over places, each read so many steps along. */
function overlap(values: readonly Float64Array[], offsets: readonly number[]): number {
  let sum = 0;
  for (let j = 0; j < values[0]!.length; j++) {
    let product = 1;
    for (let p = 0; p < values.length; p++) product *= between(values[p]!, j + offsets[p]!);
    sum += product;
  }
  return sum;
}

/** Straight between two places; the outermost beyond the ends. */
function between(values: Float64Array, place: number): number {
  const last = values.length - 1;
  const within = Math.min(Math.max(place, 0), last);
  const i = Math.min(Math.floor(within), last - 1);
  return values[i]! + (within - i) * (values[i + 1]! - values[i]!);
}

/**
 * Mean of a shift over farms that differ in it: a random-effects mean, with each farm's own likelihood in place of a normal
 * one (DerSimonian & Laird 1986, Controlled Clinical Trials 7:177, for the normal case).
 *
 * @param contrasts         of each farm, by place of `shifts`
 * @param sharedVariance    of what all farms have in common
 */
export function overFarms(
  contrasts: readonly (readonly number[])[],
  sd: number,
  sharedVariance: number,
): NeedShift {
  const prior = placesOn(shifts).map((shift) => bell(shift, sd));
  const states = betweenFarmsSds.map((between) => {
    const kernel = normalKernel(between, shifts.step);
    const logs = prior.map(Math.log);
    for (const contrast of contrasts) {
      const usual = weightedMean(contrast, prior);
      logs.forEach((_, s) => {
        logs[s]! += Math.log((1 - oddShare) * smoothedAt(contrast, s, kernel) + oddShare * usual + 1e-300);
      });
    }
    return { between, logs, logPrior: Math.log(bell(between, usualBetweenFarms)) };
  });
  const most = Math.max(...states.flatMap(({ logs, logPrior }) => logs.map((log) => log + logPrior)));
  const places = states.flatMap(({ between, logs, logPrior }) =>
    logs.map((log, s) => ({ between, shift: logOn(shifts, s), weight: Math.exp(log + logPrior - most) })),
  );
  const total = places.reduce((sum, { weight }) => sum + weight, 0);
  const average = (of: (place: (typeof places)[number]) => number): number =>
    places.reduce((sum, place) => sum + (place.weight / total) * of(place), 0);
  const mean = average(({ shift }) => shift);
  const variance = average(({ shift }) => (shift - mean) ** 2) + shifts.step ** 2 / 12;
  const standardError = Math.sqrt(variance + sharedVariance);
  const reach = normalQuantile((1 + regionLevel) / 2) * standardError;
  return {
    farms: contrasts.length,
    logShift: rounded(mean),
    lower: rounded(mean - reach),
    upper: rounded(mean + reach),
    sd: rounded(standardError),
    betweenFarmsSdLog: rounded(average(({ between }) => between)),
  };
}

const weightedMean = (values: readonly number[], weights: readonly number[]): number =>
  values.reduce((sum, value, s) => sum + value * weights[s]!, 0) /
  weights.reduce((sum, weight) => sum + weight, 0);

/** As many digits as a region publishes. */
export const rounded = (value: number): number => Number(value.toPrecision(6));
