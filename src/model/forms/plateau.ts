/** What the two plateau forms share: y = plateau − m·max(join − rate, 0)^degree, exact least squares. */
import { meanOf, sumOfProducts, takeGroupMeansOff, type GroupedPoints } from "../../maths/grouped-points.ts";
import { bestJoin, hingeStretches, type HingeDegree } from "../../maths/hinge.ts";
import { blockError, residualSs } from "./errors.ts";

/** All in v = (rate − lowest rate)/range, so that no unit is too large or too small. */
export interface PlateauEstimate {
  join: number;
  multiple: number;
  plateau: number;
  rss: number;
  /** Covariance of (plateau, multiple, join) per unit of error variance; null at a corner or an end of the joins allowed. */
  covariance: Covariance | null;
}

/** Upper triangle, in the order plateau, multiple, join. */
interface Covariance {
  pp: number;
  pm: number;
  pj: number;
  mm: number;
  mj: number;
  jj: number;
}

/** The hinge max(join − v, 0)^degree at each point, and its slope in the join. */
function hingeAt(points: GroupedPoints, join: number, degree: HingeDegree): [Float64Array, Float64Array] {
  const hinge = new Float64Array(points.points);
  const change = new Float64Array(points.points);
  const range = points.highest - points.lowest;
  for (let i = 0; i < points.points; i++) {
    const below = join - (points.x[i]! - points.lowest) / range;
    if (below <= 0) continue;
    hinge[i] = degree === 1 ? below : below * below;
    change[i] = degree === 1 ? 1 : 2 * below;
  }
  return [hinge, change];
}

/** Null with fewer than three rates, or where the rates inside blocks show no slope. */
export function estimatePlateau(points: GroupedPoints, degree: HingeDegree): PlateauEstimate | null {
  const stretches = hingeStretches(points, degree);
  if (stretches === null) return null;
  const join = bestJoin(stretches);
  const [hinge, change] = hingeAt(points, join, degree);
  const before = sumOfProducts(points, hinge, hinge);
  const hingeMean = meanOf(takeGroupMeansOff(points, hinge));
  const squares = sumOfProducts(points, hinge, hinge);
  if (!(squares > 1e-12 * before)) return null;
  const multiple = 0 - sumOfProducts(points, hinge, points.y) / squares;
  const fitted = hinge.map((h) => -multiple * h);
  return {
    join,
    multiple,
    plateau: meanOf(points.groupMean) + multiple * hingeMean,
    rss: residualSs(points, fitted),
    covariance: isSmooth(points, join, degree)
      ? covarianceOf(points, hinge, hingeMean, change, multiple)
      : null,
  };
}

/** Gauss–Newton standard errors need a join inside its range and, for the linear-plateau, between tested rates. */
function isSmooth(points: GroupedPoints, join: number, degree: HingeDegree): boolean {
  const range = points.highest - points.lowest;
  const { starts, x, lowest, highest } = points;
  const tolerance = (1e-9 * Math.max(Math.abs(highest), Math.abs(lowest))) / range;
  const second = (x[starts[1]!]! - lowest) / range;
  if (join <= second + tolerance || join >= 1 - tolerance) return false;
  if (degree === 2) return true;
  for (let k = 1; k < starts.length - 1; k++)
    if (Math.abs((x[starts[k]!]! - lowest) / range - join) < tolerance) return false;
  return true;
}

function covarianceOf(
  points: GroupedPoints,
  hinge: Float64Array,
  hingeMean: number,
  change: Float64Array,
  multiple: number,
): Covariance | null {
  const changeMean = meanOf(takeGroupMeansOff(points, change));
  const hh = sumOfProducts(points, hinge, hinge);
  const k = sumOfProducts(points, hinge, change) / hh;
  const before = sumOfProducts(points, change, change);
  for (let i = 0; i < points.points; i++) change[i]! -= k * hinge[i]!;
  const cc = sumOfProducts(points, change, change) * multiple * multiple;
  if (!(cc > 1e-12 * before * multiple * multiple) || cc === 0) return null;
  // y = level − multiple·hinge − (multiple·change)·δjoin; the second regressor is made independent of the first with
  // k·multiple
  const jj = 1 / cc;
  const mj = -k * multiple * jj;
  const mm = 1 / hh + (k * multiple) ** 2 * jj;
  const [toM, toJ] = [hingeMean, multiple * changeMean];
  return {
    mm,
    mj,
    jj,
    pm: toM * mm + toJ * mj,
    pj: toM * mj + toJ * jj,
    pp: blockError(points) + toM * toM * mm + 2 * toM * toJ * mj + toJ * toJ * jj,
  };
}

/** Standard error, per unit of error variance, of a·plateau + b·multiple + c·join. */
export function errorOf(covariance: Covariance | null, a: number, b: number, c: number): number | null {
  if (covariance === null) return null;
  const v = covariance;
  return Math.sqrt(
    Math.max(
      0,
      a * a * v.pp + b * b * v.mm + c * c * v.jj + 2 * (a * b * v.pm + a * c * v.pj + b * c * v.mj),
    ),
  );
}
