/** Seed in what it is sold in: bags, bushels, totes. */
import { plainNumber, type Measures } from "../../numbers/measures.ts";
import { plural } from "../../numbers/written-numbers.ts";
import { acresPerHectare } from "../../numbers/units.ts";
import type { SoldAmount } from "../../vocabulary/result.ts";
import type { SeedUnit } from "../../vocabulary/settings.ts";

/** Whether the unit says more than the weight, which is shown anyway. */
const saysMore = ({ noun, size }: SeedUnit, measures: Measures): boolean =>
  size !== "" || noun !== measures.orderWeight.unit;

/** What a price is for, behind its sum: "/bu", " per bag of 50 lb", " per 80,000 seeds". */
export const perUnitSold = ({ noun, size }: SeedUnit): string =>
  size === "" && !noun.includes(" ")
    ? `/${noun}`
    : ` per ${[noun, size].filter((word) => word !== "").join(" of ")}`;

/** "2.35 bags/ac of 50 lb", "1.96 bu/ac"; null where the weight says it already. */
export function soldPerArea(sold: SoldAmount | null, measures: Measures): string | null {
  if (sold === null || !saysMore(sold.unit, measures)) return null;
  const { noun, size } = sold.unit;
  const us = measures.system === "us";
  const amount = us ? sold.perHa / acresPerHectare : sold.perHa;
  // Of small seed two decimals would be one digit.
  const number = plainNumber(amount, amount < 0.1 ? 3 : 2, measures);
  const area = us ? "/ac" : "/ha";
  if (noun === "") return `${number} × ${size}${area}`;
  return size === "" ? `${number} ${noun}${area}` : `${number} ${plural(noun)}${area} of ${size}`;
}

/** "988 bags of 50 lb", whole ones and none too few; "823 bu"; null without an area, or where the weight says it already. */
export const soldOrder = (sold: SoldAmount | null, measures: Measures): string | null =>
  sold === null || sold.order === null ? null : soldCount(sold.order, sold.unit, measures);

/** A number of bags, bushels or totes that will do. */
export function soldCount(amount: number, unit: SeedUnit, measures: Measures): string | null {
  if (!saysMore(unit, measures)) return null;
  const { noun, size } = unit;
  // Bags and the like are rounded up, but not because of the last digit of a conversion.
  const whole = size === "" ? Math.round(amount) : Math.ceil(amount - 1e-6);
  const number = plainNumber(whole, 0, measures);
  if (noun === "") return `${number} × ${size}`;
  return size === "" ? `${number} ${noun}` : `${number} ${whole === 1 ? noun : plural(noun)} of ${size}`;
}
