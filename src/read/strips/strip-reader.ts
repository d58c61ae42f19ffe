/** One row → one strip. */
import * as messages from "../../messages/reading.ts";
import { crops, type Crop } from "../../vocabulary/crops.ts";
import { lodgingScales, toLodgingScore } from "../../numbers/lodging-scales.ts";
import type { Settings, UnitChoice } from "../../vocabulary/settings.ts";
import type { Finding, LodgingScale, LodgingScore, ReadColumn, Strip } from "../../vocabulary/trial.ts";
import { askForUnit, isMissing, type TextKeeper } from "../tables/cells.ts";
import type { StripColumnName } from "./columns.ts";
import { parseCrop } from "../crop-names.ts";
import { kept } from "../tables/kept.ts";
import { RowCells } from "../tables/row-cells.ts";
import { SeedingDates } from "./seeding-dates.ts";
import { StripRate } from "./strip-rate.ts";
import { StripYield } from "./strip-yield.ts";
import type { TableFile } from "../tables/table-file.ts";

/** Longer notes are cut. */
const longestNote = 2_000;

/** What the season of a cell is, NaN for none. A year that went through a calculation may end in `.0`. */
const seasonOf = (text: string): number => (/^\d{4}(?:[.,]0+)?$/.test(text) ? Number(text.slice(0, 4)) : NaN);

/** Reads the rows of one file, each from what is needed to what is not; the first fault that stops a row is told. */
export class StripReader {
  readonly #cells: RowCells<StripColumnName>;
  readonly #file: string;
  readonly #settings: Settings;
  readonly #system: UnitChoice["system"];
  readonly #crop: Crop;
  readonly #scale: LodgingScale;
  readonly #rate: StripRate;
  readonly #yield: StripYield;
  readonly #dates: SeedingDates;
  readonly #seasons = new Map<string, number>();
  readonly #crops = new Map<string, boolean>();
  readonly #lodgings = new Map<number, LodgingScore | null>();

  constructor(table: TableFile<StripColumnName>, settings: Settings, units: UnitChoice, texts: TextKeeper) {
    this.#file = table.rows.file;
    this.#settings = settings;
    this.#system = units.system;
    this.#crop = crops[settings.crop];
    this.#cells = new RowCells(table, "strip", this.#crop, units.system, texts);
    this.#scale = this.#cells.column("lodging")?.scale ?? settings.lodgingScale;
    this.#rate = new StripRate(this.#cells, settings.lots);
    this.#yield = new StripYield(this.#cells, this.#crop.marketMoisturePct);
    this.#dates = new SeedingDates(this.#cells);
  }

  get findings(): Finding[] {
    return this.#cells.findings;
  }

  /** Varieties whose rates by weight became seeds with figures of their lot. */
  get lotsUsed(): ReadonlySet<string> {
    return this.#rate.lotsUsed;
  }

  /** The strip of a row; null, with one finding, when the row cannot be used. */
  read(cellTexts: readonly string[], row: number): Strip | null {
    const cells = this.#cells;
    cells.take(cellTexts, row);
    const variety = cells.name("variety");
    if (variety === null) return null;
    if (isMissing(variety))
      return cells.leaveOut(messages.rowValueMissing(cells.where("variety"), "variety"));
    if (!this.#isOfCrop()) return cells.leaveOut(messages.rowOtherCrop(cells.where("crop"), this.#crop.name));
    const season = this.#season();
    if (season === null) return null;
    const farm = cells.name("farm");
    const field = cells.name("field");
    const block = cells.name("block");
    if (farm === null || field === null || block === null) return null;
    const before = cells.findings.length;
    const seedsPerKg = cells.seedsPerKg(["seeds_per_lb", "seeds_per_kg", "tkw_g"]);
    const germinationPct = cells.optional("germination_pct");
    const rate = this.#rate.read(variety, seedsPerKg, germinationPct);
    const moisture = rate === null ? undefined : this.#yield.readMoisture();
    const grain = moisture === undefined ? null : this.#yield.read(moisture);
    if (rate === null || moisture === undefined || grain === null) {
      // The last finding stops the row; what else is wrong in it does not matter any more.
      cells.findings.splice(before, cells.findings.length - before - 1);
      return null;
    }
    const strip: Strip = {
      place: { file: this.#file, row },
      variety,
      season,
      farm,
      field,
      block,
      position: cells.optional("position"),
      rateSeedsPerM2: rate,
      yieldKgPerHa: grain,
      moisturePct: moisture,
      standPlantsPerM2: cells.optional("stand"),
      headsPerM2: cells.optional("heads"),
      lodging: this.#lodging(),
      rowFillPct: cells.optional("row_fill"),
      proteinPct: cells.optional("protein"),
      testWeightKgPerHl: cells.optional("test_weight"),
      seeded: null,
      seedsPerKg,
      germinationPct,
      waterMm: cells.optional("water"),
      note: this.#note(),
    };
    this.#dates.read(strip);
    return strip;
  }

  /**
   * Settles what only the whole file can tell.
   *
   * @throws TrialError `unit-unclear` if no rate, no yield or no moisture of the file is in a clear unit
   */
  finish(): void {
    const cells = this.#cells;
    for (const name of ["rate", "yield", "moisture"] as const) askForUnit(this.#file, cells.numbers(name));
    this.#dates.settle();
    if (this.#system === "metric" && cells.column("rate")!.unit === null && cells.numbers("rate")!.anyClear) {
      cells.findings.push(messages.bareMetricRates(this.#file));
    }
    if (this.#yield.broughtAny) {
      cells.findings.push(messages.yieldBroughtToMarket(this.#file, this.#crop.marketMoisturePct));
    }
  }

  /** How each column was understood, in the order of the file. */
  columnsRead(): ReadColumn[] {
    return this.#cells.columnsRead(({ column }) =>
      column.kind === "lodging" ? lodgingScales[this.#scale].names[0]! : null,
    );
  }

  #isOfCrop(): boolean {
    const text = this.#cells.text("crop");
    return kept(this.#crops, text, () => isMissing(text) || parseCrop(text) === this.#settings.crop);
  }

  #season(): number | null {
    const cells = this.#cells;
    const text = cells.text("season");
    const season = kept(this.#seasons, text, () => seasonOf(text));
    if (!Number.isNaN(season)) return season;
    return cells.leaveOut(
      isMissing(text)
        ? messages.rowValueMissing(cells.where("season"), "season")
        : messages.rowSeasonUnclear(cells.where("season")),
    );
  }

  #lodging(): LodgingScore | null {
    const score = this.#cells.optional("lodging");
    if (score === null) return null;
    const lodging = kept(this.#lodgings, score, () => toLodgingScore(this.#scale, score));
    if (lodging !== null) return lodging;
    const { lowest, highest, names } = lodgingScales[this.#scale];
    return this.#cells.leaveOut(
      messages.valueOffScale(this.#cells.where("lodging"), names[0]!, lowest, highest),
    );
  }

  #note(): string {
    const note = this.#cells.text("note");
    return note.length <= longestNote ? note : `${note.slice(0, longestNote - 1)}…`;
  }
}
