/** Least-squares line and parabola with a level for each group, in terms that do not disturb one another. */
import { meanOf, sumOfProducts, takeGroupMeansOff, type GroupedPoints } from "./grouped-points.ts";

/**
 * y = level of the group + b·(v − its group mean) + c·(v² − its group mean − k·(v − its group mean)), v = (x − centre)/scale.
 *
 * b and c are independent: their variances are errorVariance/squaresB and errorVariance/squaresC.
 */
export interface Parabola {
  centre: number;
  scale: number;
  b: number;
  squaresB: number;
  c: number;
  squaresC: number;
  k: number;
  /** Plain means over groups of v and v². */
  meanV: number;
  meanV2: number;
  /** The two regressors, group means off, one a point. */
  first: Float64Array;
  second: Float64Array;
}

/** A regressor whose squares fall below this share of what they were hangs on the others. */
const collinear = 1e-12;

/** The line alone (c = 0, squaresC = 0). Null where x does not differ inside any group. */
export function fitLine(p: GroupedPoints): Parabola | null {
  const centre = centreOf(p);
  const scale = p.highest - p.lowest;
  if (!(scale > 0)) return null;
  const first = new Float64Array(p.points);
  for (let i = 0; i < p.points; i++) first[i] = (p.x[i]! - centre) / scale;
  const before = sumOfProducts(p, first, first);
  const meanV = meanOf(takeGroupMeansOff(p, first));
  const squaresB = sumOfProducts(p, first, first);
  if (squaresB <= collinear * before) return null;
  const b = sumOfProducts(p, first, p.y) / squaresB;
  const second = new Float64Array(0);
  return { centre, scale, b, squaresB, c: 0, squaresC: 0, k: 0, meanV, meanV2: 0, first, second };
}

/** The parabola. Null where x takes fewer than three values inside groups, group levels aside. */
export function fitParabola(p: GroupedPoints): Parabola | null {
  const line = fitLine(p);
  if (line === null) return null;
  const second = new Float64Array(p.points);
  for (let i = 0; i < p.points; i++) second[i] = ((p.x[i]! - line.centre) / line.scale) ** 2;
  // Before group means are taken off: of two rates in balance, both squares are alike, and only rounding is left.
  const before = sumOfProducts(p, second, second);
  const meanV2 = meanOf(takeGroupMeansOff(p, second));
  const k = sumOfProducts(p, line.first, second) / line.squaresB;
  for (let i = 0; i < p.points; i++) second[i]! -= k * line.first[i]!;
  const squaresC = sumOfProducts(p, second, second);
  if (!(squaresC > collinear * before)) return null;
  const c = sumOfProducts(p, second, p.y) / squaresC;
  return { ...line, second, meanV2, k, squaresC, c };
}

function centreOf(p: GroupedPoints): number {
  let sum = 0;
  for (let i = 0; i < p.points; i++) sum += p.weight[i]! * (p.x[i]! - p.lowest);
  return p.lowest + sum / p.observations;
}

/** The straight part and the bend at each point, group means off: b·first + c·second. */
export function fittedWithinGroups(fit: Parabola): Float64Array {
  const fitted = new Float64Array(fit.first.length);
  const bent = fit.second.length > 0;
  for (let i = 0; i < fitted.length; i++)
    fitted[i] = fit.b * fit.first[i]! + (bent ? fit.c * fit.second[i]! : 0);
  return fitted;
}

/** How far each group lies above the plain mean of all groups at the same x; their own means where no curve is fitted. */
export function groupEffects(p: GroupedPoints, fit: Parabola | null): Float64Array {
  const level = meanOf(p.groupMean);
  const effects = new Float64Array(p.groups);
  for (let i = 0; i < p.points; i++) {
    const g = p.group[i]!;
    if (fit === null) {
      effects[g] = p.groupMean[g]! - level;
      continue;
    }
    const v = (p.x[i]! - fit.centre) / fit.scale;
    const straight = v - fit.meanV - fit.first[i]!;
    const bent = fit.squaresC > 0 ? v * v - fit.meanV2 - fit.k * (v - fit.meanV) - fit.second[i]! : 0;
    effects[g] = p.groupMean[g]! - level - fit.b * straight - fit.c * bent;
  }
  return effects;
}

/** Slope of the parabola at x, and its variance per unit of error variance. */
export function slopeAt(fit: Parabola, x: number): { slope: number; variance: number } {
  const m = (2 * (x - fit.centre)) / fit.scale - fit.k;
  return {
    slope: (fit.b + fit.c * m) / fit.scale,
    variance: (1 / fit.squaresB + (m * m) / fit.squaresC) / fit.scale ** 2,
  };
}

/** Share that an observation of point i has in its own fitted value; of its group's mean alone where no curve is fitted. */
export function leverageAt(p: GroupedPoints, fit: Parabola | null, i: number): number {
  const level = 1 / p.groupWeight[p.group[i]!]!;
  return fit === null ? level : level + curveLeverage(fit, i);
}

/** The part of it that the straight term and the bend have. */
export const curveLeverage = (fit: Parabola, i: number): number =>
  fit.first[i]! ** 2 / fit.squaresB + (fit.squaresC > 0 ? fit.second[i]! ** 2 / fit.squaresC : 0);

/** Straight term and bend without one observation of point i; null where the curve cannot do without it. */
export function withoutObservation(
  fit: Parabola,
  i: number,
  residual: number,
  leverage: number,
): Pick<Parabola, "b" | "c"> | null {
  const left = 1 - leverage;
  if (left < 1e-10) return null;
  const pull = residual / left;
  return {
    b: fit.b - (pull * fit.first[i]!) / fit.squaresB,
    c: fit.squaresC > 0 ? fit.c - (pull * fit.second[i]!) / fit.squaresC : 0,
  };
}

/** x between two ends where b and c bring most, when each unit of x costs `slope`. */
export function bestBetween(
  { centre, scale, k }: Pick<Parabola, "centre" | "scale" | "k">,
  { b, c }: Pick<Parabola, "b" | "c">,
  lowest: number,
  highest: number,
  slope: number,
): number {
  if (c < 0) {
    const top = centre + (scale * ((slope * scale - b) / c + k)) / 2;
    return Math.min(highest, Math.max(lowest, top));
  }
  const [low, high] = [(lowest - centre) / scale, (highest - centre) / scale];
  const gain = b * (high - low) + c * (high ** 2 - low ** 2 - k * (high - low)) - slope * (highest - lowest);
  return gain > 0 ? highest : lowest;
}
