/** A farm's wishes for next season's strips, as typed → what is asked of the planner, in the engine's units. */
import {
  cropRanges,
  multiples,
  planRanges,
  rateMultiples,
  sharedRanges,
  type Range,
} from "../check/ranges.ts";
import { holdWish } from "../check/wishes.ts";
import {
  endsCrossed,
  rateBeyondEnd,
  ratesNotAsMany,
  rateTwice,
  seasonOver,
  varietyMisspelt,
  varietyUnnamed,
} from "../messages/planning.ts";
import { rateByWeight } from "../messages/ranges.ts";
import { measuresOf, type Measures } from "../numbers/measures.ts";
import { isSameRate } from "../numbers/same-rate.ts";
import {
  fromMoneyPerAcre,
  fromSeedWeight,
  seedsPerM2,
  type SeedKgPerHa,
  type SeedsPerM2,
} from "../numbers/units.ts";
import { usualSeasonsUsed, usualStripCost } from "../plan/strips-pay.ts";
import { readAmount, readRate } from "../read/units/amount.ts";
import { crops } from "../vocabulary/crops.ts";
import { probableName } from "../vocabulary/spelling.ts";
import type { Ground, PlanRequest } from "../vocabulary/strip-plan.ts";
import type { Trial } from "../vocabulary/trial.ts";
import type { Farm } from "./farm.ts";
import type { PlanOptions, PlanWishes, WishName } from "./plan-trial.ts";

/**
 * What is asked of the planner, each wish held to what is possible and none ruling out another.
 *
 * @throws TrialError for an amount that cannot be understood; `plan-variety-unknown` for a variety that is probably another,
 *   misspelt; `rate-by-weight` where no lot says how many seeds a weight is; `plan-wishes-apart`
 */
export function planRequest(wishes: PlanWishes, farm: Farm, options: PlanOptions): PlanRequest {
  checkVarieties(wishes, farm, options);
  const request = requestOf(wishes, farm, options);
  checkAgreement(request, farm, options);
  return request;
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
  const last = lastSeasonOf(trial);
  if (season < last) throw seasonOver(callWish("year"), season, last);
}

const lastSeasonOf = ({ strips }: Trial): number =>
  strips.reduce((latest, { season }) => Math.max(latest, season), -Infinity);

/** Turns wishes into a request in the engine's units, each checked for what is possible. */
function requestOf(wishes: PlanWishes, farm: Farm, options: PlanOptions): PlanRequest {
  const wished = new WishReader(wishes, farm, options);
  const drillWidthM = wished.length("drillWidth", planRanges.machineWidthM);
  const ratesSeedsPerM2 = wished.rates();
  return {
    farm: wishes.farm ?? "",
    field: wishes.field ?? "",
    season: wished.season(),
    varieties: wishes.varieties ?? [],
    ground: groundOf(wished, wishes, drillWidthM),
    layout: wishes.layout ?? "varieties-in-strips",
    blocks: wished.maybeNumber("blocks", planRanges.blocks),
    ratesPerVariety: wishes.rates ?? null,
    ratesSeedsPerM2,
    lowestRateSeedsPerM2: wished.maybeRate("lowestRate"),
    highestRateSeedsPerM2: wished.maybeRate("highestRate"),
    mostStrips: wishes.strips ?? null,
    expectedYieldKgPerHa: wished.expectedYield(),
    gainPerHa: wished.gain(),
    costPerStrip: wished.stripCost(),
    seasonsUsed: wished.number("seasonsUsed", planRanges.seasonsUsed, usualSeasonsUsed),
    assumed: [
      ...(wishes.stripCost === undefined ? (["costPerStrip"] as const) : []),
      ...(wishes.seasonsUsed === undefined ? (["seasonsUsed"] as const) : []),
    ],
  };
}

const groundOf = (wished: WishReader, { alley }: PlanWishes, drillWidthM: number): Ground => ({
  fieldLengthM: wished.length("fieldLength", planRanges.fieldLengthM),
  fieldWidthM: wished.length("fieldWidth", planRanges.fieldWidthM),
  drillWidthM,
  harvestWidthM: wished.length("combineWidth", planRanges.machineWidthM),
  edgeM: wished.length("edge", planRanges.edgeM, "1 ft"),
  alleyM: alley === undefined ? alleyFor(drillWidthM) : wished.length("alley", planRanges.alleyM),
  shortestStripM: wished.length("shortestStrip", planRanges.shortestStripM, "300 ft"),
  borderStrips: wished.number("borders", planRanges.borders, 1),
});

/** An alley of whole drill passes, so that it can be seeded across: the fewest that make 40 ft (common practice, no source). */
const alleyFor = (drillWidthM: number): number => Math.ceil(12.192 / drillWidthM - 1e-6) * drillWidthM;

type LengthWish =
  | "fieldLength"
  | "fieldWidth"
  | "drillWidth"
  | "combineWidth"
  | "edge"
  | "alley"
  | "shortestStrip";
type NumberWish = "year" | "borders" | "blocks" | "seasonsUsed";

/** Reads wishes in the farm's units, and holds each to what is possible. */
class WishReader {
  readonly #wishes: PlanWishes;
  readonly #farm: Farm;
  readonly #options: PlanOptions;
  readonly #measures: Measures;

  constructor(wishes: PlanWishes, farm: Farm, options: PlanOptions) {
    this.#wishes = wishes;
    this.#farm = farm;
    this.#options = options;
    this.#measures = measuresOf(farm);
  }

  number(wish: NumberWish, range: Range, usual: number): number {
    return this.#held(this.#wishes[wish] ?? usual, range, wish, String);
  }

  maybeNumber(wish: NumberWish, range: Range): number | null {
    const given = this.#wishes[wish];
    return given === undefined ? null : this.#held(given, range, wish, String);
  }

  /** In metres. */
  length(wish: LengthWish, range: Range, usual = ""): number {
    const metres = this.#amount(this.#wishes[wish] ?? usual, "length", wish);
    return this.#held(metres, range, wish, this.#measures.groundLength.text);
  }

  /** The season wished for, else the one after the last strips. */
  season(): number {
    const { trial } = this.#farm;
    return (
      this.maybeNumber("year", sharedRanges.season.usual) ??
      (trial.strips.length > 0 ? lastSeasonOf(trial) + 1 : this.#options.thisYear)
    );
  }

  /** The rates of every variety from low to high; null where the planner chooses. */
  rates(): SeedsPerM2[] | null {
    const rates = this.#wishes.ratesAt?.map((text) => this.#rate(text, "ratesAt"));
    if (rates === undefined) return null;
    const isTwice = (rate: SeedsPerM2, index: number): boolean =>
      rates.some((other, at) => at < index && isSameRate(rate, other));
    const twice = rates.find(isTwice);
    if (twice !== undefined) throw rateTwice(this.#called("ratesAt"), this.#measures.rate.text(twice));
    return rates.sort((a, b) => a - b);
  }

  maybeRate(wish: "lowestRate" | "highestRate"): SeedsPerM2 | null {
    const text = this.#wishes[wish];
    return text === undefined ? null : this.#rate(text, wish);
  }

  /** In kg/ha; null where the past strips say it. */
  expectedYield(): number | null {
    const text = this.#wishes.expectedYield;
    if (text === undefined) return null;
    const { possible } = cropRanges[this.#farm.settings.crop].yieldKgPerHa;
    const kgPerHa = this.#amount(text, "yield", "expectedYield");
    return this.#held(kgPerHa, possible, "expectedYield", this.#measures.grainYield.text);
  }

  /** Gain worth seeing [money/ha]. */
  gain(): number {
    const isUs = this.#farm.units.system === "us";
    const given = this.#wishes.gain ?? (isUs ? 5 : 12);
    const perHa = isUs ? fromMoneyPerAcre(given) : given;
    return this.#held(perHa, planRanges.gainPerHa, "gain", this.#measures.worthPerArea.text);
  }

  stripCost(): number {
    const money = this.#wishes.stripCost ?? usualStripCost;
    return this.#held(money, planRanges.stripCost, "stripCost", this.#measures.money.text);
  }

  #rate(text: string, wish: WishName): SeedsPerM2 {
    const { settings, units } = this.#farm;
    const called = this.#called(wish);
    const given = readRate(text, units, crops[settings.crop], called);
    const seeds =
      given.by === "seed" ? given.seedsPerM2 : seedsOf(given.kgPerHa, called, text, this.#wishes, this.#farm);
    this.#held(seeds, multiples(rateMultiples.possible, settings.crop), wish, this.#measures.rate.text);
    return seeds;
  }

  #amount(text: string, quantity: "length" | "yield", wish: WishName): number {
    const { settings, units } = this.#farm;
    return readAmount(text, quantity, units, crops[settings.crop], this.#called(wish));
  }

  #held(value: number, range: Range, wish: WishName, tell: (value: number) => string): number {
    holdWish(this.#called(wish), value, range, tell);
    return value;
  }

  #called(wish: WishName): string {
    return this.#options.callWish(wish);
  }
}

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
