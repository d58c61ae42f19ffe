/** What the columns of one file of points are: where each stands, what it holds, and in which unit. */
import {
  columnsByWords,
  noPlaceColumns,
  noPoints,
  placesTaken,
  pointUnitAsked,
  sectionsTaken,
  targetTaken,
} from "../messages/harvest.ts";
import { answerFor } from "../read/answers/answers.ts";
import { readNumber } from "../read/units/numbers.ts";
import { parseCrop } from "../read/crop-names.ts";
import { splitHeader, type FileColumn } from "../read/tables/headers.ts";
import { parseUnit, quantities, spansOf, unitNamed, type ColumnUnit } from "../read/units/column-units.ts";
import type { Finding } from "../vocabulary/trial.ts";
import { crops } from "../vocabulary/crops.ts";
import type { PointColumnName } from "./columns.ts";
import { meaningsByWords } from "./header-words.ts";
import { middleOf } from "./middle.ts";
import type { NumberField } from "./point-cloud.ts";
import { knownAs, reader } from "./point-headers.ts";
import { rowsLookedAt, type Rows } from "./point-rows.ts";
import type { PointsWish } from "./read-points.ts";
import { sectionColumns, type SectionColumns } from "./section-columns.ts";

/** A column of numbers, and the field of the cloud that it fills. */
export interface NumberColumn {
  index: number;
  name: PointColumnName;
  header: string;
  unit: ColumnUnit | null;
  field: NumberField;
  /** Moisture that its yields are at [%]; null where they are as wet as they came. */
  atMoisturePct: number | null;
  atMarket: boolean;
  /** A zero that no machine can have measured counts as empty. */
  zeroMissing: boolean;
}

export interface FileColumns {
  numbers: NumberColumn[];
  /** Columns of names: section, pass, strip, variety. */
  named: { index: number; name: "section" | "pass" | "strip" | "variety" }[];
  sections: SectionColumns | null;
  /** Unit of the rates of single sections, where they stand for the rate. */
  sectionRate: ColumnUnit | null;
  /** Column by its name, for those read as text. */
  at: Partial<Record<PointColumnName, number>>;
  cropAt: number | undefined;
  degrees: boolean;
  rateIsWeight: boolean | null;
  yieldHeader: string | null;
  rateHeader: string | null;
}

const mustUnderstand = new Set<string>([
  "x",
  "y",
  "yield",
  "dry_yield",
  "flow",
  "grain_mass",
  "rate",
  "distance",
  "swath",
]);

const zeroIsMissing = new Set<PointColumnName>(["swath", "moisture", "seconds", "rate", "target"]);

const fieldOf: Partial<Record<PointColumnName, NumberField>> = {
  latitude: "y",
  longitude: "x",
  x: "x",
  y: "y",
  heading: "heading",
  speed: "speed",
  seconds: "seconds",
  distance: "distance",
  swath: "swath",
  yield: "wetYield",
  dry_yield: "dryYield",
  flow: "flow",
  grain_mass: "mass",
  moisture: "moisture",
  rate: "rate",
  target: "target",
  seeds_per_lb: "seedsPerKg",
};

/** A rate from this share of the crop's usual one to its inverse is a likely one (common practice). */
const leastOfUsual = 0.25;

/** The unit of a column; of bare numbers from where the middle one of the first lies; null where it has none. */
function unitOf(
  column: FileColumn<PointColumnName>,
  looked: number[],
  wish: PointsWish,
  file: string,
): ColumnUnit | null {
  const { quantity } = column.column;
  const spans = quantity === null ? null : spansOf(quantity, wish.system, column.unit);
  if (quantity === null || spans === null) return column.unit;
  const sorted = looked.filter((value) => value > 0).sort((a, b) => a - b);
  const middle = sorted[sorted.length >> 1] ?? 0;
  const span = spans.find(({ from, to }) => middle >= from && middle <= to);
  if (quantity === "length" && (column.column.name === "x" || column.column.name === "y"))
    return unitNamed("length", "m");
  if (span === undefined) {
    const all = quantities[quantity].units as ColumnUnit[];
    const { usualSeedsPerM2 } = crops[wish.crop];
    // A rate as crops are sown: units come first that give it, the likeliest before the others.
    const offUsual = (unit: ColumnUnit): number => {
      if (quantity !== "rate" || unit.seedWeight === true || unit.alongRow === true) return Infinity;
      const share = unit.toOurs(middle, crops[wish.crop]) / usualSeedsPerM2;
      return share >= leastOfUsual && share <= 1 / leastOfUsual ? Math.abs(Math.log(share)) : Infinity;
    };
    const units = all
      .map((unit, at) => ({ name: unit.name, off: offUsual(unit), at }))
      .sort((a, b) => (a.off === b.off ? a.at - b.at : a.off - b.off))
      .map(({ name }) => name);
    throw pointUnitAsked(file, column.header, column.column.name, String(middle), units, wish.callWish);
  }
  return unitNamed(quantity, span.unit);
}

/** Numbers that no degrees can be: metres of a projection that the file does not name. */
const areMetres = (across: readonly number[], up: readonly number[]): boolean =>
  Math.abs(middleOf(across)) > 180 && Math.abs(middleOf(up)) > 180;

/** Numbers that are degrees, though they are called x and y: no field is so small in metres. */
function areDegrees(across: readonly number[], up: readonly number[]): boolean {
  const extent = (values: readonly number[]): number => Math.max(...values) - Math.min(...values);
  return (
    across.length > 3 &&
    Math.max(extent(across), extent(up)) < 0.2 &&
    across.every((value) => Math.abs(value) <= 180 && !Number.isInteger(value)) &&
    up.every((value) => Math.abs(value) <= 90 && !Number.isInteger(value))
  );
}

/** A column for the variety, where what it names is the crop in all of the first rows. */
function cropNamed(rows: Rows, varietyAt: number | undefined): number | undefined {
  if (varietyAt === undefined) return undefined;
  const named = new Set<string>();
  let seen = 0;
  rows.forEach((cells) => {
    const text = (cells[varietyAt] ?? "").trim();
    if (seen++ < rowsLookedAt && text !== "") named.add(text);
  });
  return named.size > 0 && [...named].every((name) => parseCrop(name) !== null) ? varietyAt : undefined;
}

/** `Mass (lb)`: a name of the flow, with a unit that only a weight has. */
function massesNamedFlow(headers: readonly string[]): Record<string, string> {
  const found = headers.flatMap((header) => {
    const { bracket } = splitHeader(header);
    const isMass =
      reader.nameOf(header) === "flow" &&
      bracket !== "" &&
      parseUnit("grainFlow", bracket) === null &&
      parseUnit("stripWeight", bracket) !== null;
    return isMass ? [[header, `grain_mass (${bracket})`] as const] : [];
  });
  return Object.fromEntries(found);
}

/** Columns by what a person said, by their names, and by their words. */
function understoodColumns(
  file: string,
  rows: Rows,
  sections: SectionColumns | null,
  { columns: answers = {}, callWish }: PointsWish,
  findings: Finding[],
): FileColumn<PointColumnName>[] {
  const answered = (header: string): boolean => answerFor(answers, header) !== undefined;
  const others = rows.headers.map((header) => (sections?.headers.includes(header) === true ? "" : header));
  const meanings = meaningsByWords(others, (header) => knownAs(answerFor(answers, header) ?? header));
  for (const header of others) if (answered(header)) meanings.delete(header);
  const { columns, findings: headerFindings } = reader.read(file, others, mustUnderstand, {
    ...Object.fromEntries(meanings),
    ...massesNamedFlow(others),
    ...answers,
  });
  findings.push(...headerFindings);
  const [first, ...further] = meanings;
  if (first !== undefined) findings.push(columnsByWords(file, [first, ...further], callWish));
  return columns;
}

/**
 * @param file      its name, for messages
 * @param findings  what is doubtful, or worth knowing, is added
 * @throws TrialError `points-without-place`, `points-none`, `unit-unclear`
 */
export function fileColumns(file: string, rows: Rows, wish: PointsWish, findings: Finding[]): FileColumns {
  const sections = sectionColumns(rows, rowsLookedAt);
  const columns = understoodColumns(file, rows, sections, wish, findings);
  const has = (name: PointColumnName): FileColumn<PointColumnName> | undefined =>
    columns.find(({ column }) => column.name === name);
  const byDegrees = has("latitude") !== undefined && has("longitude") !== undefined;
  if (rows.headers.every((header) => header.trim() === "")) throw noPoints(file);
  if (!byDegrees && (has("x") === undefined || has("y") === undefined))
    throw noPlaceColumns(file, rows.headers);
  const looked = lookedAt(rows, columns);
  const [across, up] = byDegrees ? (["longitude", "latitude"] as const) : (["x", "y"] as const);
  const places = [looked.get(has(across)!.index)!, looked.get(has(up)!.index)!] as const;
  const degrees = byDegrees ? rows.fromShapes !== true || !areMetres(...places) : areDegrees(...places);
  if (degrees !== byDegrees) findings.push(placesTaken(file, degrees));
  // What was asked for stands for what was sown where nothing else says it.
  const target = has("rate") === undefined && sections?.areRates !== true ? has("target") : undefined;
  if (target !== undefined) findings.push(targetTaken(file, target.header));
  const otherPlaces: PointColumnName[] = byDegrees ? ["x", "y"] : ["latitude", "longitude"];
  const numbers = columns.flatMap((one): NumberColumn[] => {
    const name = one === target ? "rate" : one.column.name;
    const field = fieldOf[name];
    if (field === undefined || otherPlaces.includes(name)) return [];
    const unit = unitOf(one, looked.get(one.index)!, wish, file);
    return [
      {
        index: one.index,
        name,
        header: one.header,
        unit,
        field,
        atMoisturePct: one.atMoisturePct,
        atMarket: one.atMarketMoisture,
        zeroMissing: zeroIsMissing.has(name),
      },
    ];
  });
  const cropAt = has("crop")?.index ?? cropNamed(rows, has("variety")?.index);
  const rate = numbers.find(({ name }) => name === "rate");
  const rated = rate === undefined && sections?.areRates === true ? sections : null;
  const sectionRate = rated && sectionUnit(file, rows, rated, wish);
  if (sections !== null) findings.push(sectionsTaken(file, sections.headers, rated !== null));
  const rateUnit = rate?.unit ?? sectionRate ?? null;
  return {
    numbers,
    named: columns.flatMap(({ index, column: { name } }) =>
      name === "section" || name === "pass" || name === "strip" || (name === "variety" && index !== cropAt)
        ? [{ index, name }]
        : [],
    ),
    sections,
    sectionRate,
    at: Object.fromEntries(columns.map(({ index, column }) => [column.name, index])),
    cropAt,
    degrees,
    rateIsWeight: rateUnit === null ? null : rateUnit.seedWeight === true,
    yieldHeader: (has("dry_yield") ?? has("yield") ?? has("flow") ?? has("grain_mass"))?.header ?? null,
    rateHeader: rate?.header ?? rated?.headers[0] ?? null,
  };
}

/** Numbers of the first rows, by column. */
function lookedAt(rows: Rows, columns: readonly { index: number }[]): Map<number, number[]> {
  const looked = new Map<number, number[]>(columns.map(({ index }) => [index, []]));
  let seen = 0;
  rows.forEach((cells) => {
    if (seen++ >= rowsLookedAt) return;
    for (const { index } of columns) {
      const value = readNumber(cells[index] ?? "", rows.mark);
      if (value === value) looked.get(index)!.push(value);
    }
  });
  return looked;
}

/** The unit of the rates of single sections: that in the header of the first, else by its numbers. */
function sectionUnit(
  file: string,
  rows: Rows,
  { headers: [header], columns: [index] }: SectionColumns,
  wish: PointsWish,
): ColumnUnit {
  const {
    columns: [rate],
  } = reader.read(file, [`rate (${splitHeader(header).bracket})`], new Set());
  const looked = lookedAt(rows, [{ index }]).get(index)!;
  return unitOf({ ...rate!, header }, looked, wish, file)!;
}
