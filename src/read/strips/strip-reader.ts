/** One row → one strip. */
import * as messages from "../../messages/reading.ts";
import { crops, type Crop } from "../../vocabulary/crops.ts";
import { lodgingScales, scoreOfShare, toLodgingScore } from "../../numbers/lodging-scales.ts";
import { measuresOf } from "../../numbers/measures.ts";
import { answerFor, type Answers } from "../answers/answers.ts";
import { defaultsIn, type Settings, type UnitChoice } from "../../vocabulary/settings.ts";
import type {
  Finding,
  LodgingScale,
  LodgingScore,
  NamedColumn,
  ReadColumn,
  Strip,
} from "../../vocabulary/trial.ts";
import { askForUnit, isMissing, type NumberFound, type TextKeeper } from "../tables/cells.ts";
import type { StripColumnName } from "./columns.ts";
import { isOfItsOwn, nameAnsweredFor } from "../one-spelling.ts";
import { KernelWeights } from "./kernel-weights.ts";
import { LeftOut } from "./left-out.ts";
import { LodgingOffScale } from "./lodging-apart.ts";
import { lodgingWordScore } from "./lodging-words.ts";
import { parseCrop } from "../crop-names.ts";
import { kept } from "../../maths/kept.ts";
import { RowCells } from "../tables/row-cells.ts";
import { Seasons } from "./seasons.ts";
import { SeedingDates } from "./seeding-dates.ts";
import { StripRate } from "./strip-rate.ts";
import { StripYield } from "./strip-yield.ts";
import type { TableFile } from "../tables/table-kind.ts";

/** Longer notes are cut. */
const longestNote = 2_000;

/** Notes that ask for a strip to be left out. */
const saysNotUsed =
  /\b(?:(?:do not|don['’]?t|not to be) use|exclude|ignore|discard|omit|throw out|leave out|nicht (?:verwenden|werten)|ne pas utiliser|no usar|descartar)/i;

/** What farms write for a variety where the strip is no part of the trial; a check is a variety. */
const besideTrial =
  /^(?:borders?|fill(?:er)?|buffer|headlands?|alley|blank|skip|(?:border|guard|fill(?:er)?|buffer)\s(?:strip|row|plot|pass)|randstreifen|vorgewende|bordures?|borde|relleno)\s?\d*$/i;

/** Reads the rows of one file, each from what is needed to what is not; the first fault that stops a row is reported. */
export class StripReader {
  readonly #cells: RowCells<StripColumnName>;
  readonly #file: string;
  readonly #settings: Settings;
  readonly #units: UnitChoice;
  readonly #answers: Answers;
  readonly #system: UnitChoice["system"];
  readonly #crop: Crop;
  readonly #scale: LodgingScale;
  readonly #isScaleNamed: boolean;
  readonly #rate: StripRate;
  readonly #yield: StripYield;
  readonly #dates: SeedingDates;
  readonly #kernels: KernelWeights | null;
  readonly #leftOut: LeftOut | null;
  /** Strips whose notes say not to use them. */
  readonly #notUsed: messages.SkippedRow[] = [];
  /** Rows with and without the name of their block. */
  readonly #blocks = { named: 0, empty: 0 };
  readonly #seasons = new Seasons();
  readonly #crops = new Map<string, boolean>();
  readonly #offScale = new LodgingOffScale();
  readonly #scalesRead = new Set<LodgingScale>();
  readonly #lodgings = new Map<string, LodgingScore | null>();
  readonly #lodgingWords = new Map<string, number | null>();
  readonly #named = new Map<string, string>();
  /** Columns that were counted along the row, and whose row spacing was used. */
  readonly #alongRow = new Map<"rate" | "stand", "own-spacing" | "settings-spacing">();

  constructor(
    table: TableFile<StripColumnName>,
    settings: Settings,
    units: UnitChoice,
    answers: Answers,
    texts: TextKeeper,
  ) {
    this.#file = table.rows.file;
    this.#settings = settings;
    this.#units = units;
    this.#answers = answers;
    this.#system = units.system;
    this.#crop = crops[settings.crop];
    this.#cells = new RowCells(table, "strip", this.#crop, units.system, answers, texts);
    const named = this.#cells.column("lodging")?.scale ?? null;
    this.#isScaleNamed = named !== null;
    this.#scale = named ?? settings.lodgingScale;
    this.#rate = new StripRate(
      this.#cells,
      settings,
      this.#crop.usualSeedsPerM2,
      measuresOf({ units, settings }),
      (rate) => this.#perArea("rate", rate),
      (variety) => isOfItsOwn(answers, "variety", variety),
    );
    this.#yield = new StripYield(this.#cells, this.#crop.marketMoisturePct);
    const excluding = this.#cells.column("exclude");
    this.#leftOut = excluding === undefined ? null : new LeftOut(this.#file, excluding.header);
    this.#dates = new SeedingDates(this.#cells);
    this.#kernels =
      this.#cells.column("tkw_g") === undefined ? null : new KernelWeights(settings.lots, this.#crop);
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
    const variety = this.#name("variety");
    if (variety === null) return null;
    const reason = this.#leftOut?.reasonIn(cells.text("exclude")) ?? null;
    if (reason !== null) return this.#excluded(reason);
    if (isMissing(variety))
      return cells.leaveOut(messages.rowValueMissing(cells.where("variety"), "variety"));
    if (besideTrial.test(variety) && !isOfItsOwn(this.#answers, "variety", variety))
      return cells.leaveOut(messages.rowBesideTrial(cells.where("variety")));
    if (!this.#isOfCrop()) return cells.leaveOut(messages.rowOtherCrop(cells.where("crop"), this.#crop.name));
    const season = this.#season();
    if (season === null) return null;
    const farm = this.#name("farm");
    const field = this.#name("field");
    const block = cells.name("block");
    const ground = this.#name("ground");
    if (farm === null || field === null || block === null || ground === null) return null;
    this.#blocks[block === "" ? "empty" : "named"]++;
    const before = cells.findings.length;
    const seedsPerKg = cells.seedsPerKg(["seeds_per_lb", "seeds_per_kg", "tkw_g"]);
    this.#kernels?.take(variety, cells.plain("tkw_g"));
    const germinationPct = cells.optional("germination_pct");
    const rate = this.#rate.read(variety, seedsPerKg, germinationPct);
    const grain = rate === null ? null : this.#yield.read();
    if (rate === null || grain === null) {
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
      ...(ground === "" ? {} : { ground }),
      block,
      position: cells.optional("position"),
      rateSeedsPerM2: rate,
      ...grain,
      standPlantsPerM2: this.#stand(),
      headsPerM2: cells.optional("heads"),
      lodging: this.#lodging({ season, farm, field }),
      groundCoverPct: cells.optional("ground_cover"),
      proteinPct: cells.optional("protein"),
      testWeightKgPerHl: cells.optional("test_weight"),
      seeded: null,
      seedsPerKg,
      germinationPct,
      waterMm: cells.optional("water"),
      note: this.#note(row),
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
    if (this.#rate.ofToday.size > 0)
      cells.findings.push(messages.ratesOfToday(this.#file, [...this.#rate.ofToday].sort()));
    if (this.#blocks.named > 0 && this.#blocks.empty > 0)
      cells.findings.push(messages.blocksMissing(this.#file, this.#blocks.empty));
    if (this.#notUsed.length > 0) cells.findings.push(messages.notesSayNotUsed(this.#file, this.#notUsed));
    if (this.#leftOut !== null) cells.findings.push(...this.#leftOut.finish());
    const kernels = this.#kernels?.finding(this.#file, cells.column("tkw_g")!.header) ?? null;
    if (kernels !== null) cells.findings.push(kernels);
    if (this.#system === "metric" && cells.column("rate")!.unit === null && cells.numbers("rate")!.anyClear) {
      cells.findings.push(messages.bareMetricRates(this.#file));
    }
    const seasons = [...this.#seasons.inWords];
    if (seasons.length > 0) {
      const told = seasons.slice(0, 12).map(([text, year]) => `${messages.shown(text)} ${year}`);
      cells.findings.push(messages.seasonsInWords(this.#file, told.join(", ")));
    }
    const words = [...this.#lodgingWords].filter(([, score]) => score !== null);
    if (words.length > 0) {
      const told = words.slice(0, 12).map(([word, score]) => {
        const isAnswered = answerFor(this.#answers.lodgingWords, word) !== undefined;
        return `${messages.shown(word)} ${score}${isAnswered ? " as you answered" : ""}`;
      });
      cells.findings.push(messages.lodgingWordsRead(this.#file, told.join(", ")));
    }
    for (const [column, from] of this.#alongRow) {
      const spacing = measuresOf({ units: this.#units, settings: this.#settings }).rowSpacing;
      const assumed =
        this.#settings.rowSpacingM === defaultsIn(this.#system, this.#settings.crop).rowSpacingM;
      const own = from === "own-spacing";
      const told = own ? "the file" : spacing.chosen(this.#settings.rowSpacingM);
      cells.findings.push(messages.countedAlongRow(this.#file, column, told, assumed && !own));
    }
    if (this.#yield.broughtAny) {
      cells.findings.push(messages.yieldBroughtToMarket(this.#file, this.#crop.marketMoisturePct));
    }
  }

  /** Takes scores that are probably of another scale off the strips of the table. */
  holdLodging(strips: readonly Strip[]): void {
    const scale = lodgingScales[this.#scale].names[0];
    this.#cells.findings.push(...this.#offScale.leaveOut(strips, this.#file, scale));
  }

  /** How each column was understood, in the order of the file. */
  columnsRead(): ReadColumn[] {
    const scales = this.#scalesRead.size === 0 ? [this.#scale] : [...this.#scalesRead].sort();
    const scale = scales.map((one) => lodgingScales[one].names[0]).join(" and ");
    return this.#cells.columnsRead(({ column }) => (column.kind === "lodging" ? scale : null));
  }

  /** A name as answered where it was, else as it stands; null as `RowCells.name` gives it. */
  #name(column: NamedColumn): string | null {
    const name = this.#cells.name(column);
    if (name === null || name === "") return name;
    return kept(this.#named, `${column} ${name}`, () => nameAnsweredFor(this.#answers, column, name));
  }

  /** Left out as the file says, with what was recorded. */
  #excluded(reason: string): null {
    const cells = this.#cells;
    const recorded = (["variety", "rate", "yield", "strip_weight"] as const)
      .map((name) => [name, cells.raw(name)] as const)
      .filter(([, text]) => text !== "")
      .map(([name, text]) => `${name} ${text}`);
    return cells.leaveOut(messages.rowExcluded(cells.where("exclude"), reason, recorded.join(", ")));
  }

  /** Plants per m², also from a count along the row. */
  #stand(): number | null {
    const count = this.#cells.found("stand");
    return count && this.#perArea("stand", count);
  }

  /** Seeds or plants per m², where they are counted along the row. */
  #perArea(column: "rate" | "stand", { value, unit }: NumberFound): number {
    if (unit?.alongRow !== true) return value;
    const own = this.#cells.positive("row_spacing");
    if (own === null) this.#alongRow.set(column, "settings-spacing");
    else if (!this.#alongRow.has(column)) this.#alongRow.set(column, "own-spacing");
    return value / (own ?? this.#settings.rowSpacingM);
  }

  #isOfCrop(): boolean {
    const text = this.#cells.text("crop");
    return kept(this.#crops, text, () => isMissing(text) || parseCrop(text) === this.#settings.crop);
  }

  #season(): number | null {
    const cells = this.#cells;
    const written = cells.text("season");
    const text = answerFor(this.#answers.names.season, written) ?? written;
    const season = this.#seasons.read(text);
    if (season !== null) return season;
    return cells.leaveOut(
      isMissing(text)
        ? messages.rowValueMissing(cells.where("season"), "season")
        : messages.rowSeasonUnclear(cells.where("season")),
    );
  }

  #lodging(place: Pick<Strip, "season" | "farm" | "field">): LodgingScore | null {
    const text = this.#cells.raw("lodging");
    const word = /^[^\d]{2,}$/.test(text) ? this.#lodgingWord(text) : null;
    if (word === null && /\p{L}{2}/u.test(text) && !/\d/.test(text) && !isMissing(text))
      return this.#cells.leaveOut(messages.lodgingWordUnknown(this.#cells.where("lodging")));
    const score = word ?? this.#cells.optional("lodging");
    if (score === null) return null;
    const scale = word === null && text.endsWith("%") && !this.#isScaleNamed ? "percent" : this.#scale;
    this.#scalesRead.add(scale);
    const lodging = kept(this.#lodgings, `${scale} ${score}`, () => toLodgingScore(scale, score));
    if (lodging !== null) return lodging;
    const { lowest, highest, names } = lodgingScales[scale];
    this.#offScale.add(place);
    return this.#cells.leaveOut(
      messages.valueOffScale(this.#cells.where("lodging"), names[0], lowest, highest),
    );
  }

  /** Score on the column's scale of a word for lodging. */
  #lodgingWord(text: string): number | null {
    const word = kept(this.#lodgingWords, text, () => lodgingWordScore(text, this.#answers.lodgingWords));
    return word === null ? null : scoreOfShare(word / 9, this.#scale);
  }

  #note(row: number): string {
    const note = this.#cells.text("note");
    if (note !== "" && saysNotUsed.test(note)) this.#notUsed.push({ row, text: note });
    return note.length <= longestNote ? note : `${note.slice(0, longestNote - 1)}…`;
  }
}
