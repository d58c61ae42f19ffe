/**
 * What the needs found in single environments show about the fields: whether fields differ year after year, and how
 * much each variety of an environment counts as evidence of that.
 */
import { normalCdf } from "../../maths/distributions.ts";
import type { Priors } from "../../vocabulary/settings.ts";
import { fieldsUnderSds, type FieldsAt, type SeenThere } from "./fields-and-seasons.ts";

/** What the needs say about the fields. */
export interface AboutFields {
  /** For the two most clearly different fields: chance that the one that seems to need more seed does, 0.5 to 1. */
  chanceTheyDiffer: number;
  /**
   * Share of information left in an environment's varieties, because what they have in common makes them one cluster:
   * one over the design effect (Kish 1965, Survey Sampling), 1 for one variety.
   */
  share: number;
}

/** Sds of log need that are weighed. */
const unlike = [0, 0.04, 0.08, 0.12, 0.16, 0.2, 0.25, 0.32];
/** The least is so small that fields are alike. */
const lasting = [0.02, 0.07, 0.13, 0.2, 0.3, 0.45];

/**
 * Needs on only one field say nothing.
 *
 * @param needs  of each variety and environment, in log, against the variety's need on the farm
 */
export function aboutFields(needs: readonly SeenThere[], priors: Priors): AboutFields {
  const fields = [...new Set(needs.map(({ field }) => field))];
  if (fields.length < 2) return { chanceTheyDiffer: 0.5, share: 1 };
  const under = fieldsUnderSds(
    needs,
    fields,
    { own: unlike, common: unlike, lasting },
    { own: priors.seasonSpread, common: priors.fieldInSeasonSpread, lasting: priors.fieldSpread },
  );
  const average = (of: (one: FieldsAt) => number): number =>
    under.reduce((sum, one) => sum + one.weight * of(one), 0);
  const likeliest = under.reduce((best, one) => (one.weight > best.weight ? one : best));
  const [f, g] = clearestPair(likeliest, fields.length);
  const inEnvironments = new Set(needs.map(({ environment }) => environment)).size;
  return {
    chanceTheyDiffer: average(({ clearness }) => normalCdf(clearness(f, g))),
    share: inEnvironments === needs.length ? 1 : average(({ share }) => share),
  };
}

/** Two fields, the one that needs more first. */
function clearestPair({ clearness }: FieldsAt, fields: number): [number, number] {
  let [best, most]: [[number, number], number] = [[0, 1], -Infinity];
  for (let f = 0; f < fields; f++)
    for (let g = 0; g < fields; g++)
      if (f !== g && clearness(f, g) > most) [best, most] = [[f, g], clearness(f, g)];
  return best;
}
