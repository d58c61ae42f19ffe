/** The grid of believable curves, and what is believed of them before any strip. */
import type { Priors } from "../settings.ts";
import { riseShapes, shoulders } from "./forms/believable-curve.ts";

/** All curves of one shape, loss, decline and shoulder: a ray along the axis of log need. */
export interface Ray {
  shape: number;
  loss: number;
  decline: number;
  shoulder: number;
  /** Logarithm of its prior weight, and of its weight among even ones; each sums to 1 over the rays. */
  logPrior: number;
  logFlatPrior: number;
}

export interface CurveGrid {
  /** Log of the need, evenly spaced by `needStep`. */
  logNeeds: Float64Array;
  needStep: number;
  rays: Ray[];
  /** Season-to-season sd of log need, with prior weights. */
  spreads: readonly number[];
}

const needStep = 0.06;
const lowestNeed = 0.35;
const highestNeed = 2.5;
const losses = evenInLog(0.003, 0.7, 15);
const declines = evenInLog(0.01, 0.5, 4);
const spreads = [0, 0.06, 0.12, 0.2];

function evenInLog(from: number, to: number, count: number): number[] {
  const step = Math.log(to / from) / (count - 1);
  return Array.from({ length: count }, (_, i) => from * Math.exp(i * step));
}

/**
 * @param around rates between which the need is first looked for [seeds/m²]; the axis reaches well past both
 */
export function curveGrid(priors: Priors, around: readonly [number, number]): CurveGrid {
  const from = Math.log(lowestNeed * around[0]);
  const count = Math.ceil((Math.log(highestNeed * around[1]) - from) / needStep) + 1;
  return {
    logNeeds: Float64Array.from({ length: count }, (_, j) => from + j * needStep),
    needStep,
    rays: raysOf(priors),
    spreads,
  };
}

function raysOf(priors: Priors): Ray[] {
  const ofLoss = shares(losses, (loss) => logNormal(loss, priors.lossMedian, priors.lossSdLog));
  const ofDecline = shares(declines, (fall) => logNormal(fall, priors.declineMedian, priors.declineSdLog));
  const never = Math.log(priors.noDeclineChance);
  const ever = Math.log(1 - priors.noDeclineChance);
  const evenly = -Math.log(losses.length) - Math.log(riseShapes.length);
  const rays: Ray[] = [];
  riseShapes.forEach(({ share, falls }, shape) => {
    losses.forEach((loss, a) => {
      const start = Math.log(share) + ofLoss[a]!;
      rays.push({
        ...{ shape, loss, decline: 0, shoulder: 0 },
        logPrior: start + (falls ? never : 0),
        logFlatPrior: evenly - (falls ? Math.log(1 + declines.length) : 0),
      });
      if (!falls) return;
      for (const shoulder of shoulders) {
        declines.forEach((decline, d) => {
          rays.push({
            ...{ shape, loss, decline, shoulder },
            logPrior: start + ever + ofDecline[d]! - Math.log(shoulders.length),
            logFlatPrior: evenly - Math.log(1 + declines.length) - Math.log(shoulders.length),
          });
        });
      }
    });
  });
  return rays;
}

const logNormal = (value: number, median: number, sdLog: number): number =>
  -0.5 * (Math.log(value / median) / sdLog) ** 2;

/** Logs of weights that sum to one. */
function shares(values: readonly number[], logWeight: (value: number) => number): number[] {
  const logs = values.map(logWeight);
  const most = Math.max(...logs);
  const total = Math.log(logs.reduce((sum, log) => sum + Math.exp(log - most), 0)) + most;
  return logs.map((log) => log - total);
}
