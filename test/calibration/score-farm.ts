/** One simulated farm decided by the engine and by its rivals, held against the truth. */
import { netReturns, varietyPrices, type NetReturns } from "../../src/decide/rate/net-return.ts";
import { chooseRate, type RateChoice } from "../../src/decide/rate/next-rate.ts";
import { rateByField } from "../../src/decide/rate/rate-by-field.ts";
import { believeCurves } from "../../src/model/beliefs/believable-curves.ts";
import type { Belief, Interval } from "../../src/vocabulary/result.ts";
import { defaultSettings, type Settings } from "../../src/vocabulary/settings.ts";
import { fromPricePerBushel, toMoneyPerAcre } from "../../src/numbers/units.ts";
import { chooseAsRivals, rivalNames, type FarmPrices, type RivalName } from "./rivals.ts";
import { simulateFarm, type SimulatedFarm, type SimulatedVariety } from "./simulate-farm.ts";
import type { Family } from "./truths.ts";

export type ChoiceName = "ours" | "next season" | RivalName | "staying put";
export const choiceNames: readonly ChoiceName[] = ["ours", "next season", ...rivalNames, "staying put"];

/** Grain in $/bu with seed in $ a million: thin margins, usual ones, and cheap seed. */
export const pricePairs = {
  "$4.5, $24": { grainPricePerKg: fromPricePerBushel(4.5, 60), seedPricePerThousand: 0.024 },
  "$6, $16": { grainPricePerKg: fromPricePerBushel(6, 60), seedPricePerThousand: 0.016 },
  "$8, $12": { grainPricePerKg: fromPricePerBushel(8, 60), seedPricePerThousand: 0.012 },
};
export type PriceName = "own" | keyof typeof pricePairs;

/** One variety of one farm at one pair of prices. Money in $/ac. */
export interface Score {
  family: string;
  seasons: number;
  /** Of the farm, whose varieties are not independent of each other. */
  farm: number;
  /** At the farm's own prices, or at one of `pricePairs`. */
  prices: PriceName;
  /** The rate named, and the best one [seeds/m²]. */
  named: number;
  best: number;
  /** On which side of each interval the best rate lies: −1 below, 0 inside, 1 above. */
  side: [number, number];
  /** What each choice earns less than the best tested rate, averaged over seasons to come. */
  lost: Record<ChoiceName, number>;
  /** Whether each interval held the best rate, and its width as a share of the tested range. */
  held: [boolean, boolean];
  width: [number, number];
  /** How much of the belief lies below and above each interval: less than its share where an end is the last rate tested. */
  beyond: [Beyond, Beyond];
  /** The advised move: its stated chance to pay, what it truly earned; null where none was advised. */
  move: { chance: number; stated: number; earned: number } | null;
  saidNoResponse: boolean;
  /**
   * What was said of the fields; what each field loses on average at its own rate and at the farm's; and in how many of them
   * the 80% interval held the field's best rate, as a share. Null for one field.
   */
  fields: { chance: number; differ: boolean; lostOwn: number; lostOne: number; held: number } | null;
}

export interface Beyond {
  below: number;
  above: number;
}

export const noQuality = { premiumPerKg: () => 0, costPerHa: () => 0 };

/** What is known beside the curve: how many fields and seasons; lodging is not scored. */
export const factsOf = (belief: Belief): Parameters<typeof chooseRate>[2] => ({
  seasons: belief.environments,
  lodgingCeiling: { kind: "none", reason: "not-scored" },
});

export function scoreFarm(
  family: Family,
  seasons: number,
  number: number,
  priors = defaultSettings.priors,
): Score[] {
  const farm = simulateFarm(family, seasons, number);
  const { grainPricePerKg, seedPricePerThousand } = farm;
  const own: Settings = { ...defaultSettings, grainPricePerKg, seedPricePerThousand, priors };
  const beliefs = believeCurves(farm.cells, own);
  const all: [PriceName, Settings][] = [
    ["own", own],
    ...Object.entries(pricePairs).map(([name, pair]): [PriceName, Settings] => [
      name as PriceName,
      { ...own, ...pair },
    ]),
  ];
  return all.flatMap(([prices, settings]) =>
    beliefs.map((belief) => ({
      family: family.name,
      seasons,
      farm: number,
      prices,
      ...scoreBelief(belief, farm, settings),
    })),
  );
}

function scoreBelief(
  belief: Belief,
  farm: SimulatedFarm,
  settings: Settings,
): Omit<Score, "family" | "seasons" | "farm" | "prices"> {
  const prices: FarmPrices = {
    grainPerKg: settings.grainPricePerKg,
    seedPerM2: 10 * settings.seedPricePerThousand,
  };
  const variety = farm.varieties.find((one) => one.variety === belief.variety)!;
  const net = netReturns(belief, varietyPrices(belief, noQuality, settings));
  const choice = chooseRate(belief, net, factsOf(belief), {
    ...settings,
    rateNowSeedsPerM2: variety.rateNowSeedsPerM2,
  });
  const truth = tabulateTruth(variety.expectedYield, belief.testedSeedsPerM2, prices);
  const { economicOptimum, intervals } = choice;
  const now = variety.rateNowSeedsPerM2;
  const next = choice.rateNextSeedsPerM2!;
  // Where too few rates were tested for any answer, the answer is to stay.
  const ours = economicOptimum.kind === "none" ? now : economicOptimum.rateSeedsPerM2;
  const rivals = chooseAsRivals(
    farm.cells.filter((one) => one.variety === belief.variety),
    prices,
  );
  const lost = (rate: number): number => toMoneyPerAcre(truth.most - truth.net(rate));
  const range = belief.testedSeedsPerM2[1] - belief.testedSeedsPerM2[0];
  const slack = slackOf(belief);
  const side = intervals.map((interval) => sideOf(truth.best, interval, slack));
  return {
    named: ours,
    best: truth.best,
    side: [side[0]!, side[1]!],
    lost: {
      ours: lost(ours),
      "next season": lost(next),
      "pooled quadratic": lost(rivals["pooled quadratic"]),
      "best-yielding tested rate": lost(rivals["best-yielding tested rate"]),
      "best-earning tested rate": lost(rivals["best-earning tested rate"]),
      "AICc winner": lost(rivals["AICc winner"]),
      "staying put": lost(now),
    },
    held: [side[0] === 0, side[1] === 0],
    width: [
      (intervals[0]!.upper - intervals[0]!.lower) / range,
      (intervals[1]!.upper - intervals[1]!.lower) / range,
    ],
    beyond: [believedBeyond(intervals[0]!, net), believedBeyond(intervals[1]!, net)],
    move:
      choice.chanceOfGain === null || choice.gainPerHa === null
        ? null
        : {
            chance: choice.chanceOfGain,
            stated: toMoneyPerAcre(choice.gainPerHa.expected),
            earned: toMoneyPerAcre(truth.net(next) - truth.net(now)),
          },
    saidNoResponse: choice.reasons.some(({ code }) => code === "no-response"),
    fields: scoreFields(belief, choice, farm, settings, prices),
  };
}

/** Half a step of the engine's rates, to either side. */
export const slackOf = ({ testedSeedsPerM2: [lowest, highest], ratesSeedsPerM2: rates }: Belief): number =>
  (highest - lowest) / (rates.length - 1) / 2;

/** −1 below, 0 inside, 1 above. */
export const sideOf = (
  rate: number,
  { lower, upper }: Pick<Interval, "lower" | "upper">,
  slack: number,
): number => (rate < lower - slack ? -1 : rate > upper + slack ? 1 : 0);

function scoreFields(
  belief: Belief,
  choice: RateChoice,
  farm: SimulatedFarm,
  settings: Settings,
  prices: FarmPrices,
): Score["fields"] {
  const cells = farm.cells.filter((one) => one.variety === belief.variety);
  const byField = rateByField(belief, varietyPrices(belief, noQuality, settings), choice, cells, settings);
  const { economicOptimum: one } = choice;
  if (byField === null || one.kind === "none") return null;
  const { expectedYieldOn } = farm.varieties.find(({ variety }) => variety === belief.variety)!;
  const lost = byField.fields.map(({ field, economicOptimum: own, likely }) => {
    const truth = tabulateTruth(expectedYieldOn[Number(field)]!, belief.testedSeedsPerM2, prices);
    const at = (rate: number): number => toMoneyPerAcre(truth.most - truth.net(rate));
    return {
      own: at(own.kind === "none" ? one.rateSeedsPerM2 : own.rateSeedsPerM2),
      one: at(one.rateSeedsPerM2),
      held: sideOf(truth.best, likely, slackOf(belief)) === 0 ? 1 : 0,
    };
  });
  const mean = (of: "own" | "one" | "held"): number =>
    lost.reduce((sum, each) => sum + each[of], 0) / lost.length;
  return {
    chance: byField.chanceTheyDiffer,
    differ: byField.differ,
    lostOwn: mean("own"),
    lostOne: mean("one"),
    held: mean("held"),
  };
}

/** Weight of the curves whose best rate lies outside an interval. */
function believedBeyond({ lower, upper }: Interval, { bestRates: best, weights }: NetReturns): Beyond {
  const sumWhere = (outside: (rate: number) => boolean): number =>
    weights.reduce((sum, weight, c) => (outside(best[c]!) ? sum + weight : sum), 0);
  return { below: sumWhere((rate) => rate < lower), above: sumWhere((rate) => rate > upper) };
}

/** The best of the tested rates in 600 steps; the lowest of several that earn the same. */
export function tabulateTruth(
  expectedYield: SimulatedVariety["expectedYield"],
  [lowest, highest]: readonly [number, number],
  prices: FarmPrices,
): { best: number; most: number; net: (rate: number) => number } {
  const net = (rate: number): number => prices.grainPerKg * expectedYield(rate) - prices.seedPerM2 * rate;
  let [best, most] = [lowest, -Infinity];
  for (let i = 0; i <= 600; i++) {
    const rate = lowest + ((highest - lowest) * i) / 600;
    const value = net(rate);
    if (value > most + 1e-9) [best, most] = [rate, value];
  }
  return { best, most, net };
}
