/** A farm's wishes for next season's strips → the plan, and the files to print it from. */
import { findRates } from "../analyze.ts";
import { measuresOf } from "../numbers/measures.ts";
import { adviseStrips } from "../plan/advise-strips.ts";
import { growOnPaper, readOutcome, truths, varietiesOnPaper } from "../plan/grow-on-paper.ts";
import { knowVarieties } from "../plan/know-varieties.ts";
import { planStrips } from "../plan/plan-strips.ts";
import { worthPlanting } from "../plan/strips-pay.ts";
import { fieldMapSvg } from "../tell/field-map.ts";
import { fieldSheetCsv } from "../tell/field-sheet.ts";
import { tellPlanPage } from "../tell/html/plan-page.ts";
import { environmentsOf } from "../vocabulary/environments.ts";
import type { LayoutKind, StripPlan } from "../vocabulary/strip-plan.ts";
import type { Farm } from "./farm.ts";
import { allFinite } from "./finite.ts";
import { pageParts, type PageMaker } from "./page-maker.ts";
import { planRequest } from "./plan-request.ts";
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
  /** Border strips on each side; 1 unless given. */
  borders?: number | undefined;
  farm?: string | undefined;
  field?: string | undefined;
  /** Season of the trial; the one after the last strips unless given. */
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

/** What messages call a wish. */
export type WishName = keyof PlanWishes;

/** The step that planning is at. */
export type PlanStep = { step: "past" } | { step: "choose" } | { step: "grow"; number: number; of: number };

export interface PlanOptions {
  /** Season used if neither wishes nor strips give one. */
  thisYear: number;
  /** What messages call a wish, such as `--field-length`. */
  callWish(name: WishName): string;
  /** Whether three outcomes of the trial are simulated, which takes most of the time. */
  onPaper?: boolean;
  begin?(step: PlanStep): void;
}

/**
 * Next season's strips, with or without past strips.
 *
 * @param farm its trial may be empty
 * @throws TrialError as `planRequest`, `planStrips` and `knowVarieties` do
 */
export function planTrial(farm: Farm, wishes: PlanWishes, options: PlanOptions): StripPlan {
  const { trial, settings, units } = farm;
  const request = planRequest(wishes, farm, options);
  options.begin?.({ step: "past" });
  const past = findRates(trial, settings, units);
  options.begin?.({ step: "choose" });
  const advice = adviseStrips(past, settings, request);
  const everyVariety = knowVarieties(request, past, settings);
  const { plant: known, leave } =
    request.varieties.length > 0 ? { plant: everyVariety, leave: [] } : worthPlanting(everyVariety, advice);
  const planned = planStrips(request, known, settings, units);
  const leftOut = [...planned.leftOut, ...leave.map(({ outlook }) => outlook.variety)];
  const plan = { ...planned, leftOut, advice };
  if (options.onPaper === false) return allFinite({ ...plan, outcomes: [] });
  const onPaper = varietiesOnPaper(plan.varieties, trial.strips);
  const grows = ({ variety }: { variety: string }): boolean => onPaper.simulated.includes(variety);
  const before = onPaper.alone ? trial.strips.filter(grows) : trial.strips;
  const outcomes = truths.map((truth, index) => {
    options.begin?.({ step: "grow", number: index + 1, of: truths.length });
    const paper = growOnPaper(plan, known, truth);
    const strips = [...before, ...paper.strips.filter(grows)];
    const grown = { ...trial, strips, environments: environmentsOf(strips) };
    return readOutcome(paper, onPaper, findRates(grown, settings, units));
  });
  return allFinite({ ...plan, outcomes });
}

/**
 * The plan as files: `field-sheet.csv`, `field-map.svg` and `plan.html`.
 *
 * @param files names of the files of past strips, as the page lists them
 */
export async function reportPlan(plan: StripPlan, maker: PageMaker, files: string[]): Promise<FarmOutput[]> {
  return [
    { name: "field-sheet.csv", content: fieldSheetCsv(plan) },
    { name: "field-map.svg", content: fieldMapSvg(plan, measuresOf(plan)) },
    { name: "plan.html", content: await tellPlanPage(plan, await pageParts("plan", maker, files)) },
  ];
}
