/** One amount with its unit, as an option or an entry of the season file says it: `1.2 million seeds/ac`, `7.5 in`. */
import {
  amountAmbiguous,
  amountNotNumber,
  amountUnitUnclear,
  amountUnitUnknown,
} from "../check/findings/amounts.ts";
import type { Crop } from "../crops.ts";
import type { UnitChoice } from "../settings.ts";
import {
  parseUnit,
  quantities,
  unitNamed,
  type ColumnUnit,
  type Quantity,
  type QuantityName,
} from "./column-units.ts";
import { parseNumber } from "./numbers.ts";

export interface Amount {
  /** In the engine's unit; for a rate given as a weight of seed, kg/ha. */
  value: number;
  /** A weight of seed, which needs the lot's seed size to become seeds. */
  isSeedWeight: boolean;
}

/**
 * Reads a number and the unit behind it; a bare number has the usual unit where there can be no doubt.
 *
 * @param what  name of the option or entry, for messages
 * @throws TrialError `amount-not-number`, `number-ambiguous`, `unit-unknown`, `unit-unclear`
 * @example readAmount("30 seeds/ft2", "rate", usUnits, crops.wheat, "--rate").value // 322.9 seeds/m²
 */
export function readAmount(
  text: string,
  quantity: QuantityName,
  units: Pick<UnitChoice, "system">,
  crop: Crop,
  what: string,
): Amount {
  const known: Quantity = quantities[quantity];
  const names = known.units.map((unit) => unit.name);
  const match = /^\s*([+\-−]?[\d.,'’\s]*\d(?:e[+-]?\d+)?)\s*(.*?)\s*$/i.exec(text);
  const number = parseNumber(match?.[1] ?? "");
  if (match === null || number.kind === "none") throw amountNotNumber(what, text, names[0]!);
  if (number.kind === "either") throw amountAmbiguous(what, text, number.point, number.comma);
  const unitText = match[2]!;
  const unit = unitText === "" ? bareUnit(number.value) : parseUnit(quantity, unitText);
  if (unit === null)
    throw unitText === ""
      ? amountUnitUnclear(what, text, names)
      : amountUnitUnknown(what, text, unitText, names);
  return { value: unit.toOurs(number.value, crop), isSeedWeight: unit.seedWeight === true };

  function bareUnit(value: number): ColumnUnit | null {
    const span = known.bare[units.system].find(({ from, to }) => value >= from && value <= to);
    return span === undefined ? null : unitNamed(quantity, span.unit);
  }
}
