/** Moved values in the address behind #, so that a page can be shared as it stands: `#grain=7.5&now-2=1.2`. */
import type { WhatIfField } from "../tell/what-if.ts";

/** The fragment, "" where nothing is moved. */
export const addressOf = (fields: readonly WhatIfField[], values: ReadonlyMap<string, number>): string => {
  const parts = fields
    .filter((field) => values.has(field.key))
    .map((field) => `${field.key}=${values.get(field.key)}`);
  return parts.length === 0 ? "" : `#${parts.join("&")}`;
};

/** Values of a fragment; what is not a field, not a number or out of its range is left aside. */
export function valuesOfAddress(fragment: string, fields: readonly WhatIfField[]): Map<string, number> {
  const values = new Map<string, number>();
  for (const part of fragment.replace(/^#/, "").split("&")) {
    const [key, text = ""] = part.split("=");
    const field = fields.find((one) => one.key === key);
    const value = Number(text);
    if (
      field !== undefined &&
      text !== "" &&
      value >= field.lowest &&
      value <= field.highest &&
      value !== field.value
    )
      values.set(field.key, value);
  }
  return values;
}
