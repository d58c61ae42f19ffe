/**
 * What lasts on a field, told apart from what came with a season, in whatever was seen of each variety in each field and
 * season: how its need differs there, or how strongly its yield answers.
 *
 * What is seen in an environment is what lasts on its field, plus what came with the season, plus what all varieties share
 * in that field and season (a wet spring on clay), plus something of the variety's own. Nobody knows how large the last
 * three are, nor the differences between fields. So their standard deviations are weighed on a grid, and what is said about
 * the fields is averaged over all values that the strips leave possible. With only the likeliest ones, two seasons that
 * happen to agree would look like certainty.
 *
 * A normal mixed model with few groups, whose variances are averaged over instead of fitted: Gelman 2006, Bayesian
 * Analysis 1:515. It pulls every difference between two fields toward zero, and more so the more alike fields are. So
 * their chances need no further correction for multiple comparisons: Gelman, Hill & Yajima 2012, J. Res. Educ. Effect.
 * 5:189.
 */
import { mean } from "simple-statistics";
import { dot } from "../../maths/dot.ts";
import { cholesky, logDeterminant, solveCholesky } from "../../maths/cholesky.ts";
import { gather, type Some } from "../../maths/group-by.ts";

/** What was seen of one variety in one field and season: how far it is from the farm, and the variance of its error. */
export interface SeenThere {
  environment: string;
  field: string;
  season: number;
  shift: number;
  variance: number;
}

/** Of a variety's own part, of what all varieties of an environment have in common, and of what lasts on a field. */
export interface OfParts<T> {
  own: T;
  common: T;
  lasting: T;
}

/** Fields under one set of sds. */
export interface FieldsAt {
  /** How much the set is believed; all together 1. */
  weight: number;
  /** Share of information left in an environment's varieties, because what they have in common makes them one cluster. */
  share: number;
  /** How far each field lasts above the mean of all fields. */
  aboveMean: () => { mean: number; variance: number }[];
  /** By how much the first of two fields is above the other, in standard deviations. */
  clearness: (f: number, g: number) => number;
}

/** A season may move all fields by any amount: its sd. */
const seasonSd = 0.5;

/** One environment: its varieties as one mean, and how likely the deviations from that mean are. */
interface Cluster {
  field: number;
  season: number;
  mean: number;
  /** For the mean, without what the varieties have in common. */
  variance: number;
  logLikelihood: number;
}

/**
 * The fields under each set of sds.
 *
 * @param fields  in the order in which they are told
 * @param sds     those that are weighed
 * @param scales  of the half-normal priors of the sds
 */
export function fieldsUnderSds(
  seen: readonly SeenThere[],
  fields: readonly string[],
  sds: OfParts<readonly number[]>,
  scales: OfParts<number>,
): FieldsAt[] {
  const seasons = [...new Set(seen.map(({ season }) => season))];
  const fieldAt = new Map(fields.map((field, index) => [field, index]));
  const seasonAt = new Map(seasons.map((season, index) => [season, index]));
  const environments = [...gather(seen, ({ environment }) => environment).values()];
  const under = sds.own.flatMap((own) => {
    const clusters = environments.map((one) => clusterOf(one, own, fieldAt, seasonAt));
    const logOwn = clusters.reduce((sum, one) => sum + one.logLikelihood, logHalfNormal(own, scales.own));
    return sds.common.flatMap((common) => {
      const share = informationShare(environments, clusters, own, common);
      const logSpreads = logOwn + logHalfNormal(common, scales.common);
      return sds.lasting.map((lasting) => {
        const { logLikelihood, ...fitted } = fitFields(
          clusters,
          fields.length,
          seasons.length,
          common,
          lasting,
        );
        const log = logSpreads + logHalfNormal(lasting, scales.lasting) + logLikelihood;
        return { log, at: { share, ...fitted } };
      });
    });
  });
  const most = under.reduce((top, { log }) => Math.max(top, log), -Infinity);
  const weights = under.map(({ log }) => Math.exp(log - most));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  return under.map(({ at }, i) => ({ ...at, weight: weights[i]! / total }));
}

const logHalfNormal = (sd: number, scale: number): number => -0.5 * (sd / scale) ** 2;

function clusterOf(
  seen: Readonly<Some<SeenThere>>,
  own: number,
  fieldAt: ReadonlyMap<string, number>,
  seasonAt: ReadonlyMap<number, number>,
): Cluster {
  const [{ field, season }] = seen;
  const weights = seen.map(({ variance }) => 1 / (variance + own ** 2));
  const weight = weights.reduce((a, b) => a + b, 0);
  const mean = seen.reduce((sum, { shift }, v) => sum + weights[v]! * shift, 0) / weight;
  const squares = seen.reduce((sum, { shift }, v) => sum + weights[v]! * (shift - mean) ** 2, 0);
  const logWeights = weights.reduce((sum, one) => sum + Math.log(one), 0);
  return {
    field: fieldAt.get(field)!,
    season: seasonAt.get(season)!,
    mean,
    variance: 1 / weight,
    logLikelihood: 0.5 * (logWeights - Math.log(weight) - squares),
  };
}

/**
 * Fields and seasons as normal effects about zero, with these sds. The equations of the fields, which are the many, are
 * diagonal but for the seasons: they are eliminated, and those of the seasons solved (Henderson's mixed-model equations).
 */
function fitFields(
  clusters: readonly Cluster[],
  fields: number,
  seasons: number,
  common: number,
  lasting: number,
): Omit<FieldsAt, "weight" | "share"> & { logLikelihood: number } {
  const ofField = new Float64Array(fields).fill(1 / lasting ** 2);
  const crossed = new Float64Array(fields * seasons);
  const [sumOfField, sumOfSeason] = [new Float64Array(fields), new Float64Array(seasons)];
  const left = new Float64Array(seasons * seasons);
  for (let s = 0; s < seasons; s++) left[s * seasons + s] = 1 / seasonSd ** 2;
  let log = -fields * Math.log(lasting);
  for (const { field, season, mean, variance } of clusters) {
    const weight = 1 / (variance + common ** 2);
    ofField[field]! += weight;
    left[season * seasons + season]! += weight;
    crossed[field * seasons + season]! += weight;
    sumOfField[field]! += weight * mean;
    sumOfSeason[season]! += weight * mean;
    log += 0.5 * (Math.log(weight) - weight * mean ** 2);
  }
  for (let f = 0; f < fields; f++) {
    for (let s = 0; s < seasons; s++) {
      const share = crossed[f * seasons + s]! / ofField[f]!;
      sumOfSeason[s]! -= share * sumOfField[f]!;
      for (let r = 0; r < seasons; r++) left[s * seasons + r]! -= share * crossed[f * seasons + r]!;
    }
    log += 0.5 * (sumOfField[f]! ** 2 / ofField[f]! - Math.log(ofField[f]!));
  }
  const factor = cholesky(left, seasons)!;
  const season = solveCholesky(factor, seasons, sumOfSeason);
  log +=
    0.5 * (sumOfSeason.reduce((sum, one, s) => sum + one * season[s]!, 0) - logDeterminant(factor, seasons));
  const crossedOf = (f: number): Float64Array => crossed.subarray(f * seasons, (f + 1) * seasons);
  const lasts = ofField.map((all, f) => (sumOfField[f]! - dot(crossedOf(f), season)) / all);
  return {
    logLikelihood: log,
    aboveMean: () => {
      const meanLasts = mean([...lasts]);
      const meanVariance = mean(Array.from(ofField, (all) => 1 / all));
      const meanCrossed = Float64Array.from({ length: seasons }, (_, s) =>
        mean(Array.from(ofField, (all, f) => crossedOf(f)[s]! / all)),
      );
      return Array.from(lasts, (one, f) => {
        const apart = crossedOf(f).map((weight, s) => weight / ofField[f]! - meanCrossed[s]!);
        const throughSeasons = dot(apart, solveCholesky(factor, seasons, apart));
        const variance = (1 - 2 / fields) / ofField[f]! + meanVariance / fields + throughSeasons;
        return { mean: one - meanLasts, variance };
      });
    },
    clearness: (f, g) => {
      const apart = crossedOf(f).map((weight, s) => weight / ofField[f]! - crossedOf(g)[s]! / ofField[g]!);
      const throughSeasons = dot(apart, solveCholesky(factor, seasons, apart));
      return (lasts[f]! - lasts[g]!) / Math.sqrt(1 / ofField[f]! + 1 / ofField[g]! + throughSeasons);
    },
  };
}

/** Information in the clusters, as a share of what it would be if every variety were independent evidence. */
function informationShare(
  environments: readonly (readonly SeenThere[])[],
  clusters: readonly Cluster[],
  own: number,
  common: number,
): number {
  const known = clusters.reduce((sum, { variance }) => sum + 1 / (variance + common ** 2), 0);
  const alone = environments.reduce(
    (sum, seen) => sum + seen.reduce((all, { variance }) => all + 1 / (variance + own ** 2 + common ** 2), 0),
    0,
  );
  return known / alone;
}
