/** What was known after the first season, the second, and so on. */
import type { LearningStep, PositionTerm } from "../pooled-result.ts";
import { fitPooledForm } from "./fit-pooled-form.ts";
import { slopeEstimateOf } from "./pooled-estimates.ts";
import { findVarianceUncertainty } from "./satterthwaite.ts";
import { layOutTrial } from "./trial-layout.ts";
import type { LaidVariety, TrialLayout } from "./trial-layout.ts";

/**
 * The pooled quadratic of each variety from all seasons up to each one, variances estimated afresh every time.
 *
 * @param seasonOf  season of each environment
 */
export function followLearning(
  cells: readonly LaidVariety[],
  seasonOf: ReadonlyMap<string, number>,
  trend: PositionTerm | "none",
): LearningStep[] {
  const seasons = [...new Set(cells.map(({ environment }) => seasonOf.get(environment)!))].sort(
    (a, b) => a - b,
  );
  let last: { names: string; theta: Float64Array } | null = null;
  return seasons.flatMap((season) => {
    const sofar = cells.filter(({ environment }) => seasonOf.get(environment)! <= season);
    const layout = layOutTrial(sofar, trend);
    if (layout === null) return [];
    const names = layout.sums.terms.map(({ name }) => name).join();
    const start = last?.names === names ? { theta: last.theta } : undefined;
    const quadratic = fitPooledForm(layout, "quadratic", "own", "REML", start);
    last = { names, theta: quadratic.fit.theta };
    const uncertainty = findVarianceUncertainty(quadratic.model, quadratic.fit);
    return [
      {
        season,
        environments: layout.environments.length,
        strips: layout.sums.observations,
        varieties: layout.varieties.map((variety, v) => ({
          variety,
          environments: sofar.filter((fit) => fit.variety === variety).length,
          testedSeedsPerM2: testedRange(layout, v),
          slope: slopeEstimateOf(layout, quadratic, uncertainty, v),
        })),
      },
    ];
  });
}

/** Lowest and highest rate of a variety. */
export function testedRange({ treatments }: TrialLayout, variety: number): [number, number] {
  let [lowest, highest] = [Infinity, -Infinity];
  for (const treatment of treatments) {
    if (treatment.variety !== variety) continue;
    lowest = Math.min(lowest, treatment.rateSeedsPerM2);
    highest = Math.max(highest, treatment.rateSeedsPerM2);
  }
  return [lowest, highest];
}
