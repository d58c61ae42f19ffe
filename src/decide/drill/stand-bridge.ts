/** From seed to plants and back, with this farm's own stand loss where it has enough counts. */
import type { Curve, ExpectedStand, Result } from "../../vocabulary/result.ts";
import type { Settings } from "../../vocabulary/settings.ts";
import { standOfRate } from "./sowing.ts";

/** A variety's own figure is used from this many counts in this many environments. */
const enoughCounts = 8;
const enoughEnvironments = 2;

/**
 * Stand to expect at a rate, and whose stand loss it uses.
 *
 * The variety's own figure where it has 8 counts in 2 environments, else the farm's where that has 12 in 2, else
 * `settings.standLoss` (15% where the season file says nothing else; common practice, no printed source).
 * A loss that rises with the rate is taken from the middle rate to this one.
 */
export function expectStand(
  variety: string,
  rateSeedsPerM2: number,
  { stand, farmStand }: Pick<Result, "stand" | "farmStand">,
  settings: Pick<Settings, "standLoss">,
): ExpectedStand {
  const of = (from: ExpectedStand["from"], loss: number): ExpectedStand => {
    const standLoss = Math.min(0.95, Math.max(0, loss));
    return { from, standLoss, plantsPerM2: standOfRate(rateSeedsPerM2, standLoss) };
  };
  if (farmStand?.suffices !== true) return of("setting", settings.standLoss);
  const rise =
    farmStand.perHundredSeeds === null
      ? 0
      : (farmStand.perHundredSeeds.estimate / 100) * (rateSeedsPerM2 - farmStand.centreSeedsPerM2);
  const own = stand.filter((row) => row.variety === variety);
  const toCome = own.find((row) => row.environment === null);
  return toCome !== undefined && toCome.counts >= enoughCounts && own.length - 1 >= enoughEnvironments
    ? of("variety", toCome.standLoss + rise)
    : of("farm", farmStand.standLoss + rise);
}

/** Points of a drawn curve. */
const drawnPoints = 21;

/** Plants to expect over the tested rates, with the range of four seasons in five where more than one was counted. */
export function drawStand(
  variety: string,
  [lowest, highest]: readonly [number, number],
  modelled: Pick<Result, "stand" | "farmStand">,
  settings: Pick<Settings, "standLoss">,
): Curve {
  const { lower, upper, standLoss } =
    modelled.stand.find((row) => row.variety === variety && row.environment === null) ??
    ({ lower: null, upper: null, standLoss: 0 } as const);
  return {
    kind: "stand",
    variety,
    environment: null,
    points: Array.from({ length: drawnPoints }, (_, i) => {
      const rate = lowest + ((highest - lowest) * i) / (drawnPoints - 1);
      const { plantsPerM2 } = expectStand(variety, rate, modelled, settings);
      return {
        rateSeedsPerM2: rate,
        value: plantsPerM2,
        lower: upper === null ? null : plantsPerM2 - rate * (upper - standLoss),
        upper: lower === null ? null : plantsPerM2 + rate * (standLoss - lower),
      };
    }),
  };
}
