/** `stripcurve seed`: from rate to pounds, row, catch test and stand, from whichever of them is known. */
import type { Command } from "commander";
import { amountNotNumber, amountOutOfRange } from "../messages/amounts.ts";
import { crops } from "../vocabulary/crops.ts";
import { daysBetween } from "../numbers/calendar.ts";
import {
  fillSeedCard,
  type KnownRate,
  type PlantCount,
  type SeedQuestion,
} from "../decide/drill/fill-seed-card.ts";
import { readAmount, readRate } from "../read/units/amount.ts";
import type { QuantityName } from "../read/units/column-units.ts";
import { parseNumber } from "../read/units/numbers.ts";
import type { TypedEntry } from "../read/season-file/season.ts";
import { parseSeedPriceUnit } from "../read/units/seed-price.ts";
import { splitAmount } from "../read/units/split-amount.ts";
import { unknownLot, type Lot, type Settings, type UnitChoice } from "../vocabulary/settings.ts";
import { seedCardsText } from "../tell/terminal/seed-card-text.ts";
import { allFinite } from "../farm/finite.ts";
import { TrialError } from "../vocabulary/trial.ts";
import { usualMeasuring } from "../farm/drill-card.ts";
import { checkLot } from "../check/lots.ts";
import { readAskedLots, readAskedSeason } from "./asked.ts";
import { exitCodes } from "./exit-codes.ts";
import { writeWhole } from "./files.ts";
import { say, styleFor } from "./messages.ts";
import {
  addOverwriteOption,
  addSharedOptions,
  type OutputOptions,
  type SharedOptions,
} from "./shared-options.ts";

interface SeedOptions extends SharedOptions, OutputOptions {
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
      A stand that is wanted: how many pounds of this lot, how many seeds per foot, what a row should catch.
  stripcurve seed --rate "1.2 million seeds/ac" --seeds-per-lb 16000 --germination 95 --purity 99
      A rate: pounds, bushels, catch test, stand to count.
  stripcurve seed --rate "90 lb/ac" --tkw 38 --germination 92
      A weight: how many viable seeds are that?
  stripcurve seed --caught 61 --catch-length "100 ft" --rate "1.2 million/ac" --tkw 35
      Weighed from one row: what does the drill really sow?
  stripcurve seed --rate "1.2 million/ac" --plants 118 --in-hoop "30 in"
      Counted plants: how many seeds gave none?
  stripcurve seed --lots lots.csv --season season.yaml
      A card for every lot, at today's rates.
  stripcurve seed --rate 300 --tkw 42 --days-late 10 --units metric --json
      Ten days late, in metric, as JSON (seeds/m², kg/ha, money per hectare).`;

/** Adds arguments, options, help and action. */
export function defineSeed(command: Command): void {
  command
    .description(
      "Turns a seeding rate into pounds, bushels, seeds per foot of row, catch test and stand, or any of them into the rate. A rate is viable seeds.",
    )
    .optionsGroup("What is known, one of these (with --lots: today's rates):")
    .option(
      "--rate <rate>",
      'viable seeds or weight: "1.2 million/ac", "28 seeds/ft2", "90 lb/ac", "1.4 bu/ac"',
    )
    .option("--stand <plants>", 'the stand that is wanted: "28 plants/ft2", "1.1 million plants/ac"')
    .option("--row <seeds>", 'seeds that drop per length of row: "18 seeds/ft", "60 seeds/m"')
    .option(
      "--caught <weight>",
      'weighed from one row over the catch length: "61 g"; may stand beside a rate',
    )
    .optionsGroup("The seed, over what its lot says:")
    .option("--variety <name>", "name on the card; with --lots the only lot that is told")
    .option("--seeds-per-lb <count>", "seeds in a pound")
    .option("--seeds-per-kg <count>", "seeds in a kilogram")
    .option("--tkw <grams>", "weight of a thousand kernels")
    .option("--germination <percent>", "of a hundred seeds, those that germinate; else of the lot, else 100")
    .option("--purity <percent>", "pure seed by weight; else of the lot, else 100")
    .option("--treated", "the seed is treated")
    .option("--area <area>", 'to be sown with it, for the order: "160 ac"')
    .optionsGroup("The drill:")
    .option("--row-spacing <distance>", "between rows: 7.5 in (12.5 cm) if nothing else is said")
    .option("--catch-length <length>", "of the catch test: 100 ft (30 m) if not said")
    .option("--wheel <diameter>", 'of the drive wheel, for turning it by hand: "32 in"')
    .optionsGroup("The field:")
    .option("--stand-loss <percent>", "viable seeds that give no plant: 15 % if nothing else is said")
    .option("--days-late <days>", "past the best seeding date; else from the dates of the season file")
    .option("--plants <count>", "plants that were counted, with --in-row or --in-hoop")
    .option("--in-row <length>", 'length of one row they were counted on: "3 ft"')
    .option("--in-hoop <diameter>", 'hoop they were counted in: "30 in"')
    .optionsGroup("Output:")
    .option("--json", "give the cards as JSON")
    .option("-o, --output <file>", "write there instead of to standard output", "-");
  addSharedOptions(addOverwriteOption(command))
    .addHelpText("after", examples)
    .action(async (options: SeedOptions) => {
      const season = await readAskedSeason(withoutPriceByWeight(options), entriesOf(options));
      const { settings, units } = season;
      const lots = await lotsFor(options, settings, units);
      const ask = new Asker(settings, units);
      const cards = lots.map((lot) =>
        allFinite(
          fillSeedCard(
            lot.variety === "" ? null : lot.variety,
            lot,
            questionFor(lot, options, ask, settings, units),
            settings,
          ),
        ),
      );
      const content =
        options.json === true
          ? `${JSON.stringify({ schema: "stripcurve-seed-1", crop: settings.crop, cards }, null, 1)}\n`
          : `${seedCardsText(cards, settings, units, styleFor(options.output))}\n`;
      await writeWhole([{ path: options.output, content }], options.overwrite === true);
      process.exitCode = exitCodes.done;
    });
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

function priceByWeight({ seedPrice }: SeedOptions, poundsPerBushel: number): number | null {
  const parts = seedPrice === undefined ? null : splitAmount(seedPrice);
  const unit = parts && parseSeedPriceUnit(parts.unit, poundsPerBushel, null);
  const number = parseNumber(parts?.number ?? "");
  return unit?.per === "kg" && number.kind === "number" ? number.value / unit.amount : null;
}

/** Reads amounts in the person's units and holds them to what can be. */
class Asker {
  readonly #settings: Settings;
  readonly #units: UnitChoice;

  constructor(settings: Settings, units: UnitChoice) {
    this.#settings = settings;
    this.#units = units;
  }

  amount(text: string, quantity: Exclude<QuantityName, "rate">, option: string): number {
    const amount = readAmount(text, quantity, this.#units, crops[this.#settings.crop], option);
    if (!(amount > 0)) throw amountOutOfRange(option, text, "it has to be more than 0");
    return amount;
  }

  rate(text: string, option: string): KnownRate {
    const rate = readRate(text, this.#units, crops[this.#settings.crop], option);
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
    if (share > 1) throw amountOutOfRange(option, text, "it cannot be more than 100 %");
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

/** Options that say what a column of the lots file says. */
const lotOptions = new Map([
  ["seeds_per_lb", "The seeds per weight (--seeds-per-lb, --seeds-per-kg, --tkw)"],
  ["seeds_per_kg", "The seeds per weight (--seeds-per-lb, --seeds-per-kg, --tkw)"],
  ["germination_pct", "--germination"],
  ["purity_pct", "--purity"],
  ["seed_price", "--seed-price"],
  ["area", "--area"],
]);

/** The lots to be told: of the file, or the one that the options describe. */
async function lotsFor(options: SeedOptions, settings: Settings, units: UnitChoice): Promise<Lot[]> {
  const ask = new Asker(settings, units);
  if (options.lots === undefined) {
    const lot = { ...unknownLot(""), ...typedLot(options, ask, settings) };
    const optionOf = (column: string): string => lotOptions.get(column) ?? column;
    const doubts = checkLot(lot, settings, units, { where: optionOf, cell: (column) => ({ column }) });
    if (options.quiet !== true)
      for (const { message, column } of doubts) say(`${optionOf(column ?? "")}: ${message}`);
    return [lot];
  }
  const { lots, findings } = await readAskedLots(options, settings, units);
  if (options.quiet !== true) for (const { message } of findings) say(`${options.lots}: ${message}`);
  const wanted = lots.filter((lot) => options.variety === undefined || lot.variety === options.variety);
  const typed = typedLot(options, ask, settings);
  if (wanted.length > 0) return wanted.map((lot) => ({ ...lot, ...typed }));
  throw new TrialError(
    "lot-missing",
    options.variety === undefined
      ? `${options.lots} holds no lot.`
      : `${options.lots} has no lot of ${options.variety}. It has ${lots.map((lot) => lot.variety).join(", ")}.`,
  );
}

/** What the options say of the seed; it wins over what the lot says. */
function typedLot(options: SeedOptions, ask: Asker, settings: Settings): Partial<Lot> {
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
  const pricePerKg = priceByWeight(options, crops[settings.crop].poundsPerBushel);
  const areaHa = ask.value(options.area, "area", "--area");
  const typedPrice: Partial<Lot> | null =
    pricePerKg !== null
      ? { pricePerKg, pricePerThousandSeeds: null }
      : options.seedPrice === undefined
        ? null
        : { pricePerKg: null, pricePerThousandSeeds: null };
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
  options: SeedOptions,
  ask: Asker,
  settings: Settings,
  units: UnitChoice,
): SeedQuestion {
  const usual = usualMeasuring(units);
  const known = knownRate(lot, options, ask);
  const caughtGrams = ask.value(options.caught, "caught", "--caught");
  return {
    ...usual,
    known,
    caughtGrams: known.from === "catch" ? null : caughtGrams,
    counted: countOf(options, ask),
    daysLate: daysLate(options, ask, settings),
    catchLengthM: ask.value(options.catchLength, "length", "--catch-length") ?? usual.catchLengthM,
    wheelDiameterM: ask.value(options.wheel, "rowSpacing", "--wheel"),
    priced:
      options.seedPrice !== undefined ||
      options.season !== undefined ||
      lot.pricePerKg !== null ||
      lot.pricePerThousandSeeds !== null,
  };
}

/** The one thing from which the rate follows. */
function knownRate(lot: Lot, options: SeedOptions, ask: Asker): KnownRate {
  const { rate, stand, row, caught } = options;
  const given = [rate, stand, row].filter((text) => text !== undefined);
  if (given.length > 1)
    throw new TrialError("rate-known-twice", "Give one of --rate, --stand and --row: the others follow.");
  if (rate !== undefined) return ask.rate(rate, "--rate");
  if (stand !== undefined) return { from: "stand", plantsPerM2: ask.amount(stand, "stand", "--stand") };
  if (row !== undefined) return { from: "row", seedsPerMetre: ask.amount(row, "seedsPerRow", "--row") };
  if (lot.rateNowSeedsPerM2 !== null) return { from: "lot", seedsPerM2: lot.rateNowSeedsPerM2 };
  if (caught !== undefined) return { from: "catch", grams: ask.amount(caught, "caught", "--caught") };
  throw new TrialError(
    "rate-unknown",
    options.lots === undefined
      ? "Nothing says the rate: give --rate, --stand, --row or --caught, or --lots with today's rates."
      : `The lot of ${lot.variety} has no rate_now: give it in ${options.lots}, or give --rate for all lots.`,
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

function daysLate(options: SeedOptions, ask: Asker, settings: Settings): number | null {
  const asked = ask.count(options.daysLate, "--days-late");
  if (asked !== null) return asked;
  const { bestSeedingDate, plannedSeedingDate } = settings;
  if (bestSeedingDate === null || plannedSeedingDate === null) return null;
  const days = daysBetween(bestSeedingDate, plannedSeedingDate);
  return days > 0 ? days : null;
}
