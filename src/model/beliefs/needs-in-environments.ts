/**
 * What the needs found in single environments show about the fields: whether fields differ year after year, and how
 * much each variety of an environment counts as evidence of that.
 *
 * The need in an environment is the need of its field, plus a shift of the season, plus a shift that all varieties
 * share in that field and season (a wet spring on clay), plus something of the variety's own. Nobody knows how large
 * the last three are, nor the differences between fields. So their standard deviations are weighed on a grid, and what
 * is said about the fields is averaged over all values that the strips leave possible. With only the likeliest ones,
 * two seasons that happen to agree would look like certainty.
 *
 * A normal mixed model with few groups, whose variances are averaged over instead of fitted: Gelman 2006, Bayesian
 * Analysis 1:515. It pulls every difference between two fields toward zero, and more so the more alike fields are. So
 * their chances need no further correction for multiple comparisons: Gelman, Hill & Yajima 2012, J. Res. Educ. Effect.
 * 5:189.
 */
import { dot } from "../../maths/dot.ts";
import { cholesky, logDeterminant, solveCholesky } from "../../maths/cholesky.ts";
import { normalCdf } from "../../maths/distributions.ts";
import { gather } from "../../maths/group-by.ts";
import type { Priors } from "../../vocabulary/settings.ts";

/** How the need of one variety in one field and season differs from its need on the farm. */
export interface NeedThere {
  environment: string;
  field: string;
  season: number;
  /** In log, and the variance of its error. */
  shift: number;
  variance: number;
}

/** What the needs say about the fields. */
export interface AboutFields {
  /** For the two most clearly different fields: chance that the one that seems to need more seed does, 0.5 to 1. */
  chanceTheyDiffer: number;
  /**
   * Share of information left in an environment's varieties, because what they have in common makes them one cluster:
   * one over the design effect (Kish 1965, Survey Sampling), 1 for one variety.
   */
  share: number;
}

/**
 * Sds of log need that are weighed: for a variety's own part, and for what all varieties of an environment have in
 * common.
 */
const sds = [0, 0.04, 0.08, 0.12, 0.16, 0.2, 0.25, 0.32];
/** For the lasting differences between fields; the least is so small that fields are alike. */
const lastingSds = [0.02, 0.07, 0.13, 0.2, 0.3, 0.45];
/** A season may move the needs of all fields by any amount: sd of log need. */
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

/** Fields under one set of sds: which of two needs more, in standard deviations, and how believable the set is. */
interface FieldsAt {
  log: number;
  share: number;
  clearness: (f: number, g: number) => number;
}

/** Needs on only one field say nothing. */
export function aboutFields(needs: readonly NeedThere[], priors: Priors): AboutFields {
  const fields = [...new Set(needs.map(({ field }) => field))];
  if (fields.length < 2) return { chanceTheyDiffer: 0.5, share: 1 };
  const seasons = [...new Set(needs.map(({ season }) => season))];
  const environments = [...gather(needs, ({ environment }) => environment).values()];
  const weighed = sds.flatMap((own) => {
    const clusters = environments.map((one) => clusterOf(one, own, fields, seasons));
    const logOwn = clusters.reduce(
      (sum, one) => sum + one.logLikelihood,
      logHalfNormal(own, priors.seasonSpread),
    );
    return sds.flatMap((common) => {
      const share = informationShare(environments, clusters, own, common);
      const logSpreads = logOwn + logHalfNormal(common, priors.fieldInSeasonSpread);
      return lastingSds.map((lasting): FieldsAt => {
        const { logLikelihood, clearness } = fitFields(
          clusters,
          fields.length,
          seasons.length,
          common,
          lasting,
        );
        return {
          log: logSpreads + logHalfNormal(lasting, priors.fieldSpread) + logLikelihood,
          share,
          clearness,
        };
      });
    });
  });
  const likeliest = weighed.reduce((best, one) => (one.log > best.log ? one : best));
  const weights = weighed.map(({ log }) => Math.exp(log - likeliest.log));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const average = (of: (one: FieldsAt) => number): number =>
    weighed.reduce((sum, one, i) => sum + (weights[i]! / total) * of(one), 0);
  const [f, g] = clearestPair(likeliest, fields.length);
  return {
    chanceTheyDiffer: average(({ clearness }) => normalCdf(clearness(f, g))),
    share: environments.every((one) => one.length === 1) ? 1 : average(({ share }) => share),
  };
}

const logHalfNormal = (sd: number, scale: number): number => -0.5 * (sd / scale) ** 2;

/** Two fields, the one that needs more first. */
function clearestPair({ clearness }: FieldsAt, fields: number): [number, number] {
  let [best, most]: [[number, number], number] = [[0, 1], -Infinity];
  for (let f = 0; f < fields; f++)
    for (let g = 0; g < fields; g++)
      if (f !== g && clearness(f, g) > most) [best, most] = [[f, g], clearness(f, g)];
  return best;
}

function clusterOf(
  needs: readonly NeedThere[],
  own: number,
  fields: readonly string[],
  seasons: readonly number[],
): Cluster {
  const { field, season } = needs[0]!;
  const weights = needs.map(({ variance }) => 1 / (variance + own ** 2));
  const weight = weights.reduce((a, b) => a + b, 0);
  const mean = needs.reduce((sum, { shift }, v) => sum + weights[v]! * shift, 0) / weight;
  const squares = needs.reduce((sum, { shift }, v) => sum + weights[v]! * (shift - mean) ** 2, 0);
  const logWeights = weights.reduce((sum, one) => sum + Math.log(one), 0);
  return {
    field: fields.indexOf(field),
    season: seasons.indexOf(season),
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
): { logLikelihood: number; clearness: FieldsAt["clearness"] } {
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
  const field = ofField.map((all, f) => (sumOfField[f]! - dot(crossedOf(f), season)) / all);
  return {
    logLikelihood: log,
    clearness: (f, g) => {
      const apart = crossedOf(f).map((weight, s) => weight / ofField[f]! - crossedOf(g)[s]! / ofField[g]!);
      const throughSeasons = dot(apart, solveCholesky(factor, seasons, apart));
      return (field[f]! - field[g]!) / Math.sqrt(1 / ofField[f]! + 1 / ofField[g]! + throughSeasons);
    },
  };
}

/** Information in the clusters, as a share of what it would be if every variety were independent evidence. */
function informationShare(
  environments: readonly (readonly NeedThere[])[],
  clusters: readonly Cluster[],
  own: number,
  common: number,
): number {
  const known = clusters.reduce((sum, { variance }) => sum + 1 / (variance + common ** 2), 0);
  const alone = environments.reduce(
    (sum, needs) =>
      sum + needs.reduce((all, { variance }) => all + 1 / (variance + own ** 2 + common ** 2), 0),
    0,
  );
  return known / alone;
}
