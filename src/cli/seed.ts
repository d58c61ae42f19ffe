/** `stripcurve seed`: from rate to pounds, row, catch test and stand, from whichever of them is known. */
import type { Command } from "commander";
import {
  countIncomplete,
  noRateGiven,
  noRateIn,
  noRateOfLot,
  rateKnownTwice,
  resultNotAlone,
} from "../messages/options.ts";
import type { KnownRate, PlantCount, SeedQuestion } from "../decide/drill/fill-seed-card.ts";
import type { TypedEntry } from "../read/season-file/season.ts";
import type { Lot, Settings, UnitChoice } from "../vocabulary/settings.ts";
import type { Result } from "../vocabulary/result.ts";
import type { SeedCard } from "../vocabulary/seed-card.ts";
import { seedCardsText } from "../tell/terminal/seed-card-text.ts";
import { decideAgain } from "../decide/decide.ts";
import { analyzeFarm } from "../farm/analyze-farm.ts";
import { takeFiles } from "../farm/farm-files.ts";
import { holdToTrial, readResult } from "../farm/read-result.ts";
import {
  advisedRate,
  drillAdvice,
  plannedLateness,
  usualMeasuring,
  type DrillAdvice,
} from "../farm/drill-card.ts";
import { heldCard, type QuestionNames } from "../farm/seed-question.ts";
import { readAsked, readAskedSeason } from "./asked.ts";
import { Asker } from "./asker.ts";
import { exitCodes } from "./exit-codes.ts";
import { readInput, writeWhole } from "./files.ts";
import { pageMaker } from "./page-maker.ts";
import { Progress, say, styleFor } from "./messages.ts";
import { lotsFor, withoutPriceByWeight } from "./seed-lots.ts";
import { addCardOptions, seedExamples, type SeedOptions } from "./seed-options.ts";
import { addOverwriteOption, addSharedOptions } from "./shared-options.ts";

/** Adds arguments, options, help and action. */
export function defineSeed(command: Command): void {
  command.description(
    "Turns a seeding rate into pounds, bushels, seeds per foot of row, catch test and stand, or any of them into the rate. A rate is viable seeds.",
  );
  addCardOptions(command);
  command
    .optionsGroup("Output:")
    .option("--json", "give the cards as JSON")
    .option("-o, --output <file>", "write there instead of to standard output", "-");
  addSharedOptions(addOverwriteOption(command)).addHelpText("after", seedExamples).action(writeCards);
}

/** Writes a card for each lot, as text or as JSON. */
async function writeCards(options: SeedOptions): Promise<void> {
  const { lots, settings, units, result } = await readSeed(options);
  const cards = cardsOf(lots, options, new Asker(settings, units), result);
  if (cards.length === 0) throw noRateIn(options.from ?? []);
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
  if (paths.length > 1) throw resultNotAlone(path!);
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
    ownStandLoss: options.standLoss === undefined ? (advice?.ownStandLoss ?? null) : null,
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
  if (given.length > 1) throw rateKnownTwice();
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
  throw options.lots === undefined && options.from === undefined ? noRateGiven() : noRateOfLot(lot.variety);
}

function countOf(options: SeedOptions, ask: Asker): PlantCount | null {
  const plants = ask.count(options.plants, "--plants");
  const rowLengthM = ask.value(options.inRow, "length", "--in-row");
  const hoopDiameterM = ask.value(options.inHoop, "rowSpacing", "--in-hoop");
  if (plants === null && rowLengthM === null && hoopDiameterM === null) return null;
  if (plants !== null && rowLengthM !== null && hoopDiameterM === null) return { plants, rowLengthM };
  if (plants !== null && rowLengthM === null && hoopDiameterM !== null) return { plants, hoopDiameterM };
  throw countIncomplete();
}
