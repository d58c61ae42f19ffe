/** Every client and variety as one row, for the adviser. Page and terminal show the same. */
import type { NextRate, Result } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";
import { pricesAssumedFor } from "./assumed.ts";
import type { Client } from "./clients.ts";
import { gainText, moveOf } from "./next.ts";

export interface ClientRow {
  client: Client;
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

/** In the order of the clients and their varieties. */
export const clientRows = (clients: readonly Client[]): ClientRow[] =>
  clients.flatMap((client) => {
    const { next: rows } = client.result;
    if (rows.length === 0) return [{ client, next: null, gainPerHa: null, gainInAll: null, assumed: false }];
    return rows.map((next): ClientRow => {
      const gainPerHa = moveOf(next) === "same" ? 0 : (next.gainPerHa?.expected ?? null);
      const area = areaOf(client.result, next.variety);
      return {
        client,
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
export function gainPerAreaText(row: ClientRow, measures: Measures): string {
  const { next, gainPerHa } = row;
  if (next === null || gainPerHa === null) return "not known";
  return moveOf(next) === "same" ? "–" : `${gainText(next, measures)}${mark(row)}`;
}

/** "$1,800" on the lot's whole area; "–" without a change, "area not given" where the area is not known. */
export function gainInAllText(row: ClientRow, measures: Measures): string {
  const { next, gainPerHa, gainInAll } = row;
  if (next === null || gainPerHa === null) return "not known";
  if (moveOf(next) === "same") return "–";
  if (gainInAll === null) return "area not given";
  const { upper, lower } = next.gainPerHa!;
  const area = gainPerHa === 0 ? 0 : gainInAll / gainPerHa;
  return `${measures.money.text(gainInAll, (upper - lower) * area)}${mark(row)}`;
}

/** What the changes should earn together where the area is known, and how many have no area. */
export function gainOfAll(rows: readonly ClientRow[]): { money: number; unknown: number } {
  const moving = rows.filter(({ next }) => next !== null && !["same", "none"].includes(moveOf(next)));
  const known = moving.flatMap(({ gainInAll }) => (gainInAll === null ? [] : [gainInAll]));
  return {
    money: known.reduce((sum, gain) => sum + gain, 0),
    unknown: moving.length - known.length,
  };
}

export const assumedMark = "* a price was not given and is assumed.";
