/**
 * What the needs of a farm's varieties may have in common: on a farm alone, a centre about which their logarithms are normal
 * with a common sd; on a farm in a known region, how far the farm lies from its region (`lean-on-region.ts`).
 */
import { placesOn, type LogAxis } from "../../maths/log-axis.ts";
import { bell, normalise } from "../../maths/normal-weights.ts";
import type { NormalPart } from "../../vocabulary/region.ts";
import type { Priors } from "../../vocabulary/settings.ts";

export interface CommonGround {
  /** What the log need of a variety may be on it. */
  needOf: (variety: string) => readonly NormalPart[];
}

/** Standard deviations of the log need between a farm's varieties, weighed by a half-normal prior. */
const betweenSds = [0.03, 0.08, 0.15, 0.25, 0.4];

/** The grounds of a farm known only from its own strips: each of these standard deviations around each centre. */
export const farmGrounds = (wholeNeeds: LogAxis): CommonGround[] =>
  betweenSds.flatMap((sd) =>
    placesOn(wholeNeeds).map((logNeed) => {
      const need = [{ weight: 1, logNeed, sd }];
      return { needOf: () => need };
    }),
  );

/** Prior weight of each of these grounds, with the centre around a given need; they sum to 1. */
export function farmGroundWeights(
  wholeNeeds: LogAxis,
  { needSdLog, needBetweenSdLog }: Pick<Priors, "needSdLog" | "needBetweenSdLog">,
  flat: boolean,
  needSeedsPerM2: number,
): number[] {
  const centreSd = Math.sqrt(Math.max(needSdLog ** 2 - needBetweenSdLog ** 2, 0.05 ** 2));
  const sdWeights = normalise(betweenSds.map((sd) => bell(sd, needBetweenSdLog)));
  const centreWeights = normalise(
    placesOn(wholeNeeds).map((centre) => (flat ? 1 : bell(centre - Math.log(needSeedsPerM2), centreSd))),
  );
  return sdWeights.flatMap((sdWeight) => centreWeights.map((centreWeight) => sdWeight * centreWeight));
}
