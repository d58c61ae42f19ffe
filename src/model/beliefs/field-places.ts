/**
 * Lasting differences between the fields of a farm: how far each field's need is above or below the farm's.
 *
 * The shifts of log need sum to zero and are shared by the varieties. With two fields or more, seen more than once or
 * side by side, the most likely shifts are found in turns: the curves of each variety given the fields, then the fields
 * given the curves. Around them are a few places whose mean and spread are those of the likelihood there (a cubature of
 * degree three, as in Rue, Martino & Chopin 2009, J. R. Stat. Soc. B 71:319); how well each explains all strips is then
 * worked out in full, like every other belief.
 */
import { logOn, type LogAxis } from "../../maths/log-axis.ts";
import { normalKernel } from "../../maths/normal-kernel.ts";
import type { Priors } from "../../vocabulary/settings.ts";
import { addShifted, smoothedLogs } from "./along-needs.ts";
import { coarseGrid, type FarmState, type FieldPlace } from "./curve-grid.ts";
import { EnvironmentLikelihood, environmentSums } from "./environment-likelihood.ts";
import { gridLikelihood } from "./grid-likelihood.ts";
import type { SeenThere } from "./fields-and-seasons.ts";
import { aboutFields, type AboutFields } from "./needs-in-environments.ts";
import type { RateEvidence } from "./rate-evidence.ts";
import type { EvidenceWithError } from "./strip-error.ts";
import { logPriorOf } from "./weigh-curves.ts";

/** What is known of one variety. */
export interface VarietyEvidence {
  mine: readonly EvidenceWithError[];
}

/** How far a season, or a field within it, may shift the need while curves are searched, and the curves tried. */
const unrest = 0.1;
const unrests = [0.01, 0.04, 0.08, 0.15];
/** Number of curves of a variety used to find the fields. */
const curvesTried = 25;
/**
 * Most rounds of curves and fields in turn, and the largest change of a shift in a round at which they count as found.
 */
const rounds = 5;
const still = 0.005;
/** Shifts are searched this far to either side, in steps of the axis. */
const farthest = 0.7;
/** Sds of the lasting shifts that are weighed; the least is so small that fields are alike. */
const fieldSds = [0.07, 0.13, 0.2, 0.3, 0.45];
/**
 * Places are searched as if fields differed by at least this much, so that fields that seem alike are not taken to be
 * better known than they are.
 */
const leastFieldSd = 0.13;
/** More places than this cost more than they add. */
const mostPlaces = 8;

/** The places, and the share with which the strips of all varieties together count when places are compared. */
export interface FieldPlaces extends AboutFields {
  places: readonly FieldPlace[];
}

/** @returns null where no field lasts or none is seen beside another: there is one field, or each was seen in a season of its own */
export function fieldPlaces(
  varieties: readonly VarietyEvidence[],
  around: readonly [number, number],
  prior: number,
  priors: Priors,
): FieldPlaces | null {
  const environments = new Map(
    varieties.flatMap(({ mine }) => mine.map((one) => [one.environment, one] as const)),
  );
  const fields = [...new Set([...environments.values()].map(({ field }) => field))].sort();
  const seasons = new Set([...environments.values()].map(({ season }) => season));
  if (fields.length < 2 || (fields.length === environments.size && seasons.size === environments.size))
    return null;
  const curves = varieties.map(({ mine }) => curvesOf(mine, around, prior, priors));
  let [found, restless] = [whereAlike(fields, priors), curves];
  let best = { found, restless };
  for (const sd of unrests) {
    restless = curves.map((one) => smoothed(one, sd));
    found = findShifts(found, fields, restless, 1, priors);
    if (found.logLikelihood > best.found.logLikelihood) best = { found, restless };
  }
  const needs = curves.flatMap((one, v) => needsThere(one, best.restless[v]!, fields, best.found.shift));
  const about = aboutFields(needs, priors);
  if (about.share < 1) best.found = findShifts(best.found, fields, best.restless, about.share, priors);
  return { places: placesAbout(fields, best.found, priors), ...about };
}

/** The more believable curves of a variety, and what each environment says about each along the axis of need. */
interface Curves {
  environments: readonly Pick<RateEvidence, "environment" | "field" | "season">[];
  needs: LogAxis;
  /** Logs of prior weight, [need], and of each curve. */
  logNeed: Float64Array;
  logCurve: readonly number[];
  /** [curve][environment], on the axis with `pad` places more at either end. */
  logs: readonly (readonly Float64Array[])[];
  pad: number;
}

function curvesOf(
  mine: readonly EvidenceWithError[],
  around: readonly [number, number],
  prior: number,
  priors: Priors,
): Curves {
  const restless: FarmState = {
    season: unrest,
    fieldInSeason: unrest,
    place: 0,
    shifts: new Map(),
    logPrior: 0,
    logFlatPrior: 0,
  };
  const grid = coarseGrid(priors, around, [restless]);
  const { needs } = grid;
  const { rays } = gridLikelihood(mine, grid, 1, priors.strengthSpread);
  const logNeed = Float64Array.from(
    { length: needs.count },
    (_, j) => -0.5 * ((logOn(needs, j) - Math.log(prior)) / priors.needSdLog) ** 2,
  );
  const weighed = rays.map(({ ray, log, values }) => {
    const sum = values.reduce((total, value, j) => total + value * Math.exp(logNeed[j]!), 0);
    return { ray, log: log + logPriorOf(ray, priors.flat) + Math.log(sum) };
  });
  const tried = weighed.sort((a, b) => b.log - a.log).slice(0, curvesTried);
  const pad = Math.ceil(farthest / needs.step);
  const axis = { ...needs, from: needs.from - pad * needs.step, count: needs.count + 2 * pad };
  const sums = mine.map((one) => environmentSums(one, axis, 1));
  const likelihood = new EnvironmentLikelihood(axis.count, priors.strengthSpread);
  return {
    environments: mine,
    needs,
    logNeed,
    logCurve: tried.map(({ ray }) => logPriorOf(ray, priors.flat)),
    logs: tried.map(({ ray }) =>
      sums.map((sum) => {
        const { logs, bends } = likelihood.along(sum, ray);
        return logs.map((log, j) => log - 0.5 * Math.log(bends[j]!));
      }),
    ),
    pad,
  };
}

function smoothed(curves: Curves, sd: number): Curves {
  const kernel = normalKernel(sd, curves.needs.step);
  return { ...curves, logs: curves.logs.map((ofCurve) => ofCurve.map((logs) => smoothedLogs(logs, kernel))) };
}

/** The most likely shift of each field, and how well it alone is known. */
interface FoundShifts {
  shift: number[];
  sd: number[];
  logLikelihood: number;
}

const whereAlike = (fields: readonly string[], priors: Priors): FoundShifts => ({
  shift: fields.map(() => 0),
  sd: fields.map(() => priors.fieldSpread),
  logLikelihood: -Infinity,
});

/**
 * @param start  shifts of the fields to begin with
 * @param share  by how much the strips count
 */
function findShifts(
  start: FoundShifts,
  fields: readonly string[],
  varieties: readonly Curves[],
  share: number,
  priors: Priors,
): FoundShifts {
  const { step } = varieties[0]!.needs;
  const half = varieties[0]!.pad;
  let { shift, sd, logLikelihood } = start;
  for (let round = 0; round < rounds; round++) {
    const scores = fields.map(() => new Float64Array(2 * half + 1));
    logLikelihood = varieties.reduce((sum, one) => sum + addScores(scores, fields, shift, one), 0);
    const fieldSd = likelyFieldSd(shift, sd, priors);
    const found = scores.map((score) =>
      middleAndSd(
        score.map((log, i) => share * log - 0.5 * (((i - half) * step) / fieldSd) ** 2),
        step,
        -half * step,
      ),
    );
    const middle = found.reduce((sum, [one]) => sum + one, 0) / found.length;
    const moved = found.map(([one]) => one - middle);
    const most = Math.max(...moved.map((one, f) => Math.abs(one - shift[f]!)));
    shift = moved;
    sd = found.map(([, one]) => one);
    if (most < still) break;
  }
  return { shift, sd, logLikelihood };
}

/**
 * For a distribution given by its logarithms at even steps; one narrower than a step is taken as the parabola through
 * its top.
 */
function middleAndSd(logs: Float64Array, step: number, from: number): [number, number] {
  const top = logs.reduce((best, log, i) => (log > logs[best]! ? i : best), 0);
  const weights = logs.map((log) => Math.exp(log - logs[top]!));
  const total = weights.reduce((a, b) => a + b, 0);
  const mean = weights.reduce((sum, weight, i) => sum + weight * i, 0) / total;
  const variance = weights.reduce((sum, weight, i) => sum + weight * (i - mean) ** 2, 0) / total;
  if (variance > 1 || top === 0 || top === logs.length - 1)
    return [from + step * mean, step * Math.sqrt(variance)];
  const bend = 2 * logs[top]! - logs[top - 1]! - logs[top + 1]!;
  return [from + step * (top + (logs[top + 1]! - logs[top - 1]!) / (2 * bend)), step / Math.sqrt(bend)];
}

/** What is believed of a variety's curves and needs with the fields where they are, [curve][need], and how likely these are. */
function believedAt(
  { environments, needs, logNeed, logCurve, logs, pad }: Curves,
  fields: readonly string[],
  shift: readonly number[],
): { weights: Float64Array[]; logLikelihood: number } {
  const steps = environments.map(({ field }) => shift[fields.indexOf(field)]! / needs.step);
  const sum = new Float64Array(needs.count + 2 * pad);
  let most = -Infinity;
  const weights = logs.map((ofCurve, c) => {
    sum.fill(0);
    for (const [e, values] of ofCurve.entries()) addShifted(sum, values, steps[e]!);
    const believed = new Float64Array(needs.count);
    for (let j = 0; j < believed.length; j++) {
      const log = sum[pad + j]! + logNeed[j]! + logCurve[c]!;
      believed[j] = log;
      if (log > most) most = log;
    }
    return believed;
  });
  let total = 0;
  for (const row of weights) for (let j = 0; j < row.length; j++) total += row[j] = Math.exp(row[j]! - most);
  for (const row of weights) for (let j = 0; j < row.length; j++) row[j]! /= total;
  return { weights, logLikelihood: most + Math.log(total) };
}

/**
 * For each environment, adds the log likelihood of its shift averaged over the curves and needs that are believed.
 *
 * @param scoreOf  where it is added
 */
function averageLogs(
  { needs, logs, pad }: Curves,
  weights: readonly Float64Array[],
  scoreOf: (environment: number) => Float64Array,
): void {
  const scores = logs[0]!.map((_, e) => scoreOf(e));
  for (const [c, ofCurve] of logs.entries())
    for (let j = 0; j < needs.count; j++) {
      const weight = weights[c]![j]!;
      if (weight < 1e-6) continue;
      for (let e = 0; e < ofCurve.length; e++) {
        const values = ofCurve[e]!;
        const score = scores[e]!;
        for (let i = 0; i <= 2 * pad; i++) score[i]! += weight * values[j + i]!;
      }
    }
}

/**
 * For each field, adds the log likelihood of its shift.
 *
 * @returns the log likelihood of the fields where they are
 */
function addScores(
  scores: readonly Float64Array[],
  fields: readonly string[],
  shift: readonly number[],
  curves: Curves,
): number {
  const { weights, logLikelihood } = believedAt(curves, fields, shift);
  const places = curves.environments.map(({ field }) => fields.indexOf(field));
  averageLogs(curves, weights, (e) => scores[places[e]!]!);
  return logLikelihood;
}

/** Prior sd of a need around its field's, before an environment's own strips, so that weak strips have a centre too. */
const anywhere = 0.3;

/** How a variety's need in each environment differs from its need on the farm, by its strips there alone. */
function needsThere(
  curves: Curves,
  restless: Curves,
  fields: readonly string[],
  shift: readonly number[],
): SeenThere[] {
  const { environments, needs, pad } = curves;
  const { weights } = believedAt(restless, fields, shift);
  const scores = environments.map(() => new Float64Array(2 * pad + 1));
  averageLogs(curves, weights, (e) => scores[e]!);
  return environments.flatMap(({ environment, field, season }, e) => {
    const ofField = shift[fields.indexOf(field)]!;
    const about = (i: number): number => (i - pad) * needs.step - ofField;
    const [mean, sd] = middleAndSd(
      scores[e]!.map((log, i) => log - 0.5 * (about(i) / anywhere) ** 2),
      needs.step,
      about(0),
    );
    const precision = 1 / sd ** 2 - 1 / anywhere ** 2;
    return precision > 0
      ? [
          {
            environment,
            field,
            season,
            shift: ofField + mean / (sd ** 2 * precision),
            variance: 1 / precision,
          },
        ]
      : [];
  });
}

/** The sd of lasting shifts that explains these best. */
function likelyFieldSd(shift: readonly number[], sd: readonly number[], priors: Priors): number {
  const squares = shift.reduce((sum, one, f) => sum + one ** 2 + sd[f]! ** 2, 0);
  const fit = (one: number): number =>
    -(shift.length - 1) * Math.log(one) - squares / (2 * one ** 2) - 0.5 * (one / priors.fieldSpread) ** 2;
  return fieldSds
    .filter((one) => one >= leastFieldSd)
    .reduce((best, one) => (fit(one) > fit(best) ? one : best));
}

/**
 * Places around the most likely one with the spread of what is known, weighed by the prior and by the volume each
 * represents.
 */
function placesAbout(fields: readonly string[], { shift, sd }: FoundShifts, priors: Priors): FieldPlace[] {
  return designOf(fields.length).map(({ steps, logRoom }) => {
    const away = steps.map((one, f) => one * sd[f]!);
    const middle = away.reduce((sum, one) => sum + one, 0) / away.length;
    const shifts = shift.map((one, f) => one + away[f]! - middle);
    return {
      shifts: new Map(fields.map((field, f) => [field, shifts[f]!])),
      logWeight: logPriorOfShifts(shifts, priors) + logRoom,
    };
  });
}

/** How far the places of three fields or more are from the middle, in standard deviations of each field. */
const out = 1.2;

/**
 * Steps of each field in standard deviations. Two fields: three even steps of the difference between them. More: the
 * middle, and around it places whose directions are the signs of a Hadamard matrix, a column for each field, so that no
 * two fields move together. With the volumes given here, the places have the mean and the spread of the normal
 * distribution that they replace.
 */
function designOf(fields: number): { steps: number[]; logRoom: number }[] {
  if (fields === 2)
    return [-1.5, 0, 1.5].map((z) => ({ steps: [-z / Math.SQRT2, z / Math.SQRT2], logRoom: 0 }));
  let runs = 4;
  while (runs <= fields && runs < mostPlaces) runs *= 2;
  const logRoom = ((fields - 1) * out ** 2) / 2 - Math.log(runs * (out ** 2 - 1));
  const about = Array.from({ length: runs }, (_, run) => ({
    steps: Array.from({ length: fields }, (_field, f) =>
      ones(run & (1 + (f % (runs - 1)))) % 2 === 0 ? out : -out,
    ),
    logRoom,
  }));
  return [{ steps: Array.from({ length: fields }, () => 0), logRoom: 0 }, ...about];
}

function ones(bits: number): number {
  let count = 0;
  for (let left = bits; left > 0; left >>= 1) count += left & 1;
  return count;
}

/** Normal about zero with an sd that is weighed on a grid. */
function logPriorOfShifts(shifts: readonly number[], { fieldSpread }: Priors): number {
  const squares = shifts.reduce((sum, one) => sum + one ** 2, 0);
  const logs = fieldSds.map(
    (sd) => -0.5 * (sd / fieldSpread) ** 2 - (shifts.length - 1) * Math.log(sd) - squares / (2 * sd ** 2),
  );
  const most = Math.max(...logs);
  return most + Math.log(logs.reduce((sum, log) => sum + Math.exp(log - most), 0));
}
