/**
 * How much the varieties of a field and season say of it by themselves.
 *
 * A wet spring or a dry summer on one field moves the need of all its varieties alike, so their strips there are one cluster
 * and not as many witnesses as varieties. What they say of where a field lies for good counts by the share of information
 * that is left in such clusters: one over the design effect (Kish 1965, Survey Sampling).
 */
import { gather } from "../../maths/group-by.ts";
import type { Priors } from "../../vocabulary/settings.ts";

/** How one variety's need in one field and season lies about its need on that field as a whole. */
export interface NeedThere {
  environment: string;
  field: string;
  season: number;
  /** In log, and the variance of its error. */
  shift: number;
  variance: number;
}

/** Sds of log need that are weighed: of what all varieties of an environment share, and of what each has by itself. */
const sds = [0, 0.04, 0.08, 0.12, 0.16, 0.2, 0.25];

/** One environment: its varieties together as one mean, and how likely it makes what lies about the mean. */
interface Cluster {
  mean: number;
  /** Of the mean, without what the varieties share. */
  variance: number;
  logLikelihood: number;
}

/**
 * The share of information left, between one over the number of varieties and 1: averaged over both sds by their half-normal
 * priors and by how far environments differ beyond fields and seasons.
 *
 * @returns 1 where no environment tells of two varieties
 */
export function independentShare(needs: readonly NeedThere[], priors: Priors): number {
  const environments = [...gather(needs, ({ environment }) => environment).values()];
  if (environments.every((one) => one.length === 1)) return 1;
  const groupings = [placesIn(environments, "field"), placesIn(environments, "season")];
  const weighed = sds.flatMap((own) => {
    const clusters = environments.map((one) => clusterOf(one, own));
    const logOwn = clusters.reduce(
      (sum, one) => sum + one.logLikelihood,
      -0.5 * (own / priors.seasonSpread) ** 2,
    );
    return sds.map((shared) => ({
      log:
        logOwn + logOfShared(clusters, groupings, shared) - 0.5 * (shared / priors.fieldInSeasonSpread) ** 2,
      share: informationShare(environments, clusters, own, shared),
    }));
  });
  const most = weighed.reduce((top, { log }) => Math.max(top, log), -Infinity);
  const total = weighed.reduce((sum, { log }) => sum + Math.exp(log - most), 0);
  return weighed.reduce((sum, { log, share }) => sum + (share * Math.exp(log - most)) / total, 0);
}

function clusterOf(needs: readonly NeedThere[], own: number): Cluster {
  const weights = needs.map(({ variance }) => 1 / (variance + own ** 2));
  const weight = weights.reduce((a, b) => a + b, 0);
  const mean = needs.reduce((sum, { shift }, v) => sum + weights[v]! * shift, 0) / weight;
  const squares = needs.reduce((sum, { shift }, v) => sum + weights[v]! * (shift - mean) ** 2, 0);
  const logWeights = weights.reduce((sum, one) => sum + Math.log(one), 0);
  return {
    mean,
    variance: 1 / weight,
    logLikelihood: 0.5 * (logWeights - Math.log(weight) - squares),
  };
}

/** Each environment's field or season, as a number from 0 on. */
function placesIn(environments: readonly (readonly NeedThere[])[], of: "field" | "season"): number[] {
  const places = [...new Set(environments.map((needs) => needs[0]![of]))];
  return environments.map((needs) => places.indexOf(needs[0]![of]));
}

/** Of what the clusters leave once fields and seasons are taken off (as REML has it, where all are known alike). */
function logOfShared(
  clusters: readonly Cluster[],
  groupings: readonly (readonly number[])[],
  shared: number,
): number {
  const groups = groupings.reduce((sum, places) => sum + Math.max(...places) + 1, 0);
  const df = clusters.length - groups + 1;
  if (df <= 0) return 0;
  const weights = clusters.map(({ variance }) => 1 / (variance + shared ** 2));
  const left = leftOver(
    clusters.map(({ mean }) => mean),
    weights,
    groupings,
  );
  const logs = weights.reduce((sum, weight) => sum + Math.log(weight), 0);
  const squares = left.reduce((sum, one, e) => sum + one ** 2 * weights[e]!, 0);
  return 0.5 * ((df / clusters.length) * logs - squares);
}

/** Rounds of fields and seasons by turns, at the most, and the change of a group that ends them. */
const rounds = 30;
const still = 1e-4;

/** What lies beside field and season, each fitted by turns. */
function leftOver(
  values: readonly number[],
  weights: readonly number[],
  groupings: readonly (readonly number[])[],
): number[] {
  const left = [...values];
  for (let round = 0; round < rounds; round++) {
    const moved = groupings.map((places) => {
      const count = Math.max(...places) + 1;
      const [sums, of] = [new Float64Array(count), new Float64Array(count)];
      places.forEach((place, e) => {
        sums[place]! += weights[e]! * left[e]!;
        of[place]! += weights[e]!;
      });
      places.forEach((place, e) => (left[e]! -= sums[place]! / of[place]!));
      return sums.reduce((most, sum, place) => Math.max(most, Math.abs(sum / of[place]!)), 0);
    });
    if (Math.max(...moved) < still) break;
  }
  return left;
}

/** What is known of the clusters as clusters, of what would be known were every variety a witness by itself. */
function informationShare(
  environments: readonly (readonly NeedThere[])[],
  clusters: readonly Cluster[],
  own: number,
  shared: number,
): number {
  const known = clusters.reduce((sum, { variance }) => sum + 1 / (variance + shared ** 2), 0);
  const alone = environments.reduce(
    (sum, needs) =>
      sum + needs.reduce((all, { variance }) => all + 1 / (variance + own ** 2 + shared ** 2), 0),
    0,
  );
  return known / alone;
}
