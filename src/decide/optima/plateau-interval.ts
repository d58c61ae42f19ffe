/** Profile-likelihood intervals for the best rate of a plateau form. Everything in u = (rate − lowest)/range. */
import {
  excessAtMultiple,
  multiplesWithin,
  nearStretches,
  visitNearJoins,
  type HingeStretches,
} from "../../maths/hinge.ts";
import { maximize } from "../../maths/maximize.ts";
import { crossings } from "../../maths/polynomial.ts";
import { rememberedWith } from "../../maths/remembered.ts";

/** Null where the data give no end inside the tested rates on that side. */
export interface Ends {
  lower: number | null;
  upper: number | null;
}

/** It depends on no price, so it is kept for the next price. */
const nearOnce = rememberedWith(nearStretches);

/**
 * Ends for the best rate of a linear-plateau: its join while the slope pays, else the lowest rate.
 *
 * Goes through every (slope, join) whose residual sum of squares is within the limit. The lower end is open as soon as
 * one of them does not pay, or where the join may be below the second-lowest rate.
 *
 * @param limit  RSS·(1 + F/df)
 * @param ratio  price ratio [kg/ha per range of rates]
 */
export function linearPlateauEnds(h: HingeStretches, limit: number, best: number, ratio: number): Ends {
  let [lower, upper] = [best, best];
  let mayNotPay = false;
  visitNearJoins(
    h,
    nearOnce(h, limit),
    (s, from, to) => {
      const { least, most } = multiplesWithin(h, s, limit);
      const middle = 0.5 * (from + to);
      if (least(middle) <= ratio) mayNotPay = true;
      if (most(middle) <= ratio) return;
      lower = Math.min(lower, from);
      upper = Math.max(upper, to);
    },
    (s) => crossings(excessAtMultiple(h, s, ratio, limit), h.ends[s]!, h.ends[s + 1]!),
  );
  return {
    lower: mayNotPay || lower <= h.ends[0]! ? null : lower,
    upper: upper >= h.ends[h.count]! ? null : upper,
  };
}

/**
 * Ends for the best rate of a quadratic-plateau, where 2·multiple·(join − x) = ratio, so x = join − ratio/(2·multiple).
 *
 * At one join the multiples within the limit are an interval and x rises with the multiple: the set of x is the
 * stretch between the x of its two ends, joined over all joins of the profile set. Same answer as profiling x itself.
 *
 * @param limit  RSS·(1 + F/df)
 * @param ratio  price ratio [kg/ha per range of rates]
 */
export function quadraticPlateauEnds(h: HingeStretches, limit: number, best: number, ratio: number): Ends {
  const pieces: { stretch: number; from: number; to: number }[] = [];
  visitNearJoins(h, nearOnce(h, limit), (stretch, from, to) => pieces.push({ stretch, from, to }));
  const rateAt = (join: number, multiple: number): number =>
    multiple > 0 ? join - ratio / (2 * multiple) : -Infinity;
  let lower = { at: best, value: best };
  let upper = { at: best, value: best };
  for (const { stretch, from, to } of pieces) {
    // evenly in the angle: toward the ends of the set the two multiples differ like a square root
    const joinAt = (angle: number): number =>
      angle <= 0 ? from : angle >= Math.PI ? to : 0.5 * (from + to - (to - from) * Math.cos(angle));
    const multiples = multiplesWithin(h, stretch, limit);
    const extreme = (end: "least" | "most", sign: 1 | -1): { at: number; value: number } => {
      const multipleAt = multiples[end];
      const { at, value } = maximize(
        (angle) => {
          const join = joinAt(angle);
          return sign * rateAt(join, multipleAt(join));
        },
        0,
        Math.PI,
        pieces.length > 50 ? 2 : 8,
      );
      return { at: joinAt(at), value: sign * value };
    };
    const low = extreme("least", -1);
    const high = extreme("most", 1);
    if (low.value < lower.value) lower = low;
    if (high.value > upper.value) upper = high;
  }
  return {
    lower: lower.value <= 0 || (lower.at <= h.ends[0]! && lower.value < best) ? null : lower.value,
    upper: upper.at >= h.ends[h.count]! && upper.value > best ? null : upper.value,
  };
}

/** Ends of the interval by the power of the distance below the join that a plateau form falls by. */
export const plateauEnds = { 1: linearPlateauEnds, 2: quadraticPlateauEnds } as const;
