/** Files of strips → the trial. */
import {
  cropNamedOtherwise,
  cropTitledOtherwise,
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
import { cropInName, cropInTitle } from "./crop-names.ts";
import { TextKeeper } from "./tables/cells.ts";
import type { StripColumnName } from "./strips/columns.ts";
import { readStripsTable, type StripsRead } from "./strips/strips-table.ts";
import { noAnswers, type Answers } from "./answers/answers.ts";
import { openStripsTables } from "./strips/strips-header.ts";
import { tellFarmsApart, tellFieldsApart, type ToldApart } from "./farms-apart.ts";
import { tellGroundsApart } from "./grounds-apart.ts";
import type { InputFile } from "./tables/input-file.ts";
import { placeAnswers } from "./tables/beside-table.ts";
import { findCopies } from "./copied-files.ts";
import { openText } from "./tables/open-sheets.ts";
import { spellAlike } from "./one-spelling.ts";
import type { Sheet } from "./tables/sheet.ts";
import type { TableFile } from "./tables/table-kind.ts";

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
  const read = new StripFiles(settings, units, answers);
  for (const file of files) read.add("bytes" in file ? openText(file) : file);
  const [firstEmpty] = read.empty;
  if (firstEmpty !== undefined && read.empty.length === files.length) throw firstEmpty;
  const { sheets, columns, rowsRead, findings } = read;
  const add = (more: readonly Finding[]): void => more.forEach((finding) => findings.push(finding));
  const ofCrop = cropsApart(read.strips, read.ofOtherCrops, findings);
  const lots = settings.lots.map(({ variety }) => variety);
  add(spellAlike(ofCrop, lots, answers));
  const { copies, findings: copied } = findCopies(ofCrop, sheets, answeredAsStrips(sheets, answers));
  add(copied);
  const strips = copies.size === 0 ? ofCrop : ofCrop.filter((strip) => !copies.has(strip));
  if (read.lotsUsed.size > 0) findings.push(rateFromLot([...read.lotsUsed].sort()));
  const byFile = nameByFile(strips, sheets);
  add(byFile.findings);
  add(tellGroundsApart(strips));
  const apart = [...answeredApart(answers), ...byFile.named];
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

/** Strips of another crop by the name of their tab or file: from which to which. */
interface StripsOfOtherCrop {
  said: OtherCrop;
  from: number;
  to: number;
}

/** Reads the strips of one sheet after another, with all that is told of them. */
class StripFiles {
  readonly strips: Strip[] = [];
  readonly columns: ReadColumn[] = [];
  readonly findings: Finding[] = [];
  /** Varieties whose rates by weight became seeds with the figures of their lot. */
  readonly lotsUsed = new Set<string>();
  readonly ofOtherCrops: StripsOfOtherCrop[] = [];
  /** Those that hold something. */
  readonly sheets: Sheet[] = [];
  /** What is said of each that holds nothing. */
  readonly empty: TrialError[] = [];
  rowsRead = 0;
  readonly #names = new Set<string>();
  readonly #texts = new TextKeeper();
  readonly #settings: Settings;
  readonly #units: UnitChoice;
  readonly #answers: Answers;

  constructor(settings: Settings, units: UnitChoice, answers: Answers) {
    this.#settings = settings;
    this.#units = units;
    this.#answers = answers;
  }

  add(sheet: Sheet): void {
    if (this.#names.has(sheet.file)) throw fileTwice(sheet.file);
    this.#names.add(sheet.file);
    const tables = tablesUnlessEmpty(sheet, this.#answers, this.empty);
    if (tables === null) {
      this.findings.push(emptyPassedOver(sheet.file));
      return;
    }
    this.sheets.push(sheet);
    const from = this.strips.length;
    let cropTold = false;
    for (const table of tables) {
      const { columns } = this.#addTable(table);
      cropTold ||= columns.some(({ column }) => column === "crop");
    }
    if (cropTold) return;
    const { crop } = this.#settings;
    const said = otherCropNamed(sheet, crop);
    if (said !== null) this.ofOtherCrops.push({ said, from, to: this.strips.length });
    const titles = tables.flatMap((table) => table.titles);
    const title = titles.find((text) => isOtherCrop(cropInTitle(text), crop));
    if (said === null && title !== undefined)
      this.findings.push(cropTitledOtherwise(sheet.file, title, cropInTitle(title)!, crop));
  }

  #addTable(table: TableFile<StripColumnName>): StripsRead {
    const told = readStripsTable(table, this.#settings, this.#units, this.#answers, this.#texts, this.strips);
    this.rowsRead += told.rows;
    for (const finding of told.findings) this.findings.push(finding);
    for (const column of told.columns) this.columns.push(column);
    for (const variety of told.lotsUsed) this.lotsUsed.add(variety);
    return told;
  }
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

/** Tells by its name whether a sheet was answered to hold strips of its own. */
function answeredAsStrips(sheets: readonly Sheet[], answers: Answers): (file: string) => boolean {
  const own = sheets.filter((sheet) => placeAnswers(sheet, answers).some(({ holds }) => holds === "strips"));
  const names = new Set(own.map(({ file }) => file));
  return (file) => names.has(file);
}

/** Names strips after their file where several cannot be of one farm or of one field. */
function nameByFile(strips: readonly Strip[], sheets: readonly Sheet[]): ToldApart {
  const sources = new Map(sheets.map(({ file, source }) => [file, source]));
  const none: ToldApart = { named: [], findings: [] };
  const farms = new Set(sources.values()).size > 1 ? tellFarmsApart(strips, sources) : none;
  const fields = sheets.length > 1 ? tellFieldsApart(strips, sheets) : none;
  return {
    named: [...farms.named, ...fields.named],
    findings: [...farms.findings, ...fields.findings],
  };
}

/** Names that a person said are names of their own. */
const answeredApart = ({ names }: Answers): string[] =>
  Object.values(names).flatMap((spellings) =>
    Object.entries(spellings).flatMap(([spelling, name]) => (spelling === name ? [name] : [])),
  );

/** What is said of strips whose tab or file is named after another crop. */
interface OtherCrop {
  /** Where no other strips are there: they are read. */
  doubt: Finding;
  /** Beside strips of the crop itself they are left out, one by one. */
  leaveOut(place: Strip["place"]): [Finding];
}

/** The strips of the crop; those of others are left out where both are there, and doubtful where they are alone. */
function cropsApart(read: Strip[], others: readonly StripsOfOtherCrop[], findings: Finding[]): Strip[] {
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

/** Wheat may be durum. */
const isOtherCrop = (found: CropName | null, crop: CropName): found is CropName =>
  found !== null && found !== crop && !(found === "wheat" && crop === "durum");

/** Null for a sheet that is not named after another crop. */
function otherCropNamed({ file, source, tab }: Sheet, crop: CropName): OtherCrop | null {
  const base = source.split(/[\\/]/).pop()!;
  const ofTab = tab === null ? null : cropInName(tab);
  const found = ofTab ?? cropInName(base);
  if (!isOtherCrop(found, crop)) return null;
  const kind = ofTab === null ? "files" : "tabs";
  const place = { kind, name: kind === "tabs" ? tab! : base } as const;
  return {
    doubt: cropNamedOtherwise(file, place, found, crop),
    leaveOut: (where) => [rowCropNamedOtherwise(where, place, found, crop)],
  };
}
