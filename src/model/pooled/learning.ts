/** What was known after the first season, the second, and so on. */
import type { LearningStep, PositionTerm } from "../../vocabulary/pooled-result.ts";
import { fitPooledForm } from "./fit-pooled-form.ts";
import type { StartingPoint } from "./fit-pooled-form.ts";
import { slopeEstimateOf } from "./pooled-estimates.ts";
import { findVarianceUncertainty } from "./satterthwaite.ts";
import { layOutTrial, restrictLayout } from "./trial-layout.ts";
import type { LaidVariety, TrialLayout } from "./trial-layout.ts";

/**
 * The pooled quadratic of each variety from all seasons up to each one, variances estimated afresh every time.
 *
 * @param whole     layout of all seasons
 * @param cells     what it was made from
 * @param seasonOf  season of each environment
 */
export function followLearning(
  whole: TrialLayout,
  cells: readonly LaidVariety[],
  seasonOf: ReadonlyMap<string, number>,
  trend: PositionTerm | "none",
): LearningStep[] {
  const seasons = [...new Set(cells.map(({ environment }) => seasonOf.get(environment)!))].sort(
    (a, b) => a - b,
  );
  let last: StartingPoint | undefined;
  return seasons.flatMap((season) => {
    const isKnown = (environment: string): boolean => seasonOf.get(environment)! <= season;
    const sofar = cells.filter(({ environment }) => isKnown(environment));
    const alike = restrictLayout(whole, new Set(whole.environments.filter(isKnown)));
    const layout = alike ?? layOutTrial(sofar, trend);
    if (layout === null) return [];
    const quadratic = fitPooledForm(layout, "quadratic", "own", "REML", alike === null ? undefined : last);
    if (alike !== null) last = { theta: quadratic.fit.theta };
    const uncertainty = findVarianceUncertainty(quadratic.model, quadratic.fit);
    return [
      {
        season,
        environments: layout.environments.length,
        strips: layout.sums.observations,
        // A variety that comes only in a later season has nothing to be learnt of yet.
        varieties: layout.varieties.flatMap((variety, v) => {
          const environments = sofar.filter((fit) => fit.variety === variety).length;
          const [lowest, highest] = testedRange(layout, v);
          if (environments === 0 || lowest > highest) return [];
          const slope = slopeEstimateOf(layout, quadratic, uncertainty, v);
          return [{ variety, environments, testedSeedsPerM2: [lowest, highest] as [number, number], slope }];
        }),
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
