/**
 * One believable response curve: a rise to the need, and a fall beyond a shoulder.
 *
 * y(x) = level + mean yield · (loss · rise(u) + decline · fall(u)), u = x / need. Each season has a need of its own,
 * log-normal about the curve's; a rate is judged by its average over the seasons that may come.
 */
import type { RiseName } from "../../vocabulary/rises.ts";
import type { BelievableCurve } from "../../vocabulary/result.ts";

/** Factor that scales the square-root function to a loss of 1 at 0.6 of the need. */
const squareRootAt = 1 - Math.sqrt(0.6);

/** How yield comes up to its top: 0 at the top, −1 at 0.6 of the need. Shares are our own choice, not measured. */
export const riseShapes: readonly {
  name: RiseName;
  share: number;
  falls: boolean;
  rise: (u: number) => number;
}[] = [
  { name: "linear-plateau", share: 0.2, falls: true, rise: (u) => Math.min(u - 1, 0) / 0.4 },
  { name: "quadratic-plateau", share: 0.2, falls: true, rise: (u) => -((Math.min(u - 1, 0) / 0.4) ** 2) },
  // The next two fall again by themselves: as steeply as they rise, or less steeply.
  { name: "quadratic", share: 0.1, falls: false, rise: (u) => -(((u - 1) / 0.4) ** 2) },
  { name: "exponential", share: 0.25, falls: true, rise: (u) => -Math.exp(-3.2 * (u - 0.6)) },
  // The square-root response function, a + b√x + cx; the form is common practice, no source read.
  {
    name: "square root",
    share: 0.15,
    falls: false,
    rise: (u) => -(((Math.sqrt(u) - 1) / squareRootAt) ** 2),
  },
  // Yield per plant is reciprocal in the density (Willey & Heath 1969, Advances in Agronomy 21, judge this family best
  // founded).
  { name: "reciprocal", share: 0.1, falls: true, rise: (u) => -0.7 / (u + 0.1) },
];

/** Where the fall begins, as a share of the need beyond it. */
export const shoulders: readonly number[] = [0, 0.2, 0.5];

/** 0 up to the shoulder, −1 half a need past it. */
export const fall = (u: number, shoulder: number): number => -((Math.max(u - 1 - shoulder, 0) / 0.5) ** 2);

/** Kinds of season: shifts of log need in standard deviations, and how often each comes. */
export const seasonKinds: readonly { shift: number; weight: number }[] = normalNodes(7, 0.75);

/** Evenly spaced shifts with the weights of a normal distribution. */
function normalNodes(count: number, step: number): { shift: number; weight: number }[] {
  const shifts = Array.from({ length: count }, (_, i) => (i - (count - 1) / 2) * step);
  const total = shifts.reduce((sum, z) => sum + Math.exp((-z * z) / 2), 0);
  return shifts.map((shift) => ({ shift, weight: Math.exp((-shift * shift) / 2) / total }));
}

/**
 * Yield at a rate in a season whose log need is shifted, relative to the mean yield and without the level.
 *
 * @returns share of the mean yield, 0 at the top of the curve and below 0 elsewhere
 */
export function relativeYield(curve: BelievableCurve, rateSeedsPerM2: number, shift: number): number {
  if (curve.loss === 0 && curve.decline === 0) return 0;
  const u = rateSeedsPerM2 / (curve.needSeedsPerM2 * Math.exp(shift));
  return (
    curve.loss * riseShapes[curve.shape]!.rise(u) +
    (curve.decline === 0 ? 0 : curve.decline * fall(u, curve.shoulder))
  );
}

const farmItself: readonly number[] = [0];

/**
 * The curve averaged over the seasons that may come, at each rate [share of the mean yield].
 *
 * @param fields  shifts of log need of the fields to average over; none: at the farm's need
 */
export function averageOverSeasons(
  curve: BelievableCurve,
  ratesSeedsPerM2: ArrayLike<number>,
  fields: readonly number[] = farmItself,
): Float64Array {
  const average = new Float64Array(ratesSeedsPerM2.length);
  const { shape, loss, decline, shoulder, needSeedsPerM2, seasonSpread } = curve;
  if (loss === 0 && decline === 0) return average;
  const rise = inSeasons(riseShapes[shape]!.rise, seasonSpread);
  const falling = decline === 0 ? null : inSeasons(fallFrom(shoulder), seasonSpread);
  const places = fields.length === 0 ? farmItself : fields;
  for (const place of places) {
    const need = needSeedsPerM2 * Math.exp(place);
    for (let i = 0; i < average.length; i++) {
      const u = ratesSeedsPerM2[i]! / need;
      const at = seasonSpread === 0 ? NaN : (Math.log(u) + farthestLog) * stepsPerLog;
      const share = loss * readAt(rise, u, at) + (falling === null ? 0 : decline * readAt(falling, u, at));
      average[i]! += share / places.length;
    }
  }
  return average;
}

type OfNeed = (u: number) => number;

const fallsFrom = new Map<number, OfNeed>();

/** The same fall for the same shoulder, so that its averages are kept. */
function fallFrom(shoulder: number): OfNeed {
  const falls = fallsFrom.get(shoulder) ?? ((u: number) => fall(u, shoulder));
  fallsFrom.set(shoulder, falls);
  return falls;
}

/** Steps of log u at which a shape averaged over seasons is kept, and their range; between them it is linear. */
const stepsPerLog = 256;
const farthestLog = 4;

/** A rise or a fall averaged over the seasons that may come: as a formula, and as worked out at the steps of log u so far. */
interface InSeasons {
  exact: OfNeed;
  /** NaN where it was not needed yet; none where seasons are alike, because the formula is then as quick. */
  kept: Float64Array;
}

const known = new Map<OfNeed, Map<number, InSeasons>>();

function inSeasons(shape: OfNeed, seasonSpread: number): InSeasons {
  const ofShape = known.get(shape) ?? new Map<number, InSeasons>();
  known.set(shape, ofShape);
  const average = ofShape.get(seasonSpread) ?? {
    exact: seasonSpread === 0 ? shape : averaged(shape, seasonSpread),
    kept: new Float64Array(seasonSpread === 0 ? 0 : 2 * farthestLog * stepsPerLog + 1).fill(NaN),
  };
  ofShape.set(seasonSpread, average);
  return average;
}

const averaged = (shape: OfNeed, seasonSpread: number): OfNeed => {
  const kinds = seasonKinds.map(({ shift, weight }) => ({ weight, times: Math.exp(-shift * seasonSpread) }));
  return (u) => kinds.reduce((sum, { weight, times }) => sum + weight * shape(u * times), 0);
};

/** @param place  of log u among the steps; if it is outside them, the formula is used */
function readAt({ exact, kept }: InSeasons, u: number, place: number): number {
  const step = Math.floor(place);
  // As a product, which engines know to be a number.
  if (!(step >= 0 && step + 1 < kept.length)) return 1 * exact(u);
  const here = kept[step]!;
  const next = kept[step + 1]!;
  // NaN is not itself.
  if (here !== here || next !== next) {
    for (const one of [step, step + 1]) kept[one] = exact(Math.exp(one / stepsPerLog - farthestLog));
    return kept[step]! + (place - step) * (kept[step + 1]! - kept[step]!);
  }
  return here + (place - step) * (next - here);
}
