/** The grid of believable curves, and what is believed of them before any strip. */
import { axisBetween, placesOn, type LogAxis } from "../../maths/log-axis.ts";
import type { Priors } from "../../vocabulary/settings.ts";
import { riseShapes, shoulders } from "../forms/believable-curve.ts";

/** Curves of one shape of rise and one shoulder, with every loss and every decline. */
export interface Patch {
  shape: number;
  shoulder: number;
  losses: LogAxis;
  /** Null: yield never falls, or comes down by itself. */
  declines: LogAxis | null;
}

/** All curves of one shape, loss, decline and shoulder: a ray along the axis of log need. */
export interface Ray {
  shape: number;
  loss: number;
  decline: number;
  shoulder: number;
  /** Index of its patch, and places on that patch's axes. */
  patch: number;
  lossAt: number;
  declineAt: number;
  /** Logarithm of its prior weight, and of its weight among even ones; over the whole grid each sums to 1. */
  logPrior: number;
  logFlatPrior: number;
}

/** Whether yield falls beyond the shoulder; null for a rise that comes down by itself. */
export const kindOfFall = ({ shape, decline }: Pick<Ray, "shape" | "decline">): "never" | "falls" | null =>
  !riseShapes[shape]!.falls ? null : decline === 0 ? "never" : "falls";

/**
 * A state of the farm, which all its varieties share: how far seasons, and fields within a season, shift the log need,
 * and the lasting shift of each field.
 */
export interface FarmState {
  /** Sds of log need. */
  season: number;
  fieldInSeason: number;
  /** Which set of lasting field shifts this is, and the shift of log need of each field in it. */
  place: number;
  shifts: ReadonlyMap<string, number>;
  /** Logarithms of its prior weight as stated, and among even spreads. */
  logPrior: number;
  logFlatPrior: number;
}

export interface CurveGrid {
  needs: LogAxis;
  states: readonly FarmState[];
  patches: readonly Patch[];
  rays: readonly Ray[];
}

/** Sds of log need from season to season; all varieties of a farm share them. */
export const seasonSpreads: readonly number[] = [0, 0.06, 0.12, 0.2];

const needStep = 0.06;
const lowestNeed = 0.35;
const highestNeed = 2.5;
const lossesBetween = [0.009, 0.7] as const;
const declinesBetween = [0.01, 0.5] as const;
const losses = axisBetween(...lossesBetween, 12);
const declines = axisBetween(...declinesBetween, 4);

const wholePatches: readonly Patch[] = riseShapes.flatMap(({ falls }, shape) => [
  { shape, shoulder: 0, losses, declines: null },
  ...(falls ? shoulders.map((shoulder) => ({ shape, shoulder, losses, declines })) : []),
]);

/**
 * Possible lasting shifts of a farm's fields: shifts of log need that sum to zero, and the logarithm of the prior
 * weight.
 */
export interface FieldPlace {
  shifts: ReadonlyMap<string, number>;
  logWeight: number;
}

const oneField: readonly FieldPlace[] = [{ shifts: new Map(), logWeight: 0 }];

/**
 * Season, and field within a season, for farms with several fields; only the season where the two cannot be
 * distinguished.
 */
const crossedSpreads: readonly (readonly [number, number])[] = [
  [0.04, 0],
  [0.14, 0],
  [0.05, 0.12],
  [0.16, 0.12],
];

/** @param places of the fields; null: only seasons shift the need */
export function farmStates(priors: Priors, places: readonly FieldPlace[] | null = null): FarmState[] {
  const spreads = places === null ? seasonSpreads.map((season) => [season, 0] as const) : crossedSpreads;
  const weights = spreads.map(([season, field]) =>
    Math.exp(-0.5 * ((season / priors.seasonSpread) ** 2 + (field / priors.fieldInSeasonSpread) ** 2)),
  );
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  return (places ?? oneField).flatMap(({ shifts, logWeight }, place) =>
    spreads.map(([season, fieldInSeason], t) => ({
      season,
      fieldInSeason,
      place,
      shifts,
      logPrior: logWeight + Math.log(weights[t]! / total),
      logFlatPrior: logWeight - Math.log(spreads.length),
    })),
  );
}

/** @param around lowest and highest rate between which the need is first looked for [seeds/m²] */
export const wholeGrid = (
  priors: Priors,
  around: readonly [number, number],
  states: readonly FarmState[] = farmStates(priors),
): CurveGrid => gridOf(needAxis(around), wholePatches, priors, states);

/** Fewer losses and declines: a quarter of the curves. */
const coarsePatches: readonly Patch[] = wholePatches.map((patch) => ({
  ...patch,
  losses: axisBetween(...lossesBetween, 7),
  declines: patch.declines && axisBetween(...declinesBetween, 2),
}));

/** The whole grid with a quarter of its curves: to see where the weight is, and for very many farms. */
export const coarser = ({ needs, states }: CurveGrid, priors: Priors): CurveGrid =>
  gridOf(needs, coarsePatches, priors, states);

/** As `wholeGrid`, with a quarter of its curves. */
export const coarseGrid = (
  priors: Priors,
  around: readonly [number, number],
  states: readonly FarmState[] = farmStates(priors),
): CurveGrid => gridOf(needAxis(around), coarsePatches, priors, states);

/** Where needs are looked for around these rates [seeds/m²]; the axis goes well beyond both. */
export function needAxis(around: readonly [number, number]): LogAxis {
  const from = Math.log(lowestNeed * around[0]);
  const count = Math.ceil((Math.log(highestNeed * around[1]) - from) / needStep) + 1;
  return { from, step: needStep, count };
}

/** The curves to weigh: every need of the axis with every patch of shape, loss and decline, in every state of the farm. */
export const gridOf = (
  needs: LogAxis,
  patches: readonly Patch[],
  priors: Priors,
  states: readonly FarmState[] = farmStates(priors),
): CurveGrid => ({
  needs,
  states,
  patches,
  rays: raysOn(patches, priors),
});

const raysKnown = new WeakMap<readonly Patch[], WeakMap<Priors, readonly Ray[]>>();

/** Varieties share their patches and priors, so their rays too. */
function raysOn(patches: readonly Patch[], priors: Priors): readonly Ray[] {
  const ofPatches = raysKnown.get(patches) ?? new WeakMap<Priors, readonly Ray[]>();
  raysKnown.set(patches, ofPatches);
  const rays = ofPatches.get(priors) ?? patches.flatMap((patch, index) => raysOf(patch, index, priors));
  ofPatches.set(priors, rays);
  return rays;
}

function raysOf(patch: Patch, index: number, priors: Priors): Ray[] {
  const { shape, shoulder } = patch;
  const { share, falls } = riseShapes[shape]!;
  const ofLosses = weighPlaces(patch.losses, losses, priors.lossMedian, priors.lossSdLog);
  const ofDeclines =
    patch.declines === null
      ? never
      : weighPlaces(patch.declines, declines, priors.declineMedian, priors.declineSdLog);
  const logChance = !falls
    ? 0
    : patch.declines === null
      ? Math.log(priors.noDeclineChance)
      : Math.log((1 - priors.noDeclineChance) / shoulders.length);
  // Among even priors "never" counts as one more decline.
  const flatChance = !falls
    ? 0
    : -Math.log(1 + declines.count) - (patch.declines === null ? 0 : Math.log(shoulders.length));
  const logPrior = Math.log(share) + logChance;
  const logFlatPrior = flatChance - Math.log(riseShapes.length) - Math.log(losses.count);
  return ofLosses.flatMap((ofLoss, lossAt) =>
    ofDeclines.map((ofDecline, declineAt) => ({
      shape,
      loss: ofLoss.value,
      decline: ofDecline.value,
      shoulder,
      patch: index,
      lossAt,
      declineAt,
      logPrior: logPrior + ofLoss.logPrior + ofDecline.logPrior,
      logFlatPrior: logFlatPrior + ofLoss.logPlaces + ofDecline.logPlaces,
    })),
  );
}

/** One place of an axis. */
interface WeighedPlace {
  value: number;
  /** Logarithm of its share of a log-normal prior; those of the whole axis sum to 1. */
  logPrior: number;
  /** Logarithm of how many places of the whole axis it represents. */
  logPlaces: number;
}

const never: readonly WeighedPlace[] = [{ value: 0, logPrior: 0, logPlaces: 0 }];

function weighPlaces(axis: LogAxis, whole: LogAxis, median: number, sdLog: number): WeighedPlace[] {
  const logPlaces = Math.log(axis.step / whole.step);
  const perPlace = logPlaces - logSumOver(whole, median, sdLog);
  return placesOn(axis).map((log) => ({
    value: Math.exp(log),
    logPrior: logDensity(log, median, sdLog) + perPlace,
    logPlaces,
  }));
}

/** How many times likelier a loss is under one prior of the losses than under another. */
export function lossOdds(
  of: Pick<Priors, "lossMedian" | "lossSdLog">,
  than: Pick<Priors, "lossMedian" | "lossSdLog">,
): (loss: number) => number {
  const whole =
    logSumOver(losses, than.lossMedian, than.lossSdLog) - logSumOver(losses, of.lossMedian, of.lossSdLog);
  return (loss) => {
    const log = Math.log(loss);
    return Math.exp(
      logDensity(log, of.lossMedian, of.lossSdLog) - logDensity(log, than.lossMedian, than.lossSdLog) + whole,
    );
  };
}

const logDensity = (log: number, median: number, sdLog: number): number =>
  -0.5 * ((log - Math.log(median)) / sdLog) ** 2;

/** Logarithm of the summed densities of all places of an axis. */
function logSumOver(axis: LogAxis, median: number, sdLog: number): number {
  const logs = placesOn(axis).map((log) => logDensity(log, median, sdLog));
  const most = Math.max(...logs);
  return Math.log(logs.reduce((sum, log) => sum + Math.exp(log - most), 0)) + most;
}
