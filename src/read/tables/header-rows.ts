/** A header of several rows → one name for each column. */
import { answerFor, notUsedAnswer, type Answers } from "../answers/answers.ts";
import { isBlank } from "./csv-rows.ts";
import { plainName, splitHeader, type HeaderReader } from "./headers.ts";
import { filledCells, type TablePlace } from "./locate.ts";
import type { Sheet } from "./sheet.ts";
import { isSpreadHeader, measureNamed, tellsOneOf } from "./spread-columns.ts";

/** Rows that a header may have below its first. */
const mostRowsBelow = 2;

/**
 * Joins the rows of a header.
 *
 * Names right above an empty one belong to the header; units below the names go into them (`yield` above `bu/ac` is
 * `yield (bu/ac)`); a name that runs across several columns is theirs, with what is below (`Yield` above `Rep 1, Rep 2`).
 */
export function joinHeaderRows<Name extends string>(
  sheet: Sheet,
  place: TablePlace,
  reader: HeaderReader<Name>,
  answers: Answers,
): TablePlace {
  let joined = withMarksAbove(sheet, withRowAbove(place, reader), reader);
  const below: { cells: string[]; row: number }[] = [];
  sheet.forEach((cells, row) => {
    if (row > place.headerRow + mostRowsBelow || row > place.lastRow || isBlank(cells)) return false;
    below.push({ cells, row });
    return;
  }, place.headerRow);
  for (const { cells, row } of below) {
    const headers =
      withUnits(joined.headers, cells, reader, answers) ??
      withNames(joined.headers, cells, reader) ??
      withSomeUnits(joined.headers, cells, reader);
    if (headers === null) break;
    joined = { ...joined, headers, headerRow: row, dataAfter: Math.max(joined.dataAfter, row) };
  }
  return joined;
}

/** Names in the row right above, where the header's own row has none, or across columns that differ by rate or repetition. */
function withRowAbove<Name extends string>(place: TablePlace, reader: HeaderReader<Name>): TablePlace {
  const above = place.titles.at(-1);
  if (above === undefined || above.row !== place.headerRow - 1) return place;
  const names = new Map(above.cells.map(({ index, text }) => [index, text]));
  const isSpread = isSpreadHeader(place.headers, reader);
  let across = "";
  let used = false;
  const headers = place.headers.map((header, index) => {
    const name = names.get(index);
    if (name !== undefined) across = reader.nameOf(name) === null ? "" : name;
    if (header.trim() === "" && name !== undefined && reader.nameOf(name) !== null) {
      used = true;
      return name;
    }
    if (!isSpread || across === "" || header.trim() === "" || reader.nameOf(header) !== null) return header;
    used = true;
    return `${across} ${header.trim()}`;
  });
  return used ? { ...place, headers, titles: place.titles.slice(0, -1) } : place;
}

/** `Yield, Moist, Yield, Moist` below `800,000` and `1,100,000`: what the row above says about the columns below it. */
function withMarksAbove<Name extends string>(
  sheet: Sheet,
  place: TablePlace,
  reader: HeaderReader<Name>,
): TablePlace {
  const named = place.headers.filter((header) => header.trim() !== "").map((header) => header.trim());
  const repeated = named.filter((name, index) => named.indexOf(name) !== index);
  if (repeated.length === 0 || repeated.some((name) => keys.has(reader.nameOf(name) ?? ""))) return place;
  let above: string[] = [];
  sheet.forEach((cells, row) => {
    if (row >= place.headerRow) return false;
    if (row === place.headerRow - 1) above = cells;
    return;
  });
  const filled = above.filter((cell) => cell.trim() !== "");
  const areMarks = filled.length > 1 && filled.every((cell) => tellsOneOf(cell.trim(), reader));
  if (!areMarks && !areNamesAbove(above, place.headers, repeated, reader)) return place;
  let across = "";
  const headers = place.headers.map((header, index) => {
    across = (above[index] ?? "").trim() || across;
    if (!areMarks && !repeated.includes(header.trim())) return header;
    return across === "" || header.trim() === "" ? header : `${across} ${header.trim()}`;
  });
  return { ...place, headers, titles: place.titles.filter(({ row }) => row !== place.headerRow - 1) };
}

/** `Yield, Moist, Yield, Moist` below `Halden` and `Sorrel`, where no column names the variety: names above each group. */
function areNamesAbove<Name extends string>(
  above: readonly string[],
  headers: readonly string[],
  repeated: readonly string[],
  reader: HeaderReader<Name>,
): boolean {
  const names = headers.map((header) => reader.nameOf(header) as string | null);
  if (
    names.includes("variety") ||
    !names.includes("rate") ||
    repeated.some((name) => reader.nameOf(name) === "rate")
  )
    return false;
  const starts = headers.flatMap((header, index) => (header.trim() === repeated[0] ? [index] : []));
  const filled = filledCells(above);
  const told = filled.map(({ text }) => text);
  return (
    starts.length > 1 &&
    starts.join() === filled.map(({ index }) => index).join() &&
    new Set(told).size === told.length &&
    told.every((name) => /\p{L}/u.test(name) && reader.nameOf(name) === null)
  );
}

/** A unit in brackets of its own: `(bu/ac)`. */
const withoutBrackets = (unit: string): string => unit.replace(/^[([](.*)[)\]]$/, "$1");

/** The names with the units of the row below; null where that row is none of units. */
function withUnits<Name extends string>(
  headers: readonly string[],
  cells: readonly string[],
  reader: HeaderReader<Name>,
  answers: Answers,
): string[] | null {
  let units = 0;
  const joined = headers.map((header, index) => {
    const text = withoutBrackets((cells[index] ?? "").trim());
    if (text === "") return header;
    const answer = answerFor(answers.columns, header);
    const { name, bracket } = splitHeader(answer ?? measureNamed(header, reader) ?? header);
    if (answer === notUsedAnswer || (answer !== undefined && reader.takesUnit(name, text))) {
      // What was answered of a header holds without the row of units, and wins over it.
      units++;
      return answer === notUsedAnswer || bracket !== "" ? header : `${answer} (${text})`;
    }
    // A second row of units: `x 1000` below `seeds/ac`, `at 13.5 %` below `bu/ac`.
    if (bracket !== "" && /[^\d.,\s]/.test(text) && reader.takesUnit(name, `${bracket} ${text}`)) {
      units++;
      return `${name} (${bracket} ${text})`;
    }
    if (!reader.takesUnit(answer === undefined && bracket !== "" ? header : name, text)) {
      units = -Infinity;
      return header;
    }
    units++;
    return `${header.trim()} (${text})`;
  });
  return units > 0 ? joined : null;
}

/**
 * The names with a row of units among which some words are none, as `score`: one that stands below a measure is taken for its
 * unit, so that it is asked about; null where that row is none of units.
 */
function withSomeUnits<Name extends string>(
  headers: readonly string[],
  cells: readonly string[],
  reader: HeaderReader<Name>,
): string[] | null {
  let units = 0;
  const joined = headers.map((header, index) => {
    const text = withoutBrackets((cells[index] ?? "").trim());
    if (text === "") return header;
    const isUnit = reader.takesUnit(header, text);
    const isScale = /^\d+\s*[-–]\s*\d+$/.test(text);
    const isValue = (/^\P{L}*\d\P{L}*$/u.test(text) && !isScale) || reader.nameOf(text) !== null;
    units += isUnit ? 1 : isValue || header.trim() === "" ? -Infinity : 0;
    return isUnit || isScale || reader.isMeasured(header) ? `${header.trim()} (${text})` : header;
  });
  return units > 1 ? joined : null;
}

/** The names with those of the row below; null where that row is none of names. */
function withNames<Name extends string>(
  headers: readonly string[],
  cells: readonly string[],
  reader: HeaderReader<Name>,
): string[] | null {
  let across = "";
  let told = 0;
  let isData = false;
  const joined = headers.map((header, index) => {
    const below = (cells[index] ?? "").trim();
    if (header.trim() !== "") across = header.trim();
    if (below === "") return header;
    const unit = withoutBrackets(below);
    const isUnit = reader.takesUnit(header, unit);
    // A dash or a quote alone names nothing.
    if (!isUnit && plainName(below) === "") return unit === "%" ? `${header.trim()} (%)`.trim() : header;
    told++;
    if (isUnit) return `${header.trim()} (${unit})`;
    const both = `${across} ${below}`.trim();
    const isName = reader.nameOf(below) !== null;
    if (isName && (header.trim() === "" || reader.nameOf(header) === null)) return below;
    if (reader.nameOf(both) !== null) return both;
    const own = reader.nameOf(across);
    if (!tellsOneOf(both, reader) || (header.trim() !== "" && keys.has(own ?? ""))) isData = true;
    return both;
  });
  return told > 0 && !isData && joined.some((header, index) => header !== headers[index]) ? joined : null;
}

/** A number below one of these is a value. */
const keys: ReadonlySet<string> = new Set([
  "variety",
  "season",
  "field",
  "farm",
  "block",
  "position",
  "note",
]);
