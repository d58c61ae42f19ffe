/** What a changed price or limit does to the answer, in words. */
import type { Result } from "../../vocabulary/result.ts";
import type { WhatIfField } from "../what-if.ts";
import type { Measures } from "../../numbers/measures.ts";
import { listed, shortest } from "../../numbers/written-numbers.ts";
import { bareRate } from "./optimum.ts";

/** "2.50 to 12.50", as the field takes it. */
export const boundsText = ({ lowest, highest }: WhatIfField, { style }: Measures): string =>
  `${shortest(lowest, style)} to ${shortest(highest, style)}`;

export const outOfBounds = (field: WhatIfField, measures: Measures): string =>
  `Type a number from ${boundsText(field, measures)}. The page still shows the last good value.`;

/** A field's value with its unit: "$9/bu", "12%" as "12%". */
function valueText({ unit }: WhatIfField, value: number, { currency, style }: Measures): string {
  const number = shortest(value, style);
  if (currency !== "" && unit.startsWith(currency))
    return `${currency}${number}${unit.slice(currency.length)}`;
  return unit === "%" ? `${number}%` : `${number} ${unit}`;
}

export const fieldName = ({ variety, label }: WhatIfField): string =>
  variety === null ? label.toLowerCase() : `${variety} ${label.toLowerCase()}`;

/** "grain price $9/bu (report $6.25/bu)" for every moved field. */
export const movedTexts = (
  fields: readonly WhatIfField[],
  values: ReadonlyMap<string, number>,
  measures: Measures,
): { key: string; text: string }[] =>
  fields
    .filter((field) => values.has(field.key))
    .map((field) => ({
      key: field.key,
      text: `${fieldName(field)} ${valueText(field, values.get(field.key)!, measures)} (report ${field.value === null ? "not given" : valueText(field, field.value, measures)})`,
    }));

/**
 * The effect on next season's rates, and what was typed.
 *
 * @example "At grain price $9/bu: Telluwick would go up to 1.31; the others stay."
 */
export function effectSentence(
  report: Result,
  moved: Result,
  fields: readonly WhatIfField[],
  values: ReadonlyMap<string, number>,
  measures: Measures,
): string {
  const typed = fields
    .filter((field) => values.has(field.key))
    .map((field) => `${fieldName(field)} ${valueText(field, values.get(field.key)!, measures)}`);
  const rate = (value: number): string => bareRate(value, measures);
  const changes = moved.next.flatMap((next) => {
    const before = report.next.find(({ variety }) => variety === next.variety);
    if (before === undefined) return [];
    if (before.rateNextSeedsPerM2 === null || next.rateNextSeedsPerM2 === null) return [];
    const [from, to] = [before.rateNextSeedsPerM2, next.rateNextSeedsPerM2].map(rate);
    if (from === to) return [];
    const way = next.rateNextSeedsPerM2 > before.rateNextSeedsPerM2 ? "up" : "down";
    return [`${next.variety} would go ${way} to ${to} (report ${from})`];
  });
  const effect =
    changes.length === 0
      ? "no rate changes"
      : `${changes.join("; ")}${changes.length < moved.next.length ? "; the others stay" : ""}`;
  return `At ${listed(typed)}: ${effect}.`;
}

/** On paper, where something was moved: this is not the report itself. */
export const movedNote = (texts: readonly { text: string }[]): string =>
  texts.length === 0 ? "" : `What-if, not the report itself: ${listed(texts.map(({ text }) => text))}.`;
