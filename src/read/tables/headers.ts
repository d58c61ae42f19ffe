/** What the header of a file says: which column is which, and in what unit. */
import { columnTwice, columnUnitUnclear, headerUnitUnknown, yieldTwice } from "../../messages/reading.ts";
import type { Finding, LodgingScale } from "../../vocabulary/trial.ts";
import { lodgingScaleNames, parseLodgingScale } from "../../numbers/lodging-scales.ts";
import { parseUnit, quantities, type ColumnUnit, type QuantityName } from "../units/column-units.ts";
import type { Column } from "../strips/columns.ts";
import { nearestName } from "../nearest-name.ts";
import { pairIn } from "../pair-in.ts";
import { LooseHeaders } from "./loose-headers.ts";
import { moistureTold, saysMarketMoisture, saysWet, splitMoisture } from "./moisture-basis.ts";
import { answerFor, notUsedAnswer, QuestionError, whichOfTwo, whichUnit } from "../answers/answers.ts";

/** One column of one file, as its header describes it. */
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
  /** The header says that yields are at market moisture already: `adjusted yield`. */
  atMarketMoisture: boolean;
  /** The currency and unit of a price, as the header has them. */
  bracket: string;
}

/** A name without case, accents, spaces, underscores, points, dashes and percent signs. */
export const plainName = (text: string): string =>
  text
    .normalize("NFKD")
    .replace(/\p{M}+/gu, "")
    .toLowerCase()
    .replaceAll("ß", "ss")
    .replace(/[\s_.\-#%*:?'’]+/g, "");

/** A price as it stands in a header without brackets: `price $/50# bag`, `seed €/dt`. */
const priceInHeader = /^(.*?)[\s,]*((?:\p{Sc}|\b[A-Z]{3}\b|\bper\b)\s*\/?\s*[\d\p{L}#].*)$/u;

/** Ways to write umlauts where the keyboard has none: `Aussaatstaerke`. */
const withoutUmlauts = (text: string): string =>
  text.replace(/[äöüÄÖÜ]/g, (letter) => `${letter.normalize("NFD").charAt(0)}e`);

/** `name (unit)` or `name [unit]`, apart; the bracket is "" where there is none. */
export function splitHeader(header: string): { name: string; bracket: string } {
  const trimmed = header.length > 300 ? "" : header.trim();
  const open = trimmed.search(/[([]/);
  const last = trimmed.at(-1);
  return open > 0 && (last === ")" || last === "]")
    ? { name: trimmed.slice(0, open), bracket: trimmed.slice(open + 1, -1).trim() }
    : { name: trimmed, bracket: "" };
}

/** `1000s`, `x 1000`, `in millions`: how many at a time, and not on what ground. */
const howMany =
  /^(?:in\s+|[x×]\s*)?(?:(1000s?|0?00s?|k|tsd\.?|thousands?|tausend|milliers|miles)|(m|mio\.?|mil|mill\.?|millions?|millones))$/iu;

/** A unit whose header says how many but not per what area: the area of the other headers, null where they say none or both. */
function onGroundOf(unit: string, headers: readonly string[]): string | null {
  const many = howMany.exec(unit.trim());
  if (many === null) return null;
  const isUs = headers.some((header) => /\b(?:ac|acres?|bu|bpa|lbs?|ft)\b|\/\s*a\b/i.test(header));
  const isMetric = headers.some((header) => /(?:\b(?:ha|dt|kg|qx?|m)\b|m²|\bm2\b)/i.test(header));
  return isUs === isMetric ? null : `${many[1] === undefined ? "million" : "thousand"}/${isUs ? "ac" : "ha"}`;
}

const isOfGround = (quantity: QuantityName): boolean => ["rate", "stripRate", "stand"].includes(quantity);

const isBushels = /^bu(?:shels?|s)?$/i;
const intended = /^(?:target|intended|planned|desired|nominal)[\s_.-]+(.+)$/i;

/** Shorter names are near to too many others. */
const shortestGuess = 4;
/** Headers are words of their own, and near to some word of one of four languages: `Region` is no `Regen`. */
const headerShare = 1 / 4;

/** Headers whose meaning is remembered: more than any one table has, and no more than a few MB. */
const mostRemembered = 200_000;
const longestRemembered = 100;

/** Looks headers up in a column table. */
export class HeaderReader<Name extends string> {
  readonly #names = new Map<string, Column<Name>>();
  readonly #unitNames = new Map<string, { column: Column<Name>; bracket: string }>();
  readonly #lastNames = new Map<string, Column<Name>>();
  readonly #nothing: ReadonlySet<string>;
  readonly #probably = new Map<string, Name>();
  readonly #loose: LooseHeaders<Name>;
  readonly #longestFirst: string[];
  /** How many letters names have, most first. */
  readonly #lengths: readonly number[];
  /** What headers were found to mean: each is asked for many times. */
  readonly #found = new Map<string, { column: Column<Name>; bracket: string } | null>();

  /**
   * @param synonyms  further names by column; a name of the table itself wins over them
   * @param lastNames  names of columns that tell the same where no other column does
   * @param nothing  headers, written just so, that are none of the columns
   * @param probably  headers that are no name of a column, and what they are asked to be
   */
  constructor(
    columns: readonly Column<Name>[],
    synonyms: Partial<Record<Name, readonly string[]>> = {},
    lastNames: Partial<Record<Name, readonly string[]>> = {},
    nothing: readonly string[] = [],
    probably: Partial<Record<Name, readonly string[]>> = {},
  ) {
    this.#nothing = new Set(nothing);
    for (const column of columns)
      for (const name of lastNames[column.name] ?? []) this.#lastNames.set(plainName(name), column);
    for (const column of columns)
      for (const name of probably[column.name] ?? []) this.#probably.set(plainName(name), column.name);
    for (const column of columns) {
      for (const name of [column.name, ...column.also]) this.#names.set(plainName(name), column);
    }
    for (const column of columns) {
      for (const synonym of synonyms[column.name] ?? []) {
        for (const name of [plainName(synonym), plainName(withoutUmlauts(synonym))]) {
          if (!this.#names.has(name)) this.#names.set(name, column);
        }
      }
      for (const [name, bracket] of Object.entries(column.unitNames)) {
        this.#unitNames.set(plainName(name), { column, bracket });
      }
    }
    this.#loose = new LooseHeaders(
      columns,
      columns.flatMap((column) =>
        [column.name, ...column.also, ...(synonyms[column.name] ?? []), ...(lastNames[column.name] ?? [])]
          .flatMap((name) => [name, withoutUmlauts(name)])
          .map((name) => [name, column] as const),
      ),
    );
    this.#longestFirst = [...this.#names.keys()].sort((a, b) => b.length - a.length);
    this.#lengths = [...new Set(this.#longestFirst.map(({ length }) => length))];
  }

  /** The column that an unknown header was probably meant to be, null where none is near or the near one is there. */
  nearest(header: string, taken: ReadonlySet<string>): Name | null {
    const { name, bracket } = splitHeader(header);
    const plain = plainName(name);
    const probable = this.#probably.get(plain);
    if (probable !== undefined) return taken.has(probable) ? null : probable;
    const word = name
      .split(/[\s_/]+/)
      .map(plainName)
      .find((one) => one.length > 1 && this.#names.has(one) && !taken.has(this.#names.get(one)!.name));
    const near =
      word ?? (plain.length < shortestGuess ? null : nearestName(plain, this.#longestFirst, headerShare));
    const column = near === null ? undefined : this.#names.get(near)!;
    if (column === undefined || taken.has(column.name)) return null;
    const inAnotherUnit =
      bracket !== "" && column.quantity !== null && this.#understandsUnit(column, bracket) === "";
    return inAnotherUnit ? null : column.name;
  }

  /** How many of the headers are known: this shows the delimiter, and the row of the header. */
  known(headers: readonly string[]): number {
    return headers.filter((header) => this.#find(header) !== null).length;
  }

  /** The column that a header means, null where it is not known. */
  nameOf(header: string): Name | null {
    return this.#find(header)?.column.name ?? null;
  }

  /** The column that a header means, or means by its words in any order. */
  looseNameOf(header: string): Name | null {
    return (this.#find(header) ?? this.#loose.find(header))?.column.name ?? null;
  }

  /** The unit that a known header names, "" where it names none. */
  bracketOf(header: string): string {
    return this.#find(header)?.bracket ?? "";
  }

  /** What was answered, with the unit of the header where the answer names none; the header itself where nothing was. */
  #findAnswered(
    header: string,
    answer: string | undefined,
  ): { column: Column<Name>; bracket: string } | null {
    if (answer === undefined) return this.#find(header);
    const found = this.#find(answer);
    if (found === null) return found;
    // What moisture the header says its yields are at holds with any unit that was answered.
    const isGrain = found.column.name === "yield" && moistureTold(answer) === null;
    const told = isGrain ? moistureTold(splitHeader(header).bracket || header) : null;
    const unit = found.bracket || this.#understandsUnit(found.column, splitHeader(header).bracket);
    return {
      ...found,
      bracket: told === null ? unit : `${splitMoisture(unit).unit} at ${told.moisturePct} %`.trim(),
    };
  }

  /** The unit text if the column can be in it, else "". */
  #understandsUnit(column: Column<Name>, unit: string): string {
    return column.quantity !== null && unit !== "" && parseUnit(column.quantity, unit) !== null ? unit : "";
  }

  /** Whether a text below a header is its unit. */
  takesUnit(header: string, text: string): boolean {
    const found = this.#find(header);
    if (found === null || found.bracket !== "") return false;
    if (found.column.kind === "lodging") return parseLodgingScale(text) !== null;
    if (found.column.quantity === null) return false;
    return parseUnit(found.column.quantity, splitMoisture(text).unit) !== null;
  }

  /** Whether a header's numbers stand for something else in another unit. */
  isMeasured(header: string): boolean {
    return (this.#find(header)?.column.quantity ?? null) !== null;
  }

  #find(header: string): { column: Column<Name>; bracket: string } | null {
    const known = this.#found.get(header);
    if (known !== undefined) return known;
    const found = this.#inPercent(header, this.#look(header));
    if (this.#found.size >= mostRemembered) this.#found.clear();
    if (header.length <= longestRemembered) this.#found.set(header, found);
    return found;
  }

  #look(header: string): { column: Column<Name>; bracket: string } | null {
    const { name, bracket } = splitHeader(header);
    if (this.#nothing.has(name.trim())) return null;
    const column = this.#names.get(plainName(name)) ?? this.#eitherName(name);
    if (column !== undefined) return { column, bracket };
    return (
      this.#findAtMoisture(name, bracket) ??
      this.#unitNames.get(plainName(name)) ??
      this.#findPrice(header) ??
      this.#findWordsWithUnit(header) ??
      this.#findWithUnit(name) ??
      this.#findIntended(header)
    );
  }

  /** `% lodged`, `Stand %`: the sign beside a name is its unit, where it is not what its numbers are in anyway. */
  #inPercent<Found extends { column: Column<Name>; bracket: string } | null>(
    header: string,
    found: Found,
  ): Found {
    if (found === null || found.bracket !== "" || !/^\s*%|%\s*$/.test(header)) return found;
    const { kind, quantity } = found.column;
    const isOther = kind === "lodging" || (quantity !== null && parseUnit(quantity, "%") === null);
    return isOther ? { ...found, bracket: "%" } : found;
  }

  /** `Yield @ 13.5 %`, `Yield 13.5 % bu/ac`: a yield, the moisture that it is told at, and its unit. */
  #findAtMoisture(name: string, bracket: string): { column: Column<Name>; bracket: string } | null {
    const told = moistureTold(name);
    const found = told === null || told.rest === "" ? null : this.#find(told.rest);
    if (found === null || found.column.name !== "yield") return null;
    return { ...found, bracket: `${found.bracket} ${bracket} at ${told!.moisturePct} %`.trim() };
  }

  /** `Hybrid/Variety`: names of one column, whichever of them is meant. */
  #eitherName(name: string): Column<Name> | undefined {
    const parts = name.length > 100 ? [] : name.split("/");
    if (parts.length < 2) return undefined;
    const columns = new Set(parts.map((part) => this.#names.get(plainName(part))));
    return columns.size === 1 ? [...columns][0] : undefined;
  }

  /** `target seeds per acre`: what was meant to be sown is what the strip was sown at. */
  #findIntended(header: string): { column: Column<Name>; bracket: string } | null {
    const rest = header.length > 100 ? undefined : intended.exec(header.trim())?.[1];
    const found = rest === undefined ? null : this.#find(rest);
    return found?.column.quantity === "rate" || found?.column.quantity === "stripRate" ? found : null;
  }

  /** `price $/50# bag`: what seed costs, or its treatment where the name says so. */
  #findPrice(header: string): { column: Column<Name>; bracket: string } | null {
    const found = header.length > 100 ? null : pairIn(priceInHeader, header.trim().replace(/[()[\]]/g, " "));
    if (found === null) return null;
    const [name, bracket] = found;
    const known = this.#names.get(plainName(name));
    if (known?.kind !== "money" && !/\p{Sc}|\//u.test(bracket)) return null;
    const column =
      known?.kind === "money"
        ? known
        : /^(?:seed|saatgut|semences?|semillas?)?$/i.test(name.trim())
          ? [...this.#names.values()].find((one) => one.kind === "money")
          : undefined;
    return column === undefined ? null : { column, bracket: bracket.trim() };
  }

  /** `plants per foot of row` and `Pflanzen/m²`: words of a known name, then a unit. */
  #findWordsWithUnit(header: string): { column: Column<Name>; bracket: string } | null {
    if (header.length > 100) return null;
    const words = header
      .replace(/[,()[\]]/g, " ")
      .trim()
      .split(/\s+|(?=\/)/);
    for (let count = words.length - 1; count > 0; count--) {
      const column = this.#names.get(plainName(words.slice(0, count).join(" ")));
      if (column === undefined) continue;
      const bracket = words.slice(count).join(" ");
      const understood =
        column.kind === "lodging"
          ? parseLodgingScale(bracket)
          : column.quantity === null
            ? null
            : (parseUnit(column.quantity, splitMoisture(bracket).unit) ??
              (isOfGround(column.quantity) ? howMany.exec(bracket) : null));
      if (understood !== null) return { column, bracket };
    }
    return null;
  }

  /** `yield_bu_ac` and `stand per m2`: a known name with a unit behind it and no brackets. */
  #findWithUnit(name: string): { column: Column<Name>; bracket: string } | null {
    const plain = plainName(name);
    for (const length of this.#lengths) {
      const column = plain.length > length ? this.#names.get(plain.slice(0, length)) : undefined;
      if (column === undefined || column.quantity === null) continue;
      const rest = unitLetters(plain.slice(length));
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
   * @param answered  header → what it is, as a person answered
   * @returns `columns` in the order of the file, `ignored` headers that mean nothing here, `findings` about units that
   *   are not understood in columns that can be done without
   * @throws TrialError `column-twice` if two headers mean the same column
   * @throws TrialError `unit-unknown` if a needed column, or one that others depend on, is in a unit that is not known
   */
  read(
    file: string,
    headers: readonly string[],
    mustUnderstand: ReadonlySet<string>,
    answered: Readonly<Record<string, string>> = {},
  ): { columns: FileColumn<Name>[]; ignored: string[]; findings: Finding[] } {
    const columns: FileColumn<Name>[] = [];
    const ignored: string[] = [];
    const findings: Finding[] = [];
    headers.forEach((header, index) => {
      const answer = answerFor(answered, header);
      const found = answer === notUsedAnswer ? null : this.#findAnswered(header, answer);
      if (found === null) {
        if (header.trim() !== "") ignored.push(header);
        return;
      }
      const { column, bracket } = found;
      const fileColumn =
        this.#understand(index, header, column, bracket) ??
        this.#understand(index, header, column, onGroundOf(bracket, headers.toSpliced(index, 1)) ?? bracket);
      if (fileColumn === null && bracket.includes("%") && this.#isMeasuredBeside(index, headers, column)) {
        ignored.push(header);
        return;
      }
      const twin = columns.find((other) => other.column.name === column.name);
      if (twin !== undefined) {
        const [used, other] = oneOfTwo(file, twin, fileColumn, header);
        columns[columns.indexOf(twin)] = used;
        ignored.push(other);
        findings.push(yieldTwice(file, used.header, other, used.atMoisturePct));
        return;
      }
      if (fileColumn !== null) {
        columns.push(fileColumn);
        return;
      }
      const accepted =
        column.kind === "lodging"
          ? lodgingScaleNames
          : (quantities[column.quantity!].units as ColumnUnit[]).map((unit) => unit.name);
      if (mustUnderstand.has(column.name)) throw unitNotKnown(file, column.name, header, bracket, accepted);
      findings.push(columnUnitUnclear(file, column.name, header, bracket, accepted));
      ignored.push(header);
    });
    return { ...this.#withLastNames(headers, columns, ignored, answered), findings };
  }

  /** Whether another column is the yield in a unit: one in percent then tells it once more, of the check or the mean. */
  #isMeasuredBeside(index: number, headers: readonly string[], column: Column<Name>): boolean {
    return (
      column.quantity === "yield" &&
      headers.some((other, at) => {
        const found = at === index ? null : this.#find(other);
        return found?.column === column && this.#understand(at, other, column, found.bracket) !== null;
      })
    );
  }

  /** Columns that nothing named are taken from those that tell the same. */
  #withLastNames(
    headers: readonly string[],
    columns: readonly FileColumn<Name>[],
    ignored: readonly string[],
    answered: Readonly<Record<string, string>>,
  ): { columns: FileColumn<Name>[]; ignored: string[] } {
    const had = new Set(columns.map(({ column }) => column.name));
    const open = new Set(ignored.filter((header) => answerFor(answered, header) === undefined));
    const added: FileColumn<Name>[] = [];
    // Of a wet and a dry yield the dry one counts.
    const isDry = (header: string): boolean => saysMarketMoisture(header) || moistureTold(header) !== null;
    const places = headers.map((header, index) => ({ header, index }));
    const dryFirst = [
      ...places.filter(({ header }) => isDry(header)),
      ...places.filter(({ header }) => !isDry(header)),
    ];
    const add = (tells: (header: string) => { column: Column<Name>; bracket: string } | null): void =>
      dryFirst.forEach(({ header, index }) => {
        const found = open.has(header) && header.trim() !== "" ? tells(header) : null;
        if (found === null || had.has(found.column.name)) return;
        const column = this.#understand(index, header, found.column, found.bracket);
        if (column === null) return;
        had.add(found.column.name);
        open.delete(header);
        added.push(column);
      });
    add((header) => {
      const told = moistureTold(header);
      const column = this.#lastNames.get(plainName(told?.rest ?? header));
      if (column?.name === "yield" && told !== null) return { column, bracket: header };
      // Bushels at a moisture are per area, where no column gives the size of a strip.
      const grain = told !== null && isBushels.test(told.rest) ? this.#names.get("yield") : undefined;
      const hasGround = [...had].some((name) => name === "strip_area" || name === "strip_length");
      if (grain?.name === "yield" && !hasGround) return { column: grain, bracket: header };
      return column === undefined ? null : { column, bracket: this.#understandsUnit(column, header) };
    });
    add((header) => this.#inPercent(header, this.#loose.find(header)));
    const taken = new Set(added.map(({ header }) => header));
    return {
      columns: [...columns, ...added].sort((a, b) => a.index - b.index),
      ignored: ignored.filter((header) => !taken.has(header)),
    };
  }

  #understand(index: number, header: string, column: Column<Name>, bracket: string): FileColumn<Name> | null {
    const atMarketMoisture = column.name === "yield" && saysMarketMoisture(header);
    const plain = {
      index,
      header,
      column,
      unit: null,
      scale: null,
      atMoisturePct: null,
      bracket,
      atMarketMoisture,
    };
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

/**
 * Of two columns that mean the same, the yield that says its moisture, and the header of the other.
 *
 * @throws QuestionError `column-twice` where nothing says which counts
 */
function oneOfTwo<Name extends string>(
  file: string,
  first: FileColumn<Name>,
  second: FileColumn<Name> | null,
  header: string,
): [used: FileColumn<Name>, other: string] {
  const { name } = first.column;
  const [a, b] = [first, second].map(
    (one) => one !== null && (one.atMoisturePct !== null || (one.atMarketMoisture && !saysWet(one.header))),
  );
  if (name === "yield" && second !== null && a !== b)
    return a === true ? [first, header] : [second, first.header];
  throw new QuestionError(columnTwice(file, name, first.header, header), [
    whichOfTwo(file, name, first.header, header),
  ]);
}

function unitNotKnown(
  file: string,
  column: string,
  header: string,
  unit: string,
  accepted: readonly string[],
): QuestionError {
  const units = nearestFirst(unit, accepted);
  return new QuestionError(headerUnitUnknown(file, column, header, unit, units), [
    whichUnit(file, column, header, units),
  ]);
}

/** Units with a word of the text in them first. */
function nearestFirst(text: string, units: readonly string[]): string[] {
  const plain = text.toLowerCase().trim();
  const spelt = /^(?:m|mil|mill|mio|mln)\.?$/.test(plain)
    ? "million"
    : /^(?:k|tsd|x?\s*1000s?|0?00s)\.?$/.test(plain)
      ? "thousand"
      : plain;
  const words = spelt.match(/\p{L}{3,}|\d{3,}/gu) ?? [];
  const isNear = (unit: string): boolean =>
    words.some((word) => unit.includes(word.replace(/s$/, ""))) ||
    (plain.includes("%") && unit.startsWith("%"));
  return [...units.filter(isNear), ...units.filter((unit) => !isNear(unit))];
}

/** The letters and digits of a unit, as they are left in a header without signs. */
const unitLetters = (unit: string): string => unit.toLowerCase().replace(/[^a-z0-9]/g, "");
