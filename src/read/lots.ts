/** The lots file: what each variety's seed weighs, costs, and is sown at today. */
import * as messages from "../check/findings/reading.ts";
import { crops, type Crop } from "../crops.ts";
import type { Lot, Settings, UnitChoice } from "../settings.ts";
import type { Finding } from "../trial.ts";
import { fromSeedWeight } from "../units.ts";
import { askForUnit, isMissing, NumberColumn, TextColumn, TextKeeper } from "./cells.ts";
import { splitAmount } from "./split-amount.ts";
import { lotColumns, type Column, type LotColumnName } from "./columns.ts";
import { DecimalMarks } from "./decimal-marks.ts";
import { HeaderReader } from "./headers.ts";
import type { InputFile } from "./input-file.ts";
import { parseSeedPriceUnit, type SeedPriceUnit } from "./seed-price.ts";
import { csvRows, forEachDataRow, readHeader, rowFault, type TableFile } from "./table-file.ts";

const columns = lotColumns as readonly Column<LotColumnName>[];
const lotHeaders = new HeaderReader<LotColumnName>(columns);
const everyColumn: ReadonlySet<string> = new Set(columns.map(({ name }) => name));
const priceUnits = ["$/bu", "$/lb", "$/cwt", "$/50 lb", "$/kg", "$/unit", "$/1000 seeds", "$/million seeds"];

export interface LotsRead {
  /** In the order of the file. */
  lots: Lot[];
  findings: Finding[];
}

/**
 * Reads the lots of next season's seed.
 *
 * Each row that is not blank becomes a lot, or is left out with one finding whose code starts with `row-`. Treatment is
 * added to the price; a price by count and one by weight meet by the lot's seeds per weight.
 *
 * @param settings  crop, for bushels
 * @param units     what bare numbers are in, and the currency
 * @throws TrialError as `readTrial` does for files, headers and numbers that can be meant in two ways; `unit-unclear` for a
 *   price without its unit
 */
export function readLots(file: InputFile, settings: Settings, units: UnitChoice): LotsRead {
  const rows = csvRows(file, (headers) => lotHeaders.known(headers));
  const table = readHeader(
    rows,
    lotHeaders,
    columns.filter(({ needed }) => needed),
    everyColumn,
  );
  const reader = new LotReader(table, crops[settings.crop], units);
  const lots: Lot[] = [];
  const findings: Finding[] = [];
  const rowOf = new Map<string, number>();
  forEachDataRow(table, (cells, row, last) => {
    const fault = rowFault(table, cells, row, last);
    if (fault !== null) {
      findings.push(fault);
      return;
    }
    const variety = reader.variety(cells);
    const where = { file: file.name, row, column: "variety" };
    const before = rowOf.get(variety);
    if (isMissing(variety)) findings.push(messages.rowValueMissing(where, "variety"));
    else if (variety.length > longestName) findings.push(messages.rowNameTooLong(where, longestName));
    else if (before !== undefined) findings.push(messages.rowLotTwice({ ...where, value: variety }, before));
    else {
      rowOf.set(variety, row);
      lots.push(reader.read(variety, cells, row));
    }
  });
  reader.finish();
  return { lots, findings: [...table.findings, ...findings, ...reader.findings] };
}

const longestName = 200;

class LotReader {
  readonly findings: Finding[] = [];
  readonly #table: TableFile<LotColumnName>;
  readonly #file: string;
  readonly #crop: Crop;
  readonly #units: UnitChoice;
  readonly #numbers: Partial<Record<LotColumnName, NumberColumn>> = {};
  readonly #texts: Partial<Record<LotColumnName, TextColumn>> = {};
  readonly #currencies = new Set<string>();

  constructor(table: TableFile<LotColumnName>, crop: Crop, units: UnitChoice) {
    this.#table = table;
    this.#file = table.rows.file;
    this.#crop = crop;
    this.#units = units;
    const keeper = new TextKeeper();
    const holdsNumbers = ({ kind }: Column): boolean => kind === "number" || kind === "money";
    const numbers = table.columns.filter(({ column }) => holdsNumbers(column));
    const marks = new DecimalMarks(
      table.rows,
      numbers.map(({ index }) => ({ index, most: Infinity })),
    );
    for (const found of table.columns) {
      const { name } = found.column;
      if (holdsNumbers(found.column)) {
        this.#numbers[name] = new NumberColumn(found, marks, table.rows.certainMark, crop, units.system);
      } else this.#texts[name] = new TextColumn(found.index, keeper);
    }
    for (const name of ["seed_price", "treatment_cost"] as const)
      this.#checkCurrency(name, this.#bracket(name));
  }

  variety(cells: readonly string[]): string {
    return this.#texts.variety!.read(cells);
  }

  read(variety: string, cells: readonly string[], row: number): Lot {
    const seedsPerKg = this.#seedsPerKg(cells, row);
    const germination = this.#share("germination_pct", cells, row);
    if (germination === null)
      this.findings.push(messages.germinationAssumed(this.#at("germination_pct", cells, row)));
    const quality = { germination: germination ?? 1, purity: this.#share("purity_pct", cells, row) ?? 1 };
    const treatment = this.#number("treatment_cost", cells, row) ?? 0;
    const price = this.#price(cells, row, treatment, seedsPerKg);
    return {
      variety,
      rateNowSeedsPerM2: this.#rateNow(cells, row, seedsPerKg, quality.germination * quality.purity),
      seedsPerKg,
      ...quality,
      pricePerKg: price?.per === "kg" ? price.amount : null,
      pricePerThousandSeeds: price?.per === "thousand-seeds" ? price.amount : null,
      treated: this.#treated(cells, row, treatment > 0),
      areaHa: this.#positive("area", cells, row),
    };
  }

  /** @throws TrialError `unit-unclear` if no rate of the file is in a clear unit */
  finish(): void {
    askForUnit(this.#file, this.#numbers.rate_now);
  }

  #at(column: LotColumnName, cells: readonly string[], row: number) {
    const index = this.#table.columns.find((found) => found.column.name === column)?.index;
    const text = index === undefined ? "" : (cells[index] ?? "");
    return { file: this.#file, row, column, value: text.trim() === "" ? null : messages.shown(text) };
  }

  /** A number, null where there is none or, with a finding, where it cannot be understood. */
  #number(name: LotColumnName, cells: readonly string[], row: number): number | null {
    const column = this.#numbers[name];
    const value = column?.read(cells, row) ?? null;
    if (value === null || !Number.isNaN(value)) return value;
    const where = this.#at(name, cells, row);
    this.findings.push(
      column!.fault === "unit-unclear"
        ? messages.valueUnitUnclear(where, column!.usualUnit, "lot")
        : messages.valueNotANumber(where, "lot"),
    );
    return null;
  }

  #positive(name: LotColumnName, cells: readonly string[], row: number): number | null {
    const value = this.#number(name, cells, row);
    if (value === null || (value > 0 && value < Infinity)) return value;
    this.findings.push(messages.valueNotPositive(this.#at(name, cells, row), "lot"));
    return null;
  }

  #share(name: LotColumnName, cells: readonly string[], row: number): number | null {
    const percent = this.#number(name, cells, row);
    if (percent === null || (percent > 0 && percent <= 100)) return percent === null ? null : percent / 100;
    this.findings.push(messages.shareImpossible(this.#at(name, cells, row)));
    return null;
  }

  #seedsPerKg(cells: readonly string[], row: number): number | null {
    for (const name of ["seeds_per_lb", "seeds_per_kg", "tkw_g"] as const) {
      const value = this.#positive(name, cells, row);
      if (value !== null) return value;
    }
    return null;
  }

  /** Viable seeds/m²; a rate of 1.2 without a unit is left out with a finding, as in the strips. */
  #rateNow(cells: readonly string[], row: number, seedsPerKg: number | null, viable: number): number | null {
    const rate = this.#positive("rate_now", cells, row);
    if (rate === null || !this.#numbers.rate_now!.unit!.seedWeight) return rate;
    if (seedsPerKg !== null) return fromSeedWeight(rate, seedsPerKg * viable);
    this.findings.push(messages.rateNowSeedWeightUnknown(this.#at("rate_now", cells, row)));
    return null;
  }

  #treated(cells: readonly string[], row: number, paidFor: boolean): boolean {
    const text = this.#texts.treated?.read(cells) ?? "";
    if (isMissing(text) && !/^none$/i.test(text)) return paidFor;
    if (/^(?:yes|y|true|x|1|treated)$/i.test(text)) return true;
    if (/^(?:no|n|false|0|none|untreated|bare)$/i.test(text)) return false;
    this.findings.push(messages.valueNotYesOrNo(this.#at("treated", cells, row)));
    return true;
  }

  #bracket(name: LotColumnName): string {
    return this.#table.columns.find(({ column }) => column.name === name)?.bracket ?? "";
  }

  #checkCurrency(name: LotColumnName, unit: string): void {
    const currency = splitAmount(`1 ${unit}`)?.currency ?? "";
    if (currency === "" || currency === this.#units.currency || this.#currencies.has(currency)) return;
    this.#currencies.add(currency);
    this.findings.push(messages.otherCurrency(this.#file, name, currency, this.#units.currency));
  }

  /** What the price, or the treatment, is for; null, with a finding, for a unit of seeds that nobody counted. */
  #priceUnit(
    name: "seed_price" | "treatment_cost",
    cells: readonly string[],
    row: number,
    seedsPerUnit: number | null,
  ): SeedPriceUnit | null {
    const told =
      this.#bracket(name) || this.#texts.seed_price_unit?.read(cells) || this.#bracket("seed_price");
    const value = this.#at(name, cells, row).value ?? "";
    if (told === "") throw messages.unitAsked(this.#file, row, name, value, priceUnits);
    const text = /\/|\bper\b/i.test(told) ? told : `/${told}`;
    const unit = parseSeedPriceUnit(text, this.#crop.poundsPerBushel, seedsPerUnit);
    if (unit !== null) return unit;
    if (parseSeedPriceUnit(text, this.#crop.poundsPerBushel, 1) === null) {
      throw messages.headerUnitUnknown(this.#file, name, name, told, priceUnits);
    }
    this.findings.push(messages.unitSeedsMissing(this.#at(name, cells, row)));
    return null;
  }

  /** Money per kg or per thousand seeds, treatment included. */
  #price(
    cells: readonly string[],
    row: number,
    treatment: number,
    seedsPerKg: number | null,
  ): SeedPriceUnit | null {
    const seed = this.#number("seed_price", cells, row);
    const seedsPerUnit = this.#positive("seeds_per_unit", cells, row);
    if (seed === null) {
      if (treatment !== 0)
        this.findings.push(messages.treatmentWithoutPrice(this.#at("treatment_cost", cells, row)));
      return null;
    }
    for (const [name, money] of [
      ["seed_price", seed],
      ["treatment_cost", treatment],
    ] as const) {
      if (money >= 0) continue;
      this.findings.push(messages.valueNegative(this.#at(name, cells, row)));
      return null;
    }
    const unit = this.#priceUnit("seed_price", cells, row, seedsPerUnit);
    if (unit === null) return null;
    const price = { per: unit.per, amount: seed / unit.amount };
    if (treatment === 0) return price;
    const treatmentUnit = this.#priceUnit("treatment_cost", cells, row, seedsPerUnit);
    if (treatmentUnit === null) return price;
    const extra = treatment / treatmentUnit.amount;
    if (treatmentUnit.per === unit.per) return { ...price, amount: price.amount + extra };
    if (seedsPerKg === null) {
      this.findings.push(messages.treatmentNotConvertible(this.#at("treatment_cost", cells, row)));
      return price;
    }
    const thousandsPerKg = seedsPerKg / 1000;
    return {
      ...price,
      amount: price.amount + (unit.per === "kg" ? extra * thousandsPerKg : extra / thousandsPerKg),
    };
  }
}
