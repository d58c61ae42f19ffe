/** Grain protein against seeding rate: a straight line, environments with their own level. */
import { environmentId } from "../../vocabulary/environments.ts";
import { meanOfRandom } from "../../maths/random-effects.ts";
import { fitWithinGroups } from "../../maths/within-groups.ts";
import type { ProteinResponse } from "../../vocabulary/result.ts";
import type { Strip } from "../../vocabulary/trial.ts";
import { groupBy } from "../../maths/group-by.ts";

/**
 * Response of protein for each variety that was tested for it, sorted by name.
 *
 * Each variety's slope is estimated within its environments and drawn toward the mean slope of all by the share of its
 * error: few strips borrow from the others, many rely on themselves. A variety without a slope of its own has the mean
 * slope; where no variety has one, protein is taken not to change with rate.
 */
export function modelProtein(strips: readonly Strip[]): ProteinResponse[] {
  const tested = strips.filter((strip) => strip.proteinPct !== null);
  if (tested.length === 0) return [];
  const centre = tested.reduce((sum, strip) => sum + strip.rateSeedsPerM2, 0) / tested.length;
  const fits = groupBy(tested, (strip) => strip.variety).map(([variety, own]) => {
    const environments = groupBy(own, environmentId).map(([id]) => id);
    const number = new Map(environments.map((id, i) => [id, i]));
    const fit = fitWithinGroups(
      own.map((strip) => number.get(environmentId(strip))!),
      own.map((strip) => strip.rateSeedsPerM2),
      own.map((strip) => strip.proteinPct!),
      environments.length,
    );
    return { variety, strips: own.length, environments, fit };
  });

  const sloped = fits.filter(({ fit }) => fit.slope !== null && fit.slope.standardError > 0);
  const slopes = meanOfRandom(
    sloped.map(({ fit }) => fit.slope!.estimate),
    sloped.map(({ fit }) => fit.slope!.standardError ** 2),
  );
  const meanSlope = sloped.length === 0 ? 0 : slopes.mean;
  return fits.map(({ variety, strips: count, environments, fit }) => {
    const place = sloped.findIndex((other) => other.variety === variety);
    const slope = place === -1 ? (fit.slope?.estimate ?? meanSlope) : slopes.shrunk[place]!;
    return {
      variety,
      strips: count,
      centreSeedsPerM2: centre,
      slopePctPerSeedPerM2: slope,
      ownSlope: fit.slope && {
        estimate: fit.slope.estimate,
        standardError: fit.slope.standardError,
        df: fit.slope.df,
      },
      levels: environments.map((environment, i) => {
        const { meanX, meanY } = fit.groups[i]!;
        return { environment, proteinPct: meanY + slope * (centre - meanX) };
      }),
    };
  });
}
