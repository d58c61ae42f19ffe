/** What to set at the drill: one setting for each variety, or for each of its fields where those need different rates. */
import type { NextRate, Result } from "../../vocabulary/result.ts";
import { isAssumed, type Lot } from "../../vocabulary/settings.ts";
import { catchLengths } from "../../vocabulary/seed-card.ts";
import type { Measures } from "../../numbers/measures.ts";
import { listed, shortest } from "../../numbers/written-numbers.ts";
import {
  fieldsSowMoreForLate,
  inOrderOfGain,
  lateWords,
  nextSeason,
  sowsMoreForLate,
  weightAt,
} from "./next.ts";
import { bareRate } from "./optimum.ts";
import { withFieldNames } from "./places.ts";
import { soldOrder, soldPerArea } from "./sold.ts";

/** One setting of the drill, for the planned date. */
export interface DrillSetting {
  /** Field or ground that it is for; null where one rate serves all. */
  place: string | null;
  rateSeedsPerM2: number;
  /** Null where the lot's seeds per weight are not known. */
  kgPerHa: number | null;
  /** Of one row over 100 ft. */
  catchGrams: number | null;
  seedsPerMetreOfRow: number | null;
}

/** A variety with its settings, the lot that they are for, and what is said about it. */
export interface DrillOrder {
  next: NextRate;
  settings: DrillSetting[];
  lot: Lot | null;
}

/** Every variety that has a rate, in the order of the answer. */
export const drillOrders = (result: Result): DrillOrder[] =>
  inOrderOfGain(result).flatMap((next) => {
    const settings = settingsOf(withFieldNames(next, result));
    const lot = result.settings.lots.find(({ variety }) => variety === next.variety) ?? null;
    return settings.length === 0 ? [] : [{ next, settings, lot }];
  });

function settingsOf(next: NextRate): DrillSetting[] {
  const { sowing, byField, rateToSowSeedsPerM2: rate } = next;
  if (rate === null) return [];
  const at = (place: string | null, rateSeedsPerM2: number): DrillSetting => {
    const share = sowing === null ? null : rateSeedsPerM2 / sowing.rateSeedsPerM2;
    return {
      place,
      rateSeedsPerM2,
      kgPerHa: share && sowing!.kgPerHa * share,
      catchGrams: share && sowing!.catchGrams * share,
      seedsPerMetreOfRow: share && sowing!.seedsPerMetreOfRow * share,
    };
  };
  return byField?.differ === true
    ? byField.fields.map((one) => at(one.field, one.rateToSowSeedsPerM2))
    : [at(null, rate)];
}

/** "By field, for seeding four days late: Hill 1.09 million seeds/ac, 86 lb/ac; Bottom 1.32 million seeds/ac, 105 lb/ac."; "" where one rate serves all. */
export function settingsByPlace(next: NextRate, measures: Measures): string {
  const settings = settingsOf(next);
  if (settings.length < 2) return "";
  const told = settings.map(({ place, rateSeedsPerM2, kgPerHa }) =>
    [
      `${place} ${measures.rate.text(rateSeedsPerM2)}`,
      ...(kgPerHa === null ? [] : [measures.seedWeight.text(kgPerHa)]),
    ].join(", "),
  );
  const late = fieldsSowMoreForLate(next) ? `, for seeding ${lateWords(next)}` : "";
  return `By ${next.byField!.by}${late}: ${told.join("; ")}.`;
}

/** "7.5 in", marked where it is assumed. */
export const rowsApart = ({ settings }: Pick<Result, "settings">, measures: Measures): string =>
  `${measures.rowSpacing.chosen(settings.rowSpacingM)}${isAssumed(settings, "row_spacing") ? " (assumed)" : ""}`;

/** Length of row that is caught: "100 ft", "30 m". */
export const catchLength = ({ system }: Pick<Measures, "system">): string =>
  system === "us" ? "100 ft" : "30 m";

/** What that length catches, of the grams that a result has for 100 ft. */
export const caughtThere = (grams: number, { system }: Pick<Measures, "system">): number =>
  grams * (catchLengths[system] / catchLengths.us);

/** A share as a seed tag prints it, to a tenth of a per cent where it has one: "99.5%"; marked where nobody gave it. */
const onTag = (share: number, isAssumed: boolean, { style }: Measures): string =>
  `${shortest(Math.round(share * 1000) / 10, style)}%${isAssumed ? " (assumed)" : ""}`;

/** "13,400 seeds/lb, germination 96%, purity 99%": the lot as the weights take it; "" where its seeds per weight are not known. */
export function lotText({ lot }: DrillOrder, measures: Measures): string {
  if (lot === null || lot.seedsPerKg === null) return "";
  const { seedsPerWeight } = measures;
  const { germination, purity, assumed = [] } = lot;
  return `${seedsPerWeight.text(lot.seedsPerKg)}, germination ${onTag(germination, assumed.includes("germination_pct"), measures)}, purity ${onTag(purity, assumed.includes("purity_pct"), measures)}`;
}

/** "For seeding four days late; on time 113 lb/ac."; "" on time and where fields differ. */
export function onTimeText({ next, settings }: DrillOrder, measures: Measures): string {
  const late = `For seeding ${lateWords(next)}`;
  if (settings.length > 1) return fieldsSowMoreForLate(next) ? `${late}.` : "";
  if (!sowsMoreForLate(next)) return "";
  const rate = next.rateNextSeedsPerM2!;
  const weight = weightAt(next, rate);
  return `${late}; on time ${weight === null ? measures.rate.text(rate) : measures.seedWeight.text(weight)}.`;
}

/** "118 lb/ac (1.50 million seeds/ac); one row over 100 ft catches 85 g". */
function settingText(one: DrillSetting, measures: Measures): string {
  const rate = measures.rate.text(one.rateSeedsPerM2);
  if (one.kgPerHa === null || one.catchGrams === null) return `${rate}, viable (lot not known)`;
  return `${measures.seedWeight.text(one.kgPerHa)} (${bareRate(one.rateSeedsPerM2, measures)} ${measures.rateAxis}); one row over ${catchLength(measures)} catches ${measures.grams.text(caughtThere(one.catchGrams, measures))}`;
}

/** What to order; where fields differ, at one rate for all, because the area of each is not known. */
const orderText = ({ next: { sowing }, settings }: DrillOrder, measures: Measures): string => {
  if (sowing === null) return "";
  const sold = soldPerArea(sowing.sold, measures);
  const order = sowing.orderKg === null ? null : measures.orderWeight.text(sowing.orderKg);
  const units = soldOrder(sowing.sold, measures);
  const oneRate = settings.length === 1;
  return [
    sold === null || !oneRate ? "" : `as sold ${sold}`,
    order === null
      ? ""
      : `to order ${order}${units === null ? "" : ` (${units})`}${oneRate ? "" : ", at one rate for all"}`,
  ]
    .filter((part) => part !== "")
    .join(", ");
};

/** The caution with every rate for the drill. */
export const startingPoint =
  "A starting point: the tag, the label and the law come first. Calibrate with this lot, the drill stopped and secured.";

/** The caution where seed is treated. */
export const treatedAtDrill =
  "Treated seed: wear the gloves and protection of the label, also for the catch test; clean up spills.";

/**
 * The answer as plain text for whoever runs the drill: to be sent as a message, so lines are short and hold no table.
 *
 * @example Ostrindel: 118 lb/ac (1.50 million viable seeds/ac); one row over 100 ft catches 77 g.
 */
export function drillText(result: Result, measures: Measures): string {
  const season = nextSeason(result);
  const farms = [...new Set(result.environments.map(({ farm }) => farm))].filter((farm) => farm !== "");
  const place = farms.length > 0 && farms.length <= 3 ? `, ${listed(farms)}` : "";
  const orders = drillOrders(result);
  if (orders.length === 0) return "";
  const treated = orders.filter(({ lot }) => lot?.treated === true).map(({ next }) => next.variety);
  const lines = orders.flatMap((order) => {
    const { variety } = order.next;
    const [first] = order.settings;
    const tail = [lotText(order, measures), orderText(order, measures)].filter((part) => part !== "");
    return [
      "",
      order.settings.length === 1
        ? `${variety}: ${settingText(first!, measures)}.`
        : `${variety}:\n${order.settings.map((one) => `- ${one.place}: ${settingText(one, measures)}.`).join("\n")}`,
      ...[onTimeText(order, measures)].filter((part) => part !== ""),
      ...(tail.length === 0 ? [] : [`Lot: ${tail.join("; ")}.`]),
    ];
  });
  return [
    `Seed to sow${season === null ? "" : ` in ${season}`}${place}. Rows ${rowsApart(result, measures)} apart.`,
    ...lines,
    "",
    ...(treated.length === 0 ? [] : [`Treated: ${listed(treated)}. ${treatedAtDrill}`]),
    startingPoint,
  ].join("\n");
}
