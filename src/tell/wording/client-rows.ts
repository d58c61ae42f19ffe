/** Every client and variety as one row, for the adviser. Page and terminal show the same. */
import type { NextRate, Result } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";
import { pricesAssumedFor } from "./assumed.ts";
import { measuresOfClient, type Client } from "./clients.ts";
import { gainText, moveOf } from "./next.ts";
import { listed } from "../../numbers/written-numbers.ts";

export interface ClientRow {
  client: Client;
  /** What its rates and money are told in. */
  measures: Measures;
  /** Null for a client whose strips give no rate. */
  next: NextRate | null;
  /** Expected gain of the move per area and on the whole area of the lot [money/ha, money]; null where not known. */
  gainPerHa: number | null;
  gainInAll: number | null;
  /** Whether a gain is given and any price behind it is assumed. */
  assumed: boolean;
}

const areaOf = ({ settings }: Pick<Result, "settings">, variety: string): number | null =>
  settings.lots.find((lot) => lot.variety === variety)?.areaHa ?? null;

/**
 * In the order of the clients and their varieties.
 *
 * @param measures  of all clients together
 */
export const clientRows = (clients: readonly Client[], measures: Measures): ClientRow[] =>
  clients.flatMap((client) => {
    const { next: rows } = client.result;
    const own = { client, measures: measuresOfClient(client, measures) };
    if (rows.length === 0) return [{ ...own, next: null, gainPerHa: null, gainInAll: null, assumed: false }];
    return rows.map((next): ClientRow => {
      const gainPerHa = moveOf(next) === "same" ? 0 : (next.gainPerHa?.expected ?? null);
      const area = areaOf(client.result, next.variety);
      return {
        ...own,
        next,
        gainPerHa,
        gainInAll: gainPerHa === null || area === null ? null : gainPerHa * area,
        assumed:
          gainPerHa !== null && moveOf(next) !== "same" && pricesAssumedFor(client.result, next).length > 0,
      };
    });
  });

const mark = ({ assumed }: ClientRow): string => (assumed ? " *" : "");

/** "$6/ac", marked where a price is assumed; "–" without a change, "not known". */
export function gainPerAreaText(row: ClientRow): string {
  const { next, gainPerHa, measures } = row;
  if (next === null || gainPerHa === null) return "not known";
  return moveOf(next) === "same" ? "–" : `${gainText(next, measures)}${mark(row)}`;
}

/** "$1,800" on the lot's whole area; "–" without a change, "area not given" where the area is not known. */
export function gainInAllText(row: ClientRow): string {
  const { next, gainPerHa, gainInAll, measures } = row;
  if (next === null || gainPerHa === null) return "not known";
  if (moveOf(next) === "same") return "–";
  if (gainInAll === null) return "area not given";
  const { upper, lower } = next.gainPerHa!;
  const area = gainPerHa === 0 ? 0 : gainInAll / gainPerHa;
  return `${measures.money.text(gainInAll, (upper - lower) * area)}${mark(row)}`;
}

/**
 * What the changes should earn together where the area is known, "$7,500" or "$7,500 and €900", and how many have no area;
 * null where none has one.
 */
export function gainOfAll(rows: readonly ClientRow[]): { money: string | null; unknown: number } {
  const moving = rows.filter(({ next }) => next !== null && !["same", "none"].includes(moveOf(next)));
  const sums = new Map<string, { sum: number; measures: Measures }>();
  for (const { gainInAll, measures } of rows) {
    if (gainInAll === null) continue;
    const before = sums.get(measures.currency)?.sum ?? 0;
    sums.set(measures.currency, { sum: before + gainInAll, measures });
  }
  const told = [...sums.values()].map(({ sum, measures }) => measures.money.text(sum, sum));
  return {
    money: told.length === 0 ? null : listed(told),
    unknown: moving.filter(({ gainInAll }) => gainInAll === null).length,
  };
}

export const assumedMark = "* a price was not given and is assumed.";
