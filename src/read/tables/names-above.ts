/** What the names above several tables say that their columns do not. */
import type { Answers } from "../answers/answers.ts";
import { nameAnswered } from "./answered-headers.ts";
import { nameInTitle, yearsIn } from "./beside-table.ts";
import type { HeaderReader } from "./headers.ts";
import { textAlone, type TablePlace } from "./locate.ts";
import { repetitionBehind } from "./spread-columns.ts";
import type { Block } from "./table-blocks.ts";
import type { TableKind } from "./table-kind.ts";

/** A table where it was found, with those side by side in it. */
interface Located {
  place: TablePlace;
  blocks: readonly Block[];
}

/** What the names above several tables say: a column that none of them has, and its value by the places of table and block. */
interface NamesAbove {
  column: string;
  names: ReadonlyMap<string, string>;
}

/** What the name above each table says, of the first column that it may name; null where they say nothing. */
export function namesAbove<Name extends string>(
  located: readonly Located[],
  kind: TableKind<Name>,
  answers: Answers,
): NamesAbove | null {
  for (const column of kind.titleNames) {
    const names = namesOf(column, located, kind.reader, answers);
    if (names !== null) return { column, names };
  }
  return null;
}

/** Names of one column by the places of table and block; null unless there are several tables and each has one of its own. */
function namesOf<Name extends string>(
  column: Name,
  located: readonly Located[],
  reader: HeaderReader<Name>,
  answers: Answers,
): ReadonlyMap<string, string> | null {
  const names = new Map<string, string>();
  let tables = 0;
  let withYear = 0;
  let withRepetition = 0;
  for (const [index, { place, blocks }] of located.entries()) {
    for (const [block, { columns, headers, title }] of blocks.entries()) {
      tables++;
      if (headers.some((header) => nameAnswered(header, reader, answers) === column)) continue;
      const alone = place.titles.flatMap(({ cells }) => textAlone(cells) ?? []);
      const candidates = title === null ? (columns === null ? alone.toReversed() : []) : [title];
      const name = candidates.flatMap((text) => nameInTitle(text, column, reader) ?? [])[0];
      if (name === undefined) return null;
      if (candidates.some((text) => text !== name && yearsIn(text).length === 1)) withYear++;
      if (candidates.some((text) => repetitionBehind(text).repetition !== null)) withRepetition++;
      names.set(`${index} ${block}`, name);
    }
  }
  const times = new Map<string, number>();
  for (const name of names.values()) times.set(name, (times.get(name) ?? 0) + 1);
  // Beside the season of each table a name may come more often than another.
  const isOfEach = new Set(times.values()).size === 1 || withYear === tables;
  const isOfAll = column === "field" && withRepetition === tables;
  return tables > 1 && (times.size > 1 || isOfAll) && isOfEach ? names : null;
}
