/** From seed to plants and back, with this farm's own stand loss where its counts suffice. */
import type { ExpectedStand, StandModel } from "../result.ts";
import type { Settings } from "../settings.ts";
import { standOfRate } from "./sowing.ts";

/** A variety's own figure is used from so many counts in so many environments on. */
const enoughCounts = 8;
const enoughEnvironments = 2;

/**
 * Stand to expect at a rate, and whose stand loss it rests on.
 *
 * The variety's own figure where it has 8 counts in 2 environments, else the farm's where that has 12 in 2, else
 * `settings.standLoss` (15 % where the season file says nothing else; NDSU Extension, "Optimal Seeding Rates": 10–20 %).
 * A loss that rises with the rate is taken from the middle rate to this one.
 */
export function expectStand(
  variety: string,
  rateSeedsPerM2: number,
  stand: StandModel | null,
  settings: Pick<Settings, "standLoss">,
): ExpectedStand {
  const { from, atCentre } = lossOf(variety, stand, settings);
  const rise =
    from === "setting" || stand === null || stand.perHundredSeeds === null
      ? 0
      : (stand.perHundredSeeds.estimate / 100) * (rateSeedsPerM2 - stand.centreSeedsPerM2);
  const standLoss = Math.min(0.95, Math.max(0, atCentre + rise));
  return { from, standLoss, plantsPerM2: standOfRate(rateSeedsPerM2, standLoss) };
}

function lossOf(
  variety: string,
  stand: StandModel | null,
  settings: Pick<Settings, "standLoss">,
): { from: ExpectedStand["from"]; atCentre: number } {
  const own = stand?.varieties.find((one) => one.variety === variety);
  if (stand?.suffices !== true) return { from: "setting", atCentre: settings.standLoss };
  if (own !== undefined && own.counts >= enoughCounts && own.environments >= enoughEnvironments)
    return { from: "variety", atCentre: own.standLoss };
  return { from: "farm", atCentre: stand.standLoss };
}
