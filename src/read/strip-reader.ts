/** One row → one strip. */
import * as messages from "../check/findings/reading.ts";
import { crops, type Crop } from "../crops.ts";
import { lodgingScales, toLodgingScore } from "../lodging-scales.ts";
import type { Lot, Settings, UnitChoice } from "../settings.ts";
import type { Finding, LodgingScale, LodgingScore, ReadColumn, Strip } from "../trial.ts";
import { atMarketMoisture, fromSeedWeight } from "../units.ts";
import { askForUnit, holdsPercents, isMissing, NumberColumn, TextColumn, type TextKeeper } from "./cells.ts";
import { quantities } from "./column-units.ts";
import type { StripColumnName } from "./columns.ts";
import { parseCrop } from "./crop-names.ts";
import { parseDate, type DateOrder, type DateText } from "./dates.ts";
import { DecimalMarks } from "./decimal-marks.ts";
import type { TableFile } from "./table-file.ts";

/** Names longer than this are no names; notes longer than that are cut. */
const longestName = 200;
const longestNote = 2_000;

/** Columns whose numbers make the rate or the yield: without them the row is of no use. */
type NeededNumber = "rate" | "yield" | "strip_weight" | "strip_length" | "strip_width" | "moisture";

/** Seeds per weight of a row that give thousand-kernel weights further apart than this contradict each other. */
const seedWeightTolerance = 0.05;

/** Half of what bringing grain from 16 % to 13.5 % moisture changes: more is no rounding. */
const weightTolerance = 0.015;

interface OpenDate {
  strip: Strip;
  monthFirst: string;
  dayFirst: string;
  row: number;
  text: string;
}

/** What was worked out for a key before, or is now: columns repeat a few values many times. */
function kept<Key, Value>(known: Map<Key, Value>, key: Key, workOut: () => Value): Value {
  let value = known.get(key);
  if (value === undefined) known.set(key, (value = workOut()));
  return value;
}

/** Reads the rows of one file. A row is read from what is needed to what is not, and the first fault that stops it is told. */
export class StripReader {
  readonly findings: Finding[] = [];
  readonly lotsUsed = new Set<string>();
  readonly #table: TableFile<StripColumnName>;
  readonly #file: string;
  readonly #settings: Settings;
  readonly #crop: Crop;
  readonly #lots: ReadonlyMap<string, Lot>;
  readonly #texts: TextKeeper;
  readonly #system: UnitChoice["system"];
  readonly #textColumns = new Map<StripColumnName, TextColumn>();
  readonly #numbers: Partial<Record<StripColumnName, NumberColumn>> = {};
  readonly #scale: LodgingScale;
  /** Moisture that the header says yields are at. */
  readonly #yieldAtMoisturePct: number | null;
  readonly #dates = { orders: new Set<DateOrder>(), open: [] as OpenDate[] };
  readonly #seasons = new Map<string, number>();
  readonly #crops = new Map<string, boolean>();
  readonly #dateTexts = new Map<string, DateText>();
  readonly #lodgings = new Map<number, LodgingScore | null>();
  #yieldsMoved = false;

  constructor(table: TableFile<StripColumnName>, settings: Settings, units: UnitChoice, texts: TextKeeper) {
    this.#table = table;
    this.#file = table.rows.file;
    this.#settings = settings;
    this.#crop = crops[settings.crop];
    this.#lots = new Map(settings.lots.map((lot) => [lot.variety, lot]));
    this.#texts = texts;
    this.#system = units.system;
    const holdNumbers = table.columns.filter(
      ({ column }) => column.kind === "number" || column.kind === "lodging",
    );
    const marks = new DecimalMarks(
      table.rows,
      holdNumbers.map(({ index, column: { quantity } }) => ({
        index,
        most: quantity !== null && holdsPercents(quantities[quantity]) ? 100 : Infinity,
      })),
    );
    for (const column of holdNumbers) {
      this.#numbers[column.column.name] = new NumberColumn(
        column,
        marks,
        table.rows.certainMark,
        this.#crop,
        units.system,
      );
    }
    for (const { index, column } of table.columns) {
      if (column.kind !== "number" && column.kind !== "lodging") {
        this.#textColumns.set(column.name, new TextColumn(index, texts));
      }
    }
    const named = (name: StripColumnName) => table.columns.find(({ column }) => column.name === name);
    this.#scale = named("lodging")?.scale ?? settings.lodgingScale;
    this.#yieldAtMoisturePct = named("yield")?.atMoisturePct ?? null;
  }

  /** The strip of a row; null, with one finding, when the row cannot be used. */
  read(cells: readonly string[], row: number): Strip | null {
    const variety = this.#name("variety", cells, row);
    if (variety === null) return null;
    if (variety === "" || isMissing(variety))
      return this.#leaveOut(messages.rowValueMissing(this.#at("variety", cells, row), "variety"));
    if (!this.#isOfCrop(cells))
      return this.#leaveOut(messages.rowOtherCrop(this.#at("crop", cells, row), this.#crop.name));
    const season = this.#season(cells, row);
    if (season === null) return null;
    const farm = this.#name("farm", cells, row);
    const field = this.#name("field", cells, row);
    const block = this.#name("block", cells, row);
    if (farm === null || field === null || block === null) return null;
    const findingsBefore = this.findings.length;
    const seedsPerKg = this.#seedsPerKg(cells, row);
    const germinationPct = this.#optional("germination_pct", cells, row);
    const rate = this.#rate(cells, row, variety, seedsPerKg, germinationPct);
    const moisture = rate === null ? null : this.#needed("moisture", cells, row);
    const grain = rate === null || moisture === undefined ? null : this.#yield(cells, row, moisture);
    if (rate === null || moisture === undefined || grain === null) {
      this.findings.splice(findingsBefore, this.findings.length - findingsBefore - 1);
      return null;
    }
    const strip: Strip = {
      place: { file: this.#file, row },
      variety,
      season,
      farm,
      field,
      block,
      position: this.#optional("position", cells, row),
      rateSeedsPerM2: rate,
      yieldKgPerHa: grain,
      moisturePct: moisture,
      standPlantsPerM2: this.#optional("stand", cells, row),
      headsPerM2: this.#optional("heads", cells, row),
      lodging: this.#lodging(cells, row),
      rowFillPct: this.#optional("row_fill", cells, row),
      proteinPct: this.#optional("protein", cells, row),
      testWeightKgPerHl: this.#optional("test_weight", cells, row),
      seeded: null,
      seedsPerKg,
      germinationPct,
      waterMm: this.#optional("water", cells, row),
      note: this.#note(cells),
    };
    this.#readDate(strip, cells, row);
    return strip;
  }

  /**
   * Settles what only the whole file can tell.
   *
   * @throws TrialError `unit-unclear` if no rate, or no yield, of the file is in a clear unit
   */
  finish(): void {
    for (const name of ["rate", "yield", "moisture"] as const) askForUnit(this.#file, this.#numbers[name]);
    this.#settleDates();
    const rate = this.#table.columns.find(({ column }) => column.name === "rate")!;
    if (this.#system === "metric" && rate.unit === null && this.#numbers.rate!.anyClear) {
      this.findings.push(messages.bareMetricRates(this.#file));
    }
    if (this.#yieldsMoved) {
      this.findings.push(messages.yieldBroughtToMarket(this.#file, this.#crop.marketMoisturePct));
    }
  }

  /** How each column was understood, in the order of the file. */
  columnsRead(): ReadColumn[] {
    const file = this.#file;
    return this.#table.headers
      .map((header, index): ReadColumn | null => {
        const found = this.#table.columns.find((column) => column.index === index);
        if (found === undefined)
          return header.trim() === "" ? null : { file, header, column: null, unit: null };
        const { name, kind } = found.column;
        const unit =
          kind === "lodging"
            ? lodgingScales[this.#scale].names[0]!
            : (this.#numbers[name]?.unitsRead ?? found.unit?.name ?? null);
        return { file, header, column: name, unit };
      })
      .filter((column) => column !== null);
  }

  #at(column: StripColumnName, cells: readonly string[], row: number) {
    const index = this.#table.columns.find((found) => found.column.name === column)?.index;
    const text = index === undefined ? undefined : cells[index];
    const value = text === undefined || text.trim() === "" ? null : this.#texts.keep(messages.shown(text));
    return { file: this.#file, row, column, value };
  }

  #leaveOut(finding: Finding): null {
    this.findings.push(finding);
    return null;
  }

  /** A name, "" where there is none; null, with a finding, for one that cannot be a name. */
  #name(column: StripColumnName, cells: readonly string[], row: number): string | null {
    const name = this.#textColumns.get(column)?.read(cells) ?? "";
    return name.length <= longestName
      ? name
      : this.#leaveOut(messages.rowNameTooLong(this.#at(column, cells, row), longestName));
  }

  #isOfCrop(cells: readonly string[]): boolean {
    const text = this.#textColumns.get("crop")?.read(cells) ?? "";
    return kept(this.#crops, text, () => isMissing(text) || parseCrop(text) === this.#settings.crop);
  }

  #season(cells: readonly string[], row: number): number | null {
    const text = this.#textColumns.get("season")!.read(cells);
    const season = kept(this.#seasons, text, () =>
      /^\d{4}(?:[.,]0+)?$/.test(text) ? Number(text.slice(0, 4)) : NaN,
    );
    if (!Number.isNaN(season)) return season;
    return this.#leaveOut(
      isMissing(text)
        ? messages.rowValueMissing(this.#at("season", cells, row), "season")
        : messages.rowSeasonUnclear(this.#at("season", cells, row)),
    );
  }

  /** A number the row cannot do without if it is there: undefined, with a finding, when it cannot be understood. */
  #needed(name: NeededNumber, cells: readonly string[], row: number): number | null | undefined {
    const column = this.#numbers[name];
    const value = column?.read(cells, row) ?? null;
    if (value === null || !Number.isNaN(value)) {
      if (name === "moisture" && value !== null && !(value >= 0 && value < 100)) {
        this.findings.push(messages.rowMoistureImpossible(this.#at(name, cells, row)));
        return undefined;
      }
      return value;
    }
    const where = this.#at(name, cells, row);
    this.findings.push(
      column!.fault === "unit-unclear"
        ? messages.rowUnitUnclear(where, column!.usualUnit)
        : messages.rowNotANumber(where),
    );
    return undefined;
  }

  /** A number the row can do without: null, with a finding, when it cannot be understood. */
  #optional(name: StripColumnName, cells: readonly string[], row: number): number | null {
    const column = this.#numbers[name];
    if (column === undefined) return null;
    const value = column.read(cells, row);
    if (value === null || !Number.isNaN(value)) return value;
    const where = this.#at(name, cells, row);
    return this.#leaveOut(
      column.fault === "unit-unclear"
        ? messages.valueUnitUnclear(where, column.usualUnit, "strip")
        : messages.valueNotANumber(where, "strip"),
    );
  }

  #seedsPerKg(cells: readonly string[], row: number): number | null {
    let found: number | null = null;
    for (const name of ["seeds_per_lb", "seeds_per_kg", "tkw_g"] as const) {
      const value = this.#optional(name, cells, row);
      if (value === null) continue;
      if (!(value > 0 && value < Infinity))
        this.findings.push(messages.valueNotPositive(this.#at(name, cells, row), "strip"));
      else if (found === null) found = value;
      else if (Math.abs(value / found - 1) > seedWeightTolerance) {
        this.findings.push(messages.seedWeightsDiffer(this.#at(name, cells, row)));
      }
    }
    return found;
  }

  /** Viable seeds/m²; null, with a finding, when the row does not say. */
  #rate(
    cells: readonly string[],
    row: number,
    variety: string,
    seedsPerKg: number | null,
    germinationPct: number | null,
  ): number | null {
    const value = this.#needed("rate", cells, row);
    if (value === undefined) return null;
    if (value === null) return this.#leaveOut(messages.rowValueMissing(this.#at("rate", cells, row), "rate"));
    if (!(value > 0)) return this.#leaveOut(messages.rowNotPositive(this.#at("rate", cells, row)));
    if (!this.#numbers.rate!.unit!.seedWeight) return value;
    const lot = this.#lots.get(variety);
    const usesLot = seedsPerKg === null || germinationPct === null;
    const perKg = seedsPerKg ?? lot?.seedsPerKg ?? null;
    const germination = germinationPct === null ? (lot?.germination ?? null) : germinationPct / 100;
    if (perKg === null || germination === null) {
      const missing = [perKg === null ? "seeds per weight" : "", germination === null ? "germination" : ""];
      return this.#leaveOut(
        messages.rowSeedWeightUnknown(
          this.#at("rate", cells, row),
          variety,
          missing.filter((what) => what !== ""),
        ),
      );
    }
    const purityPct = this.#optional("purity_pct", cells, row);
    const purity = purityPct !== null ? purityPct / 100 : usesLot ? (lot?.purity ?? 1) : 1;
    if (usesLot) this.lotsUsed.add(variety);
    const rate = fromSeedWeight(value, perKg * germination * purity);
    return rate > 0 ? rate : this.#leaveOut(messages.rowNotPositive(this.#at("rate", cells, row)));
  }

  /** kg/ha at market moisture; null, with a finding, when the row does not say. */
  #yield(cells: readonly string[], row: number, moisturePct: number | null): number | null {
    const told = this.#needed("yield", cells, row);
    if (told === undefined) return null;
    const { marketMoisturePct } = this.#crop;
    if (told !== null && this.#yieldAtMoisturePct !== null) {
      return atMarketMoisture(told, this.#yieldAtMoisturePct, marketMoisturePct);
    }
    if (told !== null) this.#compareWithWeight(told, cells, row);
    const weighed = told ?? this.#weighedYield(cells, row);
    if (weighed === null || moisturePct === null) return weighed;
    this.#yieldsMoved = true;
    return atMarketMoisture(weighed, moisturePct, marketMoisturePct);
  }

  /** Says so where a row has both a yield and all that a yield can be reckoned from, and they are far apart. */
  #compareWithWeight(told: number, cells: readonly string[], row: number): void {
    const weight = this.#numbers.strip_weight?.read(cells, row) ?? NaN;
    const length = this.#numbers.strip_length?.read(cells, row) ?? NaN;
    const width = this.#numbers.strip_width?.read(cells, row) ?? NaN;
    const apart = Math.abs((told * length * width) / (weight * 10_000) - 1);
    if (apart > weightTolerance && apart < Infinity) {
      const percent = Number((100 * apart).toPrecision(2));
      this.findings.push(messages.yieldAndWeightDiffer(this.#at("yield", cells, row), percent));
    }
  }

  /** kg/ha from the weight and the ground of the strip. */
  #weighedYield(cells: readonly string[], row: number): number | null {
    const parts: number[] = [];
    for (const name of ["strip_weight", "strip_length", "strip_width"] as const) {
      const value = this.#needed(name, cells, row);
      if (value === undefined) return null;
      if (value === null) return this.#leaveOut(messages.rowYieldMissing(this.#at("yield", cells, row)));
      if (name !== "strip_weight" && !(value > 0))
        return this.#leaveOut(messages.rowNotPositive(this.#at(name, cells, row)));
      parts.push(value);
    }
    const [kg, length, width] = parts as [number, number, number];
    const grain = (kg * 10_000) / (length * width);
    return Number.isFinite(grain)
      ? grain
      : this.#leaveOut(messages.rowNotPositive(this.#at("strip_length", cells, row)));
  }

  #lodging(cells: readonly string[], row: number): LodgingScore | null {
    const score = this.#optional("lodging", cells, row);
    if (score === null) return null;
    const lodging = kept(this.#lodgings, score, () => toLodgingScore(this.#scale, score));
    if (lodging !== null) return lodging;
    const { lowest, highest, names } = lodgingScales[this.#scale];
    return this.#leaveOut(
      messages.valueOffScale(this.#at("lodging", cells, row), names[0]!, lowest, highest),
    );
  }

  #note(cells: readonly string[]): string {
    const note = this.#textColumns.get("note")?.read(cells) ?? "";
    return note.length <= longestNote ? note : `${note.slice(0, longestNote - 1)}…`;
  }

  #readDate(strip: Strip, cells: readonly string[], row: number): void {
    const text = this.#textColumns.get("seeded")?.read(cells) ?? "";
    if (text === "") return;
    const date = kept(this.#dateTexts, text, () => parseDate(text));
    if (date.kind === "date") {
      strip.seeded = date.iso;
      if (date.order !== null) this.#dates.orders.add(date.order);
    } else if (date.kind === "either") this.#dates.open.push({ strip, row, text, ...date });
    else if (!isMissing(text)) this.findings.push(messages.valueNotADate(this.#at("seeded", cells, row)));
  }

  /** Dates such as 4/5/2026 follow the others of the file, where those agree. */
  #settleDates(): void {
    const { orders, open } = this.#dates;
    const [order] = orders;
    for (const { strip, monthFirst, dayFirst, row, text } of open) {
      if (orders.size === 1) strip.seeded = order === "month-first" ? monthFirst : dayFirst;
      else
        this.findings.push(messages.valueNotADate({ file: this.#file, row, column: "seeded", value: text }));
    }
  }
}
