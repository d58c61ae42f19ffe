/** Asks which of the headers that nobody knows is a column that the table cannot do without. */
import { answersWith, type Choice, type PlaceAnswer, type Question } from "../answers/answers.ts";
import { fileBaseName, isOwnName } from "./beside-table.ts";
import type { HeaderReader } from "./headers.ts";
import type { Sheet } from "./sheet.ts";
import { nameAndMeasure } from "./spread-columns.ts";

/** Headers that may each be a name, with the yields of it below. */
export const namesAcross = <Name extends string>(
  column: string,
  headers: readonly string[],
  reader: HeaderReader<Name>,
): Choice[] =>
  headers.length < 2 || headers.length > mostNamesAcross
    ? []
    : [
        {
          text: `none: ${[...new Set(headers.map((header) => nameAndMeasure(header, reader).name))].join(", ")} are each a ${column}, with its yield below`,
          answers: answersWith({ columns: Object.fromEntries(headers.map((header) => [header, column])) }),
        },
      ];
const mostNamesAcross = 30;

/** What the names of tabs may say of a column that their tables do not have: one answer for all of a workbook. */
export function tabChoices(column: string, { tab, file, source, together }: Sheet): Choice[] {
  if (tab === null || file === source || !isOwnName(tab)) return [];
  const answerOf = (name: string): PlaceAnswer | null => {
    if (column === "variety")
      return isOwnName(name) ? { holds: "strips", nameIs: "variety", values: {} } : null;
    const short = column === "season" ? /^\D*(?<!\d)(\d\d)(?!\d)\D*$/.exec(name)?.[1] : undefined;
    return short === undefined ? null : { holds: null, nameIs: null, values: { season: `20${short}` } };
  };
  const choice = (tabs: readonly string[]): Choice[] => {
    const answers = tabs.flatMap((name) => {
      const answer = answerOf(name);
      return answer === null ? [] : [{ name, answer }];
    });
    if (answers.length < tabs.length) return [];
    const told = answers.map(({ name, answer: { values } }) =>
      values["season"] === undefined ? `“${name}”` : `“${name}” is ${values["season"]}`,
    );
    const more =
      told.length > 4 ? `${told.slice(0, 3).join(", ")} and ${told.length - 3} more` : told.join(", ");
    return [
      {
        text: `none: the ${tabs.length === 1 ? "name of the tab is" : "names of the tabs are"} the ${column}: ${more}`,
        answers: answersWith({
          tabs: Object.fromEntries(answers.map(({ name, answer }) => [name, answer])),
        }),
      },
    ];
  };
  const ofAll = together === undefined ? [] : choice(together);
  return ofAll.length > 0 ? ofAll : choice([tab]);
}

/** Years that titles, tab and file may mean by two digits: `CY24`, `Season '24`, `strips_24.csv`. */
export function yearChoices(titles: readonly string[], { tab, source }: Sheet): Choice[] {
  const file = fileBaseName(source);
  const yearsOf = (text: string): string[] =>
    [...text.matchAll(/(?<![\d.,])([0-4]\d)(?![\d.,%])/g)].map(([two]) => `20${two}`);
  const ofTab = tab === null ? [] : yearsOf(tab);
  const years = [...titles.flatMap(yearsOf), ...ofTab, ...yearsOf(file.replace(/\.\w+$/, ""))];
  return [...new Set(years)].map((season) => {
    // Of this file alone, or of this tab: next year's has another.
    const place = { holds: null, nameIs: null, values: { season } };
    const isOfTab = tab !== null && ofTab.includes(season);
    return {
      text: `none: it is ${season} in all rows of ${isOfTab ? tab : file}`,
      answers: answersWith(isOfTab ? { tabs: { [tab]: place } } : { files: { [file]: place } }),
    };
  });
}

/** Seasons of tabs as the answers file has them. */
export const tabsTold = ([choice]: readonly Choice[]): string =>
  Object.entries(choice?.answers.tabs ?? {})
    .flatMap(([name, { values }]) =>
      values["season"] === undefined ? [] : [`${JSON.stringify(name)}: {season: ${values["season"]}}`],
    )
    .join(", ");

/**
 * Asks which of the headers that are not known is a column, the likeliest first.
 *
 * @param titles  what is above the table and may be the value of all its rows
 * @param others  answers of other kinds, which come first
 */
export const whichHeader = (
  file: string,
  column: string,
  unknown: readonly string[],
  titles: readonly string[] = [],
  others: readonly Choice[] = [],
): Question => ({
  id: `${file} ${column}`,
  text: `${file}: which column is the ${column}?`,
  choices: [
    ...others,
    ...titles.slice(0, 12).map((title) => ({
      text: `none: it is “${title}” in all rows`,
      answers: answersWith({ values: { [column]: title } }),
    })),
    ...unknown
      .filter(mayBeMeasured)
      .slice(0, 12)
      .map((header) => ({
        text: header,
        answers: answersWith({ columns: { [header]: column } }),
      })),
  ],
});

/** `Ticket #` numbers the rows, and measures nothing. */
const mayBeMeasured = (header: string): boolean => !/(?:#|\bno\.?|\bnumber|\bid|\bnr\.?)\s*$/i.test(header);
