/** One amount with its unit, as an option or an entry of the season file says it: `1.2 million seeds/ac`, `7.5 in`. */
import {
  amountAmbiguous,
  amountNotNumber,
  amountUnitUnclear,
  amountUnitUnknown,
} from "../../messages/amounts.ts";
import type { Crop } from "../../vocabulary/crops.ts";
import type { UnitChoice } from "../../vocabulary/settings.ts";
import {
  parseUnit,
  quantities,
  unitNamed,
  type ColumnUnit,
  type Quantity,
  type QuantityName,
} from "./column-units.ts";
import { seedKgPerHa, seedsPerM2, type SeedKgPerHa, type SeedsPerM2 } from "../../numbers/units.ts";
import { magnitudeIn } from "./loose-numbers.ts";
import { parseNumber } from "./numbers.ts";
import { splitAmount } from "./split-amount.ts";

/** A rate as given: by seed, or by weight, which needs a lot's seeds per weight to become seeds. */
export type RateAmount = { by: "seed"; seedsPerM2: SeedsPerM2 } | { by: "weight"; kgPerHa: SeedKgPerHa };

/** An amount understood, or what keeps it from being. */
export type AmountText =
  | { kind: "amount"; value: number; unit: ColumnUnit }
  | { kind: "not-number" }
  | { kind: "ambiguous"; point: number; comma: number }
  | { kind: "unit-unknown"; unit: string }
  | { kind: "unit-unclear" };

/** A number and the unit after it; a bare number, `1.3 million` too, has the usual unit where there can be no doubt. */
export function parseAmount(
  text: string,
  quantity: QuantityName,
  units: Pick<UnitChoice, "system">,
  crop: Crop,
): AmountText {
  const known: Quantity = quantities[quantity];
  const parts = splitAmount(text);
  const number = parseNumber(parts?.number ?? "");
  if (parts === null || number.kind === "none") return { kind: "not-number" };
  if (number.kind === "either") return { kind: "ambiguous", point: number.point, comma: number.comma };
  const unitText = `${parts.currency} ${parts.unit}`.trim();
  const unit = parseUnit(quantity, unitText);
  const { times, unit: behind } =
    quantity === "rate" || quantity === "rateStep" ? magnitudeIn(unitText) : { times: 1, unit: unitText };
  if (unit === null && behind === "") {
    const bare = Number((number.value * times).toPrecision(12));
    const span = known.bare[units.system].find(({ from, to }) => bare >= from && bare <= to);
    if (span === undefined) return { kind: "unit-unclear" };
    const usual = unitNamed(quantity, span.unit);
    return { kind: "amount", value: usual.toOurs(bare, crop), unit: usual };
  }
  return unit === null
    ? { kind: "unit-unknown", unit: unitText }
    : { kind: "amount", value: unit.toOurs(number.value, crop), unit };
}

function readUnderstood(
  text: string,
  quantity: QuantityName,
  units: Pick<UnitChoice, "system">,
  crop: Crop,
  what: string,
): Extract<AmountText, { kind: "amount" }> {
  const { units: known } = quantities[quantity];
  const names = known.map((unit) => unit.name);
  const amount = parseAmount(text, quantity, units, crop);
  switch (amount.kind) {
    case "not-number":
      throw amountNotNumber(what, text, known[0].name);
    case "ambiguous":
      throw amountAmbiguous(what, text, amount.point, amount.comma);
    case "unit-unknown":
      throw amountUnitUnknown(what, text, amount.unit, names);
    case "unit-unclear":
      throw amountUnitUnclear(what, text, names);
    case "amount":
      return amount;
  }
}

/**
 * Reads a number and the unit after it; a bare number has the usual unit where there can be no doubt.
 *
 * @param what  name of the option or entry, for messages
 * @throws TrialError `amount-not-number`, `number-ambiguous`, `unit-unknown`, `unit-unclear`
 * @example readAmount("7.5 in", "rowSpacing", usUnits, crops.wheat, "--row-spacing") // 0.1905 m
 */
export const readAmount = (
  text: string,
  quantity: Exclude<QuantityName, "rate">,
  units: Pick<UnitChoice, "system">,
  crop: Crop,
  what: string,
): number => readUnderstood(text, quantity, units, crop, what).value;

/**
 * The same for a seeding rate: only its unit says whether seeds are counted or weighed.
 *
 * @throws TrialError as `readAmount` does
 * @example readRate("30 seeds/ft2", usUnits, crops.wheat, "--rate") // { by: "seed", seedsPerM2: 322.9 }
 */
export function readRate(
  text: string,
  units: Pick<UnitChoice, "system">,
  crop: Crop,
  what: string,
): RateAmount {
  const { value, unit } = readUnderstood(text, "rate", units, crop, what);
  return unit.seedWeight === true
    ? { by: "weight", kgPerHa: seedKgPerHa(value) }
    : { by: "seed", seedsPerM2: seedsPerM2(value) };
}
