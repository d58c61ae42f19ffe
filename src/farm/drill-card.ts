/** A lot and today's circumstances, as typed → the card to tape to the drill. */
import { crops } from "../vocabulary/crops.ts";
import { unknownLot, withGiven, type Lot, type Settings, type UnitChoice } from "../vocabulary/settings.ts";
import type { NextRate, Result } from "../vocabulary/result.ts";
import { catchLengths, type SeedCard } from "../vocabulary/seed-card.ts";
import { lateLimitsOf, plannedDaysLate, type LateLimits } from "../decide/drill/late-seeding.ts";
import type { KnownRate, SeedQuestion } from "../decide/drill/fill-seed-card.ts";
import { amountNotNumber, amountOutOfRange, rateUnknown } from "../messages/amounts.ts";
import { metresPerFoot, metresPerInch, squareMetresPerAcre } from "../numbers/units.ts";
import { readAmount, readRate } from "../read/units/amount.ts";
import type { QuantityName } from "../read/units/column-units.ts";
import { parseNumber } from "../read/units/numbers.ts";
import { withFieldNames } from "../tell/wording/places.ts";
import { seedCardsText } from "../tell/terminal/seed-card-text.ts";
import { checkLot } from "../check/lots.ts";
import type { Farm } from "./farm.ts";
import { heldCard, type QuestionNames } from "./seed-question.ts";

/** Usual lengths and hoops to measure with, unless others are given. */
export function usualMeasuring(
  units: UnitChoice,
): Pick<SeedQuestion, "catchLengthM" | "countLengthM" | "hoopDiameterM" | "unitAreaM2"> {
  const us = units.system === "us";
  return {
    catchLengthM: catchLengths[units.system],
    countLengthM: us ? 3 * metresPerFoot : 1,
    hoopDiameterM: us ? 30 * metresPerInch : 0.5,
    unitAreaM2: us ? squareMetresPerAcre / 1000 : 1,
  };
}

/** What a result says to whoever runs the drill. */
export interface DrillAdvice {
  /** Next season's rate of viable seeds; null where none can be named. */
  rateSeedsPerM2: number | null;
  /** The rates of single fields; null where fields are not distinguished. */
  byField: NextRate["byField"];
  /** The strips ask for less than the lowest rate that the person accepts. */
  lowestBinds: boolean;
  /** Rates that late seeding never goes above. */
  lateLimits: LateLimits;
  /** Viable seeds that gave no plant by the farm's own counts; null where they do not suffice. */
  ownStandLoss: number | null;
}

/** The same for one variety; null where the result does not have it. */
export function drillAdvice(
  { next, beliefs, environments }: Pick<Result, "next" | "beliefs" | "environments">,
  variety: string,
): DrillAdvice | null {
  const choice = next.find((one) => one.variety === variety);
  const belief = beliefs.find((one) => one.variety === variety);
  if (choice === undefined || belief === undefined) return null;
  return {
    rateSeedsPerM2: choice.rateNextSeedsPerM2,
    byField: withFieldNames(choice, { environments }).byField,
    lowestBinds: choice.reasons.some(({ code }) => code === "lowest-rate"),
    lateLimits: lateLimitsOf(choice, belief),
    ownStandLoss: choice.stand === null || choice.stand.from === "setting" ? null : choice.stand.standLoss,
  };
}

/** The rate that the strips advise; null where they advise none. */
export const advisedRate = ({ rateSeedsPerM2, lowestBinds, byField }: DrillAdvice): KnownRate | null =>
  rateSeedsPerM2 === null ? null : { from: "advice", seedsPerM2: rateSeedsPerM2, lowestBinds, byField };

/** Days past the best date, if seeding is planned late; null: on time, or not known. */
export function plannedLateness(
  settings: Pick<Settings, "bestSeedingDate" | "plannedSeedingDate">,
): number | null {
  const days = plannedDaysLate(settings);
  return days !== null && days > 0 ? days : null;
}

/** What is at the drill today, as typed; anything empty comes from the lot and the season file. */
export interface DrillWishes {
  variety: string;
  rate: string;
  /** Seed size, given in exactly one way. */
  seedSize: { kind: "seedsPerPound" | "seedsPerKg" | "kernelWeight"; text: string };
  germination: string;
  daysLate: string;
  area: string;
}

/**
 * The card of one lot, as text.
 *
 * @param advice what the strips say: the rate where the person types none; null where there are no strips
 * @throws TrialError `rate-unknown` where nothing says the rate; and for an amount that cannot be understood
 */
export function drillCard(
  { settings, units }: Pick<Farm, "settings" | "units">,
  wishes: DrillWishes,
  advice: DrillAdvice | null,
): { card: SeedCard; text: string } {
  const onFile =
    settings.lots.find(({ variety }) => variety === wishes.variety) ?? unknownLot(wishes.variety);
  const ask = asker(settings, units);
  const size = ask(wishes.seedSize.text, wishes.seedSize.kind, "Seed size");
  const germination = ask(wishes.germination, "sharePct", "Germination");
  if (germination !== null && germination > 100)
    throw amountOutOfRange("Germination", wishes.germination, "it cannot be more than 100%");
  const lot = withGiven(onFile, {
    seedsPerKg: size ?? onFile.seedsPerKg,
    ...(germination === null ? {} : { germination: germination / 100 }),
    areaHa: ask(wishes.area, "area", "Area") ?? onFile.areaHa,
  });
  const question: SeedQuestion = {
    known: knownRate(wishes.rate, lot, settings, units, advice),
    caughtGrams: null,
    counted: null,
    daysLate: days(wishes.daysLate) ?? plannedLateness(settings),
    lateLimits: advice?.lateLimits ?? {},
    ownStandLoss: advice?.ownStandLoss ?? null,
    wheelDiameterM: null,
    ...usualMeasuring(units),
    priced: lot.pricePerKg !== null || lot.pricePerThousandSeeds !== null,
  };
  checkLot(lot, settings, units, {
    where: (column) => labels[column] ?? column,
    cell: (column) => ({ column }),
  });
  const card = heldCard(lot, question, settings, units, fieldNames);
  return { card, text: seedCardsText([card], settings, units) };
}

/** Fields by the columns of a lots file that say the same. */
const labels: Readonly<Record<string, string>> = {
  seeds_per_lb: "Seed size",
  seeds_per_kg: "Seed size",
  germination_pct: "Germination",
  area: "Area",
};

const fieldNames: QuestionNames = {
  rate: "Rate",
  weight: "Rate",
  stand: "Stand",
  row: "Row",
  catch: "Caught",
  caught: "Caught",
  plants: "Plants",
  rowLength: "Row length",
  hoop: "Hoop",
  daysLate: "Days late",
  catchLength: "Catch length",
  wheel: "Wheel",
};

const asker =
  (settings: Settings, units: UnitChoice) =>
  (text: string, quantity: Exclude<QuantityName, "rate">, name: string): number | null => {
    if (text.trim() === "") return null;
    const value = readAmount(text, quantity, units, crops[settings.crop], name);
    if (!(value > 0)) throw amountOutOfRange(name, text, "it has to be more than 0");
    return value;
  };

function knownRate(
  text: string,
  lot: Lot,
  settings: Settings,
  units: UnitChoice,
  advice: DrillAdvice | null,
): KnownRate {
  if (text.trim() === "") {
    const advised = advice && advisedRate(advice);
    if (advised !== null) return advised;
    if (lot.rateNowSeedsPerM2 !== null) return { from: "lot", seedsPerM2: lot.rateNowSeedsPerM2 };
    throw rateUnknown();
  }
  const rate = readRate(text, units, crops[settings.crop], "Rate");
  const value = rate.by === "weight" ? rate.kgPerHa : rate.seedsPerM2;
  if (!(value > 0)) throw amountOutOfRange("Rate", text, "it has to be more than 0");
  return rate.by === "weight" ? { from: "weight", kgPerHa: value } : { from: "rate", seedsPerM2: value };
}

function days(text: string): number | null {
  if (text.trim() === "") return null;
  const number = parseNumber(text);
  if (number.kind === "none") throw amountNotNumber("Days late", text, "");
  const value = number.kind === "either" ? number.point : number.value;
  if (value < 0) throw amountOutOfRange("Days late", text, "it cannot be less than 0");
  return value;
}
