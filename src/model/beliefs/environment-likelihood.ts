/** How well the curves along a ray explain the strips of one variety in one environment. */
import { logOn, type LogAxis } from "../../maths/log-axis.ts";
import { fall, riseShapes, shoulders } from "../forms/believable-curve.ts";
import type { Ends, LaplaceLikelihood } from "./along-needs.ts";
import type { Ray } from "./curve-grid.ts";
import type { EvidenceWithError } from "./strip-error.ts";

/** Products of one environment's sums with the shapes, which make its sums of squares: [shape or shoulder][need]. */
export interface EnvironmentSums {
  field: string;
  season: number;
  total: number;
  riseCross: Float64Array;
  riseRise: Float64Array;
  fallCross: Float64Array;
  fallFall: Float64Array;
  /** [shape][shoulder][need]. */
  riseFall: Float64Array;
  /** The log likelihood is −power · log(1 + (sum of squares) · scale). */
  power: number;
  scale: number;
}

/**
 * The sums of one environment's strips with every curve of the axis, from which any of its likelihoods is read.
 *
 * @param axis   needs [seeds/m²]
 * @param share  of the strips' weight that counts here, 0 to 1
 */
export function environmentSums(one: EvidenceWithError, axis: LogAxis, share: number): EnvironmentSums {
  const { rates, weight, cross, error } = one;
  const K = rates.length;
  const needs = axis.count;
  const shapes = riseShapes.length;
  const sums: EnvironmentSums = {
    field: one.field,
    season: one.season,
    total: one.total,
    riseCross: new Float64Array(shapes * needs),
    riseRise: new Float64Array(shapes * needs),
    fallCross: new Float64Array(shoulders.length * needs),
    fallFall: new Float64Array(shoulders.length * needs),
    riseFall: new Float64Array(shapes * shoulders.length * needs),
    power: (share * (error.degrees + one.degrees)) / 2,
    scale: 1 / error.ss,
  };
  const rises = riseShapes.map(({ rise }, s) => ({ rise, at: s * needs, values: new Float64Array(K) }));
  const falls = new Float64Array(K);
  const weighted = new Float64Array(K);
  const dot = (a: Float64Array, b: Float64Array): number => {
    let sum = 0;
    for (let k = 0; k < K; k++) sum += a[k]! * b[k]!;
    return sum;
  };
  const weigh = (values: Float64Array): void => {
    for (let k = 0; k < K; k++) {
      let sum = 0;
      for (let l = 0; l < K; l++) sum += weight[k * K + l]! * values[l]!;
      weighted[k] = sum;
    }
  };
  for (let j = 0; j < needs; j++) {
    const need = Math.exp(logOn(axis, j));
    for (const { rise, at, values } of rises) {
      for (let k = 0; k < K; k++) values[k] = rise(rates[k]! / need);
      weigh(values);
      sums.riseCross[at + j] = dot(values, cross);
      sums.riseRise[at + j] = dot(values, weighted);
    }
    for (let h = 0; h < shoulders.length; h++) {
      for (let k = 0; k < K; k++) falls[k] = fall(rates[k]! / need, shoulders[h]!);
      weigh(falls);
      sums.fallCross[h * needs + j] = dot(falls, cross);
      sums.fallFall[h * needs + j] = dot(falls, weighted);
      for (const { at, values } of rises)
        sums.riseFall[at * shoulders.length + h * needs + j] = dot(values, weighted);
    }
  }
  return sums;
}

/** Where two strengths are nearly equally likely, this keeps the average around one of them bounded. */
const leastBend = 0.2;

/** Likelihood of one environment along a ray. */
export class EnvironmentLikelihood {
  private readonly logs: Float64Array;
  private readonly bends: Float64Array;
  /** What a likelihood loses if its strength is not 1, as logarithms. */
  private readonly losses: Float64Array;
  private readonly whole: Ends;
  private readonly strengthVariance: number;

  constructor(places: number, strengthSpread: number) {
    this.logs = new Float64Array(places);
    this.bends = new Float64Array(places);
    this.losses = new Float64Array(places);
    this.whole = { first: 0, last: places - 1 };
    this.strengthVariance = strengthSpread ** 2;
  }

  /**
   * The strength g of the response is normal about 1. With g known the likelihood is (1 + ss(g) · scale)^−power, ss a
   * parabola in g; it is averaged over g by Laplace's method, about the likeliest g (Tierney & Kadane 1986, JASA 81:82).
   *
   * @param where  places to work out; the others are left as they were
   * @returns buffers of its own, overwritten by the next call
   */
  along(
    sums: EnvironmentSums,
    { shape, loss, decline, shoulder }: Ray,
    { first, last }: Ends = this.whole,
  ): LaplaceLikelihood {
    const { logs, bends, losses, strengthVariance } = this;
    const needs = logs.length;
    const { riseCross, riseRise, fallCross, fallFall, riseFall, total, power, scale } = sums;
    const atShape = shape * needs;
    const atShoulder = shoulders.indexOf(shoulder) * needs;
    const atBoth = atShape * shoulders.length + atShoulder;
    const strengths = 2 * power * scale * strengthVariance;
    const perVariance = 1 / (2 * strengthVariance);
    const perPower = 1 / (power * strengthVariance);
    for (let j = first; j <= last; j++) {
      let cross = loss * riseCross[atShape + j]!;
      let square = loss * loss * riseRise[atShape + j]!;
      if (decline !== 0) {
        cross += decline * fallCross[atShoulder + j]!;
        square += decline * decline * fallFall[atShoulder + j]! + 2 * loss * decline * riseFall[atBoth + j]!;
      }
      if (strengths === 0 || square < 1e-12) {
        logs[j] = 1 + scale * Math.max(0, total - 2 * cross + square);
        losses[j] = 0;
        bends[j] = 1;
        continue;
      }
      // The likeliest strength is between 1 and the fitted one, and closer to the fitted one the better that is known.
      const fitted = cross / square;
      const lowest = 1 + scale * Math.max(0, total - cross * fitted);
      const perSquare = scale * square;
      const known = strengths * square;
      let here = lowest;
      let strength = 1;
      let off = 0;
      for (let turn = 0; turn < 3; turn++) {
        strength = (here + known * fitted) / (here + known);
        off = strength - fitted;
        here = lowest + perSquare * off * off;
      }
      const share = known / here;
      const strain = share * off;
      const bend = 1 + share - strain * strain * perPower;
      const away = strength - 1;
      logs[j] = here;
      losses[j] = away * away * perVariance;
      bends[j] = bend;
      if (!(bend > leastBend)) bends[j] = leastBend;
    }
    takeLogs(logs, losses, power, first, last);
    return { logs, bends };
  }

  /**
   * The largest on a ray, searched at every second place where the curve fits best: close enough to see what is
   * negligible.
   */
  most(sums: EnvironmentSums, { shape, loss, decline, shoulder }: Ray): number {
    const { strengthVariance } = this;
    const needs = this.logs.length;
    const { riseCross, riseRise, fallCross, fallFall, riseFall, total, power, scale } = sums;
    const atShape = shape * needs;
    const atShoulder = shoulders.indexOf(shoulder) * needs;
    const atBoth = atShape * shoulders.length + atShoulder;
    const strengths = 2 * power * scale * strengthVariance;
    let least = Infinity;
    let its = 1;
    for (let j = 0; j < needs; j += 2) {
      let cross = loss * riseCross[atShape + j]!;
      let square = loss * loss * riseRise[atShape + j]!;
      if (decline !== 0) {
        cross += decline * fallCross[atShoulder + j]!;
        square += decline * decline * fallFall[atShoulder + j]! + 2 * loss * decline * riseFall[atBoth + j]!;
      }
      const plain = 1 + scale * Math.max(0, total - 2 * cross + square);
      let value = plain;
      let wider = 1;
      if (strengths > 0 && square >= 1e-12) {
        const lowest = 1 + scale * Math.max(0, total - (cross * cross) / square);
        wider = 1 + (strengths * square) / lowest;
        const off = cross - square;
        value = lowest + (scale * off * off) / (square * wider);
      }
      if (value < least) {
        least = value;
        its = wider;
      }
    }
    return -power * Math.log(least) - 0.5 * Math.log(its);
  }
}

/**
 * Logarithms in their own loop, which the engine works out in place; called from a long loop, each would leave a number
 * to be collected.
 */
function takeLogs(
  values: Float64Array,
  losses: Float64Array,
  power: number,
  first: number,
  last: number,
): void {
  for (let j = first; j <= last; j++) values[j] = -power * Math.log(values[j]!) - losses[j]!;
}
