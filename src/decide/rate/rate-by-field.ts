/**
 * What each field needs, where fields were tested side by side or more than once.
 *
 * The same believable curves decide, each with its need for that field, so fields share what is known as far as they
 * are believed to be alike.
 */
import { fieldOf } from "../../vocabulary/environments.ts";
import type {
  Belief,
  FieldRate,
  FittedVariety,
  NextRate,
  RateByField,
  RateCell,
} from "../../vocabulary/result.ts";
import type { Settings } from "../../vocabulary/settings.ts";
import { firstAndLast } from "../../maths/first-and-last.ts";
import { gather } from "../../maths/group-by.ts";
import { rememberedWith } from "../../maths/remembered.ts";
import { rateOnPlannedDate } from "../drill/late-seeding.ts";
import { sowLot } from "../drill/sowing.ts";
import { believedOptimum, intervalsOfBest } from "./believed-optimum.ts";
import { valueAt } from "./curve-table.ts";
import { worthOfMove } from "./moves.ts";
import { keepLowest, lowestRate } from "./lowest-rate.ts";
import { netReturnsOnField, type NetReturns, type VarietyPrices } from "./net-return.ts";
import { bestStep, chooseStep } from "./step.ts";

/** From this chance on, fields are said to differ; one time in twenty they will not. */
const sureEnough = 0.95;

type FarmChoice = Pick<
  NextRate,
  "variety" | "rateNowSeedsPerM2" | "economicOptimum" | "lodgingCeilingSeedsPerM2" | "evidence"
>;

/** The strips of the variety in one field and season. */
type YieldsThere = Pick<FittedVariety, "environment" | "season" | "ground"> & {
  cells: readonly Pick<RateCell, "strips" | "meanYieldKgPerHa">[];
};

/**
 * @param fits  of the variety: how much each field yields
 * @returns null where fields are not distinguished, or where the strips name no best rate for the farm
 */
export function rateByField(
  belief: Belief,
  prices: VarietyPrices,
  farm: FarmChoice,
  fits: readonly YieldsThere[],
  settings: Settings,
): RateByField | null {
  const { economicOptimum } = farm;
  const { chanceFieldsDiffer: chanceTheyDiffer } = belief;
  if (chanceTheyDiffer === null || economicOptimum.kind === "none" || farm.evidence === "none") return null;
  const oneRate = keptUnder(farm.lodgingCeilingSeedsPerM2, economicOptimum.rateSeedsPerM2);
  const needs = needsOfFields(belief);
  const yields = yieldsOfFields(belief, fits);
  const fields = [...belief.fields.entries()]
    .sort(([f], [g]) => needs[f]! - needs[g]!)
    .map(([f, field]) => {
      const net = netReturnsOnField(belief, prices, f, yields[f]!);
      return rateOfField(field, belief, net, farm, oneRate, settings);
    });
  const [needsLeast, needsMost] = firstAndLast(fields);
  const mostPaysToo = bestRate(needsMost, oneRate) >= bestRate(needsLeast, oneRate);
  return {
    by: fits.some(({ ground }) => ground !== undefined) ? "ground" : "field",
    chanceTheyDiffer,
    mostPaysToo,
    differ: mostPaysToo && chanceTheyDiffer >= sureEnough,
    oneRateCostsPerHa: fields.reduce((sum, one) => sum + one.oneRateCostsPerHa, 0) / fields.length,
    fields,
  };
}

/**
 * Mean yield of the strips of each field; of the farm where the variety had none there. They depend on no price, so they are
 * kept for the next price.
 */
const yieldsOfFields = rememberedWith(
  ({ fields, meanYieldKgPerHa }: Belief, fits: readonly YieldsThere[]): number[] => {
    const byField = gather(fits, fieldOf);
    return fields.map((field) => {
      const cells = (byField.get(field) ?? []).flatMap((fit) => fit.cells);
      const strips = cells.reduce((sum, cell) => sum + cell.strips, 0);
      return strips === 0
        ? meanYieldKgPerHa
        : cells.reduce((sum, cell) => sum + (cell.strips * cell.meanYieldKgPerHa) / strips, 0);
    });
  },
);

const keptUnder = (ceiling: number | null, rate: number): number => Math.min(rate, ceiling ?? Infinity);

const bestRate = ({ economicOptimum: best }: Pick<FieldRate, "economicOptimum">, oneRate: number): number =>
  best.kind === "none" ? oneRate : best.rateSeedsPerM2;

function rateOfField(
  field: string,
  belief: Belief,
  net: NetReturns,
  { variety, rateNowSeedsPerM2: now, lodgingCeilingSeedsPerM2: ceiling }: FarmChoice,
  oneRate: number,
  settings: Settings,
): FieldRate {
  const { rates, expected, weights } = net;
  const [narrow, wide] = settings.intervalLevels;
  const interval = intervalsOfBest(net.bestRates, weights, belief);
  const economicOptimum = believedOptimum(belief, expected, interval(wide));
  const wanted = bestRate({ economicOptimum }, oneRate);
  const target = keptUnder(ceiling, wanted);
  const earned = (rate: number): number => valueAt(rates, expected, rate);
  const step =
    now === null
      ? bestStep(wanted, ceiling, settings)
      : chooseStep(
          { rateNowSeedsPerM2: now, target, wholeGainPerHa: earned(target) - earned(now), ceiling },
          settings,
        );
  const lot = settings.lots.find((one) => one.variety === variety);
  const free = { ...step, rate: step.rate ?? target };
  const next = keepLowest(
    free,
    { lowest: lowestRate(lot, settings), ceiling, asksForLess: false },
    settings,
  ).rate;
  const toSow = rateOnPlannedDate(next, settings, { lodging: ceiling, tested: belief.testedSeedsPerM2[1] });
  return {
    field,
    economicOptimum,
    likely: interval(narrow),
    rateNextSeedsPerM2: next,
    rateToSowSeedsPerM2: toSow,
    ...(now === null
      ? { gainPerHa: null, chanceOfGain: null }
      : worthOfMove(belief, net, now, next, settings)),
    oneRateCostsPerHa: Math.max(0, earned(target) - earned(oneRate)),
    kgPerHa: (lot === undefined ? null : sowLot(toSow, lot, settings))?.kgPerHa ?? null,
  };
}

/** Mean shift of the log need of each field. */
function needsOfFields({ curves, fields, fieldShifts }: Belief): number[] {
  const total = curves.reduce((sum, { weight }) => sum + weight, 0);
  return fields.map((_, f) =>
    curves.reduce((sum, { place, weight }) => sum + (weight / total) * fieldShifts[place]![f]!, 0),
  );
}
