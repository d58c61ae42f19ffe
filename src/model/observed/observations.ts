/** What was seen in the strips between seeding and harvest, against the rate: stand, heads, lodging, protein. */
import { lodgingScalesApart } from "../../messages/field.ts";
import { standLossOf } from "../../vocabulary/crops.ts";
import { speakingLodgings } from "../../vocabulary/speaking-lodging.ts";
import type { Observations } from "../../vocabulary/result.ts";
import type { Settings } from "../../vocabulary/settings.ts";
import type { Finding, Strip } from "../../vocabulary/trial.ts";
import { modelLodging } from "./lodging.ts";
import { modelProtein } from "./protein.ts";
import { modelStand } from "./stand.ts";
import { modelTillering } from "./tillering.ts";

/** No price and no limit enters. */
export function modelObservations(
  strips: readonly Strip[],
  { crop, priors }: Pick<Settings, "crop" | "priors">,
): {
  observations: Observations;
  findings: Finding[];
} {
  const { stand, farmStand, findings, slips } = modelStand(strips, standLossOf(crop).usual);
  const slipped = new Set(slips);
  const lodgingModels = modelLodging(strips, priors.lodging);
  return {
    observations: {
      stand,
      farmStand,
      // A count that is a slip is left out wherever counts are used.
      tillering: modelTillering(
        strips.map((strip) => (slipped.has(strip) ? { ...strip, standPlantsPerM2: null } : strip)),
      ),
      protein: modelProtein(strips),
      lodgingModels,
    },
    findings:
      lodgingModels.length < 2
        ? findings
        : [
            ...findings,
            lodgingScalesApart(
              lodgingModels.map(({ scale }) => scale),
              speakingLodgings(lodgingModels),
            ),
          ],
  };
}
