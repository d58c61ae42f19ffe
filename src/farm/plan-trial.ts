/** What a farm wants to plant, in its own words → the plan, and the files to print it from. */
import { analyze } from "../analyze.ts";
import { measuresOf } from "../numbers/measures.ts";
import { fromMoneyPerAcre } from "../numbers/units.ts";
import { growOnPaper, readOutcome, truths } from "../plan/grow-on-paper.ts";
import { knowVarieties } from "../plan/know-varieties.ts";
import { planStrips } from "../plan/plan-strips.ts";
import { readAmount } from "../read/units/amount.ts";
import type { QuantityName } from "../read/units/column-units.ts";
import { fieldMapSvg } from "../tell/field-map.ts";
import { fieldSheetCsv } from "../tell/field-sheet.ts";
import { tellPlanPage } from "../tell/html/plan-page.ts";
import { crops } from "../vocabulary/crops.ts";
import { environmentsOf } from "../vocabulary/environments.ts";
import type { LayoutKind, PlanRequest, StripPlan } from "../vocabulary/strip-plan.ts";
import { pageParts, type PageMaker } from "./page-maker.ts";
import type { Farm } from "./read-farm.ts";
import type { FarmOutput } from "./report-farm.ts";

/** What somebody wants of a trial, as typed: amounts with their unit, or bare in the farm's units. */
export interface PlanWishes {
  fieldLength: string;
  fieldWidth: string;
  drillWidth: string;
  combineWidth: string;
  edge?: string | undefined;
  alley?: string | undefined;
  shortestStrip?: string | undefined;
  /** Border strips on each side; 1 where not said. */
  borders?: number | undefined;
  farm?: string | undefined;
  field?: string | undefined;
  /** Season of the trial; the one after the last strips where not said. */
  year?: number | undefined;
  varieties?: string[] | undefined;
  layout?: LayoutKind | undefined;
  strips?: number | undefined;
  blocks?: number | undefined;
  rates?: number | undefined;
  ratesAt?: string[] | undefined;
  lowestRate?: string | undefined;
  highestRate?: string | undefined;
  expectedYield?: string | undefined;
  /** Gain worth seeing, per acre, with metric units per hectare. */
  gain?: number | undefined;
  stripCost?: number | undefined;
  seasonsUsed?: number | undefined;
}

/** How messages call a wish. */
export type WishName = keyof PlanWishes;

/** What planning is at. */
export type PlanStep = { step: "past" } | { step: "choose" } | { step: "grow"; number: number; of: number };

export interface PlanOptions {
  /** Season where neither wishes nor strips say one. */
  thisYear: number;
  /** How messages call a wish, such as `--field-length`. */
  callWish(name: WishName): string;
  /** Whether the trial is grown three times on paper, which takes most of the time. */
  onPaper?: boolean;
  begin?(step: PlanStep): void;
}

/**
 * Next season's strips, from what past strips say or from none.
 *
 * @param farm its trial may be empty
 * @throws TrialError for an amount that cannot be understood, and as `planStrips` and `knowVarieties` do
 */
export function planTrial(farm: Farm, wishes: PlanWishes, options: PlanOptions): StripPlan {
  const { trial, settings, units } = farm;
  const request = requestOf(wishes, farm, options);
  options.begin?.({ step: "past" });
  const past = analyze(trial, settings, units);
  const known = knowVarieties(request, past, settings);
  options.begin?.({ step: "choose" });
  const plan = planStrips(request, known, settings, units);
  if (options.onPaper === false) return { ...plan, outcomes: [] };
  const outcomes = truths.map((truth, index) => {
    options.begin?.({ step: "grow", number: index + 1, of: truths.length });
    const paper = growOnPaper(plan, known, truth);
    const strips = [...trial.strips, ...paper.strips];
    const grown = { ...trial, strips, environments: environmentsOf(strips) };
    return readOutcome(paper, analyze(grown, settings, units));
  });
  return { ...plan, outcomes };
}

/** Wishes to a request in the engine's units. */
function requestOf(
  wishes: PlanWishes,
  { trial, settings, units }: Farm,
  { thisYear, callWish }: PlanOptions,
): PlanRequest {
  const crop = crops[settings.crop];
  const amount = (text: string, quantity: QuantityName, wish: WishName): number =>
    readAmount(text, quantity, units, crop, callWish(wish)).value;
  const maybe = (
    wish: "lowestRate" | "highestRate" | "expectedYield",
    quantity: QuantityName,
  ): number | null => (wishes[wish] === undefined ? null : amount(wishes[wish], quantity, wish));
  const length = (
    wish: "fieldLength" | "fieldWidth" | "drillWidth" | "combineWidth" | "edge" | "alley" | "shortestStrip",
    usual = "",
  ): number => amount(wishes[wish] ?? usual, "length", wish);
  const lastSeason = trial.strips.reduce((latest, { season }) => Math.max(latest, season), -Infinity);
  const gain = wishes.gain ?? (units.system === "us" ? 5 : 12);
  const rates = wishes.ratesAt?.map((rate) => amount(rate, "rate", "ratesAt"));
  return {
    farm: wishes.farm ?? "",
    field: wishes.field ?? "",
    season: wishes.year ?? (trial.strips.length > 0 ? lastSeason + 1 : thisYear),
    varieties: wishes.varieties ?? [],
    ground: {
      fieldLengthM: length("fieldLength"),
      fieldWidthM: length("fieldWidth"),
      drillWidthM: length("drillWidth"),
      harvestWidthM: length("combineWidth"),
      edgeM: length("edge", "1 ft"),
      alleyM: length("alley", "40 ft"),
      shortestStripM: length("shortestStrip", "300 ft"),
      borderStrips: wishes.borders ?? 1,
    },
    layout: wishes.layout ?? "varieties-in-strips",
    blocks: wishes.blocks ?? null,
    ratesPerVariety: wishes.rates ?? null,
    ratesSeedsPerM2: rates?.sort((a, b) => a - b) ?? null,
    lowestRateSeedsPerM2: maybe("lowestRate", "rate"),
    highestRateSeedsPerM2: maybe("highestRate", "rate"),
    mostStrips: wishes.strips ?? null,
    expectedYieldKgPerHa: maybe("expectedYield", "yield"),
    gainPerHa: units.system === "us" ? fromMoneyPerAcre(gain) : gain,
    costPerStrip: wishes.stripCost ?? 25,
    seasonsUsed: wishes.seasonsUsed ?? 3,
  };
}

/**
 * The plan to take along: `field-sheet.csv`, `field-map.svg` and `plan.html`.
 *
 * @param files names of the files of past strips, as the page tells them
 */
export async function reportPlan(plan: StripPlan, maker: PageMaker, files: string[]): Promise<FarmOutput[]> {
  return [
    { name: "field-sheet.csv", content: fieldSheetCsv(plan) },
    { name: "field-map.svg", content: fieldMapSvg(plan, measuresOf(plan)) },
    { name: "plan.html", content: await tellPlanPage(plan, await pageParts("plan", maker, files)) },
  ];
}
