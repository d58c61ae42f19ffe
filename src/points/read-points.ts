/** Files of points, CSV, GeoJSON or zipped shapefiles → columns of numbers, in metres from their own middle. */
import {
  columnsByWords,
  cropOther,
  latitudeBeyond,
  noPlaceColumns,
  noPoints,
  notPoints,
  otherFieldsPassed,
  placesTaken,
  placesUnlike,
  pointRowUnread,
  pointUnitAsked,
  type CallHarvestWish,
} from "../messages/harvest.ts";
import { headerRowOf } from "./header-row.ts";
import { middleOf } from "./middle.ts";
import { parseCrop } from "../read/crop-names.ts";
import { answerFor } from "../read/answers/answers.ts";
import { isMissing } from "../read/tables/cells.ts";
import { decodeText } from "../read/tables/decode.ts";
import { type FileColumn } from "../read/tables/headers.ts";
import type { InputFile } from "../read/tables/input-file.ts";
import { textSheet } from "../read/tables/table-file.ts";
import { quantities, unitNamed, type ColumnUnit, type Span } from "../read/units/column-units.ts";
import { readNumber, type DecimalMark } from "../read/units/numbers.ts";
import type { CropName } from "../vocabulary/crops.ts";
import { crops } from "../vocabulary/crops.ts";
import { atMarketMoisture } from "../numbers/units.ts";
import type { Finding } from "../vocabulary/trial.ts";
import { parseSeconds } from "./clock.ts";
import { type PointColumnName } from "./columns.ts";
import { meaningsByWords } from "./header-words.ts";
import { knownAs, reader, understood } from "./point-headers.ts";
import { toMetres, type Origin } from "./ground.ts";
import { roundedToMetres } from "./rounded-places.ts";
import { unpackPoints } from "./shapefile.ts";
import { CloudBuilder, type NumberField, type PointCloud } from "./point-cloud.ts";

export interface PointsRead {
  cloud: PointCloud;
  /** Whether places were degrees; then `x` and `y` still are, until `placeAll` puts several clouds on one ground. */
  inDegrees: boolean;
  findings: Finding[];
  /** Rows without a place. */
  withoutPlace: number;
  /** Rows whose rate is missing though there is a column for it, and rows where it is 0. */
  withoutRate: number;
  withRateZero: number;
  rowsRead: number;
  /** The header for yields or grain flow, where there is one. */
  yieldHeader: string | null;
}

export interface PointsWish {
  crop: CropName;
  system: "us" | "metric";
  /** Header → what it is, with its unit: `rate (seeds/ac)`; or `not used`. */
  columns?: Readonly<Record<string, string>>;
  /** Field that was asked for: of a file that names several, only its points are read. */
  field?: string;
  callWish?: CallHarvestWish;
}

const mustUnderstand = new Set<string>(["x", "y", "yield", "dry_yield", "flow", "rate", "distance", "swath"]);

/** Marks of nothing that monitors write: stars, and numbers no field gives. */
const nothing = (text: string): boolean =>
  isMissing(text) || /^\*+$/.test(text) || /^-9{3,}(?:\.0+)?$/.test(text);

/** Zero stands for nothing where no machine can have measured it. */
const zeroIsMissing = new Set<PointColumnName>(["swath", "moisture", "seconds", "rate", "target"]);

interface Rows {
  headers: string[];
  mark: DecimalMark;
  /** Places are of shapes and called degrees by us, whatever they are. */
  fromShapes?: true;
  forEach(take: (cells: string[], row: number) => void): void;
}

/** Rows looked at for the header, and for the unit of bare numbers. */
const rowsLookedAt = 400;

function csvRows(file: InputFile): Rows {
  const sheet = textSheet(file, understood);
  const { headerRow, headers } = headerRowOf(sheet, understood);
  const forEach: Rows["forEach"] = (take) => sheet.forEach((cells, row) => take(cells, row), headerRow);
  let mark: DecimalMark = sheet.certainMark ?? sheet.usualMark ?? "point";
  if (sheet.certainMark === null) {
    // Places and yields have decimals: a comma between digits is a decimal one only where no point is.
    let [commas, points] = [0, 0];
    sheet.forEach((cells, row) => {
      for (const cell of cells) {
        if (/^-?\d+,\d+$/.test(cell)) commas++;
        else if (/^-?\d+\.\d+$/.test(cell)) points++;
      }
      return row < headerRow + rowsLookedAt;
    }, headerRow);
    if (commas > 0) mark = points > commas ? "point" : "comma";
  }
  return { headers, mark, forEach };
}

interface Feature {
  geometry: { type: string; coordinates: unknown } | null;
  properties: Record<string, unknown> | null;
}

/** Features of points as rows: their properties, and their place as longitude and latitude. */
function featureRows(features: readonly Feature[], file: string): Rows {
  const names = new Set<string>();
  for (const { properties } of features.slice(0, rowsLookedAt))
    for (const name of Object.keys(properties ?? {})) names.add(name);
  // The geometry says where a point is; columns that repeat it are passed over.
  const own = [...names].filter(
    (name) => !["latitude", "longitude", "x", "y"].includes(reader.nameOf(name) ?? ""),
  );
  if (!features.some(({ geometry }) => geometry?.type === "Point" || geometry?.type === "MultiPoint"))
    throw notPoints(file);
  const text = (value: unknown): string =>
    typeof value === "string"
      ? value.trim()
      : typeof value === "number" || typeof value === "boolean"
        ? String(value)
        : "";
  return {
    headers: ["longitude", "latitude", ...own],
    mark: "point",
    fromShapes: true,
    forEach: (take) =>
      features.forEach(({ geometry, properties }, index) => {
        const given = geometry?.coordinates as number[] | number[][] | undefined;
        const place = Array.isArray(given?.[0]) ? (given[0] as number[]) : (given as number[] | undefined);
        take([text(place?.[0]), text(place?.[1]), ...own.map((name) => text(properties?.[name]))], index + 1);
      }),
  };
}

const isZip = ({ bytes }: InputFile): boolean => bytes[0] === 0x50 && bytes[1] === 0x4b;
const isJson = ({ name, bytes }: InputFile): boolean => /json$/i.test(name) || bytes[0] === 0x7b;

async function openRows(given: InputFile): Promise<Rows> {
  let file = given;
  if (isZip(file)) {
    const unpacked = await unpackPoints(file);
    if (unpacked.kind === "features") return featureRows(unpacked.features as Feature[], file.name);
    file = unpacked.file;
  }
  if (isJson(file)) {
    const { text } = decodeText(file.bytes, file.name);
    let read: { features?: Feature[] };
    try {
      read = JSON.parse(text) as { features?: Feature[] };
    } catch {
      throw notPoints(file.name);
    }
    if (!Array.isArray(read.features)) throw notPoints(file.name);
    return featureRows(read.features, file.name);
  }
  return csvRows(file);
}

/** A rate from this share of the crop's usual one to its inverse is a likely one (common practice). */
const leastOfUsual = 0.25;

/** The unit of bare numbers, from where the middle one of the first lies. */
function bareUnit(
  column: FileColumn<PointColumnName>,
  looked: number[],
  wish: PointsWish,
  file: string,
): ColumnUnit {
  const quantity = column.column.quantity!;
  const spans = quantities[quantity].bare[wish.system] as Span[];
  const sorted = looked.filter((value) => value > 0).sort((a, b) => a - b);
  const middle = sorted[sorted.length >> 1] ?? 0;
  const span = spans.find(({ from, to }) => middle >= from && middle <= to);
  if (quantity === "length" && (column.column.name === "x" || column.column.name === "y"))
    return unitNamed("length", "m");
  if (span === undefined) {
    const all = quantities[quantity].units as ColumnUnit[];
    const { usualSeedsPerM2 } = crops[wish.crop];
    // A rate as crops are sown: the units that give it come first.
    const isUsual = (unit: ColumnUnit): boolean => {
      if (quantity !== "rate" || unit.seedWeight === true || unit.alongRow === true) return false;
      const share = unit.toOurs(middle, crops[wish.crop]) / usualSeedsPerM2;
      return share >= leastOfUsual && share <= 1 / leastOfUsual;
    };
    const units = [...all.filter(isUsual), ...all.filter((unit) => !isUsual(unit))].map(({ name }) => name);
    throw pointUnitAsked(file, column.header, column.column.name, String(middle), units, wish.callWish);
  }
  return unitNamed(quantity, span.unit);
}

const plainField = (cell: string | undefined): string => (cell ?? "").trim().toLowerCase();

/** Whether a row is of another field than that asked for, where the column names it at all. */
function elsewhere(rows: Rows, at: number | undefined, field: string): (cells: readonly string[]) => boolean {
  const wanted = plainField(field);
  let isNamed = false;
  if (at !== undefined && wanted !== "")
    rows.forEach((cells) => {
      isNamed ||= plainField(cells[at]) === wanted;
    });
  return (cells) => isNamed && plainField(cells[at!]) !== wanted;
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
  moisture: "moisture",
  rate: "rate",
  target: "target",
};

/**
 * Files of one machine, read one after the other.
 *
 * @throws TrialError `points-without-place`, `points-none`, `unit-unclear`, `places-swapped`, `shapefile-unreadable`, `crop-other`
 */
export async function readPoints(files: readonly InputFile[], wish: PointsWish): Promise<PointsRead> {
  const builder = new CloudBuilder();
  const findings: Finding[] = [];
  const crop = crops[wish.crop];
  let [inDegrees, rateIsWeight] = [false, false];
  let yieldHeader: string | null = null;
  let [withoutPlace, withoutRate, withRateZero, rowsRead] = [0, 0, 0, 0];
  for (const file of files) {
    const rows = await openRows(file);
    const answers = wish.columns ?? {};
    const meanings = meaningsByWords(rows.headers, (header) => knownAs(answerFor(answers, header) ?? header));
    for (const header of rows.headers) if (answerFor(answers, header) !== undefined) meanings.delete(header);
    const { columns, findings: headerFindings } = reader.read(file.name, rows.headers, mustUnderstand, {
      ...Object.fromEntries(meanings),
      ...answers,
    });
    findings.push(...headerFindings);
    if (meanings.size > 0) findings.push(columnsByWords(file.name, [...meanings], wish.callWish));
    const has = (name: PointColumnName): FileColumn<PointColumnName> | undefined =>
      columns.find(({ column }) => column.name === name);
    const byDegrees = has("latitude") !== undefined && has("longitude") !== undefined;
    if (rows.headers.every((header) => header.trim() === "")) throw noPoints(file.name);
    if (!byDegrees && (has("x") === undefined || has("y") === undefined))
      throw noPlaceColumns(file.name, rows.headers);
    const looked = new Map<number, number[]>(columns.map(({ index }) => [index, []]));
    let seen = 0;
    rows.forEach((cells) => {
      if (seen++ >= rowsLookedAt) return;
      for (const { index } of columns) {
        const value = readNumber(cells[index] ?? "", rows.mark);
        if (value === value) looked.get(index)!.push(value);
      }
    });
    const [across, up] = byDegrees ? (["longitude", "latitude"] as const) : (["x", "y"] as const);
    const places = [looked.get(has(across)!.index)!, looked.get(has(up)!.index)!] as const;
    const degrees = byDegrees ? rows.fromShapes !== true || !areMetres(...places) : areDegrees(...places);
    if (degrees !== byDegrees) findings.push(placesTaken(file.name, degrees));
    if (builder.count > 0 && degrees !== inDegrees)
      throw placesUnlike(builder.files[0]!, file.name, inDegrees);
    inDegrees = degrees;
    const numbers = columns
      .filter(({ column }) => fieldOf[column.name] !== undefined)
      .filter(({ column }) =>
        byDegrees
          ? column.name !== "x" && column.name !== "y"
          : column.name !== "latitude" && column.name !== "longitude",
      )
      .map((column) => {
        const unit =
          column.column.quantity === null
            ? null
            : (column.unit ?? bareUnit(column, looked.get(column.index)!, wish, file.name));
        if (column.column.name === "rate") rateIsWeight = unit?.seedWeight === true;
        return {
          index: column.index,
          name: column.column.name,
          header: column.header,
          unit,
          field: fieldOf[column.column.name]!,
          atMoisturePct: column.atMoisturePct,
          atMarket: column.atMarketMoisture,
          zeroMissing: zeroIsMissing.has(column.column.name),
          unread: null as { count: number; row: number; value: string } | null,
        };
      });
    const placeColumns = numbers.filter(({ field }) => field === "x" || field === "y");
    const [timeAt, headerAt] = [has("time")?.index, has("header_up")?.index];
    const cropAt = has("crop")?.index ?? cropNamed(rows, has("variety")?.index);
    const named = columns.filter(({ column }) =>
      ["section", "pass", "strip", ...(has("variety")?.index === cropAt ? [] : ["variety"])].includes(
        column.name,
      ),
    );
    const machineAt = has("machine")?.index;
    const isElsewhere = elsewhere(rows, has("field")?.index, wish.field ?? "");
    let otherFields = 0;
    const hasRate = has("rate") !== undefined;
    yieldHeader ??= (has("dry_yield") ?? has("yield") ?? has("flow"))?.header ?? null;
    builder.files.push(file.name);
    const before = builder.count;
    rows.forEach((cells, row) => {
      if (cells.length === 1 && cells[0]!.trim() === "") return;
      if (isElsewhere(cells)) {
        otherFields++;
        return;
      }
      rowsRead++;
      if (cropAt !== undefined) {
        const found = parseCrop(cells[cropAt] ?? "");
        if (found !== null && found !== wish.crop)
          throw cropOther(file.name, found, wish.crop, wish.callWish);
      }
      let placed = true;
      // A receiver without a fix writes 0 and 0, which no field is at.
      let anywhere = !degrees;
      for (const { index } of placeColumns) {
        const value = readNumber(cells[index] ?? "", rows.mark);
        if (!Number.isFinite(value) || value <= -999_999) placed = false;
        if (value !== 0) anywhere = true;
      }
      placed &&= anywhere;
      if (!placed) {
        withoutPlace++;
        return;
      }
      builder.begin(row);
      let rateKnown = false;
      for (const column of numbers) {
        const text = cells[column.index];
        if (text === undefined || text === "") continue;
        let value = readNumber(text, rows.mark);
        if (value !== value) {
          if (!nothing(text)) {
            column.unread ??= { count: 0, row, value: text };
            column.unread.count++;
          }
          continue;
        }
        const isPlace = column.field === "x" || column.field === "y";
        if (!isPlace && value < 0 && nothing(text)) continue;
        if (value === 0 && column.zeroMissing) {
          if (column.name === "rate") {
            withRateZero++;
            rateKnown = true;
          }
          continue;
        }
        if (column.unit !== null) value = column.unit.toOurs(value, crop);
        if (column.name === "rate") rateKnown = true;
        if (column.field === "wetYield" && (column.atMarket || column.atMoisturePct !== null)) {
          builder.set(
            "dryYield",
            column.atMoisturePct === null
              ? value
              : atMarketMoisture(value, column.atMoisturePct, crop.marketMoisturePct),
          );
          continue;
        }
        builder.set(column.field, value);
      }
      if (hasRate && !rateKnown) withoutRate++;
      if (timeAt !== undefined) builder.set("time", parseSeconds(cells[timeAt] ?? ""));
      if (headerAt !== undefined && /^(?:up|raised|1|true|yes)$/i.test(cells[headerAt] ?? ""))
        builder.setHeaderUp();
      // What each of several machines logged stays apart, as what sections log does.
      const machine = machineAt === undefined ? "" : (cells[machineAt] ?? "").trim();
      if (machine !== "") builder.setName("section", machine);
      for (const { index, column } of named) {
        const text = (cells[index] ?? "").trim();
        if (text === "" || nothing(text)) continue;
        const isSection = machine !== "" && column.name === "section";
        builder.setName(column.name as "section", isSection ? `${machine} ${text}` : text);
      }
    });
    if (builder.count === before) throw noPoints(file.name);
    if (otherFields > 0) findings.push(otherFieldsPassed(file.name, otherFields, wish.field!));
    for (const { unread, header } of numbers) {
      if (unread !== null)
        findings.push(pointRowUnread(file.name, unread.count, unread.row, header, unread.value));
    }
  }
  const cloud = builder.finish(rateIsWeight);
  if (inDegrees) checkDegrees(cloud);
  cloud.roundedM = roundedToMetres(cloud, inDegrees);
  return { cloud, inDegrees, findings, withoutPlace, withoutRate, withRateZero, rowsRead, yieldHeader };
}

/** Farther from the equator no grain is grown [degrees]. */
const northernmost = 72;

function checkDegrees(cloud: PointCloud): void {
  const { x, y } = cloud.numbers;
  for (let i = 0; i < cloud.count; i++) {
    if (Math.abs(y![i]!) <= northernmost && Math.abs(x![i]!) <= 180) continue;
    const swapped = Math.abs(y![i]!) <= 180 && Math.abs(x![i]!) <= northernmost;
    if (!swapped && Math.abs(y![i]!) <= 90 && Math.abs(x![i]!) <= 180) continue;
    throw latitudeBeyond(cloud.files[cloud.file[i]!]!, cloud.row[i]!, String(y![i]), swapped);
  }
}

/** Puts clouds on one ground: metres from the middle of the first, in place; the middle itself is not kept. */
export function placeAll(reads: readonly PointsRead[]): void {
  const first = reads[0]!;
  const { x, y } = first.cloud.numbers;
  const origin: Origin = { longitude: middleOf(x!), latitude: middleOf(y!) };
  for (const { cloud, inDegrees } of reads) {
    if (inDegrees) toMetres(cloud.numbers.x!, cloud.numbers.y!, origin);
    else {
      for (let i = 0; i < cloud.count; i++) {
        cloud.numbers.x![i]! -= origin.longitude;
        cloud.numbers.y![i]! -= origin.latitude;
      }
    }
  }
}
