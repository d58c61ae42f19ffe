/** What no curve gets right is alike in all environments of a variety, so that many of them count as fewer. */
import type { Priors } from "../../vocabulary/settings.ts";
import type { CurveGrid } from "./curve-grid.ts";
import { gridLikelihood, usualLimit, type GridLikelihood } from "./grid-likelihood.ts";
import type { EvidenceWithError } from "./strip-error.ts";

/**
 * The share with which each of so many environments counts: one over the design effect of a sample that is drawn in
 * clusters, as what no curve gets right is alike in all of them.
 *
 * No truth is quite a curve of the grid, and more strips do not put a wrong curve right: counted in full, many environments
 * made ranges too narrow. A likelihood to a power below 1, for a model that is not quite true, is the fractional posterior of
 * Bhattacharya, Pati & Yang (2019, Annals of Statistics 47:39).
 */
export const shareOfEach = (
  environments: number,
  { misfitCorrelation }: Pick<Priors, "misfitCorrelation">,
): number => 1 / (1 + misfitCorrelation * (environments - 1));

/** The likelihood of all of one variety's strips, its environments counting as `shareOfEach` has it. */
export function likelihoodOf(
  evidence: readonly EvidenceWithError[],
  grid: CurveGrid,
  priors: Pick<Priors, "strengthSpread" | "misfitCorrelation">,
): GridLikelihood {
  const share = shareOfEach(evidence.length, priors);
  const inFull = gridLikelihood(evidence, grid, 1, priors.strengthSpread, usualLimit / share);
  return toPower(inFull, share);
}

function toPower({ rays, logNoResponse }: GridLikelihood, power: number): GridLikelihood {
  if (power === 1) return { rays, logNoResponse };
  // Most places of most rays are 0; by a logarithm it takes half the time of a power.
  const raised = (value: number): number => (value === 0 ? 0 : Math.exp(power * Math.log(value)));
  return {
    rays: rays.map(({ ray, log, values }) => ({ ray, log: power * log, values: values.map(raised) })),
    logNoResponse: power * logNoResponse,
  };
}
