/** Heads against seeding rate: how far plants make up for a thin stand. */
import { mean } from "simple-statistics";
import { environmentId } from "../../vocabulary/environments.ts";
import { fitWithinGroups } from "../../maths/within-groups.ts";
import type { Tillering } from "../../vocabulary/result.ts";
import type { Strip } from "../../vocabulary/trial.ts";
import { groupBy } from "../../maths/group-by.ts";
import { rateClasses } from "./rate-classes.ts";

/**
 * Heads by rate for each variety whose heads were counted, sorted by name; heads per plant where the stand was counted too.
 *
 * The answer is the slope of log heads on log plants within environments, less 1: −1 when any stand gives the same heads.
 * Counting errors of the stand draw it toward −1.
 */
export function modelTillering(strips: readonly Strip[]): Tillering[] {
  const counted = strips.filter((strip) => strip.headsPerM2 !== null && strip.headsPerM2 > 0);
  return groupBy(counted, (strip) => strip.variety).map(([variety, own]) => ({
    variety,
    rates: headsByRate(own),
    answer: answerToStand(
      own.filter((strip) => strip.standPlantsPerM2 !== null && strip.standPlantsPerM2 > 0),
    ),
  }));
}

/** Means over the environments' own means, so that a field with many strips does not outweigh others. */
function headsByRate(strips: readonly Strip[]): Tillering["rates"] {
  const toldAs = rateClasses(strips.map((strip) => strip.rateSeedsPerM2));
  return groupBy(strips, (strip) => String(toldAs(strip.rateSeedsPerM2)))
    .map(([, alike]) => {
      const environments = groupBy(alike, environmentId).map(([, inside]) => inside);
      const perPlant = environments.flatMap((inside) => {
        const both = inside.filter((strip) => strip.standPlantsPerM2 !== null && strip.standPlantsPerM2 > 0);
        const plants = both.reduce((sum, strip) => sum + strip.standPlantsPerM2!, 0);
        return plants > 0 ? [both.reduce((sum, strip) => sum + strip.headsPerM2!, 0) / plants] : [];
      });
      return {
        rateSeedsPerM2: toldAs(alike[0].rateSeedsPerM2),
        strips: alike.length,
        headsPerM2: mean(environments.map((inside) => mean(inside.map((strip) => strip.headsPerM2!)))),
        headsPerPlant: perPlant.length === 0 ? null : mean(perPlant),
      };
    })
    .sort((a, b) => a.rateSeedsPerM2 - b.rateSeedsPerM2);
}

function answerToStand(strips: readonly Strip[]): Tillering["answer"] {
  const environments = new Map(groupBy(strips, environmentId).map(([id], i) => [id, i]));
  const { slope } = fitWithinGroups(
    strips.map((strip) => environments.get(environmentId(strip))!),
    strips.map((strip) => Math.log(strip.standPlantsPerM2!)),
    strips.map((strip) => Math.log(strip.headsPerM2!)),
    environments.size,
  );
  return slope && { estimate: slope.estimate - 1, standardError: slope.standardError, df: slope.df };
}
