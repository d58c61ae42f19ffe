/** Tables side by side under one row of headers: which columns make a table of their own. */
import type { Answers } from "../answers/answers.ts";
import { nameAnswered } from "./answered-headers.ts";
import { nameInTitle } from "./beside-table.ts";
import { textAlone, type TablePlace, type TitleRow } from "./locate.ts";
import type { Sheet } from "./sheet.ts";
import { spreadOf } from "./spread-columns.ts";
import type { TableKind } from "./table-kind.ts";

/** A table's columns among those of its header, null for all; and what stands right above these alone. */
export interface Block {
  columns: number[] | null;
  headers: string[];
  title: string | null;
  /** What stands above it, without what stands above the others alone. */
  titles: readonly TitleRow[];
  /** Headers of columns beside it that hold no strips. */
  beside?: string[];
}

/** The columns of a header from one up to another, which is no longer among them. */
interface Span {
  start: number;
  end: number;
}

const within = ({ start, end }: Span, cells: TitleRow["cells"]): TitleRow["cells"] =>
  cells.filter(({ index }) => index >= start && index < end);

/** The nearest text above one of tables side by side alone that may be its title; null for none. */
function titleOver(
  span: Span,
  spans: readonly Span[],
  titles: readonly TitleRow[],
  mayBe: (text: string) => boolean,
): string | null {
  for (const { cells } of titles.toReversed()) {
    const text = cells.length >= spans.length ? textAlone(within(span, cells)) : null;
    if (text !== null && mayBe(text)) return text;
  }
  return null;
}

/** What stands above one of tables side by side: of rows with a text above each, its own. */
const titlesOver = (span: Span, spans: readonly Span[], titles: readonly TitleRow[]): TitleRow[] =>
  titles.map(({ row, cells }) => {
    const isOfEach = spans.every((each) => within(each, cells).length === 1);
    return { row, cells: isOfEach ? within(span, cells) : cells };
  });

/** Tables side by side: places of the columns of each, with the title above them; one of all where they are one table. */
export function blocksOf<Name extends string>(
  place: TablePlace,
  { reader, isBlock, spreads, titleNames }: TableKind<Name>,
  answers: Answers,
): Block[] {
  const { headers, titles } = place;
  const all: Block[] = [{ columns: null, headers, title: null, titles }];
  const columns = headers.map((header, index) => ({
    index,
    header,
    name: nameAnswered(header, reader, answers),
  }));
  const repeated = columns.find(
    ({ index, name }) => name !== null && columns.some((other) => other.index > index && other.name === name),
  );
  if (repeated === undefined) return all;
  const starts = columns.filter(({ name }) => name === repeated.name);
  const shared = columns.slice(0, repeated.index);
  const spans = starts.map(({ index: start }, block): Span => {
    return { start, end: starts[block + 1]?.index ?? headers.length };
  });
  const titleOf = (span: Span): string | null => {
    const [first] = titleNames;
    return first === undefined
      ? null
      : titleOver(span, spans, titles, (text) => nameInTitle(text, first, reader) !== null);
  };
  const blocks = spans.map((span) => {
    return {
      own: columns.slice(span.start, span.end),
      title: titleOf(span),
      titles: titlesOver(span, spans, titles),
    };
  });
  const namesOf = (some: typeof columns): string[] =>
    some.map(({ header, name }) => name ?? reader.looseNameOf(header) ?? "");
  const isWhole = ({ own, title }: (typeof blocks)[number]): boolean => {
    const names = new Set(namesOf(own));
    const told = title === null ? [] : titleNames.slice(0, 1);
    // Yields across a block, such as below rep 1, rep 2, have no name of their own.
    const cells = own.map(({ header }) => header);
    const across =
      spreads && spreadOf({ ...place, headers: cells }, reader, answers) !== null ? ["yield"] : [];
    const had = new Set([...names, ...namesOf(shared), ...told, ...across]);
    return names.size > 0 && isBlock(new Set([...names, ...across]), had);
  };
  const whole = blocks.filter(isWhole);
  // Means or notes in columns of their own beside the strips, with an empty one between.
  const isApart = whole.length === 1 && repeated.index === 0 && blocks[0]?.own.at(-1)?.header.trim() === "";
  const others = blocks.filter((block) => !whole.includes(block)).flatMap(({ own }) => own);
  const besides = isApart ? { beside: others.map(({ header }) => header.trim()).filter(Boolean) } : {};
  if (whole.length < blocks.length && !isApart) return all;
  return whole.map(({ own, title, titles: above }) => ({
    columns: [...shared, ...own].map(({ index }) => index),
    headers: [...shared, ...own].map(({ header }) => header),
    title,
    titles: above,
    ...besides,
  }));
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
  const blocks = blocksOf(place, kind, answers).flatMap(({ columns, titles, headers }) =>
    columns === null ? [] : [{ columns, titles, headers }],
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
