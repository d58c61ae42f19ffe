/** `columns.yaml`: answers as a file that people read, keep and mend. */
import { isMap, isScalar, isSeq, parseDocument, stringify, type Node } from "yaml";
import { answersNotYaml, answersProblems, type AnswerProblem } from "../../messages/answers.ts";
import { decodeText } from "../tables/decode.ts";
import type { InputFile } from "../tables/input-file.ts";
import { plainFault } from "../plain-faults.ts";
import { nearestName } from "../nearest-name.ts";
import {
  mergeAnswers,
  wordColumns,
  noAnswers,
  type Answers,
  type WordColumn,
  type PlaceAnswer,
  type Question,
} from "./answers.ts";

/** Every key that the file may have. */
export const answerKeys: readonly string[] = [
  "columns",
  "values",
  "tabs",
  "files",
  "names",
  "lodging_words",
  "thousands",
  "fill_down",
  "said_no",
];

/** A file of answers is a page long. */
const mostCharacters = 500_000;

const holdsWords = ["strips", "lots", "not read"] as const;
const nameWords = ["season", "field", "farm", "variety"] as const;

/**
 * The answers in a file.
 *
 * @throws TrialError `answers-not-yaml`; `answers-entry` with a line for each entry that cannot be understood
 */
export function readAnswers(file: InputFile): Answers {
  const { text } = decodeText(file.bytes, file.name);
  if (text.length > mostCharacters)
    throw answersNotYaml(file.name, 1, "It is too large for a file of answers.");
  const document = parseDocument(text, { schema: "failsafe", maxAliasCount: 0 } as object);
  const [fault] = document.errors;
  if (fault?.message.includes("call stack") === true)
    throw answersNotYaml(file.name, 1, "Its entries are nested too deeply.");
  if (fault !== undefined) {
    const { line, advice, written } = plainFault(text, fault);
    throw answersNotYaml(file.name, line, advice, written);
  }
  return new AnswersReader(file.name, text).read(document.contents);
}

/** Reads entry by entry, gathers what is wrong, and reports all of it at once. */
class AnswersReader {
  readonly #problems: AnswerProblem[] = [];
  readonly #file: string;
  readonly #text: string;

  constructor(file: string, text: string) {
    this.#file = file;
    this.#text = text;
  }

  read(contents: Node | null): Answers {
    const entries = contents === null ? {} : this.#map(contents, "the file");
    for (const [key, { node }] of Object.entries(entries)) {
      if (answerKeys.includes(key)) continue;
      const near = nearestName(key, answerKeys);
      this.#problem(
        node,
        key,
        `is not a known entry. ${near === null ? `Use ${answerKeys.join(", ")}.` : `Write ${near} if that is meant.`}`,
      );
    }
    const names = this.#map(entries["names"]?.node ?? null, "names");
    for (const [key, { node }] of Object.entries(names)) {
      if (!(wordColumns as readonly string[]).includes(key))
        this.#problem(node, `names: ${key}`, `Names are of ${wordColumns.join(", ")}.`);
    }
    const answers: Answers = {
      ...noAnswers,
      columns: this.#texts(entries["columns"]?.node ?? null, "columns"),
      values: this.#texts(entries["values"]?.node ?? null, "values"),
      tabs: this.#places(entries["tabs"]?.node ?? null, "tabs"),
      files: this.#places(entries["files"]?.node ?? null, "files"),
      names: Object.fromEntries(
        wordColumns.map((column) => [column, this.#texts(names[column]?.node ?? null, `names: ${column}`)]),
      ) as Record<WordColumn, Record<string, string>>,
      lodgingWords: this.#scores(entries["lodging_words"]?.node ?? null),
      thousands: this.#list(entries["thousands"]?.node ?? null, "thousands"),
      fillDown: this.#list(entries["fill_down"]?.node ?? null, "fill_down"),
      saidNo: this.#list(entries["said_no"]?.node ?? null, "said_no"),
    };
    if (this.#problems.length > 0) throw answersProblems(this.#file, this.#problems);
    return answers;
  }

  #problem(node: Node | null, key: string, advice: string): void {
    const offset = node?.range?.[0] ?? 0;
    this.#problems.push({ line: this.#text.slice(0, offset).split("\n").length, key, advice });
  }

  #map(node: Node | null, what: string): Record<string, { node: Node | null }> {
    const entries: Record<string, { node: Node | null }> = Object.create(null) as object as Record<
      string,
      { node: Node | null }
    >;
    if (node === null || (isScalar(node) && (node.value === null || node.value === ""))) return entries;
    if (!isMap(node)) {
      this.#problem(node, what, "needs entries of the form name: value.");
      return entries;
    }
    for (const { key, value } of node.items) {
      const name = isScalar(key) ? String(key.value) : null;
      if (name === null) this.#problem(node, what, "has a name that is not plain text.");
      else entries[name] = { node: value as Node | null };
    }
    return entries;
  }

  #oneText(node: Node | null, what: string): string | null {
    if (node !== null && isScalar(node) && typeof node.value === "string" && node.value.trim() !== "")
      return node.value.trim();
    this.#problem(node, what, "needs one value after the colon.");
    return null;
  }

  #texts(node: Node | null, what: string): Record<string, string> {
    return Object.fromEntries(
      Object.entries(this.#map(node, what)).flatMap(([name, entry]) => {
        const text = this.#oneText(entry.node, `${what}: ${name}`);
        return text === null ? [] : [[name, text] as const];
      }),
    );
  }

  #list(node: Node | null, what: string): string[] {
    if (node === null) return [];
    if (isScalar(node)) return node.value === "" || node.value === null ? [] : [String(node.value)];
    if (isSeq(node)) return node.items.flatMap((item) => this.#oneText(item as Node, what) ?? []);
    this.#problem(node, what, "needs a list of columns: [rate].");
    return [];
  }

  #scores(node: Node | null): Record<string, number> {
    return Object.fromEntries(
      Object.entries(this.#texts(node, "lodging_words")).flatMap(([word, text]) => {
        const score = Number(text.replace(",", "."));
        if (score >= 0 && score <= 9) return [[word, score] as const];
        this.#problem(node, `lodging_words: ${word}`, "A score is between 0 (upright) and 9 (flat).");
        return [];
      }),
    );
  }

  #places(node: Node | null, what: string): Record<string, PlaceAnswer> {
    return Object.fromEntries(
      Object.entries(this.#map(node, what)).flatMap(([name, entry]) => {
        const place = this.#place(entry.node, `${what}: ${name}`);
        return place === null ? [] : [[name, place] as const];
      }),
    );
  }

  #place(node: Node | null, what: string): PlaceAnswer | null {
    const plain: PlaceAnswer = { holds: null, nameIs: null, values: {} };
    if (node !== null && isMap(node)) return { ...plain, values: this.#texts(node, what) };
    const word = this.#oneText(node, what);
    if (word === null) return null;
    const holds = holdsWords.find((one) => one === word);
    if (holds !== undefined) return { ...plain, holds };
    const nameIs = nameWords.find((one) => one === word);
    if (nameIs !== undefined) return { ...plain, holds: "strips", nameIs };
    this.#problem(
      node,
      what,
      `Use ${[...holdsWords, ...nameWords].join(", ")}, or values by column: {season: 2026}.`,
    );
    return null;
  }
}

const head = `# What was answered about these files, once. stripcurve finds this file beside them by its name, columns.yaml.
# columns: header as it stands: what it is, with its unit; or: not used
# values: what is the same for all strips, such as strip_length: 1200 ft
# tabs, files: strips, lots, not read; or what the name stands for: season, field, farm, variety; or values: {season: 2026}
# names: spelling: the name that it is; the same name again says that it is one of its own;
#   so for season and rate: what it means: the year, or the rate
# lodging_words: word: score from 0 upright to 9 flat
# thousands: columns whose small numbers are thousands;  fill_down: columns whose empty cells repeat the one above
# said_no: questions that were answered with no, so that they are not asked again
`;

const isEmpty = (value: unknown): boolean =>
  value === null || (typeof value === "object" && Object.keys(value).length === 0);

const placeText = ({ holds, nameIs, values }: PlaceAnswer): unknown =>
  nameIs ?? (Object.keys(values).length > 0 ? values : (holds ?? "strips"));

/** The entries that are not empty, by their names in the file. */
function entriesOf(answers: Answers): Record<string, unknown> {
  const places = (entries: Answers["tabs"]): Record<string, unknown> =>
    Object.fromEntries(Object.entries(entries).map(([name, place]) => [name, placeText(place)]));
  const all = {
    columns: answers.columns,
    values: answers.values,
    tabs: places(answers.tabs),
    files: places(answers.files),
    names: Object.fromEntries(Object.entries(answers.names).filter(([, value]) => !isEmpty(value))),
    lodging_words: answers.lodgingWords,
    thousands: answers.thousands,
    fill_down: answers.fillDown,
    said_no: answers.saidNo,
  };
  return Object.fromEntries(Object.entries(all).filter(([, value]) => !isEmpty(value)));
}

const yamlOf = (answers: Answers): string => {
  const told = entriesOf(answers);
  return Object.keys(told).length === 0 ? "" : stringify(told, { lineWidth: 0 });
};

const commented = (text: string): string =>
  text
    .trimEnd()
    .split("\n")
    .map((line) => `# ${line}\n`)
    .join("");

/**
 * The file that says the same.
 *
 * @param open  what is not answered yet: listed at the end, with the likeliest answers as entries to take the marks from
 */
export function answersText(answers: Answers, open: readonly Question[] = []): string {
  const text = `${head}${yamlOf(answers)}`;
  if (open.length === 0) return text;
  const likely = open.reduce(
    (all, { choices: [first] }) => (first === undefined ? all : mergeAnswers(all, first.answers)),
    answers,
  );
  const questions = open.map(({ text: asked, choices }) =>
    [asked, ...choices.map((choice, index) => `  ${index + 1}  ${choice.text}`)]
      .join("\n")
      .replaceAll("\r", " "),
  );
  return `${text}\n# Still open:\n${commented(questions.join("\n"))}#\n# With the first choice of each, the file would be this. Take the marks away where it is right:\n${commented(yamlOf(likely))}`;
}
