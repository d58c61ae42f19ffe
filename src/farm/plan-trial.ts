/** A farm's wishes for next season's strips → the plan, and the files to print it from. */
import {
  cropRanges,
  multiples,
  planRanges,
  rateMultiples,
  sharedRanges,
  within,
  type Range,
} from "../check/ranges.ts";
import { isSameRate } from "../numbers/same-rate.ts";
import {
  endsCrossed,
  rateBeyondEnd,
  ratesNotAsMany,
  rateTwice,
  seasonOver,
  varietyMisspelt,
  varietyUnnamed,
} from "../messages/planning.ts";
import { rateByWeight, wishOutOfRange } from "../messages/ranges.ts";
import { findRates } from "../analyze.ts";
import { adviseStrips } from "../plan/advise-strips.ts";
import { measuresOf } from "../numbers/measures.ts";
import {
  fromMoneyPerAcre,
  fromSeedWeight,
  seedsPerM2,
  type SeedKgPerHa,
  type SeedsPerM2,
} from "../numbers/units.ts";
import { growOnPaper, readOutcome, truths, varietiesOnPaper } from "../plan/grow-on-paper.ts";
import { knowVarieties } from "../plan/know-varieties.ts";
import { planStrips } from "../plan/plan-strips.ts";
import { usualSeasonsUsed, usualStripCost, worthPlanting } from "../plan/strips-pay.ts";
import { readAmount, readRate } from "../read/units/amount.ts";
import { fieldMapSvg } from "../tell/field-map.ts";
import { fieldSheetCsv } from "../tell/field-sheet.ts";
import { tellPlanPage } from "../tell/html/plan-page.ts";
import { allFinite } from "./finite.ts";
import { crops } from "../vocabulary/crops.ts";
import { environmentsOf } from "../vocabulary/environments.ts";
import { probableName } from "../vocabulary/spelling.ts";
import type { LayoutKind, PlanRequest, StripPlan } from "../vocabulary/strip-plan.ts";
import { pageParts, type PageMaker } from "./page-maker.ts";
import type { Farm } from "./farm.ts";
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
 * @throws TrialError for an amount that cannot be understood, and as `planStrips` and `knowVarieties` do
 */
export function planTrial(farm: Farm, wishes: PlanWishes, options: PlanOptions): StripPlan {
  const { trial, settings, units } = farm;
  checkVarieties(wishes, farm, options);
  const request = requestOf(wishes, farm, options);
  checkAgreement(request, farm, options);
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
 * Checks the varieties asked for against those that the farm has.
 *
 * @throws TrialError `plan-variety-unknown` for one that is probably another, misspelt
 */
function checkVarieties(
  { varieties = [] }: PlanWishes,
  { trial, settings }: Farm,
  { callWish }: PlanOptions,
): void {
  const known = new Set([...trial.strips, ...settings.lots].map(({ variety }) => variety));
  for (const variety of varieties) {
    if (variety.trim() === "") throw varietyUnnamed(callWish("varieties"));
    const meant = known.has(variety) ? null : probableName(variety, known);
    if (meant !== null) throw varietyMisspelt(callWish("varieties"), variety, meant);
  }
}

/**
 * Checks that no wish rules out another.
 *
 * @throws TrialError `plan-wishes-apart`
 */
function checkAgreement(
  {
    season,
    ratesPerVariety: count,
    ratesSeedsPerM2,
    lowestRateSeedsPerM2: low,
    highestRateSeedsPerM2: high,
  }: PlanRequest,
  { trial, settings, units }: Farm,
  { callWish }: PlanOptions,
): void {
  const tell = measuresOf({ units, settings }).rate.text;
  const named = ratesSeedsPerM2 ?? [];
  if (count !== null && named.length > 0 && named.length !== count)
    throw ratesNotAsMany(callWish("rates"), count, callWish("ratesAt"), named.length);
  if (low !== null && high !== null && low >= high)
    throw endsCrossed(callWish("lowestRate"), tell(low), callWish("highestRate"), tell(high));
  const below = named.find((rate) => low !== null && rate < low && !isSameRate(rate, low));
  if (below !== undefined)
    throw rateBeyondEnd(callWish("ratesAt"), tell(below), callWish("lowestRate"), tell(low!));
  const above = named.find((rate) => high !== null && rate > high && !isSameRate(rate, high));
  if (above !== undefined)
    throw rateBeyondEnd(callWish("ratesAt"), tell(above), callWish("highestRate"), tell(high!));
  const last = trial.strips.reduce((latest, strip) => Math.max(latest, strip.season), -Infinity);
  if (season < last) throw seasonOver(callWish("year"), season, last);
}

/** An alley of whole drill passes, so that it can be seeded across: the fewest that make 40 ft (common practice, no source). */
const alleyFor = (drillWidthM: number): number => Math.ceil(12.192 / drillWidthM - 1e-6) * drillWidthM;

/** Turns wishes into a request in the engine's units, each checked for what is possible. */
function requestOf(wishes: PlanWishes, farm: Farm, { thisYear, callWish }: PlanOptions): PlanRequest {
  const { trial, settings, units } = farm;
  const crop = crops[settings.crop];
  const measures = measuresOf({ units, settings });
  const held = (value: number, range: Range, wish: WishName, tell: (value: number) => string): number => {
    if (!within(value, range))
      throw wishOutOfRange(callWish(wish), tell(value), tell(range[0]), tell(range[1]));
    return value;
  };
  const number = (wish: WishName, given: number, range: Range): number => held(given, range, wish, String);
  const maybeNumber = (wish: WishName, given: number | undefined, range: Range): number | null =>
    given === undefined ? null : number(wish, given, range);
  const length = (wish: LengthWish, range: Range, usual = ""): number =>
    held(
      readAmount(wishes[wish] ?? usual, "length", units, crop, callWish(wish)),
      range,
      wish,
      measures.groundLength.text,
    );
  const possibleRates = multiples(rateMultiples.possible, settings.crop);
  const rate = (text: string, wish: WishName): SeedsPerM2 => {
    const given = readRate(text, units, crop, callWish(wish));
    const seeds =
      given.by === "seed" ? given.seedsPerM2 : seedsOf(given.kgPerHa, callWish(wish), text, wishes, farm);
    held(seeds, possibleRates, wish, measures.rate.text);
    return seeds;
  };
  const maybeRate = (wish: "lowestRate" | "highestRate"): SeedsPerM2 | null =>
    wishes[wish] === undefined ? null : rate(wishes[wish], wish);
  const lastSeason = trial.strips.reduce((latest, { season }) => Math.max(latest, season), -Infinity);
  const drillWidthM = length("drillWidth", planRanges.machineWidthM);
  const usualGain = units.system === "us" ? 5 : 12;
  const perHa = (money: number): number => (units.system === "us" ? fromMoneyPerAcre(money) : money);
  const rates = wishes.ratesAt?.map((text) => rate(text, "ratesAt"));
  const twice = rates?.find((one, index) => rates.some((other, at) => at < index && isSameRate(one, other)));
  if (twice !== undefined) throw rateTwice(callWish("ratesAt"), measures.rate.text(twice));
  return {
    farm: wishes.farm ?? "",
    field: wishes.field ?? "",
    season:
      maybeNumber("year", wishes.year, sharedRanges.season.usual) ??
      (trial.strips.length > 0 ? lastSeason + 1 : thisYear),
    varieties: wishes.varieties ?? [],
    ground: {
      fieldLengthM: length("fieldLength", planRanges.fieldLengthM),
      fieldWidthM: length("fieldWidth", planRanges.fieldWidthM),
      drillWidthM,
      harvestWidthM: length("combineWidth", planRanges.machineWidthM),
      edgeM: length("edge", planRanges.edgeM, "1 ft"),
      alleyM: wishes.alley === undefined ? alleyFor(drillWidthM) : length("alley", planRanges.alleyM),
      shortestStripM: length("shortestStrip", planRanges.shortestStripM, "300 ft"),
      borderStrips: number("borders", wishes.borders ?? 1, planRanges.borders),
    },
    layout: wishes.layout ?? "varieties-in-strips",
    blocks: maybeNumber("blocks", wishes.blocks, planRanges.blocks),
    ratesPerVariety: wishes.rates ?? null,
    ratesSeedsPerM2: rates?.sort((a, b) => a - b) ?? null,
    lowestRateSeedsPerM2: maybeRate("lowestRate"),
    highestRateSeedsPerM2: maybeRate("highestRate"),
    mostStrips: wishes.strips ?? null,
    expectedYieldKgPerHa:
      wishes.expectedYield === undefined
        ? null
        : held(
            readAmount(wishes.expectedYield, "yield", units, crop, callWish("expectedYield")),
            cropRanges[settings.crop].yieldKgPerHa.possible,
            "expectedYield",
            measures.grainYield.text,
          ),
    gainPerHa: held(
      perHa(wishes.gain ?? usualGain),
      planRanges.gainPerHa,
      "gain",
      measures.moneyPerArea.text,
    ),
    costPerStrip: held(
      wishes.stripCost ?? usualStripCost,
      planRanges.stripCost,
      "stripCost",
      measures.money.text,
    ),
    seasonsUsed: number("seasonsUsed", wishes.seasonsUsed ?? usualSeasonsUsed, planRanges.seasonsUsed),
    assumed: [
      ...(wishes.stripCost === undefined ? (["costPerStrip"] as const) : []),
      ...(wishes.seasonsUsed === undefined ? (["seasonsUsed"] as const) : []),
    ],
  };
}

type LengthWish =
  | "fieldLength"
  | "fieldWidth"
  | "drillWidth"
  | "combineWidth"
  | "edge"
  | "alley"
  | "shortestStrip";

/** Lots whose seed size differs by less than this share count as equal for a rate by weight. */
const sameSeeds = 0.005;

/**
 * A rate by weight as seeds, from the lots of the varieties to be planted.
 *
 * @throws TrialError `rate-by-weight` where a lot's seeds per weight is missing, or where the lots differ
 */
function seedsOf(
  kgPerHa: SeedKgPerHa,
  what: string,
  text: string,
  { varieties }: PlanWishes,
  { trial, settings }: Farm,
): SeedsPerM2 {
  const planted = varieties ?? [
    ...new Set([
      ...trial.strips.map(({ variety }) => variety),
      ...settings.lots.map(({ variety }) => variety),
    ]),
  ];
  const seeds = planted.map((variety) => {
    const lot = settings.lots.find((one) => one.variety === variety);
    if (lot === undefined || lot.seedsPerKg === null) throw rateByWeight(what, text, variety);
    return fromSeedWeight(kgPerHa, lot.seedsPerKg * lot.germination * lot.purity);
  });
  const [least, most] = [Math.min(...seeds), Math.max(...seeds)];
  if (!(most - least <= sameSeeds * most)) throw rateByWeight(what, text, null);
  return seedsPerM2(seeds[0]!);
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
