/** Files of points, CSV, GeoJSON or zipped shapefiles → columns of numbers, in metres from their own middle. */
import {
  cropOther,
  latitudeBeyond,
  noPoints,
  otherCropsPassed,
  otherFieldsPassed,
  placesUnlike,
  pointRowUnread,
  type CallHarvestWish,
} from "../messages/harvest.ts";
import type { Some } from "../maths/group-by.ts";
import { middleOf } from "./middle.ts";
import { parseCrop } from "../read/crop-names.ts";
import { isMissing } from "../read/tables/cells.ts";
import type { InputFile } from "../read/tables/input-file.ts";
import { readNumber } from "../read/units/numbers.ts";
import type { CropName, Crop } from "../vocabulary/crops.ts";
import { crops } from "../vocabulary/crops.ts";
import { atMarketMoisture } from "../numbers/units.ts";
import type { Finding } from "../vocabulary/trial.ts";
import { fileColumns, type FileColumns, type NumberColumn } from "./file-columns.ts";
import { toMetres, type Origin } from "./ground.ts";
import { openRows, type Rows } from "./point-rows.ts";
import { roundedToMetres } from "./rounded-places.ts";
import { timeOfRows } from "./row-times.ts";
import { sectionsOn } from "./section-columns.ts";
import { CloudBuilder, fileOf, type PointCloud } from "./point-cloud.ts";

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
  rateHeader: string | null;
  /** Of all files. */
  headers: string[];
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

/** Marks of nothing that monitors write: stars, and numbers no field gives. */
const isNothing = (text: string): boolean =>
  isMissing(text) || /^\*+$/.test(text) || /^-9{3,}(?:\.0+)?$/.test(text);

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

/**
 * Whether a row is of another crop than that of the harvest.
 *
 * @throws TrialError `crop-other` where every row that names a crop names another one
 */
function ofOtherCrop(
  file: string,
  rows: Rows,
  at: number | undefined,
  { crop, callWish }: PointsWish,
): (cells: readonly string[]) => boolean {
  if (at === undefined) return () => false;
  let other: CropName | null = null;
  let isNamed = false;
  rows.forEach((cells) => {
    if (isNamed) return;
    const found = parseCrop(cells[at] ?? "");
    if (found === crop) isNamed = true;
    else other ??= found;
  });
  if (!isNamed && other !== null) throw cropOther(file, other, crop, callWish);
  return (cells) => {
    const found = parseCrop(cells[at] ?? "");
    return found !== null && found !== crop;
  };
}

/** What was counted over the rows of all files. */
interface Counts {
  withoutPlace: number;
  withoutRate: number;
  withRateZero: number;
  rowsRead: number;
}

/**
 * Files of one machine, read one after the other.
 *
 * @throws TrialError `points-without-place`, `points-none`, `unit-unclear`, `places-swapped`, `shapefile-unreadable`, `crop-other`
 */
export async function readPoints(files: readonly InputFile[], wish: PointsWish): Promise<PointsRead> {
  const builder = new CloudBuilder();
  const findings: Finding[] = [];
  const counts: Counts = { withoutPlace: 0, withoutRate: 0, withRateZero: 0, rowsRead: 0 };
  let [inDegrees, rateIsWeight] = [false, false];
  let [yieldHeader, rateHeader]: [string | null, string | null] = [null, null];
  const headers: string[] = [];
  for (const file of files) {
    const rows = await openRows(file);
    headers.push(...rows.headers);
    const columns = fileColumns(file.name, rows, wish, findings);
    if (builder.count > 0 && columns.degrees !== inDegrees)
      throw placesUnlike(builder.files[0]!, file.name, inDegrees);
    inDegrees = columns.degrees;
    rateIsWeight = columns.rateIsWeight ?? rateIsWeight;
    yieldHeader ??= columns.yieldHeader;
    rateHeader ??= columns.rateHeader;
    builder.files.push(file.name);
    readRows(file.name, rows, columns, wish, builder, counts, findings);
  }
  const cloud = builder.finish(rateIsWeight);
  if (inDegrees) checkDegrees(cloud);
  cloud.roundedM = roundedToMetres(cloud, inDegrees);
  return { cloud, inDegrees, findings, ...counts, yieldHeader, rateHeader, headers };
}

/** Every row of a file becomes a point, or is counted for what it lacks. */
function readRows(
  file: string,
  rows: Rows,
  columns: FileColumns,
  wish: PointsWish,
  builder: CloudBuilder,
  counts: Counts,
  findings: Finding[],
): void {
  const crop = crops[wish.crop];
  const { numbers, at, cropAt, degrees } = columns;
  const places = numbers.filter(({ field }) => field === "x" || field === "y");
  const timeOf = timeOfRows(rows, at.time, at.date);
  const isElsewhere = elsewhere(rows, at.field, wish.field ?? "");
  const isOther = ofOtherCrop(file, rows, cropAt, wish);
  const hasRate = columns.rateHeader !== null;
  const unread = new Map<NumberColumn, { count: number; row: number; value: string }>();
  const before = builder.count;
  let [otherFields, otherCrops] = [0, 0];
  rows.forEach((cells, row) => {
    if (cells.length === 1 && cells[0]?.trim() === "") return;
    if (isElsewhere(cells)) {
      otherFields++;
      return;
    }
    if (isOther(cells)) {
      otherCrops++;
      return;
    }
    counts.rowsRead++;
    if (!isPlaced(cells, places, rows, degrees)) {
      counts.withoutPlace++;
      return;
    }
    builder.begin(row);
    let rate: number | null = null;
    for (const column of numbers) {
      const value = numberIn(cells[column.index], column, rows, crop);
      if (value === "unread") {
        const first = unread.get(column) ?? { count: 0, row, value: cells[column.index]! };
        unread.set(column, { ...first, count: first.count + 1 });
      } else if (value !== null) {
        if (column.name === "rate") rate = value;
        setNumber(builder, column, value, crop);
      }
    }
    rate = setSections(builder, columns, cells, rows, crop) ?? rate;
    if (rate === 0) counts.withRateZero++;
    else if (hasRate && rate === null) counts.withoutRate++;
    if (timeOf !== null) builder.set("time", timeOf(cells));
    if (at.header_up !== undefined && isUp(cells[at.header_up] ?? "")) builder.setHeaderUp();
    setNames(builder, columns, cells);
  });
  if (builder.count === before) throw noPoints(file);
  if (otherFields > 0) findings.push(otherFieldsPassed(file, otherFields, wish.field!));
  if (otherCrops > 0) findings.push(otherCropsPassed(file, otherCrops, wish.crop));
  for (const [{ header }, { count, row, value }] of unread)
    findings.push(pointRowUnread(file, count, row, header, value));
}

const isUp = (text: string): boolean => /^(?:1|true|yes)$|\b(?:up|raised)\b/i.test(text);

/** Whether a row says where it is; a receiver without a fix writes 0 and 0, which no field is at. */
function isPlaced(
  cells: readonly string[],
  places: readonly NumberColumn[],
  rows: Rows,
  degrees: boolean,
): boolean {
  let anywhere = !degrees;
  for (const { index } of places) {
    const value = readNumber(cells[index] ?? "", rows.mark);
    if (!Number.isFinite(value) || value <= -999_999) return false;
    if (value !== 0) anywhere = true;
  }
  return anywhere;
}

/** A cell in our unit: 0 for a rate of 0, null where it holds nothing. */
function numberIn(
  text: string | undefined,
  { field, name, unit, zeroMissing }: NumberColumn,
  rows: Rows,
  crop: Crop,
): number | "unread" | null {
  if (text === undefined || text === "") return null;
  const value = readNumber(text, rows.mark);
  if (value !== value) return isNothing(text) ? null : "unread";
  if (field !== "x" && field !== "y" && value < 0 && isNothing(text)) return null;
  if (value === 0 && zeroMissing) return name === "rate" ? 0 : null;
  return unit === null ? value : unit.toOurs(value, crop);
}

function setNumber(
  builder: CloudBuilder,
  { field, atMarket, atMoisturePct }: NumberColumn,
  value: number,
  crop: Crop,
): void {
  if (field === "rate" && value === 0) return;
  if (field !== "wetYield" || (!atMarket && atMoisturePct === null)) builder.set(field, value);
  else
    builder.set(
      "dryYield",
      atMoisturePct === null ? value : atMarketMoisture(value, atMoisturePct, crop.marketMoisturePct),
    );
}

/** Which part of the drill was on, and the rate of its sections where nothing else says one; @returns that rate. */
function setSections(
  builder: CloudBuilder,
  { sections, sectionRate }: FileColumns,
  cells: readonly string[],
  rows: Rows,
  crop: Crop,
): number | null {
  const on = sections === null ? null : sectionsOn(sections, cells, rows.mark);
  if (on === null) return null;
  if (on.from > 0) builder.set("onFrom", on.from);
  if (on.to < 1) builder.set("onTo", on.to);
  if (sectionRate === null) return null;
  if (on.count > 0) builder.set("rate", sectionRate.toOurs(on.rate, crop));
  return on.rate;
}

/** What each of several machines logged stays apart, as what sections log does. */
function setNames(builder: CloudBuilder, { named, at }: FileColumns, cells: readonly string[]): void {
  const machine = at.machine === undefined ? "" : (cells[at.machine] ?? "").trim();
  if (machine !== "") {
    builder.setName("machine", machine);
    builder.setName("section", machine);
  }
  for (const { index, name } of named) {
    const text = (cells[index] ?? "").trim();
    if (text === "" || isNothing(text)) continue;
    builder.setName(name, machine !== "" && name === "section" ? `${machine} ${text}` : text);
  }
}

/** Farther from the equator no grain is grown [degrees]. */
const northernmost = 72;

function checkDegrees(cloud: PointCloud): void {
  const { x, y } = cloud.numbers;
  for (let i = 0; i < cloud.count; i++) {
    if (Math.abs(y![i]!) <= northernmost && Math.abs(x![i]!) <= 180) continue;
    const swapped = Math.abs(y![i]!) <= 180 && Math.abs(x![i]!) <= northernmost;
    if (!swapped && Math.abs(y![i]!) <= 90 && Math.abs(x![i]!) <= 180) continue;
    throw latitudeBeyond(fileOf(cloud, i), cloud.row[i]!, String(y![i]), swapped);
  }
}

/** Puts clouds on one ground: metres from the middle of the first, in place; the middle itself is not kept. */
export function placeAll(reads: Readonly<Some<PointsRead>>): void {
  const [first] = reads;
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
