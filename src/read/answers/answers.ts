/**
 * What a person answered about the files, once: plain data that command, page and other programs share.
 *
 * Every entry is asked for by a finding or a question, and none is guessed. The file `columns.yaml` holds the same;
 * `answers-file.ts` reads and writes it.
 */

import { namedColumns, TrialError } from "../../vocabulary/trial.ts";

/** What a tab of a workbook, or a file, holds. */
export interface PlaceAnswer {
  /** `strips`, `lots` or `not read`; null: find out. */
  holds: "strips" | "lots" | "not read" | null;
  /** Which column the name of the tab or file stands for; null: none. */
  nameIs: "season" | "field" | "farm" | "variety" | null;
  /** Values for columns that the table does not have: `season` → `2025`, `strip_length` → `1200 ft`. */
  values: Readonly<Record<string, string>>;
}

export interface Answers {
  /** Header as it stands → what it is, with its unit: `yield (bu/ac)`; or `not used`. */
  columns: Readonly<Record<string, string>>;
  /** Column that is the same everywhere → its value with its unit. */
  values: Readonly<Record<string, string>>;
  /** By the name of the tab. */
  tabs: Readonly<Record<string, PlaceAnswer>>;
  /** By the name of the file, without its folder. */
  files: Readonly<Record<string, PlaceAnswer>>;
  /**
   * Column of names → spelling → the name that it is; the same name says that it is one of its own. So for a season and a
   * rate: what the farm writes for it → the year, or the rate.
   */
  names: Readonly<Record<WordColumn, Readonly<Record<string, string>>>>;
  /** Word for lodging → score from 0 upright to 9 flat. */
  lodgingWords: Readonly<Record<string, number>>;
  /** Columns whose small numbers are thousands. */
  thousands: readonly string[];
  /** Columns whose empty cells repeat the one above. */
  fillDown: readonly string[];
  /** Questions, by what they are about, that were answered with no: `thousands rate`. */
  saidNo: readonly string[];
}

/** Name of the file of answers, under which it is found beside those that it is about. */
export const answersFileName = "columns.yaml";

/** Columns whose words a person may say the meaning of. */
export const wordColumns = [...namedColumns, "season", "rate"] as const;
export type WordColumn = (typeof wordColumns)[number];

export const noAnswers: Answers = {
  columns: {},
  values: {},
  tabs: {},
  files: {},
  names: { variety: {}, field: {}, farm: {}, ground: {}, season: {}, rate: {} },
  lodgingWords: {},
  thousands: [],
  fillDown: [],
  saidNo: [],
};

/** One spelling of a key of the answers: without case and outer or double spaces. */
export const answerKey = (text: string): string =>
  text.normalize("NFC").replace(/\s+/g, " ").trim().toLowerCase();

/** The entry for a text, whatever its case and spaces; undefined where there is none. */
export function answerFor<Value>(entries: Readonly<Record<string, Value>>, text: string): Value | undefined {
  if (Object.hasOwn(entries, text)) return entries[text];
  const key = answerKey(text);
  const found = Object.keys(entries).find((name) => answerKey(name) === key);
  return found === undefined ? undefined : entries[found];
}

/** Both together; where both say something, the later wins. */
export const mergeAnswers = (earlier: Answers, later: Answers): Answers => ({
  columns: { ...earlier.columns, ...later.columns },
  values: { ...earlier.values, ...later.values },
  tabs: { ...earlier.tabs, ...later.tabs },
  files: { ...earlier.files, ...later.files },
  names: {
    variety: { ...earlier.names.variety, ...later.names.variety },
    field: { ...earlier.names.field, ...later.names.field },
    farm: { ...earlier.names.farm, ...later.names.farm },
    ground: { ...earlier.names.ground, ...later.names.ground },
    season: { ...earlier.names.season, ...later.names.season },
    rate: { ...earlier.names.rate, ...later.names.rate },
  },
  lodgingWords: { ...earlier.lodgingWords, ...later.lodgingWords },
  thousands: [...new Set([...earlier.thousands, ...later.thousands])],
  fillDown: [...new Set([...earlier.fillDown, ...later.fillDown])],
  saidNo: [...new Set([...earlier.saidNo, ...later.saidNo])],
});

/** A choice with the answers that it gives. */
export interface Choice {
  text: string;
  answers: Answers;
}

/** Something only the person knows, with what it probably is first. */
export interface Question {
  /** The same for the same question: asked once. */
  id: string;
  text: string;
  choices: Choice[];
}

/** An error that a person can settle by an answer. */
export class QuestionError extends TrialError {
  readonly questions: readonly Question[];
  constructor(error: TrialError, questions: readonly Question[]) {
    super(error.code, error.message);
    this.questions = questions;
  }
}

/** Answer for a column that is to be skipped. */
export const notUsedAnswer = "not used";

/** Answers that say one thing. */
export const answersWith = (part: Partial<Answers>): Answers => ({ ...noAnswers, ...part });

/** Spelling → name, for one column of names. */
export const answerName = (column: WordColumn, spelling: string, name: string): Answers =>
  answersWith({ names: { ...noAnswers.names, [column]: { [spelling]: name } } });

/** Asks in what unit a column is. */
export const whichUnit = (
  file: string,
  column: string,
  header: string,
  units: readonly string[],
  example = "",
): Question => ({
  id: `${file} ${header}`,
  text: `${file}: in what unit is column “${header}”${example === "" ? "" : `, such as ${example}`}?`,
  choices: units.map((unit) => ({
    text: unit,
    answers: answersWith({ columns: { [header]: `${column} (${unit})` } }),
  })),
});

/** Asks which of two columns that mean the same is the one; no question where they have the same name, and no answer could part them. */
export const whichOfTwo = (file: string, column: string, first: string, second: string): Question => ({
  id: `${file} ${column} twice`,
  text: `${file}: which column is the ${column}?`,
  choices:
    answerKey(first) === answerKey(second)
      ? []
      : [
          [first, second],
          [second, first],
        ].map(([used, other]) => ({
          text: `${used!}; “${other!}” is not used`,
          answers: answersWith({ columns: { [other!]: notUsedAnswer } }),
        })),
});
