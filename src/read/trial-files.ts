/** Files of strips → the trial. */
import {
  cropNamedOtherwise,
  emptyPassedOver,
  fileTwice,
  noFiles,
  rateFromLot,
  rowCropNamedOtherwise,
} from "../messages/reading.ts";
import type { CropName } from "../vocabulary/crops.ts";
import { environmentsOf } from "../vocabulary/environments.ts";
import type { Settings, UnitChoice } from "../vocabulary/settings.ts";
import { TrialError, type Finding, type ReadColumn, type Strip, type Trial } from "../vocabulary/trial.ts";
import { cropInName } from "./crop-names.ts";
import { TextKeeper } from "./tables/cells.ts";
import { readStripsTable } from "./strips/strips-table.ts";
import { noAnswers, type Answers } from "./answers/answers.ts";
import { openStripsTables } from "./strips/strips-header.ts";
import { tellFarmsApart, tellFieldsApart } from "./farms-apart.ts";
import { tellGroundsApart } from "./grounds-apart.ts";
import type { InputFile } from "./tables/input-file.ts";
import { placeAnswers } from "./tables/beside-table.ts";
import { findCopies } from "./copied-files.ts";
import { openText } from "./tables/open-sheets.ts";
import { spellAlike } from "./one-spelling.ts";
import type { Sheet } from "./tables/sheet.ts";

/**
 * Reads the strips of one or many files.
 *
 * Nothing is guessed and nothing is dropped: each row of a table that is not blank becomes a strip, or is left out with
 * exactly one finding whose code starts with `row-`; titles above the table, totals and remarks are told together. Units in headers win over `units`; files may differ in all of this.
 *
 * @param files     files of text, and sheets as `openSheets` gives them, in the order given; their names are told in messages
 * @param settings  crop (bushel weight, market moisture), lots (where rates are weights), scale of bare lodging scores
 * @param units     what bare numbers are taken to be in: seeds/ac and bu/ac, or seeds/m² and kg/ha
 * @param answers   what a person answered about the files
 * @returns strips in the order of files and rows; environments sorted; rows read = strips + rows left out
 * @throws TrialError `no-files`, `file-twice`
 * @throws TrialError `file-empty` where no file holds anything; one among others is skipped and told
 * @throws TrialError `file-too-large`, `file-binary`, `file-is-spreadsheet`, `quotes-broken` for a file
 *   that is no table
 * @throws TrialError `column-missing`, `column-twice`, `unit-unknown` for a header that does not serve
 * @throws TrialError `unit-unclear`, `number-ambiguous` where the numbers can be meant in two ways: the person is asked
 */
export function readTrial(
  files: readonly (InputFile | Sheet)[],
  settings: Settings,
  units: UnitChoice,
  answers: Answers = noAnswers,
): Trial {
  if (files.length === 0) throw noFiles();
  const names = new Set<string>();
  const sheets: Sheet[] = [];
  const ownStrips = new Set<string>();
  const texts = new TextKeeper();
  const read: Strip[] = [];
  const columns: ReadColumn[] = [];
  const findings: Finding[] = [];
  const lotsUsed = new Set<string>();
  const sources = new Map<string, string>();
  let rowsRead = 0;
  /** Strips of another crop by the name of their tab or file: from which to which. */
  const ofOtherCrops: { said: OtherCrop; from: number; to: number }[] = [];
  const empty: TrialError[] = [];
  for (const file of files) {
    const sheet = "bytes" in file ? openText(file) : file;
    if (names.has(sheet.file)) throw fileTwice(sheet.file);
    names.add(sheet.file);
    const tables = tablesUnlessEmpty(sheet, answers, empty);
    if (tables === null) {
      findings.push(emptyPassedOver(sheet.file));
      continue;
    }
    sheets.push(sheet);
    sources.set(sheet.file, sheet.source);
    if (placeAnswers(sheet, answers).some(({ holds }) => holds === "strips")) ownStrips.add(sheet.file);
    let cropTold = false;
    const from = read.length;
    for (const table of tables) {
      const told = readStripsTable(table, settings, units, answers, texts, read);
      rowsRead += told.rows;
      for (const finding of told.findings) findings.push(finding);
      for (const column of told.columns) columns.push(column);
      for (const variety of told.lotsUsed) lotsUsed.add(variety);
      cropTold ||= told.columns.some(({ column }) => column === "crop");
    }
    const said = cropTold ? null : otherCropNamed(sheet, settings.crop);
    if (said !== null) ofOtherCrops.push({ said, from, to: read.length });
  }
  if (empty.length === files.length) throw empty[0]!;
  const lots = settings.lots.map(({ variety }) => variety);
  const ofCrop = cropsApart(read, ofOtherCrops, findings);
  for (const finding of spellAlike(ofCrop, lots, answers)) findings.push(finding);
  const { copies, findings: copied } = findCopies(ofCrop, sheets, (sheet) => ownStrips.has(sheet));
  for (const finding of copied) findings.push(finding);
  const strips = copies.size === 0 ? ofCrop : ofCrop.filter((strip) => !copies.has(strip));
  if (lotsUsed.size > 0) findings.push(rateFromLot([...lotsUsed].sort()));
  const farms =
    new Set(sources.values()).size > 1 ? tellFarmsApart(strips, sources) : { named: [], findings: [] };
  const fields = sheets.length > 1 ? tellFieldsApart(strips, sheets) : { named: [], findings: [] };
  findings.push(...farms.findings, ...fields.findings, ...tellGroundsApart(strips));
  const answeredApart = Object.values(answers.names).flatMap((spellings) =>
    Object.entries(spellings).flatMap(([spelling, name]) => (spelling === name ? [name] : [])),
  );
  const apart = [...answeredApart, ...farms.named, ...fields.named];
  return {
    ...(apart.length > 0 ? { namesApart: apart } : {}),
    strips,
    environments: environmentsOf(strips),
    columns,
    rowsRead,
    rowsLeftOut: rowsRead - strips.length,
    findings,
  };
}

/** What is said of strips whose tab or file is named after another crop. */
interface OtherCrop {
  /** Where no other strips are there: they are read. */
  doubt: Finding;
  /** Beside strips of the crop itself they are left out, one by one. */
  leaveOut(place: Strip["place"]): [Finding];
}

/** The strips of the crop; those of others are left out where both are there, and doubtful where they are alone. */
function cropsApart(
  read: Strip[],
  others: readonly { said: OtherCrop; from: number; to: number }[],
  findings: Finding[],
): Strip[] {
  if (others.length === 0) return read;
  const isOther = (index: number): boolean => others.some(({ from, to }) => index >= from && index < to);
  const ofCrop = read.filter((_, index) => !isOther(index));
  if (ofCrop.length === 0) {
    for (const { said } of others) findings.push(said.doubt);
    return read;
  }
  for (const { said, from, to } of others)
    for (const { place } of read.slice(from, to)) findings.push(...said.leaveOut(place));
  return ofCrop;
}

/** Null for a sheet that is not named after another crop; wheat may be durum. */
function otherCropNamed({ file, source, tab }: Sheet, crop: CropName): OtherCrop | null {
  const base = source.split(/[\\/]/).pop()!;
  const ofTab = tab === null ? null : cropInName(tab);
  const found = ofTab ?? cropInName(base);
  if (found === null || found === crop || (found === "wheat" && crop === "durum")) return null;
  const kind = ofTab === null ? "files" : "tabs";
  const place = { kind, name: kind === "tabs" ? tab! : base } as const;
  return {
    doubt: cropNamedOtherwise(file, place, found, crop),
    leaveOut: (where) => [rowCropNamedOtherwise(where, place, found, crop)],
  };
}

/** The tables of a sheet; null for one that holds nothing, which is added to `empty`. */
function tablesUnlessEmpty(sheet: Sheet, answers: Answers, empty: TrialError[]) {
  try {
    return openStripsTables(sheet, answers);
  } catch (error) {
    if (!(error instanceof TrialError) || error.code !== "file-empty") throw error;
    empty.push(error);
    return null;
  }
}
