/** What is on the desk: the person's files, what was mended in them and what was typed, all of it undoable. */
import type { FarmFile, FileKind } from "../farm/farm-files.ts";
import {
  answerFor,
  answersWith,
  mergeAnswers,
  noAnswers,
  type Answers,
  type Choice,
  type PlaceAnswer,
  type Question,
} from "../read/answers/answers.ts";
import type { TypedEntry } from "../read/season-file/season.ts";
import { gridText } from "../tell/csv/csv-text.ts";
import type { DeskInput, HarvestFiles, LookedFile, LookedSheet } from "./errands.ts";

export interface DeskSheet extends LookedSheet {
  /** Name of the sheet's file once it was mended. */
  mendedName: string;
  edited: boolean;
  /** Rows left out with the reason, by their number, 1 being the first. */
  leftOut: Map<number, string>;
}

/** What a file on the desk can be: something an analysis reads, or something strips are made from. */
export type DeskKind = FileKind | "sheet" | "weighed";

export interface DeskFile extends Omit<LookedFile, "sheets" | "as"> {
  /** What kind of file it is, as recognized or as the person said. */
  as: DeskKind | null;
  said: boolean;
  used: boolean;
  sheets: DeskSheet[];
}

/** One thing that was done, and how it is undone. */
interface Deed {
  does(): void;
  undoes(): void;
}

export class Book {
  files: DeskFile[] = [];
  /** Entries of the season file as typed, by their key. */
  readonly typed = new Map<string, string>();
  /** What was answered, by the question that it answers. */
  readonly answered = new Map<string, { question: Question; choice: Choice }>();
  /** Something was mended or typed since the farm file was last saved. */
  isUnsaved = false;
  readonly #done: Deed[] = [];
  readonly #undone: Deed[] = [];
  readonly #changed: () => void;
  #number = 0;

  /** @param changed  called after every change that an answer depends on */
  constructor(changed: () => void) {
    this.#changed = changed;
  }

  get canUndo(): boolean {
    return this.#done.length > 0;
  }
  get canRedo(): boolean {
    return this.#undone.length > 0;
  }

  /** Does something that can be undone. */
  act(deed: Deed): void {
    this.#done.push(deed);
    this.#undone.length = 0;
    deed.does();
    this.#note();
  }

  /** Does something that is not in the person's files. */
  #mend(deed: Deed): void {
    this.isUnsaved = true;
    this.act(deed);
  }

  undo(): void {
    const deed = this.#done.pop();
    if (deed === undefined) return;
    this.#undone.push(deed);
    deed.undoes();
    this.#note();
  }

  redo(): void {
    const deed = this.#undone.pop();
    if (deed === undefined) return;
    this.#done.push(deed);
    deed.does();
    this.#note();
  }

  /** Adds files; one with the name of an earlier file replaces it. */
  add(looked: readonly LookedFile[]): void {
    const before = this.files;
    const added = looked.map((file): DeskFile => ({
      ...file,
      said: false,
      used: true,
      sheets: file.sheets.map((sheet) => ({
        ...sheet,
        mendedName: mendedName(file, sheet),
        edited: false,
        leftOut: new Map<number, string>(),
      })),
    }));
    const names = new Set(added.map(({ name }) => name));
    const after = [...before.filter(({ name }) => !names.has(name)), ...added];
    this.act({ does: () => (this.files = after), undoes: () => (this.files = before) });
  }

  remove(file: DeskFile): void {
    const before = this.files;
    const after = before.filter((one) => one !== file);
    this.act({ does: () => (this.files = after), undoes: () => (this.files = before) });
  }

  take(file: DeskFile, as: DeskKind | null): void {
    const before = { as: file.as, said: file.said };
    const held = file.sheets.map((sheet) => ({ sheet, holds: sheet.holds }));
    const [only, other] = file.sheets;
    this.#mend({
      does: () => {
        Object.assign(file, { as, said: true });
        if (only !== undefined && other === undefined && (as === "strips" || as === "lots")) only.holds = as;
      },
      undoes: () => {
        Object.assign(file, before);
        for (const { sheet, holds } of held) sheet.holds = holds;
      },
    });
  }

  /** Whether a sheet of a workbook is used, and as what. */
  hold(sheet: DeskSheet, holds: DeskSheet["holds"]): void {
    const before = sheet.holds;
    const { edited } = sheet;
    this.#mend({
      does: () => Object.assign(sheet, { holds, edited: true }),
      undoes: () => Object.assign(sheet, { holds: before, edited }),
    });
  }

  write(sheet: DeskSheet, row: number, column: number, text: string): void {
    this.writeAll(sheet, [{ row, column, text }]);
  }

  /** Several cells as one deed. */
  writeAll(sheet: DeskSheet, cells: readonly { row: number; column: number; text: string }[]): void {
    const changed = cells
      .map((cell) => ({ ...cell, before: sheet.rows[cell.row - 1]?.[cell.column] ?? "" }))
      .filter(({ before, text }) => before !== text);
    if (changed.length === 0) return;
    const { edited } = sheet;
    const put = (row: number, column: number, value: string): void => {
      while (sheet.rows.length < row - 1) sheet.rows.push([]);
      const own = (sheet.rows[row - 1] ??= []);
      while (own.length <= column) own.push("");
      own[column] = value;
    };
    this.#mend({
      does: () => {
        for (const { row, column, text } of changed) put(row, column, text);
        sheet.edited = true;
      },
      undoes: () => {
        for (const { row, column, before } of changed) put(row, column, before);
        sheet.edited = edited;
      },
    });
  }

  /** @param reason null: the row is used again */
  leaveOut(sheet: DeskSheet, row: number, reason: string | null): void {
    const before = sheet.leftOut.get(row);
    const { edited } = sheet;
    const put = (value: string | null | undefined): void => {
      if (value === null || value === undefined) sheet.leftOut.delete(row);
      else sheet.leftOut.set(row, value);
    };
    this.#mend({
      does: () => {
        put(reason);
        sheet.edited = true;
      },
      undoes: () => {
        put(before);
        sheet.edited = edited;
      },
    });
  }

  /** @param text empty: the default holds, or what the season file says */
  type(key: string, text: string): void {
    const before = this.typed.get(key) ?? "";
    if (before === text) return;
    const put = (value: string): void => {
      if (value === "") this.typed.delete(key);
      else this.typed.set(key, value);
    };
    this.#mend({ does: () => put(text), undoes: () => put(before) });
  }

  /** @param choice null: the question is open again */
  reply(question: Question, choice: Choice | null): void {
    const before = this.answered.get(question.id);
    const put = (value: { question: Question; choice: Choice } | undefined): void => {
      if (value === undefined) this.answered.delete(question.id);
      else this.answered.set(question.id, value);
    };
    this.#mend({
      does: () => put(choice === null ? undefined : { question, choice }),
      undoes: () => put(before),
    });
  }

  /** Everything forgotten; this cannot be undone. */
  clear(): void {
    this.files = [];
    this.typed.clear();
    this.answered.clear();
    this.#done.length = 0;
    this.#undone.length = 0;
    this.isUnsaved = false;
    this.#note();
  }

  get sheets(): DeskSheet[] {
    return this.files.flatMap((file) => (isTable(file) && file.used ? file.sheets : []));
  }

  /** The name that findings use for a sheet. */
  nameOf(sheet: DeskSheet): string {
    const file = this.files.find(({ sheets }) => sheets.includes(sheet));
    return file?.sheets.some(({ edited }) => edited) === true ? sheet.mendedName : sheet.file;
  }

  get typedEntries(): TypedEntry[] {
    return [...this.typed].map(([key, text]) => ({ key, text, from: key.replaceAll("_", " ") }));
  }

  get answers(): Answers {
    const said = [...this.answered.values()].reduce(
      (all, { choice }) => mergeAnswers(all, choice.answers),
      noAnswers,
    );
    const files = Object.fromEntries(this.files.flatMap((file) => mendedTabs(file, said)));
    return mergeAnswers(answersWith({ files }), said);
  }

  /** Files as the engine reads them: untouched ones byte for byte, mended ones written again with rows keeping their numbers. */
  input(): DeskInput {
    return {
      number: this.#number,
      files: this.files
        .filter((file) => file.used && file.problem === null && !isOfHarvest(file))
        .flatMap((file) => asRead(file, false)),
      typed: this.typedEntries,
      answers: this.answers,
    };
  }

  /** Files to keep: as read, but without empty lines where rows were left out. */
  filesToKeep(): FarmFile[] {
    return this.files
      .filter((file) => !isOfHarvest(file))
      .flatMap((file) =>
        asRead(file, true).map((kept) => (file.as === null ? kept : { as: file.as as FileKind, ...kept })),
      );
  }

  /** Points and what goes with them; of several field sheets or files of weights, the last. */
  harvestFiles(): HarvestFiles {
    const of = (as: DeskKind): FarmFile[] =>
      this.files.filter((file) => file.as === as).map(({ name, bytes }) => ({ name, bytes }));
    return {
      harvested: of("harvested"),
      seeded: of("seeded"),
      sheet: of("sheet").at(-1) ?? null,
      weighed: of("weighed").at(-1) ?? null,
    };
  }

  /** Rows left out, with their reasons, for whoever opens the farm file by hand; null where there are none. */
  leftOutText(): string | null {
    const lines = this.files.flatMap(({ sheets }) =>
      sheets.flatMap((sheet) =>
        [...sheet.leftOut].map(
          ([row, reason]) =>
            `- ${this.nameOf(sheet)}, row ${row}: ${reason}\n  ${(sheet.rows[row - 1] ?? []).join(" | ")}`,
        ),
      ),
    );
    return lines.length === 0 ? null : `# Rows left out\n\n${lines.join("\n")}\n`;
  }

  #note(): void {
    this.#number++;
    this.#changed();
  }
}

const ofHarvest: ReadonlySet<DeskKind | null> = new Set(["harvested", "seeded", "sheet", "weighed"] as const);
const isOfHarvest = ({ as }: DeskFile): boolean => ofHarvest.has(as);

/** A mended tab becomes a file, which has to say what the tab's name said. */
function mendedTabs({ sheets }: DeskFile, said: Answers): [string, PlaceAnswer][] {
  if (sheets.length === 1 || !sheets.some(({ edited }) => edited)) return [];
  return sheets.flatMap(({ tab, toldByTab, holds, mendedName: name }): [string, PlaceAnswer][] => {
    const place = tab === null ? undefined : answerFor(said.tabs, tab);
    const named =
      place === undefined || place.nameIs === null ? {} : { [place.nameIs]: toldByTab[place.nameIs] ?? tab! };
    const values = { ...toldByTab, ...named, ...place?.values };
    return holds !== "strips" || Object.keys(values).length === 0
      ? []
      : [[name, { holds: null, nameIs: null, values }]];
  });
}

const isTable = ({ as }: DeskFile): boolean => as === "strips" || as === "lots" || as === null;

/** A sheet as a CSV file. */
export function mendedText({ rows, delimiter, leftOut }: DeskSheet, withoutGaps: boolean): string {
  const width = rows.reduce((most, cells) => Math.max(most, cells.length), 1);
  const full = (cells: string[]): string[] => cells.concat(Array(width - cells.length).fill(""));
  const kept = rows.map((cells, index) => (leftOut.has(index + 1) ? [] : cells));
  return gridText(
    (withoutGaps ? kept.filter((cells) => cells.some((cell) => cell !== "")) : kept).map(full),
    delimiter,
  );
}

function asRead(file: DeskFile, withoutGaps: boolean): FarmFile[] {
  const { name, bytes, as, said, sheets } = file;
  if (!sheets.some(({ edited }) => edited))
    return [{ name, bytes, ...(said && as !== null ? { as: as as FileKind } : {}) }];
  return sheets
    .filter(({ holds }) => sheets.length === 1 || holds !== null)
    .map((sheet) => ({
      name: sheet.mendedName,
      bytes: new TextEncoder().encode(mendedText(sheet, withoutGaps)),
      as: sheets.length === 1 ? ((as ?? "strips") as FileKind) : sheet.holds!,
    }));
}

const mendedName = ({ name, sheets }: LookedFile, { tab }: LookedSheet): string => {
  const bare = name.replace(/\.\w+$/, "");
  return tab === null || sheets.length === 1 ? `${bare}.csv` : `${bare} ${tab}.csv`;
};
