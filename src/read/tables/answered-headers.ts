/** Headers that only a person's answers explain, looked for like any others. */
import { answerFor, answerKey, notUsedAnswer, type Answers } from "../answers/answers.ts";
import type { HeaderReader } from "./headers.ts";
import type { HeaderKind } from "./locate.ts";

/** The column that a header names, by what was answered of it or else by itself; null for none. */
export const nameAnswered = <Name extends string>(
  header: string,
  reader: HeaderReader<Name>,
  answers: Answers,
): Name | null => reader.nameOf(answerFor(answers.columns, header) ?? header);

/** The kind of table with headers taken for what was answered of them; itself where nothing was. */
export function asAnswered(kind: HeaderKind, { columns }: Answers): HeaderKind {
  const meanings = new Map(
    Object.entries(columns).flatMap(([header, meaning]) =>
      meaning === notUsedAnswer ? [] : [[answerKey(header), meaning] as const],
    ),
  );
  if (meanings.size === 0) return kind;
  const told = (cells: readonly string[]): string[] =>
    cells.map((cell) => meanings.get(answerKey(cell)) ?? cell);
  return {
    known: (cells) => kind.known(told(cells)),
    isHeader: (cells) => kind.isHeader(told(cells)),
    isSpread: (cells) => kind.isSpread(told(cells)),
    namesPart: (headers, text) => kind.namesPart(told(headers), text),
    namesField: (headers, text) => kind.namesField(told(headers), text),
  };
}
