/** What is believed of a variety without any strips. */
import { normalQuantile } from "../../maths/distributions.ts";
import { responseOdds, type PartOnFarm, type ResponseAtNeed } from "./lean-on-region.ts";
import { remembered } from "../../maths/remembered.ts";
import { afterRecommended, type Recommended } from "./recommended-rate.ts";
import { seasonSpreads, wholeGrid } from "./curve-grid.ts";
import type { BelievableCurve, Belief } from "../../vocabulary/result.ts";
import type { NormalPart } from "../../vocabulary/region.ts";
import { usualNeed, type Settings } from "../../vocabulary/settings.ts";

const curvesKept = 300;

/**
 * Curves spread evenly over the priors of `settings.priors`, each with the same weight.
 *
 * The need is centred on the settings' or the crop's usual rate; if the farm's other varieties are known, on theirs,
 * with the spread between varieties. Points of a Halton sequence stand for the product of the priors, so nothing is
 * drawn at random (Halton 1960, Numerische Mathematik 2:84).
 *
 * @param need         where the log need may be, if something else shows it, such as a region
 * @param recommended  what the rate that came with the variety says about it
 */
export function firstBelief(
  settings: Settings,
  others: readonly Pick<Belief, "curves">[],
  need: readonly (NormalPart & Partial<PartOnFarm>)[] = [needAmong(settings, others)],
  recommended: Recommended | null = null,
): BelievableCurve[] {
  const { parts } = afterRecommended(need, recommended);
  const { priors } = settings;
  const centre = Math.exp(parts.reduce((sum, { weight, logNeed }) => sum + weight * logNeed, 0));
  const { rays } = wholeGrid(priors, [centre, centre]);
  const rayWeights = rays.map((ray) => Math.exp(priors.flat ? ray.logFlatPrior : ray.logPrior));
  const weightsUnder = remembered((response: ResponseAtNeed) => {
    const odds = responseOdds(response, priors);
    return rays.map((ray, r) => rayWeights[r]! * odds(ray));
  });
  const spreadWeights = seasonSpreads.map((spread) =>
    priors.flat ? 1 : Math.exp(-0.5 * (spread / priors.seasonSpread) ** 2),
  );
  const needWeights = parts.map(({ weight }) => weight);
  const nones = Math.round(curvesKept * priors.noResponseChance);
  const weight = 1 / curvesKept;
  const none = {
    shape: 0,
    needSeedsPerM2: centre,
    loss: 0,
    decline: 0,
    shoulder: 0,
    seasonSpread: 0,
    place: 0,
  };
  const curves: BelievableCurve[] = nones > 0 ? [{ ...none, weight: nones * weight }] : [];
  for (let i = 1; i <= curvesKept - nones; i++) {
    const { logNeed, sd, response } = parts[pick(needWeights, halton(i, 7))]!;
    const weights = response === undefined ? rayWeights : weightsUnder(response);
    const { shape, loss, decline, shoulder } = rays[pick(weights, halton(i, 2))]!;
    curves.push({
      weight,
      shape,
      loss,
      decline,
      shoulder,
      needSeedsPerM2: Math.exp(logNeed + sd * normalQuantile(halton(i, 3))),
      seasonSpread: seasonSpreads[pick(spreadWeights, halton(i, 5))]!,
      place: 0,
    });
  }
  return curves;
}

function needAmong({ priors, crop }: Settings, others: readonly Pick<Belief, "curves">[]): NormalPart {
  const needs = others.map(meanLogNeed);
  const usual = Math.log(usualNeed(crop, priors));
  return needs.length === 0
    ? { weight: 1, logNeed: usual, sd: priors.needSdLog }
    : {
        weight: 1,
        logNeed: needs.reduce((sum, need) => sum + need, 0) / needs.length,
        sd: priors.needBetweenSdLog * Math.sqrt(1 + 1 / needs.length),
      };
}

const meanLogNeed = ({ curves }: Pick<Belief, "curves">): number =>
  curves.reduce((sum, curve) => sum + curve.weight * Math.log(curve.needSeedsPerM2), 0) /
  curves.reduce((sum, curve) => sum + curve.weight, 0);

/** The digits of `index` in a base, mirrored after the point: between 0 and 1. */
function halton(index: number, base: number): number {
  let [sum, part] = [0, 1 / base];
  for (let left = index; left > 0; left = Math.floor(left / base), part /= base) sum += (left % base) * part;
  return sum;
}

/** Index whose share of the summed weights holds `place`, 0 to 1. */
function pick(weights: readonly number[], place: number): number {
  const wanted = place * weights.reduce((sum, weight) => sum + weight, 0);
  let sum = 0;
  for (const [index, weight] of weights.entries()) {
    sum += weight;
    if (wanted < sum) return index;
  }
  return weights.length - 1;
}
