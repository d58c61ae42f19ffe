/**
 * The rate that came with a variety, as one weak piece of evidence about its need.
 *
 * Suppliers state where a variety did well in their own trials. The log of the need is taken as normal around the log
 * of that rate, with the sd of `settings.priors.recommendedSdLog`. It says nothing about whether yield responds at all.
 */
import type { NormalPart } from "../../vocabulary/region.ts";
import type { Settings } from "../../vocabulary/settings.ts";

/** What a recommended rate says about the log need. */
export interface Recommended {
  logNeed: number;
  sd: number;
}

/** What the lots say about a variety's need; null where they give no rate that came with it. */
export function recommendedFor(
  variety: string,
  { lots, priors }: Pick<Settings, "lots" | "priors">,
): Recommended | null {
  const rate = lots.find((lot) => lot.variety === variety)?.recommendedSeedsPerM2 ?? null;
  return rate === null ? null : { logNeed: Math.log(rate), sd: priors.recommendedSdLog };
}

/**
 * Bayes' rule for a mixture of normal distributions and one normal observation.
 *
 * @returns the mixture afterwards, its weights summing to 1; and how likely it made the observation, up to a factor that is
 *   the same for every mixture
 */
export function afterRecommended<Part extends NormalPart>(
  parts: readonly Part[],
  recommended: Recommended | null,
): { parts: readonly Part[]; evidence: number } {
  if (recommended === null) return { parts, evidence: 1 };
  const told = recommended.sd ** 2;
  const weighed = parts.map((part): Part => {
    const { weight, logNeed, sd } = part;
    const variance = sd ** 2 + told;
    const off = recommended.logNeed - logNeed;
    return {
      ...part,
      weight: (weight * Math.exp((-off * off) / (2 * variance))) / Math.sqrt(variance),
      logNeed: logNeed + (off * sd ** 2) / variance,
      sd: Math.sqrt((sd ** 2 * told) / variance),
    };
  });
  const evidence = weighed.reduce((sum, { weight }) => sum + weight, 0);
  return { parts: weighed.map((part) => ({ ...part, weight: part.weight / evidence })), evidence };
}
