/** What the entries of a season file can be, each read from and told in the person's units. */
import type { Crop } from "../../vocabulary/crops.ts";
import type { UnitChoice } from "../../vocabulary/settings.ts";
import { fromMoneyPerAcre, toMoneyPerAcre, toPricePerBushel } from "../../numbers/units.ts";
import { parseAmount } from "../units/amount.ts";
import { isCents, splitAmount } from "../units/split-amount.ts";
import { quantities, unitNamed, type ColumnUnit, type QuantityName } from "../units/column-units.ts";
import { parseDate } from "../units/dates.ts";
import { nearestName } from "../nearest-name.ts";
import { parseNumber } from "../units/numbers.ts";
import { parseSeedPriceUnit } from "../units/seed-price.ts";

/** What an entry is read under. */
export interface SeasonContext {
  crop: Crop;
  units: UnitChoice;
  /** Currencies that amounts were written in. */
  currencies: Set<string>;
}

/** An entry that cannot be understood: what is wrong and what to do, to follow file, line, key and value. */
export class EntryFault extends Error {}

/** How one kind of entry is read from text and written as text. */
export interface Kind<Value> {
  /** Unit as the person types it; "" where there is none. */
  unit: (context: SeasonContext) => string;
  /** @throws EntryFault */
  read: (text: string, context: SeasonContext) => Value;
  tell: (value: Value, context: SeasonContext) => string;
  schema: Record<string, unknown>;
}

/** At most six digits that count: defaults are choices, not measurements. */
const short = (value: number): string => String(Number(value.toPrecision(6)));

/** Limits of a value, written in the unit of the message. */
export interface Limits {
  least: number;
  most: number;
}

const whichNumber = ({ point, comma }: { point: number; comma: number }): string =>
  `Is this ${point} or ${comma}? Write it without a mark between thousands.`;

/**
 * The number that an entry of the season file says.
 *
 * @throws {EntryFault} where it is none, or could be two by the decimal mark
 */
export function numberOf(text: string): number {
  const number = parseNumber(text);
  if (number.kind === "number") return number.value;
  if (number.kind === "either") {
    throw new EntryFault(whichNumber(number));
  }
  throw new EntryFault("This is not a number.");
}

function amountOf(text: string, example: string): { value: number; currency: string; unit: string } {
  const amount = splitAmount(text);
  if (amount === null) throw new EntryFault(`This is not a number. Write it like ${example}.`);
  return { value: numberOf(amount.number), currency: amount.currency, unit: amount.unit };
}

function within(value: number, { least, most }: Limits, unit: string): void {
  if (value >= least && value <= most) return;
  const behind = unit === "" ? "" : unit === "%" ? unit : ` ${unit}`;
  throw new EntryFault(
    most === Infinity
      ? `It has to be at least ${shortLimit(least, Math.ceil)}${behind}.`
      : `It has to be between ${shortLimit(least, Math.ceil)} and ${shortLimit(most, Math.floor)}${behind}.`,
  );
}

/** A limit as people say it, rounded to where a value is still taken; three digits that are exact stay. */
function shortLimit(limit: number, inwards: (value: number) => number): string {
  if (limit === 0 || Math.abs(Number(limit.toPrecision(3)) / limit - 1) < 1e-9) return short(limit);
  const step = Number(`1e${Number(limit.toExponential().split("e")[1]) - 1}`);
  return short(inwards(limit / step) * step);
}

const numberOrText = (description: string): Record<string, unknown> => ({
  type: ["number", "string"],
  description,
});

/** A plain number. */
export const plain = (limits: Limits, whole = false): Kind<number> => ({
  unit: () => "",
  read: (text) => {
    const value = numberOf(text);
    if (whole && !Number.isInteger(value)) throw new EntryFault("It has to be a whole number.");
    within(value, limits, "");
    return value;
  },
  tell: short,
  schema: {
    type: whole ? "integer" : "number",
    minimum: limits.least,
    ...(limits.most < Infinity ? { maximum: limits.most } : {}),
  },
});

const percentSchema = numberOrText("Percent, with or without its sign: 15 or 15%.");

/** Percent as percent: 13.5 and `13.5%` are both 13.5. */
export const percentPoints = (limits: Limits): Kind<number> => ({
  unit: () => "%",
  read: (text) => {
    const { value, unit } = amountOf(text, "15%");
    if (unit !== "" && !/^(?:%|percent|pct)$/i.test(unit))
      throw new EntryFault("Write it in percent, like 15%.");
    if (unit === "" && value > 0 && value < 1) {
      throw new EntryFault(
        `Is this ${short(value * 100)}% or ${short(value)}%? Write it with the percent sign.`,
      );
    }
    within(value, limits, "%");
    return value;
  },
  tell: (value) => `${short(value)}%`,
  schema: percentSchema,
});

/** A share, typed in percent: 15 and `15%` are both 0.15. */
export const percent = (limits: Limits): Kind<number> => {
  const points = percentPoints(limits);
  return {
    ...points,
    read: (text, context) => points.read(text, context) / 100,
    tell: (share, context) => points.tell(share * 100, context),
  };
};

/** A number with one of the units of a column, `7.5 in` or `1.2 million seeds/ac`. */
export function measured(
  quantity: QuantityName,
  usual: { us: string; metric: string },
  limits: Limits,
  example: string,
): Kind<number> {
  const unitFor = (system: UnitChoice["system"]): ColumnUnit => unitNamed(quantity, usual[system]);
  const accepted = (quantities[quantity].units as ColumnUnit[])
    .filter((unit) => !unit.seedWeight)
    .map(({ name }) => name);
  return {
    unit: ({ units }) => usual[units.system],
    read: (text, { units, crop }) => {
      const amount = parseAmount(text, quantity, units, crop);
      if (amount.kind === "not-number")
        throw new EntryFault(`This is not a number. Write it like ${example}.`);
      if (amount.kind === "ambiguous") throw new EntryFault(whichNumber(amount));
      if (amount.kind === "unit-unclear") {
        throw new EntryFault(`In what unit is this? Write the unit after it, like ${example}.`);
      }
      if (amount.kind === "unit-unknown" || amount.unit.seedWeight) {
        throw new EntryFault(`This unit is not known here. Write one of ${accepted.join(", ")}.`);
      }
      const { value, unit } = amount;
      if (!(value >= limits.least && value <= limits.most)) {
        const each = unit.toOurs(1, crop);
        within(value / each, { least: limits.least / each, most: limits.most / each }, unit.name);
      }
      return value;
    },
    tell: (value, { units, crop }) => {
      const unit = unitFor(units.system);
      return `${short(value / unit.toOurs(1, crop))} ${unit.name}`;
    },
    schema: numberOrText(`A number with its unit, like ${example}.`),
  };
}

function moneyOf(text: string, context: SeasonContext, example: string): { value: number; unit: string } {
  const { value, currency, unit } = amountOf(text, example);
  if (currency !== "" && !isCents(currency)) context.currencies.add(currency);
  return { value: isCents(currency) ? value / 100 : value, unit: unit.replace(/^per\b/i, "/") };
}

/** A price of grain: `6.20 $/bu`, `228 €/t`. Bare: per bushel, in metric per tonne. */
export const grainPrice = (limits: Limits): Kind<number> => ({
  unit: ({ units }) => (units.system === "us" ? `${units.currency}/bu` : `${units.currency}/t`),
  read: (text, context) => {
    const { poundsPerBushel } = context.crop;
    const example = context.units.system === "us" ? "6.20 $/bu" : "228 €/t";
    const { value, unit } = moneyOf(text, context, example);
    const usual = context.units.system === "us" ? "/bu" : "/t";
    const per = parseSeedPriceUnit(unit === "" ? usual : unit, poundsPerBushel, null);
    if (per === null || per.per !== "kg")
      throw new EntryFault(`This is not a price of grain. Write it like ${example}.`);
    within(
      value,
      { least: limits.least * per.amount, most: limits.most * per.amount },
      `${context.units.currency}${unit === "" ? usual : unit}`,
    );
    return value / per.amount;
  },
  tell: (perKg, { units, crop }) =>
    units.system === "us"
      ? `${short(toPricePerBushel(perKg, crop.poundsPerBushel))} ${units.currency}/bu`
      : `${short(perKg * 1000)} ${units.currency}/t`,
  schema: numberOrText("A price with its unit, like 6.20 $/bu or 228 €/t."),
});

/** A price of seed by count, shown per million viable seeds. */
export const seedPrice = (limits: Limits): Kind<number> => ({
  unit: ({ units }) => `${units.currency}/million seeds`,
  read: (text, context) => {
    const example = "20 $/million seeds";
    const { value, unit } = moneyOf(text, context, example);
    const per = parseSeedPriceUnit(unit === "" ? "/million" : unit, context.crop.poundsPerBushel, null);
    if (per === null || per.per !== "thousand-seeds") {
      throw new EntryFault(
        `This is not a price of viable seeds. Write it like ${example}; prices by weight are in the lots file, beside seeds per weight and germination.`,
      );
    }
    within(
      value,
      { least: limits.least * per.amount, most: limits.most * per.amount },
      `${context.units.currency}${unit === "" ? "/million seeds" : unit}`,
    );
    return value / per.amount;
  },
  tell: (perThousand, { units }) => `${short(perThousand * 1000)} ${units.currency}/million seeds`,
  schema: numberOrText("A price with its unit, like 20 $/million seeds."),
});

/** Money per area: `2 $/ac`, `5 €/ha`. */
export const moneyPerArea = (limits: Limits): Kind<number> => ({
  unit: ({ units }) => `${units.currency}/${units.system === "us" ? "ac" : "ha"}`,
  read: (text, context) => {
    const { value, unit } = moneyOf(text, context, "2 $/ac");
    const area =
      unit === ""
        ? context.units.system === "us"
          ? "ac"
          : "ha"
        : /^\/\s*(ac(?:re)?|ha|hectare)s?$/i.exec(unit)?.[1];
    if (area === undefined)
      throw new EntryFault("This is not money per area. Write it like 2 $/ac or 5 €/ha.");
    const perAcre = /^ac/i.test(area);
    const ours = perAcre ? fromMoneyPerAcre(value) : value;
    const each = perAcre ? fromMoneyPerAcre(1) : 1;
    within(
      ours / each,
      { least: limits.least / each, most: limits.most / each },
      `${context.units.currency}/${perAcre ? "ac" : "ha"}`,
    );
    return ours;
  },
  tell: (perHa, { units }) =>
    units.system === "us"
      ? `${short(toMoneyPerAcre(perHa))} ${units.currency}/ac`
      : `${short(perHa)} ${units.currency}/ha`,
  schema: numberOrText("Money per area, like 2 $/ac or 5 €/ha."),
});

/** A day, as 2027-04-20. */
export const day: Kind<string> = {
  unit: () => "",
  read: (text) => {
    const date = parseDate(text);
    if (date.kind === "date") return date.iso;
    throw new EntryFault("This is not a date that can be read in one way only. Write it like 2027-04-20.");
  },
  tell: (iso) => iso,
  schema: { type: "string", description: "A day, like 2027-04-20.", examples: ["2027-04-20"] },
};

/** Nothing, or another kind. */
export const maybe = <Value>(kind: Kind<Value>): Kind<Value | null> => ({
  unit: kind.unit,
  read: kind.read,
  tell: (value, context) => (value === null ? "" : kind.tell(value, context)),
  schema: { ...kind.schema, type: [...new Set(["null", ...[kind.schema["type"]].flat()])] },
});

/** One of several words. */
export const choice = <Value extends string>(
  words: readonly Value[],
  parse: (text: string) => Value | null = (text) =>
    words.find((word) => word === text.toLowerCase().trim()) ?? null,
  accepted: readonly string[] = words,
): Kind<Value> => ({
  unit: () => "",
  read: (text) => {
    const value = parse(text);
    if (value !== null) return value;
    const near = nearestName(text, accepted);
    throw new EntryFault(
      `${near === null ? "" : `Did you mean ${near}? `}Write one of ${accepted.join(", ")}.`,
    );
  },
  tell: (value) => value,
  schema: { type: "string", examples: [...accepted] },
});

export const yesOrNo: Kind<boolean> = {
  unit: () => "",
  read: (text) => {
    if (/^(?:yes|true|on)$/i.test(text)) return true;
    if (/^(?:no|false|off)$/i.test(text)) return false;
    throw new EntryFault("Write yes or no.");
  },
  tell: (value) => (value ? "yes" : "no"),
  schema: { type: ["boolean", "string"], description: "yes or no" },
};
