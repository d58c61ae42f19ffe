/** What `stripcurve seed` may be asked, in the order of its help. */
import type { Command } from "commander";
import type { OutputOptions, SharedOptions } from "./shared-options.ts";

export interface SeedOptions extends SharedOptions, OutputOptions {
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

export const seedExamples = `
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

/** Adds what is known of the rate, the seed, the drill and the field. */
export function addCardOptions(command: Command): void {
  addKnownOptions(command);
  addSeedOptions(command);
  addDrillOptions(command);
  addFieldOptions(command);
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
    .option(
      "--row-spacing <distance>",
      "between rows: 7.5 in (12.5 cm), of corn 30 in (75 cm), unless you give another",
    )
    .option("--catch-length <length>", "of the catch test: 100 ft (30 m) unless you give another")
    .option("--wheel <diameter>", 'of the drive wheel, for turning it by hand: "32 in"');
}

function addFieldOptions(command: Command): void {
  command
    .optionsGroup("The field:")
    .option(
      "--stand-loss <percent>",
      "viable seeds that give no plant: by the counts in --from, or 15% (canola 50%, corn 5%), unless you give another",
    )
    .option("--days-late <days>", "past the best seeding date; otherwise from the dates in the season file")
    .option("--plants <count>", "plants that were counted, with --in-row or --in-hoop")
    .option("--in-row <length>", 'length of one row they were counted on: "3 ft"')
    .option("--in-hoop <diameter>", 'hoop they were counted in: "30 in"');
}
