/**
 * A variety whose money can be worked by hand.
 *
 * Three believable curves without seasons or decline, each rising straight to its need and level beyond it. Rates 200 to
 * 400 seeds/m², five of them tested with equally many strips, mean yield 4,000 kg/ha. A curve loses `loss` of the mean
 * yield at 0.6 of its need, so it rises by mean yield × loss ÷ (0.4 × need) kg/ha for each seed/m², and every curve runs
 * through the mean of the strips:
 *
 * | curve | belief | need | rise [kg/ha per seed/m²]  |  200 |     250 |  300 |  350 |  400 |
 * | A     |   0.50 |  300 | 4000 × 0.1 ÷ 120 = 3.3333 | 3767 | 3933.33 | 4100 | 4100 | 4100 |
 * | B     |   0.44 |  400 | 4000 × 0.1 ÷ 160 = 2.5    | 3750 |    3875 | 4000 | 4125 | 4250 |
 * | C     |   0.06 |  200 | 0                         | 4000 |    4000 | 4000 | 4000 | 4000 |
 *
 * Expected: 4,050 kg/ha at 300; it rises by 0.5 × 3.3333 + 0.44 × 2.5 = 2.76667 below and by 0.44 × 2.5 = 1.1 above.
 *
 * Grain brings 0.20 a kg. A thousand viable seeds cost 0.03, so a seed/m² more costs 0.3 a hectare. One seed more then
 * earns 2.76667 × 0.2 − 0.3 = 0.25333 below 300 and 1.1 × 0.2 − 0.3 = −0.08 above: the best rate is 300, which earns
 * 4050 × 0.2 − 90 = 720.
 */
import { decide } from "../../../../src/decide/decide.ts";
import type {
  Belief,
  BelievableCurve,
  FittedVariety,
  Observations,
  ProteinResponse,
} from "../../../../src/vocabulary/result.ts";
import { defaultSettings, type Settings } from "../../../../src/vocabulary/settings.ts";

export const rates = Array.from({ length: 41 }, (_, i) => 200 + 5 * i);
export const tested = [200, 250, 300, 350, 400];

export const curve = (weight: number, needSeedsPerM2: number, loss = 0.1): BelievableCurve => ({
  weight,
  shape: 0,
  needSeedsPerM2,
  loss,
  decline: 0,
  shoulder: 0,
  seasonSpread: 0,
  place: 0,
});

export const beliefOf = (curves: BelievableCurve[], expected: (rate: number) => number): Belief => ({
  variety: "Alder",
  meanYieldKgPerHa: 4000,
  testedSeedsPerM2: [200, 400],
  testedRates: 5,
  environments: 3,
  strips: 60,
  priorNeedSeedsPerM2: 300,
  errorShare: 0.04,
  ratesSeedsPerM2: rates,
  expectedKgPerHa: rates.map(expected),
  movedPriors: [],
  curves,
  fields: [],
  fieldShifts: [],
  fieldStrengths: [],
  chanceFieldsDiffer: null,
  stripsAtRates: tested.map((rateSeedsPerM2) => ({ rateSeedsPerM2, strips: 12 })),
  noResponseChance: 0.06,
  leaning: 0,
  region: null,
});

export const three = beliefOf([curve(0.5, 300), curve(0.44, 400), curve(0.06, 200)], (rate) =>
  rate <= 300 ? 4050 - (300 - rate) * (0.5 * (10 / 3) + 0.44 * 2.5) : 4050 + (rate - 300) * 0.44 * 2.5,
);
/** Each seed/m² more costs a hundredth of a per cent of protein, of 13% at 300 seeds/m². */
export const thinning = (variety: string): ProteinResponse => ({
  variety,
  strips: 20,
  centreSeedsPerM2: 300,
  slopePctPerSeedPerM2: -0.01,
  ownSlope: null,
  levels: [{ environment: "2024", proteinPct: 13 }],
});

/** What grain brings more for its protein. */
export const proteinSchedule = [
  { proteinPct: 12, premiumPerKg: 0 },
  { proteinPct: 14, premiumPerKg: 0.02 },
];

/** Curve A alone: the best rate is known. */
export const sure = beliefOf([curve(1, 300)], (rate) => 4100 - Math.max(0, 300 - rate) * (10 / 3));

export const settings: Settings = {
  ...defaultSettings,
  grainPricePerKg: 0.2,
  seedPricePerThousand: 0.03,
  rateNowSeedsPerM2: 260,
  largestStep: 0.1,
  flatZonePerHa: 4.1,
  rateStepSeedsPerM2: 0,
  intervalLevels: [0.8, 0.95],
};

export const nothingSeen: Observations = {
  stand: [],
  farmStand: null,
  tillering: [],
  protein: [],
  lodgingModels: [],
};

export const seasonOf = (season: number): FittedVariety => ({
  variety: "Alder",
  environment: String(season),
  season,
  strips: 20,
  blocks: 4,
  ratesSeedsPerM2: tested,
  cells: [],
  withinCellSs: 0,
  forms: [],
  formsLeftOut: [],
  anova: null,
  resistantSlope: null,
});

export function decided(
  belief: Belief,
  changes: Partial<Settings> = {},
  protein: ProteinResponse[] = [],
  seasons = [2023, 2024, 2025],
) {
  const environments = seasons.map((season) => ({
    id: String(season),
    farm: "",
    field: "",
    season,
    strips: 20,
    blocks: 4,
  }));
  const modelled = {
    fits: seasons.map(seasonOf),
    beliefs: [belief],
    pooled: [],
    environments,
    ...nothingSeen,
    protein,
  };
  const { next, curves } = decide(modelled, { ...settings, ...changes });
  const pointAt = (kind: "response" | "net-return" | "gain", rate: number) =>
    curves
      .find((one) => one.kind === kind)!
      .points.find((point) => Math.abs(point.rateSeedsPerM2 - rate) < 1e-9)!;
  return { next: next[0]!, pointAt };
}
