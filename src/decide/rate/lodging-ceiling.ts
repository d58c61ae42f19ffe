/**
 * The highest rate that lodging allows.
 *
 * Reads `LodgingBelief`s at any limit and any rate, without fitting again: cheap enough for a slider.
 */
import { mean } from "simple-statistics";
import { normalCdf, normalQuantile } from "../../maths/distributions.ts";
import { remembered } from "../../maths/remembered.ts";
import type {
  Curve,
  CurvePoint,
  LodgingBelief,
  LodgingByRate,
  LodgingCeiling,
  Reason,
  VarietyLodging,
} from "../../vocabulary/result.ts";
import type { Settings } from "../../vocabulary/settings.ts";

const logit = (share: number): number => Math.log(share / (1 - share));

/** Mean and variance of the log odds at a rate in a season to come, for one belief. */
function seasonToCome(belief: LodgingBelief, riseSeedsPerM2: number): { mean: number; sd: number } {
  const { level, slope, levelVariance, slopeVariance, covariance, seasonVariance } = belief;
  const variance =
    levelVariance + 2 * riseSeedsPerM2 * covariance + riseSeedsPerM2 ** 2 * slopeVariance + seasonVariance;
  return { mean: level + slope * riseSeedsPerM2, sd: Math.sqrt(variance) };
}

/**
 * Chance that in a coming season more of a field lodges than a limit.
 *
 * @param limit share of the scale, 0 to 1
 * @returns 0 to 1, or null where nothing is believed of this variety
 */
export function chanceOverLimit(
  lodging: VarietyLodging,
  rateSeedsPerM2: number,
  limit: number,
): number | null {
  if (lodging.beliefs.length === 0) return null;
  if (limit <= 0) return 1;
  if (limit >= 1) return 0;
  const threshold = logit(limit);
  const rise = rateSeedsPerM2 - lodging.centreSeedsPerM2;
  const chance = lodging.beliefs.reduce((sum, belief) => {
    const { mean, sd } = seasonToCome(belief, rise);
    return sum + belief.weight * normalCdf((mean - threshold) / sd);
  }, 0);
  return lodging.chanceOfAny * chance;
}

/** Equally likely seasons that an expectation is averaged over. */
const seasonScores = Array.from({ length: 24 }, (_, i) => normalQuantile((i + 0.5) / 24));

/** Share expected to lodge in a coming season; null where nothing is believed of this variety. */
export function expectedShare(lodging: VarietyLodging, rateSeedsPerM2: number): number | null {
  if (lodging.beliefs.length === 0) return null;
  const rise = rateSeedsPerM2 - lodging.centreSeedsPerM2;
  const share = lodging.beliefs.reduce((sum, belief) => {
    const { mean, sd } = seasonToCome(belief, rise);
    const shares = seasonScores.reduce((all, z) => all + 1 / (1 + Math.exp(-(mean + sd * z))), 0);
    return sum + (belief.weight * shares) / seasonScores.length;
  }, 0);
  return lodging.chanceOfAny * share;
}

/** Chance that lodging rises with rate at all. */
const chanceOfRise = (lodging: VarietyLodging): number =>
  lodging.beliefs.reduce(
    (sum, { weight, slope, slopeVariance }) => sum + weight * normalCdf(slope / Math.sqrt(slopeVariance)),
    0,
  );

/** Below this chance that lodging rises with rate, sowing less would not help, so no ceiling is set. */
const surenessOfRise = 0.8;

/**
 * Highest tested rate up to which the chance of too much lodging stays within `settings.lodgingChance`.
 *
 * A stricter limit or chance never raises it. No rate beyond the tested ones is judged.
 *
 * @returns `found`; `open` when all tested rates are within; `at-lowest` when even the lowest is not; `none` with a reason
 * when the strips do not say
 */
export function findLodgingCeiling(
  lodging: VarietyLodging | undefined,
  settings: Pick<Settings, "lodgingLimit" | "lodgingChance">,
): LodgingCeiling {
  if (lodging === undefined) return { kind: "none", reason: "not-scored" };
  if (lodging.reason !== "") return { kind: "none", reason: lodging.reason };
  if (chanceOfRise(lodging) < surenessOfRise) return { kind: "none", reason: "rate-not-shown" };
  const [lowest, highest] = lodging.testedSeedsPerM2;
  const within = (rate: number): boolean =>
    chanceOverLimit(lodging, rate, settings.lodgingLimit)! <= settings.lodgingChance;
  if (!within(lowest)) return { kind: "at-lowest", rateSeedsPerM2: lowest };
  const steps = 64;
  for (let step = 1; step <= steps; step++) {
    const rateAt = (part: number): number => lowest + ((highest - lowest) * part) / steps;
    if (within(rateAt(step))) continue;
    let low = rateAt(step - 1);
    let high = rateAt(step);
    for (let i = 0; i < 40; i++) {
      const middle = (low + high) / 2;
      if (within(middle)) low = middle;
      else high = middle;
    }
    return { kind: "found", rateSeedsPerM2: low };
  }
  return { kind: "open" };
}

/** Seasons in which the variety lodged above the limit at the tested rate nearest to a rate, and seasons scored. */
export function countLodgedSeasons(
  lodging: VarietyLodging,
  rateSeedsPerM2: number,
  limit: number,
): { lodged: number; scored: number } {
  const lodged = new Map<number, boolean>();
  for (const { season, rates } of lodging.seen) {
    const nearest = rates.reduce((best, here) =>
      Math.abs(here.rateSeedsPerM2 - rateSeedsPerM2) < Math.abs(best.rateSeedsPerM2 - rateSeedsPerM2)
        ? here
        : best,
    );
    lodged.set(season, (lodged.get(season) ?? false) || nearest.share > limit);
  }
  return { lodged: [...lodged.values()].filter(Boolean).length, scored: lodged.size };
}

/**
 * The reasons of a choice; where lodging is one, with the seasons in which it lodged too much at today's rate, if that is
 * known.
 */
export const withLodgedSeasons = (
  reasons: readonly Reason[],
  lodging: VarietyLodging | undefined,
  rateNowSeedsPerM2: number | null,
  { lodgingLimit }: Pick<Settings, "lodgingLimit">,
): Reason[] =>
  reasons.map((reason) =>
    reason.code === "lodging-ceiling" && lodging !== undefined && rateNowSeedsPerM2 !== null
      ? {
          ...reason,
          numbers: { ...reason.numbers, ...countLodgedSeasons(lodging, rateNowSeedsPerM2, lodgingLimit) },
        }
      : reason,
  );

/** Lodging at each tested rate of a variety; empty where nothing is believed of it. */
export function tabulateLodging(lodging: VarietyLodging, limit: number): LodgingByRate[] {
  if (lodging.beliefs.length === 0) return [];
  const seen = new Map<number, number[]>();
  for (const { rateSeedsPerM2, share } of lodging.seen.flatMap(({ rates }) => rates)) {
    const shares = seen.get(rateSeedsPerM2);
    if (shares === undefined) seen.set(rateSeedsPerM2, [share]);
    else shares.push(share);
  }
  return [...seen]
    .sort(([a], [b]) => a - b)
    .map(([rateSeedsPerM2, shares]) => ({
      variety: lodging.variety,
      scale: lodging.scale,
      rateSeedsPerM2,
      seenShare: mean(shares),
      expectedShare: expectedShare(lodging, rateSeedsPerM2)!,
      chanceOverLimit: chanceOverLimit(lodging, rateSeedsPerM2, limit)!,
    }));
}

/**
 * Two curves over the tested rates: the share lodged to expect in a season to come, with the band of four seasons in five;
 * and the chance that it is above the limit.
 */
export function drawLodging(lodging: VarietyLodging, limit: number): Curve[] {
  if (lodging.beliefs.length === 0) return [];
  return [
    drawExpected(lodging),
    drawCurve("lodging-chance", lodging, (rate) => ({
      rateSeedsPerM2: rate,
      value: chanceOverLimit(lodging, rate, limit)!,
      lower: null,
      upper: null,
    })),
  ];
}

/** Expected curves depend on neither price nor limit, so each is drawn once. */
const drawExpected = remembered((lodging: VarietyLodging): Curve =>
  drawCurve("lodging", lodging, (rate) => ({
    rateSeedsPerM2: rate,
    value: expectedShare(lodging, rate)!,
    lower: shareExceededBy(lodging, rate, 0.9),
    upper: shareExceededBy(lodging, rate, 0.1),
  })),
);

/** Points of a drawn curve. */
const drawnPoints = 41;

function drawCurve(
  kind: Curve["kind"],
  { variety, testedSeedsPerM2: [lowest, highest] }: VarietyLodging,
  pointAt: (rate: number) => CurvePoint,
): Curve {
  const rates = Array.from(
    { length: drawnPoints },
    (_, i) => lowest + ((highest - lowest) * i) / (drawnPoints - 1),
  );
  return { kind, variety, environment: null, points: rates.map(pointAt) };
}

/** The share of lodging that a season exceeds with a given chance, found by bisection. */
function shareExceededBy(lodging: VarietyLodging, rateSeedsPerM2: number, chance: number): number {
  let low = 0;
  let high = 1;
  for (let i = 0; i < 20; i++) {
    const middle = (low + high) / 2;
    if (chanceOverLimit(lodging, rateSeedsPerM2, middle)! > chance) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
