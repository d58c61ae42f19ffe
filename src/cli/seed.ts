/** `stripcurve seed`: from rate to pounds, row, catch test and stand, from whichever of them is known. */
import type { Command } from "commander";
import { amountNotNumber, amountOutOfRange } from "../messages/amounts.ts";
import { crops } from "../vocabulary/crops.ts";
import type { KnownRate, PlantCount, SeedQuestion } from "../decide/drill/fill-seed-card.ts";
import { listed } from "../numbers/written-numbers.ts";
import { readAmount, readRate } from "../read/units/amount.ts";
import type { QuantityName } from "../read/units/column-units.ts";
import { parseNumber } from "../read/units/numbers.ts";
import type { TypedEntry } from "../read/season-file/season.ts";
import { parseSeedPriceUnit } from "../read/units/seed-price.ts";
import { splitAmount } from "../read/units/split-amount.ts";
import { unknownLot, withGiven, type Lot, type Settings, type UnitChoice } from "../vocabulary/settings.ts";
import type { Result } from "../vocabulary/result.ts";
import type { SeedCard } from "../vocabulary/seed-card.ts";
import { seedCardsText } from "../tell/terminal/seed-card-text.ts";
import { decideAgain } from "../decide/decide.ts";
import { analyzeFarm } from "../farm/analyze-farm.ts";
import { takeFiles } from "../farm/farm-files.ts";
import { holdToTrial, readResult } from "../farm/read-result.ts";
import { TrialError } from "../vocabulary/trial.ts";
import {
  advisedRate,
  drillAdvice,
  plannedLateness,
  usualMeasuring,
  type DrillAdvice,
} from "../farm/drill-card.ts";
import { checkLot } from "../check/lots.ts";
import { heldCard, type QuestionNames } from "../farm/seed-question.ts";
import { readAsked, readAskedLots, readAskedSeason } from "./asked.ts";
import { exitCodes } from "./exit-codes.ts";
import { readInput, writeWhole } from "./files.ts";
import { pageMaker } from "./page-maker.ts";
import { Progress, say, styleFor } from "./messages.ts";
import {
  addOverwriteOption,
  addSharedOptions,
  type OutputOptions,
  type SharedOptions,
} from "./shared-options.ts";

interface SeedOptions extends SharedOptions, OutputOptions {
  from?: string[];
  atToday?: boolean;
  rate?: string;
  stand?: string;
  row?: string;
  caught?: string;
  variety?: string;
  seedsPerLb?: string;
  seedsPerKg?: string;
  tkw?: string;
  germination?: string;
  purity?: string;
  treated?: boolean;
  rowSpacing?: string;
  catchLength?: string;
  wheel?: string;
  standLoss?: string;
  plants?: string;
  inRow?: string;
  inHoop?: string;
  daysLate?: string;
  area?: string;
  json?: boolean;
  output: string;
}

const examples = `
Examples:
  stripcurve seed --stand "1.1 million plants/ac" --seeds-per-lb 12500 --germination 95
      A stand you want: how many pounds of this lot, how many seeds per foot, what a row should catch.
  stripcurve seed --rate "1.2 million seeds/ac" --seeds-per-lb 16000 --germination 95 --purity 99
      A rate: pounds, bushels, catch test, stand to count.
  stripcurve seed --rate "90 lb/ac" --tkw 38 --germination 92
      A weight: how many viable seeds is that?
  stripcurve seed --caught 61 --catch-length "100 ft" --rate "1.2 million/ac" --tkw 35
      Weighed from one row: what does the drill really sow?
  stripcurve seed --rate "1.2 million/ac" --plants 118 --in-hoop "30 in"
      Counted plants: how many seeds gave none?
  stripcurve seed --from result.json
      A card for every variety at the rate its strips advise; the file comes from stripcurve fit --json.
  stripcurve seed --from strips-*.csv --lots lots.csv --season season.yaml --variety Alder --germination 88
      The same straight from the strips, for one variety whose new lot germinates less.
  stripcurve seed --lots lots.csv --season season.yaml
      A card for every lot, at today's rates.
  stripcurve seed --rate 300 --tkw 42 --days-late 10 --units metric --json
      Ten days late, in metric, as JSON (seeds/m², kg/ha, money per hectare).`;

/** Adds arguments, options, help and action. */
export function defineSeed(command: Command): void {
  command.description(
    "Turns a seeding rate into pounds, bushels, seeds per foot of row, catch test and stand, or any of them into the rate. A rate is viable seeds.",
  );
  addKnownOptions(command);
  addSeedOptions(command);
  addDrillOptions(command);
  addFieldOptions(command);
  command
    .optionsGroup("Output:")
    .option("--json", "give the cards as JSON")
    .option("-o, --output <file>", "write there instead of to standard output", "-");
  addSharedOptions(addOverwriteOption(command)).addHelpText("after", examples).action(writeCards);
}

function addKnownOptions(command: Command): void {
  command
    .optionsGroup("What is known, one of these (with --lots alone: today's rates):")
    .option(
      "--from <files...>",
      "a result of stripcurve fit --json, or the strips: its advised rates, lots, prices and dates",
    )
    .option("--at-today", "with --from: cards at today's rates instead of the advised ones")
    .option(
      "--rate <rate>",
      'viable seeds or weight: "1.2 million/ac", "28 seeds/ft2", "90 lb/ac", "1.4 bu/ac"',
    )
    .option("--stand <plants>", 'the stand you want: "28 plants/ft2", "1.1 million plants/ac"')
    .option("--row <seeds>", 'seeds that drop per length of row: "18 seeds/ft", "60 seeds/m"')
    .option(
      "--caught <weight>",
      'weighed from one row over the catch length: "61 g"; may be given with a rate',
    );
}

function addSeedOptions(command: Command): void {
  command
    .optionsGroup("The seed; these override what its lot says:")
    .option("--variety <name>", "name on the card; with --lots the only lot shown")
    .option("--seeds-per-lb <count>", "seeds in a pound")
    .option("--seeds-per-kg <count>", "seeds in a kilogram")
    .option("--tkw <grams>", "weight of a thousand kernels")
    .option(
      "--germination <percent>",
      "share of the seeds that germinate; otherwise the lot's, otherwise 100 (assumed)",
    )
    .option("--purity <percent>", "pure seed by weight; otherwise the lot's, otherwise 100 (assumed)")
    .option("--treated", "the seed is treated")
    .option("--area <area>", 'to sow with this seed, for the order: "160 ac"');
}

function addDrillOptions(command: Command): void {
  command
    .optionsGroup("The drill:")
    .option("--row-spacing <distance>", "between rows: 7.5 in (12.5 cm) unless you give another")
    .option("--catch-length <length>", "of the catch test: 100 ft (30 m) unless you give another")
    .option("--wheel <diameter>", 'of the drive wheel, for turning it by hand: "32 in"');
}

function addFieldOptions(command: Command): void {
  command
    .optionsGroup("The field:")
    .option("--stand-loss <percent>", "viable seeds that give no plant: 15% unless you give another")
    .option("--days-late <days>", "past the best seeding date; otherwise from the dates in the season file")
    .option("--plants <count>", "plants that were counted, with --in-row or --in-hoop")
    .option("--in-row <length>", 'length of one row they were counted on: "3 ft"')
    .option("--in-hoop <diameter>", 'hoop they were counted in: "30 in"');
}

/** Writes a card for each lot, as text or as JSON. */
async function writeCards(options: SeedOptions): Promise<void> {
  const { lots, settings, units, result } = await readSeed(options);
  const cards = cardsOf(lots, options, new Asker(settings, units), result);
  if (cards.length === 0)
    throw new TrialError("rate-unknown", `${options.from?.join(", ")} gives no rate: use --rate.`);
  const { crop, assumed } = settings;
  const content =
    options.json === true
      ? `${JSON.stringify({ schema: "stripcurve-seed-1", crop, assumed, cards }, null, 1)}\n`
      : `${seedCardsText(cards, settings, units, styleFor(options.output))}\n`;
  await writeWhole([{ path: options.output, content }], options.overwrite === true);
  process.exitCode = exitCodes.done;
}

/** The seed that cards are for, and how it is measured. */
interface SeedRead {
  lots: Lot[];
  settings: Settings;
  units: UnitChoice;
  /** Null without `--from`. */
  result: Result | null;
}

/** Season, lots, and the result with today's prices and dates, saying what is doubtful. */
async function readSeed(options: SeedOptions): Promise<SeedRead> {
  const known = options.from === undefined ? null : await resultFrom(options.from, options);
  const season = await readAskedSeason(withoutPriceByWeight(options), entriesOf(options), known);
  const { units } = season;
  if (options.quiet !== true) for (const { column, message } of season.findings) say(`${column}: ${message}`);
  const lots = await lotsFor(options, season.settings, units, known);
  const settings = { ...season.settings, lots, region: known?.settings.region ?? season.settings.region };
  return { lots, settings, units, result: known && decideAgain(known, settings) };
}

/** A card for each lot whose rate is known. */
const cardsOf = (lots: readonly Lot[], options: SeedOptions, ask: Asker, result: Result | null): SeedCard[] =>
  lots.flatMap((lot) => {
    const advice = result && drillAdvice(result, lot.variety);
    const rate = knownRate(lot, options, ask, advice);
    if (rate === null) return [];
    const asked = questionFor(lot, rate, advice, options, ask);
    return [heldCard(lot, asked, ask.settings, ask.units, optionNames)];
  });

/**
 * The result of a file that `fit --json` wrote, or what the strips in the files come to.
 *
 * @throws TrialError as `readAsked` and `readResult` do
 */
async function resultFrom(paths: readonly string[], options: SeedOptions): Promise<Result> {
  const [path] = paths;
  const file = await readInput(path!);
  const [taken] = await takeFiles([file]);
  if (taken!.as !== "result") {
    const progress = new Progress(options.quiet === true);
    const result = analyzeFarm(
      await readAsked(paths, withoutPriceByWeight(options), progress),
      progress.analysis,
    );
    progress.done();
    return result;
  }
  if (paths.length > 1)
    throw new TrialError("result-not-alone", `${path} is a result: give it alone, without other files.`);
  const result = await readResult(file, pageMaker(undefined));
  const { settings, units } = await readAskedSeason(withoutPriceByWeight(options), [], result);
  holdToTrial(file.name, result, settings, units);
  return result;
}

/** Options that say what an entry of the season file says. */
const entriesOf = (options: SeedOptions): TypedEntry[] => [
  ...(options.rowSpacing === undefined
    ? []
    : [{ key: "row_spacing", text: options.rowSpacing, from: "--row-spacing" }]),
  ...(options.standLoss === undefined
    ? []
    : [{ key: "stand_loss", text: options.standLoss, from: "--stand-loss" }]),
];

/** One seed has a weight here, so a price by weight will do; the season file wants it by count. */
const withoutPriceByWeight = (options: SeedOptions): SharedOptions =>
  priceByWeight(options, crops[options.crop ?? "wheat"].poundsPerBushel) === null
    ? options
    : { ...options, seedPrice: undefined };

function priceByWeight(
  { seedPrice }: SeedOptions,
  poundsPerBushel: number,
): Pick<Lot, "pricePerKg" | "soldIn"> | null {
  const parts = seedPrice === undefined ? null : splitAmount(seedPrice);
  const unit = parts && parseSeedPriceUnit(parts.unit, poundsPerBushel, null);
  const number = parseNumber(parts?.number ?? "");
  return unit?.per === "kg" && number.kind === "number"
    ? { pricePerKg: number.value / unit.amount, soldIn: unit.soldIn }
    : null;
}

/** Reads amounts in the person's units and holds them to what can be. */
class Asker {
  readonly settings: Settings;
  readonly units: UnitChoice;

  constructor(settings: Settings, units: UnitChoice) {
    this.settings = settings;
    this.units = units;
  }

  /** Today's rate where a lot says none. */
  get rateNow(): number | null {
    return this.settings.rateNowSeedsPerM2;
  }

  amount(text: string, quantity: Exclude<QuantityName, "rate">, option: string): number {
    const amount = readAmount(text, quantity, this.units, crops[this.settings.crop], option);
    if (!(amount > 0)) throw amountOutOfRange(option, text, "it has to be more than 0");
    return amount;
  }

  rate(text: string, option: string): KnownRate {
    const rate = readRate(text, this.units, crops[this.settings.crop], option);
    if (!((rate.by === "seed" ? rate.seedsPerM2 : rate.kgPerHa) > 0))
      throw amountOutOfRange(option, text, "it has to be more than 0");
    return rate.by === "seed"
      ? { from: "rate", seedsPerM2: rate.seedsPerM2 }
      : { from: "weight", kgPerHa: rate.kgPerHa };
  }

  value(text: string | undefined, quantity: Exclude<QuantityName, "rate">, option: string): number | null {
    return text === undefined ? null : this.amount(text, quantity, option);
  }

  /** A percentage above 0 and up to 100, as a share. */
  share(text: string | undefined, option: string): number | null {
    if (text === undefined) return null;
    const share = this.amount(text, "sharePct", option) / 100;
    if (share > 1) throw amountOutOfRange(option, text, "it cannot be more than 100%");
    return share;
  }

  count(text: string | undefined, option: string): number | null {
    if (text === undefined) return null;
    const number = parseNumber(text);
    if (number.kind === "none") throw amountNotNumber(option, text, "");
    const value = number.kind === "either" ? number.point : number.value;
    if (value < 0) throw amountOutOfRange(option, text, "it cannot be less than 0");
    return value;
  }
}

/** Options that say what a card is asked. */
const optionNames: QuestionNames = {
  rate: "--rate",
  weight: "--rate",
  stand: "--stand",
  row: "--row",
  catch: "--caught",
  caught: "--caught",
  plants: "--plants",
  rowLength: "--in-row",
  hoop: "--in-hoop",
  daysLate: "--days-late",
  catchLength: "--catch-length",
  wheel: "--wheel",
};

/** Options that say what a column of the lots file says. */
const lotOptions = new Map([
  ["seeds_per_lb", "The seeds per weight (--seeds-per-lb, --seeds-per-kg, --tkw)"],
  ["seeds_per_kg", "The seeds per weight (--seeds-per-lb, --seeds-per-kg, --tkw)"],
  ["germination_pct", "--germination"],
  ["purity_pct", "--purity"],
  ["seed_price", "--seed-price"],
  ["area", "--area"],
]);

/** The lots to be told: of the file, of the result's varieties, or the one that the options describe. */
async function lotsFor(
  options: SeedOptions,
  settings: Settings,
  units: UnitChoice,
  known: Result | null,
): Promise<Lot[]> {
  const ask = new Asker(settings, units);
  if (known !== null) return lotsOfResult(known, options, ask);
  if (options.lots === undefined) {
    return withTyped([unknownLot("")], options, ask);
  }
  const { lots, findings } = await readAskedLots(options, settings, units);
  if (options.quiet !== true) for (const { message } of findings) say(`${lotsGiven(options)}: ${message}`);
  const wanted = lots.filter((lot) => options.variety === undefined || lot.variety === options.variety);
  if (wanted.length > 0) return withTyped(wanted, options, ask);
  throw new TrialError(
    "lot-missing",
    options.variety === undefined
      ? `${lotsGiven(options)} holds no lot.`
      : `${lotsGiven(options)} has no lot of ${options.variety}. It has ${lots.map((lot) => lot.variety).join(", ")}.`,
  );
}

const lotsGiven = ({ lots = [] }: SeedOptions): string => listed(lots);

/** A lot for each variety of a result: of the lots file, else as the result had it. */
async function lotsOfResult(known: Result, options: SeedOptions, ask: Asker): Promise<Lot[]> {
  const { lots, findings } = await readAskedLots(options, ask.settings, ask.units);
  if (options.quiet !== true) for (const { message } of findings) say(`${lotsGiven(options)}: ${message}`);
  const onFile = options.lots === undefined ? known.settings.lots : lots;
  const varieties = known.next.map(({ variety }) => variety);
  const wanted = varieties.filter((variety) => options.variety === undefined || variety === options.variety);
  const lotOf = (variety: string): Lot =>
    onFile.find((lot) => lot.variety === variety) ?? unknownLot(variety);
  if (wanted.length > 0) return withTyped(wanted.map(lotOf), options, ask);
  throw new TrialError(
    "variety-missing",
    varieties.length === 0
      ? `${options.from!.join(", ")} gives no answer, and no rate for a card.`
      : `${options.from!.join(", ")} has no strips of ${options.variety}. It has ${varieties.join(", ")}.`,
  );
}

/** Lots with what the options say of them, held to what seed can be. */
function withTyped(lots: readonly Lot[], options: SeedOptions, ask: Asker): Lot[] {
  const typed = typedLot(options, ask);
  const typedLots = lots.map((lot) => withGiven(lot, typed));
  const optionOf = (column: string): string => lotOptions.get(column) ?? column;
  const standing = { where: optionOf, cell: (column: string) => ({ column }) };
  // What the file says is held to it as it is read.
  const doubts = checkLot(withGiven(unknownLot(""), typed), ask.settings, ask.units, standing);
  if (options.quiet !== true)
    for (const { message, column } of doubts) say(`${optionOf(column ?? "")}: ${message}`);
  return typedLots;
}

/** What the options say of the seed; it wins over what the lot says. */
function typedLot(options: SeedOptions, ask: Asker): Partial<Lot> {
  const sizes = [
    ask.value(options.seedsPerLb, "seedsPerPound", "--seeds-per-lb"),
    ask.value(options.seedsPerKg, "seedsPerKg", "--seeds-per-kg"),
    ask.value(options.tkw, "kernelWeight", "--tkw"),
  ].filter((size) => size !== null);
  if (sizes.length > 1)
    throw new TrialError("seed-size-twice", "Give one of --seeds-per-lb, --seeds-per-kg and --tkw.");
  const [seedsPerKg] = sizes;
  const germination = ask.share(options.germination, "--germination");
  const purity = ask.share(options.purity, "--purity");
  const byWeight = priceByWeight(options, crops[ask.settings.crop].poundsPerBushel);
  const areaHa = ask.value(options.area, "area", "--area");
  const typedPrice: Partial<Lot> | null =
    byWeight !== null
      ? { ...byWeight, pricePerThousandSeeds: null }
      : options.seedPrice === undefined
        ? null
        : { pricePerKg: null, pricePerThousandSeeds: null, soldIn: null };
  return {
    ...(options.variety === undefined ? {} : { variety: options.variety }),
    ...(seedsPerKg === undefined ? {} : { seedsPerKg }),
    ...(germination === null ? {} : { germination }),
    ...(purity === null ? {} : { purity }),
    ...typedPrice,
    ...(options.treated === true ? { treated: true } : {}),
    ...(areaHa === null ? {} : { areaHa }),
  };
}

function questionFor(
  lot: Lot,
  known: KnownRate,
  advice: DrillAdvice | null,
  options: SeedOptions,
  ask: Asker,
): SeedQuestion {
  const usual = usualMeasuring(ask.units);
  const caughtGrams = ask.value(options.caught, "caught", "--caught");
  return {
    ...usual,
    known,
    caughtGrams: known.from === "catch" ? null : caughtGrams,
    counted: countOf(options, ask),
    daysLate: ask.count(options.daysLate, "--days-late") ?? plannedLateness(ask.settings),
    lateLimits: advice?.lateLimits ?? {},
    catchLengthM: ask.value(options.catchLength, "length", "--catch-length") ?? usual.catchLengthM,
    wheelDiameterM: ask.value(options.wheel, "rowSpacing", "--wheel"),
    priced:
      options.seedPrice !== undefined ||
      options.season !== undefined ||
      options.from !== undefined ||
      lot.pricePerKg !== null ||
      lot.pricePerThousandSeeds !== null,
  };
}

/** The one thing from which the rate follows; null, and said so, where the strips advise none. */
function knownRate(lot: Lot, options: SeedOptions, ask: Asker, advice: DrillAdvice | null): KnownRate | null {
  const { rate, stand, row, caught } = options;
  const given = [rate, stand, row].filter((text) => text !== undefined);
  if (given.length > 1)
    throw new TrialError("rate-known-twice", "Give one of --rate, --stand and --row: the others follow.");
  if (rate !== undefined) return ask.rate(rate, "--rate");
  if (stand !== undefined) return { from: "stand", plantsPerM2: ask.amount(stand, "stand", "--stand") };
  if (row !== undefined) return { from: "row", seedsPerMetre: ask.amount(row, "seedsPerRow", "--row") };
  if (advice !== null && options.atToday !== true) {
    const advised = advisedRate(advice);
    if (advised !== null) return advised;
    if (options.quiet !== true)
      say(`The strips of ${lot.variety} give no rate, so there is no card for it. Use --rate or --at-today.`);
    return null;
  }
  const rateNow = lot.rateNowSeedsPerM2 ?? ask.rateNow;
  if (rateNow !== null) return { from: "lot", seedsPerM2: rateNow };
  if (caught !== undefined) return { from: "catch", grams: ask.amount(caught, "caught", "--caught") };
  throw new TrialError(
    "rate-unknown",
    options.lots === undefined && options.from === undefined
      ? "No rate is given: use --rate, --stand, --row or --caught, --from with a result, or --lots with today's rates."
      : `The lot of ${lot.variety} has no rate_now: give it in the lots file, or give --rate for all lots.`,
  );
}

function countOf(options: SeedOptions, ask: Asker): PlantCount | null {
  const plants = ask.count(options.plants, "--plants");
  const rowLengthM = ask.value(options.inRow, "length", "--in-row");
  const hoopDiameterM = ask.value(options.inHoop, "rowSpacing", "--in-hoop");
  if (plants === null && rowLengthM === null && hoopDiameterM === null) return null;
  if (plants !== null && rowLengthM !== null && hoopDiameterM === null) return { plants, rowLengthM };
  if (plants !== null && rowLengthM === null && hoopDiameterM !== null) return { plants, hoopDiameterM };
  throw new TrialError(
    "count-incomplete",
    'A count needs --plants and one of --in-row and --in-hoop, as in --plants 40 --in-row "3 ft".',
  );
}
