/** Step 2: every finding beside its row, mended in place; every change can be undone. */
import { answerFor, notUsedAnswer } from "../read/answers/answers.ts";
import { lotColumns, stripColumns } from "../read/strips/columns.ts";
import { causesOf, placeText, severityWords, type Cause } from "../tell/wording/findings.ts";
import type { Finding, Severity } from "../vocabulary/trial.ts";
import { mendedText, type DeskSheet } from "./book.ts";
import type { Desk, Step } from "./desk.ts";
import { button, element, labelled, save } from "./element.ts";
import { Table, type TableRow } from "./table.ts";
import { questionsShown } from "./questions.ts";
import { isBeingTyped, redraw } from "./typing.ts";

const severities: Severity[] = ["stops", "doubt", "note"];
/** So many are listed above the table; all are beside their rows. */
const mostListed = 60;
/** So many rows of one cause have a button. */
const mostRows = 6;

let table: Table;
let select: HTMLSelectElement;
let onlyFound: HTMLInputElement;
let undo: HTMLButtonElement;
let redo: HTMLButtonElement;
let list: HTMLElement;
let told: HTMLElement;
let sum: HTMLElement;
let questions: HTMLElement;
let chosen: DeskSheet | null = null;

export const mend: Step = {
  name: "mend",
  title: "Mend",
  build(desk) {
    table = new Table();
    select = element("select", {
      onchange: () => {
        chosen = desk.book.sheets[Number(select.value)] ?? null;
        show(desk);
      },
    });
    onlyFound = element("input", { type: "checkbox", id: "only-found", onchange: () => show(desk) });
    undo = button("Undo", () => desk.book.undo());
    redo = button("Redo", () => desk.book.redo());
    list = element("div", { class: "findings" });
    told = element("p", { class: "told", "aria-live": "polite" });
    sum = element("p");
    questions = element("div", { tabindex: -1 });
    document.addEventListener("keydown", (event) => {
      if (!(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== "z") return;
      if ((event.target as HTMLElement).matches("textarea") || isBeingTyped(event.target)) return;
      event.preventDefault();
      if (event.shiftKey) desk.book.redo();
      else desk.book.undo();
    });
    return element(
      "section",
      {},
      element("h2", { tabindex: -1 }, "What was found, and what to mend"),
      element(
        "p",
        {},
        "Change a cell or a column name here; your own file stays as it is. Put a column’s unit in brackets after its name, as in yield (bu/ac). Press Esc to leave the table.",
      ),
      sum,
      questions,
      list,
      labelled("Table", select),
      element(
        "p",
        { class: "row" },
        undo,
        redo,
        button("Save the mended table as CSV", () => saveMended(desk)),
        element(
          "span",
          {},
          onlyFound,
          " ",
          element("label", { for: "only-found" }, "Only rows with findings"),
        ),
      ),
      told,
      table.element,
      ...[stripColumns, lotColumns].map((columns, index) =>
        element(
          "datalist",
          { id: index === 0 ? "strip-columns" : "lot-columns" },
          ...columns.map(({ name, meaning }) => element("option", { value: name }, meaning)),
        ),
      ),
    );
  },
  update: show,
};

function saveMended(desk: Desk): void {
  if (chosen === null) return;
  const name = besideOwn(chosen);
  save(name, mendedText(withAnsweredHeader(desk, chosen), true), "text/csv");
  desk.say(`Saved ${name}. Your own file is as it was.`);
}

/** A name that differs from the person's own file, so that it is not overwritten. */
const besideOwn = ({ mendedName, file }: DeskSheet): string =>
  mendedName.toLowerCase() === file.toLowerCase()
    ? mendedName.replace(/(\.\w+)?$/, "-mended.csv")
    : mendedName;

/** Writes what a column was answered to be into its header, for whoever reads only this file. */
function withAnsweredHeader({ book }: Desk, sheet: DeskSheet): DeskSheet {
  const { columns } = book.answers;
  const header = headerRowOf(sheet) - 1;
  const answered = (text: string): string => {
    const is = text.trim() === "" ? undefined : answerFor(columns, text);
    return is === undefined || is === notUsedAnswer ? text : is;
  };
  return {
    ...sheet,
    rows: sheet.rows.map((cells, index) => (index === header ? cells.map(answered) : cells)),
  };
}

/** Row of the header: where most cells hold words, among the first. */
function headerRowOf({ rows }: DeskSheet): number {
  let best = 1;
  let most = 0;
  rows.slice(0, 20).forEach((cells, index) => {
    const words = cells.filter((cell) => /^[^\d\s].*/.test(cell.trim())).length;
    if (words > most) [best, most] = [index + 1, words];
  });
  return best;
}

/** Indexes of the columns that a finding names: by their header, or by what the column was understood as. */
function columnPlaces(desk: Desk, sheet: DeskSheet): (column: string | null) => number[] {
  const header = sheet.rows[headerRowOf(sheet) - 1] ?? [];
  const name = desk.book.nameOf(sheet);
  const understood = (desk.answer?.columns ?? []).filter(({ file }) => file === name);
  return (column) => {
    const headers = new Set([
      nameOf(column ?? ""),
      ...understood.filter((one) => one.column === column).map((one) => nameOf(one.header)),
    ]);
    return header.flatMap((text, index) => (text !== "" && headers.has(nameOf(text)) ? [index] : []));
  };
}

const nameOf = (text: string): string =>
  text
    .toLowerCase()
    .replace(/[\s_.-]+/g, " ")
    .trim();

function show(desk: Desk): void {
  const { book, answer } = desk;
  undo.disabled = !book.canUndo;
  redo.disabled = !book.canRedo;
  if (chosen === null || !book.sheets.includes(chosen)) chosen = book.sheets[0] ?? null;
  select.replaceChildren(...sheetChoices(desk));
  sum.replaceChildren(
    answer === null
      ? "No strips are on the desk yet."
      : `Rows read: ${answer.rows.read}. Used: ${answer.rows.used}. Left out: ${answer.rows.leftOut}.`,
  );
  redraw(list, () => list.replaceChildren(...findingsShown(desk, answer?.findings ?? [])));
  redraw(questions, () => questions.replaceChildren(...questionsShown(desk, () => questions.focus())));
  table.element.hidden = chosen === null;
  if (chosen !== null) showRows(desk, chosen);
}

const sheetChoices = ({ book }: Desk): HTMLElement[] =>
  book.sheets.map((sheet, index) =>
    element(
      "option",
      { value: index, selected: sheet === chosen },
      `${book.nameOf(sheet)}${sheet.edited ? " (changed)" : ""}`,
    ),
  );

function showRows(desk: Desk, sheet: DeskSheet): void {
  const { book } = desk;
  const headerRow = headerRowOf(sheet);
  const width = sheet.rows.reduce((most, cells) => Math.max(most, cells.length), 0);
  table.show({
    name: book.nameOf(sheet),
    header: Array.from(
      { length: Math.min(width, 80) },
      (_, column) => sheet.rows[headerRow - 1]?.[column] ?? "",
    ),
    headerRow,
    columnNames: sheet.holds === "lots" ? "lot-columns" : "strip-columns",
    rows: rowsWithFindings(desk, sheet, headerRow),
    write: (row, column, text) => book.write(sheet, row, column, text),
    leave: (row) => leaveOutOrUse(desk, sheet, row),
    told: (row) => told.replaceChildren(row.found === "" ? "" : `Row ${row.number}: ${row.found}`),
  });
}

/** The rows below the header, each with what was found in it; where only those are asked for, without the others. */
function rowsWithFindings(desk: Desk, sheet: DeskSheet, headerRow: number): TableRow[] {
  const placesOf = columnPlaces(desk, sheet);
  const byRow = findingsByRow(desk, sheet);
  const rows: TableRow[] = [];
  sheet.rows.forEach((cells, index) => {
    const number = index + 1;
    if (number === headerRow) return;
    const own = byRow.get(number) ?? [];
    const reason = sheet.leftOut.get(number);
    if (onlyFound.checked && own.length === 0 && reason === undefined) return;
    rows.push({
      number,
      cells,
      isOut: reason !== undefined,
      worst: severities.find((severity) => own.some((one) => one.severity === severity)) ?? "",
      marked: new Set(own.flatMap(({ column }) => placesOf(column))),
      found: [reason === undefined ? "" : `Left out: ${reason}`, ...own.map(({ message }) => message)]
        .filter(Boolean)
        .join(" "),
    });
  });
  return rows;
}

function findingsByRow({ book, answer }: Desk, sheet: DeskSheet): Map<number, Finding[]> {
  const byRow = new Map<number, Finding[]>();
  const name = book.nameOf(sheet);
  for (const one of answer?.findings ?? [])
    if (one.row !== null && one.file === name) byRow.set(one.row, [...(byRow.get(one.row) ?? []), one]);
  return byRow;
}

function leaveOutOrUse({ book }: Desk, sheet: DeskSheet, row: TableRow): void {
  if (row.isOut) return book.leaveOut(sheet, row.number, null);
  const reason = window.prompt(`Why leave out row ${row.number}? The reason is kept.`, "");
  if (reason !== null)
    book.leaveOut(sheet, row.number, reason.trim() === "" ? "no reason given" : reason.trim());
}

/** What was found; lists that the person opened or folded stay so. */
function findingsShown(desk: Desk, findings: readonly Finding[]): HTMLElement[] {
  const problem = desk.answer?.problem ?? null;
  return [
    ...(problem === null ? [] : [element("p", { class: "problem" }, problem)]),
    ...severities.flatMap((severity) =>
      findingList(
        desk,
        severity,
        findings.filter((one) => one.severity === severity),
      ),
    ),
  ];
}

function findingList(desk: Desk, severity: Severity, findings: readonly Finding[]): HTMLElement[] {
  if (findings.length === 0) return [];
  const { word, meaning } = severityWords[severity];
  const causes = causesOf(findings);
  return [
    element(
      "details",
      {
        open:
          list.querySelector<HTMLDetailsElement>(`[data-severity=${severity}]`)?.open ?? severity === "stops",
        "data-severity": severity,
      },
      element("summary", { "data-key": severity }, `${word}: ${findings.length} (${meaning})`),
      element(
        "ul",
        {},
        ...causes.slice(0, mostListed).map((cause) => causeShown(desk, cause)),
        causes.length > mostListed &&
          element("li", {}, `and ${causes.length - mostListed} more, shown beside their rows below.`),
      ),
    ),
  ];
}

/** A finding, said once, with buttons to its rows. */
function causeShown(desk: Desk, cause: Cause): HTMLElement {
  const { finding, rows } = cause;
  const sheet = desk.book.sheets.find((each) => desk.book.nameOf(each) === finding.file);
  const place = placeText(cause);
  return element(
    "li",
    {},
    place !== "" && element("bdi", { class: "hint" }, `${place}: `),
    finding.message,
    " ",
    ...(sheet === undefined ? [] : rows.slice(0, mostRows)).flatMap((row) => [
      toRow(row, () => goTo(desk, sheet!, { ...finding, row })),
      " ",
    ]),
    rows.length > mostRows && `The other ${rows.length - mostRows} are marked in the table.`,
  );
}

function toRow(row: number, go: () => void): HTMLElement {
  const one = button(`Go to row ${row}`, go, "small");
  one.dataset["key"] = `to ${row}`;
  return one;
}

function goTo(desk: Desk, sheet: DeskSheet, { row, column }: Finding): void {
  chosen = sheet;
  onlyFound.checked = false;
  show(desk);
  table.focus(row!, columnPlaces(desk, sheet)(column)[0] ?? 0);
}
