/** Tables side by side under one row of headers: which columns make a table of their own. */
import type { Answers } from "../answers/answers.ts";
import { nameAnswered } from "./answered-headers.ts";
import { nameInTitle } from "./beside-table.ts";
import type { TablePlace, TitleRow } from "./locate.ts";
import type { Sheet } from "./sheet.ts";
import { spreadOf } from "./spread-columns.ts";
import type { TableKind } from "./table-kind.ts";

/** A table's columns among those of its header, null for all; and what stands right above these alone. */
export interface Block {
  columns: number[] | null;
  title: string | null;
  /** What stands above it, without what stands above the others alone. */
  titles: readonly TitleRow[];
  /** Headers of columns beside it that hold no strips. */
  beside?: string[];
}

/** Tables side by side: places of the columns of each, with the title above them; one of all where they are one table. */
export function blocksOf<Name extends string>(
  place: TablePlace,
  { reader, isBlock, spreads, titleNames }: TableKind<Name>,
  answers: Answers,
): Block[] {
  const { headers, titles } = place;
  const all: Block[] = [{ columns: null, title: null, titles }];
  const names = headers.map((header) => nameAnswered(header, reader, answers));
  const first = names.findIndex((name, index) => name !== null && names.indexOf(name, index + 1) !== -1);
  if (first === -1) return all;
  const starts = names.flatMap((name, index) => (name === names[first] ? [index] : []));
  const shared = headers.flatMap((_, index) => (index < first ? [index] : []));
  const titleOf = (start: number, end: number): string | null => {
    const [first] = titleNames;
    if (first === undefined) return null;
    for (const { cells } of titles.toReversed()) {
      const own = cells.filter(({ index }) => index >= start && index < end);
      const name =
        cells.length >= starts.length && own.length === 1 ? nameInTitle(own[0]!.text, first, reader) : null;
      if (name !== null) return own[0]!.text;
    }
    return null;
  };
  const ends = starts.map((_, block) => starts[block + 1] ?? headers.length);
  const titlesOf = (start: number, end: number): TitleRow[] =>
    titles.map(({ row, cells }) => {
      const isOfEach = starts.every(
        (from, block) => cells.filter(({ index }) => index >= from && index < ends[block]!).length === 1,
      );
      return { row, cells: isOfEach ? cells.filter(({ index }) => index >= start && index < end) : cells };
    });
  const blocks = starts.map((start, block) => {
    const end = ends[block]!;
    const columns = headers.flatMap((_, index) => (index >= start && index < end ? [index] : []));
    return { columns, title: titleOf(start, end), titles: titlesOf(start, end) };
  });
  const namesAt = (indices: readonly number[]): string[] =>
    indices.map((index) => names[index] ?? reader.looseNameOf(headers[index]!) ?? "");
  const isWhole = ({ columns, title }: (typeof blocks)[number]): boolean => {
    const own = new Set(namesAt(columns));
    const told = title === null ? [] : titleNames.slice(0, 1);
    // Yields across a block, such as below rep 1, rep 2, have no name of their own.
    const cells = columns.map((index) => headers[index]!);
    const across =
      spreads && spreadOf({ ...place, headers: cells }, reader, answers) !== null ? ["yield"] : [];
    const had = new Set([...own, ...namesAt(shared), ...told, ...across]);
    return own.size > 0 && isBlock(new Set([...own, ...across]), had);
  };
  const whole = blocks.filter(isWhole);
  // Means or notes in columns of their own beside the strips, with an empty one between.
  const isApart = whole.length === 1 && first === 0 && headers[starts[1]! - 1]!.trim() === "";
  const others = blocks.filter((block) => !whole.includes(block)).flatMap(({ columns }) => columns);
  const besides = isApart ? { beside: others.map((at) => headers[at]!.trim()).filter(Boolean) } : {};
  return whole.length === blocks.length || isApart
    ? whole.map((block) => ({ ...block, columns: [...shared, ...block.columns], ...besides }))
    : all;
}

/** Tables side by side whose columns repeat within each, such as a rate and its repetitions: each as a sheet of its own. */
export function spreadBlocks<Name extends string>(
  sheet: Sheet,
  place: TablePlace,
  kind: TableKind<Name>,
  answers: Answers,
): { sheet: Sheet; place: TablePlace }[] {
  const whole = [{ sheet, place }];
  if (!kind.spreads) return whole;
  const blocks = blocksOf(place, kind, answers).flatMap(({ columns, titles }) =>
    columns === null ? [] : [{ columns, titles, headers: columns.map((index) => place.headers[index]!) }],
  );
  const isSpread = ({ headers }: { headers: string[] }): boolean =>
    spreadOf({ ...place, headers }, kind.reader, answers) !== null;
  if (blocks.length === 0 || !blocks.every(isSpread)) return whole;
  return blocks.map(({ columns, titles, headers }, block) => ({
    place: { ...place, headers, titles: [...titles] },
    sheet: {
      ...sheet,
      file: block === 0 ? sheet.file : `${sheet.file} (block ${block + 1})`,
      forEach: (take, after) =>
        sheet.forEach(
          (cells, row) =>
            take(
              columns.map((index) => cells[index] ?? ""),
              row,
            ),
          after,
        ),
    },
  }));
}
