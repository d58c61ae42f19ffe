/** Five years on one simulated farm: each year's strips move each variety by one bounded step. */
import { netReturns, varietyPrices } from "../../src/decide/rate/net-return.ts";
import { chooseRate } from "../../src/decide/rate/next-rate.ts";
import { believeCurves } from "../../src/model/beliefs/believable-curves.ts";
import { defaultSettings } from "../../src/vocabulary/settings.ts";
import { toMoneyPerAcre } from "../../src/numbers/units.ts";
import { factsOf, noQuality, tabulateTruth } from "./score-farm.ts";
import { simulateFarm, type SimulatedFarm } from "./simulate-farm.ts";
import type { Family } from "./truths.ts";

export const chainYears = 5;

/** One variety of one farm. Money over the years after the first [$/ac], against sowing the first year's rate throughout. */
export interface ChainScore {
  family: string;
  earned: number;
  /** What the best tested rate would have brought in the same years. */
  possible: number;
}

/** The first year is sown at today's rate while its strips grow; each later year follows the strips before it. */
export function scoreChain(family: Family, number: number): ChainScore[] {
  const farm = simulateFarm(family, chainYears, number);
  const { grainPricePerKg, seedPricePerThousand } = farm;
  const settings = { ...defaultSettings, grainPricePerKg, seedPricePerThousand };
  const prices = { grainPerKg: grainPricePerKg, seedPerM2: 10 * seedPricePerThousand };
  const firstYear = Math.min(...farm.cells.map(({ season }) => season));
  const beliefsByYear = Array.from({ length: chainYears - 1 }, (_, year) =>
    believeCurves(
      farm.cells.filter(({ season }) => season <= firstYear + year),
      settings,
    ),
  );
  return farm.varieties.map((variety) => {
    const atFirst = variety.rateNowSeedsPerM2;
    let sown = atFirst;
    let [earned, possible] = [0, 0];
    for (const beliefs of beliefsByYear) {
      const belief = beliefs.find((one) => one.variety === variety.variety);
      if (belief !== undefined) {
        const net = netReturns(belief, varietyPrices(belief, noQuality, settings));
        sown = chooseRate(belief, net, factsOf(belief), {
          ...settings,
          rateNowSeedsPerM2: sown,
        }).rateNextSeedsPerM2!;
      }
      const truth = tabulateTruth(variety.expectedYield, testedOn(farm, variety.variety), prices);
      earned += toMoneyPerAcre(truth.net(sown) - truth.net(atFirst));
      possible += toMoneyPerAcre(truth.most - truth.net(atFirst));
    }
    return { family: family.name, earned, possible };
  });
}

function testedOn(farm: SimulatedFarm, variety: string): [number, number] {
  const rates = farm.cells
    .filter((one) => one.variety === variety)
    .flatMap(({ cells }) => cells.map(({ rateSeedsPerM2 }) => rateSeedsPerM2));
  return [Math.min(...rates), Math.max(...rates)];
}
