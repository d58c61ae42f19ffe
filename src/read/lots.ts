/** The lots file: what each variety's seed weighs, costs, and is sown at today. */
import * as lotMessages from "../messages/lots.ts";
import * as messages from "../messages/reading.ts";
import { crops, type Crop } from "../vocabulary/crops.ts";
import type { Lot, LotAssumable, Settings, UnitChoice } from "../vocabulary/settings.ts";
import type { Finding } from "../vocabulary/trial.ts";
import { fromSeedWeight } from "../numbers/units.ts";
import { askForUnit, isMissing, TextKeeper } from "./tables/cells.ts";
import { splitAmount } from "./units/split-amount.ts";
import { answerFor, noAnswers, QuestionError, whichUnit, type Answers } from "./answers/answers.ts";
import type { LotColumnName } from "./strips/columns.ts";
import { lotsTable } from "./strips/lots-header.ts";
import { openText } from "./tables/open-sheets.ts";
import type { Sheet } from "./tables/sheet.ts";
import type { InputFile } from "./tables/input-file.ts";
import { isShareOfSeed } from "./shares.ts";
import { RowCells } from "./tables/row-cells.ts";
import { parseSeedPriceUnit, type SeedPriceUnit } from "./units/seed-price.ts";
import { forEachDataRow, rowFault } from "./tables/data-rows.ts";
import { readTables } from "./tables/table-file.ts";
import type { TableFile } from "./tables/table-kind.ts";

const priceUnits = ["$/bu", "$/lb", "$/cwt", "$/50 lb", "$/kg", "$/unit", "$/1000 seeds", "$/million seeds"];

type LotRate = "rate_now" | "lowest_rate" | "recommended_rate";

export interface LotPlace {
  file: string;
  row: number;
}

export interface LotsRead {
  /** In the order of the file. */
  lots: Lot[];
  /** Where each of them stands. */
  places: LotPlace[];
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
 * @param answers   what a person answered about the files
 * @throws TrialError as `readTrial` does for files, headers and numbers that can be meant in two ways; `unit-unclear` for a
 *   price without its unit
 */
export function readLots(
  file: InputFile | Sheet,
  settings: Settings,
  units: UnitChoice,
  answers: Answers = noAnswers,
): LotsRead {
  const lots: Lot[] = [];
  const places: LotPlace[] = [];
  const findings: Finding[] = [];
  for (const table of readTables("bytes" in file ? openText(file) : file, lotsTable, answers)) {
    const reader = new LotReader(table, crops[settings.crop], units, answers);
    forEachDataRow(table, (cells, row, last) => {
      const fault = rowFault(table, cells, row, last);
      const lot = fault === null ? reader.read(cells, row) : null;
      if (fault !== null) reader.findings.push(fault);
      if (lot === null) return;
      lots.push(lot);
      places.push({ file: table.rows.file, row });
    });
    reader.finish();
    for (const finding of [...table.findings, ...reader.findings]) findings.push(finding);
  }
  return { lots, places, findings };
}

/** Reads the rows of one file: a row without a name, or with one that has a lot already, is left out. */
class LotReader {
  readonly #cells: RowCells<LotColumnName>;
  readonly #file: string;
  readonly #crop: Crop;
  readonly #units: UnitChoice;
  readonly #answers: Answers;
  readonly #rowOf = new Map<string, number>();

  constructor(table: TableFile<LotColumnName>, crop: Crop, units: UnitChoice, answers: Answers) {
    this.#file = table.rows.file;
    this.#crop = crop;
    this.#answers = answers;
    this.#units = units;
    this.#cells = new RowCells(table, "lot", crop, units.system, answers, new TextKeeper());
    this.#checkCurrencies();
  }

  get findings(): Finding[] {
    return this.#cells.findings;
  }

  /** The lot of a row; null, with one finding, when the row cannot be used. */
  read(cellTexts: readonly string[], row: number): Lot | null {
    const cells = this.#cells;
    cells.take(cellTexts, row);
    const written = cells.name("variety");
    if (written === null) return null;
    const variety = answerFor(this.#answers.names.variety, written) ?? written;
    const where = cells.where("variety");
    if (isMissing(variety)) return cells.leaveOut(messages.rowValueMissing(where, "variety"));
    const before = this.#rowOf.get(variety);
    if (before !== undefined) return cells.leaveOut(lotMessages.rowLotTwice(where, before));
    this.#rowOf.set(variety, row);

    const seedsPerKg = cells.seedsPerKg(["seeds_per_lb", "seeds_per_kg", "tkw_g"]);
    const germination = this.#share("germination_pct");
    if (germination === null && cells.plain("germination_pct") === null)
      cells.findings.push(lotMessages.germinationAssumed(cells.where("germination_pct")));
    const purity = this.#share("purity_pct");
    const quality = { germination: germination ?? 1, purity: purity ?? 1 };
    const assumed: LotAssumable[] = [
      ...(germination === null ? (["germination_pct"] as const) : []),
      ...(purity === null ? (["purity_pct"] as const) : []),
    ];
    const viable = quality.germination * quality.purity;
    const treatment = cells.optional("treatment_cost") ?? 0;
    const price = this.#price(treatment, seedsPerKg);
    return {
      variety,
      rateNowSeedsPerM2: this.#rate("rate_now", seedsPerKg, viable),
      lowestRateSeedsPerM2: this.#rate("lowest_rate", seedsPerKg, viable),
      recommendedSeedsPerM2: this.#rate("recommended_rate", seedsPerKg, viable),
      seedsPerKg,
      ...quality,
      ...(assumed.length === 0 ? {} : { assumed }),
      pricePerKg: price?.per === "kg" ? price.amount : null,
      pricePerThousandSeeds: price?.per === "thousand-seeds" ? price.amount : null,
      soldIn: price?.soldIn ?? null,
      treated: this.#treated(treatment > 0),
      areaHa: cells.positive("area"),
    };
  }

  /** @throws TrialError `unit-unclear` if no rate of the file is in a clear unit */
  finish(): void {
    askForUnit(this.#file, this.#cells.numbers("rate_now"));
    askForUnit(this.#file, this.#cells.numbers("lowest_rate"));
    askForUnit(this.#file, this.#cells.numbers("recommended_rate"));
  }

  #share(name: LotColumnName): number | null {
    const percent = this.#cells.optional(name);
    if (percent === null) return null;
    if (isShareOfSeed(percent)) return percent / 100;
    return this.#cells.leaveOut(lotMessages.shareImpossible(this.#cells.where(name)));
  }

  /** Viable seeds/m². */
  #rate(name: LotRate, seedsPerKg: number | null, viable: number): number | null {
    const cells = this.#cells;
    const rate = cells.foundPositive(name);
    if (rate === null || !rate.unit!.seedWeight) return rate && rate.value;
    if (seedsPerKg !== null) return fromSeedWeight(rate.value, seedsPerKg * viable);
    return cells.leaveOut(lotMessages.rateNowSeedWeightUnknown(cells.where(name)));
  }

  #treated(paidFor: boolean): boolean {
    const text = this.#cells.text("treated");
    if (isMissing(text) && !/^none$/i.test(text)) return paidFor;
    if (/^(?:yes|y|true|x|1|treated)$/i.test(text)) return true;
    if (/^(?:no|n|false|0|none|untreated|bare)$/i.test(text)) return false;
    this.#cells.findings.push(lotMessages.valueNotYesOrNo(this.#cells.where("treated")));
    return true;
  }

  #bracket(name: LotColumnName): string {
    return this.#cells.column(name)?.bracket ?? "";
  }

  #checkCurrencies(): void {
    const seen = new Set([this.#units.currency, ""]);
    for (const name of ["seed_price", "treatment_cost"] as const) {
      const currency = splitAmount(`1 ${this.#bracket(name)}`)?.currency ?? "";
      if (seen.has(currency)) continue;
      seen.add(currency);
      this.#cells.findings.push(lotMessages.otherCurrency(this.#file, name, currency, this.#units.currency));
    }
  }

  /** What the price, or the treatment, is for; null, with a finding, for a unit of seeds that nobody counted. */
  #priceUnit(name: "seed_price" | "treatment_cost", seedsPerUnit: number | null): SeedPriceUnit | null {
    const cells = this.#cells;
    const told = this.#bracket(name) || cells.text("seed_price_unit") || this.#bracket("seed_price");
    if (told === "") {
      const { row, value } = cells.where(name);
      const header = cells.column(name)?.header ?? name;
      const text = value ?? "";
      throw new QuestionError(messages.unitAsked(this.#file, row!, name, text, priceUnits, header), [
        whichUnit(this.#file, name, header, priceUnits, text),
      ]);
    }
    const text = /\/|\bper\b/i.test(told) ? told : `/${told}`;
    const { poundsPerBushel } = this.#crop;
    const unit = parseSeedPriceUnit(text, poundsPerBushel, seedsPerUnit);
    if (unit !== null) return unit;
    if (parseSeedPriceUnit(text, poundsPerBushel, 1) === null) {
      throw messages.headerUnitUnknown(this.#file, name, name, told, priceUnits);
    }
    return cells.leaveOut(lotMessages.unitSeedsMissing(cells.where(name)));
  }

  /** Money per kg or per thousand seeds, treatment included, and what the seed is sold in. */
  #price(treatment: number, seedsPerKg: number | null): SeedPriceUnit | null {
    const cells = this.#cells;
    const seed = cells.optional("seed_price");
    const seedsPerUnit = cells.positive("seeds_per_unit");
    if (seed === null) {
      return treatment === 0
        ? null
        : cells.leaveOut(lotMessages.treatmentWithoutPrice(cells.where("treatment_cost")));
    }
    if (seed < 0) return cells.leaveOut(lotMessages.valueNegative(cells.where("seed_price")));
    if (treatment < 0) return cells.leaveOut(lotMessages.valueNegative(cells.where("treatment_cost")));
    const unit = this.#priceUnit("seed_price", seedsPerUnit);
    if (unit === null) return null;
    const price = { ...unit, amount: seed / unit.amount };
    if (treatment === 0) return price;
    const treatmentUnit = this.#priceUnit("treatment_cost", seedsPerUnit);
    if (treatmentUnit === null) return price;
    const extra = treatment / treatmentUnit.amount;
    if (treatmentUnit.per === unit.per) return { ...price, amount: price.amount + extra };
    if (seedsPerKg === null) {
      cells.findings.push(lotMessages.treatmentNotConvertible(cells.where("treatment_cost")));
      return price;
    }
    const thousandsPerKg = seedsPerKg / 1000;
    return {
      ...price,
      amount: price.amount + (unit.per === "kg" ? extra * thousandsPerKg : extra / thousandsPerKg),
    };
  }
}
