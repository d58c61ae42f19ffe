/** What the header of a file says: which column is which, and in what unit. */
import { columnTwice, columnUnitUnclear, headerUnitUnknown } from "../../messages/reading.ts";
import type { Finding, LodgingScale } from "../../vocabulary/trial.ts";
import { lodgingScaleNames, parseLodgingScale } from "../../numbers/lodging-scales.ts";
import { parseUnit, quantities, type ColumnUnit } from "../units/column-units.ts";
import type { Column } from "../strips/columns.ts";
import { nearestName } from "../nearest-name.ts";

/** One column of one file, as its header tells it. */
export interface FileColumn<Name extends string = string> {
  index: number;
  header: string;
  column: Column<Name>;
  /** Unit named in the header; null where numbers stand bare. */
  unit: ColumnUnit | null;
  /** Scale named in the header of a lodging column. */
  scale: LodgingScale | null;
  /** Moisture that the header says a yield is already at [%]; null where it does not say. */
  atMoisturePct: number | null;
  /** The currency and unit of a price, as the header has them. */
  bracket: string;
}

/** A name without case, spaces, underscores, points, dashes and percent signs. */
export const plainName = (text: string): string =>
  text
    .normalize("NFKC")
    .toLowerCase()
    .replace(/[\s_.\-#%*:]+/g, "");

/** `name (unit)` or `name [unit]`, apart; the bracket is "" where there is none. */
export function splitHeader(header: string): { name: string; bracket: string } {
  const trimmed = header.length > 300 ? "" : header.trim();
  const open = trimmed.search(/[([]/);
  const last = trimmed.at(-1);
  return open > 0 && (last === ")" || last === "]")
    ? { name: trimmed.slice(0, open), bracket: trimmed.slice(open + 1, -1).trim() }
    : { name: trimmed, bracket: "" };
}

/** The moisture in `bu/ac at 13.5 %` or `kg/ha, dry`, and what is left. */
function splitMoisture(bracket: string): { unit: string; moisturePct: number | null } {
  const dry = /^(.*?)[\s,;]*\bdry(?:\s+(?:matter|weight|basis))?$/i.exec(bracket);
  if (dry !== null) return { unit: dry[1]!, moisturePct: 0 };
  const at = /^(.*?)[\s,;]*(?:\bat\b|@|,|;)\s*(\d{1,2}(?:[.,]\d+)?)\s*%(?:\s*moisture)?$/i.exec(bracket);
  return at === null
    ? { unit: bracket, moisturePct: null }
    : { unit: at[1]!, moisturePct: Number(at[2]!.replace(",", ".")) };
}

/** Looks headers up in a column table. */
export class HeaderReader<Name extends string> {
  readonly #names = new Map<string, Column<Name>>();
  readonly #unitNames = new Map<string, { column: Column<Name>; bracket: string }>();
  readonly #longestFirst: string[];

  constructor(columns: readonly Column<Name>[]) {
    for (const column of columns) {
      for (const name of [column.name, ...column.also]) this.#names.set(plainName(name), column);
      for (const [name, bracket] of Object.entries(column.unitNames)) {
        this.#unitNames.set(plainName(name), { column, bracket });
      }
    }
    this.#longestFirst = [...this.#names.keys()].sort((a, b) => b.length - a.length);
  }

  /** The column that an unknown header was probably meant to be, null where none is near or the near one is there. */
  nearest(header: string, taken: ReadonlySet<string>): Name | null {
    const near = nearestName(plainName(splitHeader(header).name), this.#longestFirst);
    const column = near === null ? undefined : this.#names.get(near)!;
    return column === undefined || taken.has(column.name) ? null : column.name;
  }

  /** How many of the headers are known: tells the delimiter. */
  known(headers: readonly string[]): number {
    return headers.filter((header) => this.#find(header) !== null).length;
  }

  #find(header: string): { column: Column<Name>; bracket: string } | null {
    const { name, bracket } = splitHeader(header);
    const column = this.#names.get(plainName(name));
    if (column !== undefined) return { column, bracket };
    return this.#unitNames.get(plainName(name)) ?? this.#findWithUnit(name);
  }

  /** `yield_bu_ac` and `stand per m2`: a known name with a unit behind it and no brackets. */
  #findWithUnit(name: string): { column: Column<Name>; bracket: string } | null {
    const plain = plainName(name);
    for (const known of this.#longestFirst) {
      if (!plain.startsWith(known) || plain.length === known.length) continue;
      const column = this.#names.get(known)!;
      if (column.quantity === null) continue;
      const rest = unitLetters(plain.slice(known.length));
      const unit = (quantities[column.quantity].units as ColumnUnit[]).find(({ name: unitName, also = [] }) =>
        [unitName, ...also].some((spelling) =>
          [spelling, spelling.replace("/", "per")].map(unitLetters).includes(rest),
        ),
      );
      if (unit !== undefined) return { column, bracket: unit.name };
    }
    return null;
  }

  /**
   * The header's columns, and those of no use.
   *
   * @param file  its name, for messages
   * @returns `columns` in the order of the file, `ignored` headers that mean nothing here, `findings` about units that
   *   are not understood in columns that can be done without
   * @throws TrialError `column-twice` if two headers mean the same column
   * @throws TrialError `unit-unknown` if a needed column, or one that others depend on, is in a unit that is not known
   */
  read(
    file: string,
    headers: readonly string[],
    mustUnderstand: ReadonlySet<string>,
  ): { columns: FileColumn<Name>[]; ignored: string[]; findings: Finding[] } {
    const columns: FileColumn<Name>[] = [];
    const ignored: string[] = [];
    const findings: Finding[] = [];
    headers.forEach((header, index) => {
      const found = this.#find(header);
      if (found === null) {
        if (header.trim() !== "") ignored.push(header);
        return;
      }
      const { column, bracket } = found;
      const twin = columns.find((other) => other.column.name === column.name);
      if (twin !== undefined) throw columnTwice(file, column.name, twin.header, header);
      const fileColumn = this.#understand(index, header, column, bracket);
      if (fileColumn !== null) {
        columns.push(fileColumn);
        return;
      }
      const accepted =
        column.kind === "lodging"
          ? lodgingScaleNames
          : (quantities[column.quantity!].units as ColumnUnit[]).map((unit) => unit.name);
      if (mustUnderstand.has(column.name))
        throw headerUnitUnknown(file, column.name, header, bracket, accepted);
      findings.push(columnUnitUnclear(file, column.name, header, bracket, accepted));
      ignored.push(header);
    });
    return { columns, ignored, findings };
  }

  #understand(index: number, header: string, column: Column<Name>, bracket: string): FileColumn<Name> | null {
    const plain = { index, header, column, unit: null, scale: null, atMoisturePct: null, bracket };
    if (bracket === "") return plain;
    if (column.kind === "lodging") {
      const scale = parseLodgingScale(bracket);
      return scale === null ? null : { ...plain, scale };
    }
    if (column.quantity === null) return plain;
    const { unit: unitText, moisturePct } =
      column.quantity === "yield" ? splitMoisture(bracket) : { unit: bracket, moisturePct: null };
    if (unitText === "") return { ...plain, atMoisturePct: moisturePct };
    const unit = parseUnit(column.quantity, unitText);
    return unit === null ? null : { ...plain, unit, atMoisturePct: moisturePct };
  }
}

/** The letters and digits of a unit, as they are left in a header without signs. */
const unitLetters = (unit: string): string => unit.toLowerCase().replace(/[^a-z0-9]/g, "");
