/**
 * What a reader may move in the page: each field with its value now and what a new value does to the settings.
 *
 * The form, the address of a shared page and the page's script all read this one list.
 */
import { scoreOfShare, shareOfScore } from "../numbers/lodging-scales.ts";
import { lodgingScales } from "../numbers/lodging-scales.ts";
import { daysAfter } from "../numbers/calendar.ts";
import type { NextRate, Result } from "../vocabulary/result.ts";
import { unknownLot, withGiven, type Assumable, type Lot, type Settings } from "../vocabulary/settings.ts";
import { nearestStep, shortest, type NumberStyle } from "../numbers/written-numbers.ts";
import type { Measures } from "../numbers/measures.ts";
import { crops } from "../vocabulary/crops.ts";
import { daysPlannedLate } from "./wording/next.ts";
import { perUnitSold } from "./wording/sold.ts";

export interface WhatIfField {
  /** Name in the address: letters, digits and dashes. */
  key: string;
  label: string;
  unit: string;
  /** Variety it belongs to; null for the whole farm. */
  variety: string | null;
  /** The report's own value, in the person's unit; null where nobody gave it. */
  value: number | null;
  lowest: number;
  highest: number;
  step: number;
  /** Settings with another value [the person's unit]. */
  apply(settings: Settings, value: number): Settings;
}

/** Fields of a result: farm first, then each variety in the order of the result. */
export function whatIfFields(result: Result, measures: Measures): WhatIfField[] {
  return [
    grainPrice(result, measures),
    largestStep(result),
    ...lodgingLimit(result),
    ...daysLate(result),
    ...result.next.flatMap((next, index) => [
      rateNow(measures, next, index, crops[result.settings.crop].usualSeedsPerM2),
      seedPrice(result, measures, next.variety, index),
      ...seedLot(result, measures, next.variety, index),
    ]),
  ];
}

/** A value as written in a field: as short as it can be, without a mark between thousands. */
export const inField = (value: number, style: NumberStyle): string =>
  shortest(value, { ...style, thousands: "" });

/**
 * What was typed as a number: point and comma are both decimal marks, but for a mark between thousands where it must be
 * one; NaN where it is no number.
 *
 * @example numberTyped("6,25", plainStyle) // 6.25
 * @example numberTyped("12,600", plainStyle) // 12600
 */
export function numberTyped(text: string, { thousands }: NumberStyle): number {
  const typed = text.trim().replace("−", "-");
  const lastGroup = /^\d{1,3}([., \u00a0\u202f]\d{3})+$/.exec(typed)?.[1];
  if (lastGroup?.charAt(0) === thousands) return Number(typed.replace(/\D/g, ""));
  const plain = typed.replace(",", ".");
  return /^-?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : NaN;
}

/** Settings with all values that differ from the report's. */
export const settingsWith = (
  settings: Settings,
  fields: readonly WhatIfField[],
  values: ReadonlyMap<string, number>,
): Settings =>
  fields.reduce((changed, field) => {
    const value = values.get(field.key);
    return value === undefined ? changed : field.apply(changed, value);
  }, settings);

/** Settings in which a choice counts as given. */
const given = (settings: Settings, what: Assumable): Settings => ({
  ...settings,
  assumed: settings.assumed.filter((key) => key !== what),
});

const grainPrice = ({ settings }: Result, { grainPrice: price, currency }: Measures): WhatIfField => {
  const value = tidy(price.value(settings.grainPricePerKg));
  return {
    key: "grain",
    label: "Grain price",
    unit: `${currency}${price.unit}`,
    variety: null,
    value,
    lowest: tidy(value * 0.4),
    highest: tidy(value * 2),
    step: niceStep(value / 100),
    apply: (changed, to) => ({
      ...given(changed, "grain_price"),
      grainPricePerKg: price.engine(to),
    }),
  };
};

const largestStep = ({ settings }: Result): WhatIfField => ({
  key: "step",
  label: "Largest step in one season",
  unit: "%",
  variety: null,
  value: tidy(settings.largestStep * 100),
  lowest: 0,
  highest: 50,
  step: 1,
  apply: (changed, to) => ({ ...given(changed, "largest_step"), largestStep: to / 100 }),
});

function lodgingLimit({ settings, lodging }: Result): WhatIfField[] {
  const scale = lodging[0]?.scale;
  if (scale === undefined) return [];
  const { lowest, highest } = lodgingScales[scale];
  return [
    {
      key: "lodging",
      label: "Lodging limit",
      unit: `of ${lowest}–${highest}`,
      variety: null,
      value: tidy(scoreOfShare(settings.lodgingLimit, scale)),
      lowest,
      highest,
      step: niceStep((highest - lowest) / 20),
      apply: (changed, to) => ({ ...given(changed, "lodging_limit"), lodgingLimit: shareOfScore(to, scale) }),
    },
  ];
}

const rateNow = (
  { rate }: Measures,
  { variety, rateNowSeedsPerM2: now, flatZone }: NextRate,
  index: number,
  usualSeedsPerM2: number,
): WhatIfField => {
  // A rate that was given by weight has digits that nobody sets.
  const value = now === null ? null : tidy(nearestStep(rate.value(now), rate.finest / 10));
  const middle = flatZone === null ? usualSeedsPerM2 : (flatZone.lower + flatZone.upper) / 2;
  const about = value ?? rate.value(middle);
  const bound = (times: number): number => tidy(nearestStep(times * about, niceStep(about / 100)));
  return {
    key: `now-${index + 1}`,
    label: "Rate now",
    unit: rate.number(1).includes("million") ? `million ${rate.unit}` : rate.unit,
    variety,
    value,
    lowest: bound(0.4),
    highest: bound(2),
    step: rate.finest,
    apply: (changed, to) => withLot(changed, variety, { rateNowSeedsPerM2: rate.engine(to) }),
  };
};

/** Days past the best date, where that date is known and lateness counts. */
function daysLate({ settings, next }: Result): WhatIfField[] {
  const { bestSeedingDate, latePerDay } = settings;
  const [first] = next;
  if (bestSeedingDate === null || latePerDay === 0 || first === undefined) return [];
  return [
    {
      key: "late",
      label: "Days past the best date",
      unit: "days",
      variety: null,
      value: daysPlannedLate(first),
      lowest: 0,
      highest: 60,
      step: 1,
      apply: (changed, to) => ({
        ...given(changed, "planned_seeding_date"),
        plannedSeedingDate: daysAfter(bestSeedingDate, Math.round(to)),
      }),
    },
  ];
}

/** Germination and size of the seed on hand, as its tag says. */
function seedLot({ settings }: Result, measures: Measures, variety: string, index: number): WhatIfField[] {
  const lot = settings.lots.find((one) => one.variety === variety);
  if (lot === undefined) return [];
  const germination: WhatIfField = {
    key: `germination-${index + 1}`,
    label: "Germination",
    unit: "%",
    variety,
    value: tidy(lot.germination * 100),
    lowest: 40,
    highest: 100,
    step: 1,
    apply: (changed, to) => withLot(changed, variety, { germination: to / 100 }),
  };
  if (lot.seedsPerKg === null) return [germination];
  const { seedsPerWeight } = measures;
  const value = Math.round(seedsPerWeight.value(lot.seedsPerKg));
  return [
    germination,
    {
      key: `size-${index + 1}`,
      label: "Seed size",
      unit: seedsPerWeight.unit,
      variety,
      value,
      lowest: Math.round(value * 0.5),
      highest: Math.round(value * 2),
      step: 100,
      apply: (changed, to) => withLot(changed, variety, { seedsPerKg: seedsPerWeight.engine(to) }),
    },
  ];
}

function seedPrice(result: Result, measures: Measures, variety: string, index: number): WhatIfField {
  const { settings } = result;
  const lot = settings.lots.find((one) => one.variety === variety);
  const field = (
    unit: string,
    value: number,
    apply: (changed: Settings, to: number) => Settings,
  ): WhatIfField => ({
    key: `seed-${index + 1}`,
    label: lot?.treated === true ? "Seed price with treatment" : "Seed price",
    unit: `${measures.currency}${unit}`,
    variety,
    value: tidy(value),
    lowest: 0,
    highest: tidy(value * 3),
    step: niceStep(value / 100),
    apply,
  });
  const { pricePerKg, pricePerThousandSeeds, soldIn } = lot ?? unknownLot(variety);
  const { kg, thousandSeeds } = soldIn ?? { kg: null, thousandSeeds: null };
  if (soldIn !== null && pricePerKg !== null && kg !== null)
    return field(perUnitSold(soldIn), pricePerKg * kg, (changed, to) =>
      withLot(changed, variety, { pricePerKg: to / kg }),
    );
  if (soldIn !== null && pricePerThousandSeeds !== null && thousandSeeds !== null)
    return field(perUnitSold(soldIn), pricePerThousandSeeds * thousandSeeds, (changed, to) =>
      withLot(changed, variety, { pricePerThousandSeeds: to / thousandSeeds }),
    );
  // A price of viable seeds: what the lot holds of them stays as it is.
  const viable = lot === undefined ? 1 : lot.germination * lot.purity;
  return field(" per million viable seeds", settings.seedPricePerThousand * 1000, (changed, to) =>
    withLot(changed, variety, { pricePerThousandSeeds: (to / 1000) * viable }),
  );
}

/** The settings with part of a variety's lot replaced; a variety without a lot gets one that says only that part. */
function withLot(settings: Settings, variety: string, part: Partial<Lot>): Settings {
  const lot = settings.lots.find((one) => one.variety === variety) ?? unknownLot(variety);
  return {
    ...settings,
    lots: [...settings.lots.filter((one) => one.variety !== variety), withGiven(lot, part)],
  };
}

/** Without the tail of digits that units leave: what was typed as 6.25 is 6.25 again. */
const tidy = (value: number): number => Number(value.toPrecision(8));

/** 1, 2 or 5 × a power of ten at or below a value. */
function niceStep(value: number): number {
  const power = 10 ** Math.floor(Math.log10(value || 1));
  const lead = value / power;
  return tidy(power * (lead >= 5 ? 5 : lead >= 2 ? 2 : 1));
}
