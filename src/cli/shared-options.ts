/** Arguments and options that every command takes alike. */
import { Option, type Command } from "commander";
import { crops } from "../vocabulary/crops.ts";

/** What `<files...>` gives: one path at least. */
export type Paths = readonly [string, ...string[]];

/** As typed; anything omitted comes from the season file, else from the defaults. */
export interface SharedOptions {
  lots?: string[] | undefined;
  season?: string | undefined;
  sheet?: string[];
  answers?: string;
  lotsSheet?: string;
  grainPrice?: string;
  seedPrice?: string;
  rateNow?: string;
  units?: "us" | "metric";
  crop?: keyof typeof crops;
  region?: string | undefined;
  quiet?: boolean;
}

/** What every command that writes files takes. */
export interface OutputOptions {
  overwrite?: boolean;
}

/** Adds what lets files be written over that the program did not write. */
export const addOverwriteOption = (command: Command): Command =>
  command.option(
    "--overwrite",
    "also replace files that stripcurve did not write, or that were changed since",
  );

/** Adds what a season is analyzed with. */
export const addSeasonOptions = (command: Command): Command =>
  command
    .optionsGroup("Your farm:")
    .option(
      "--season <file>",
      "YAML with prices, dates, row spacing, limits; stripcurve season makes one to fill in",
    )
    .option("--grain-price <price>", 'price of grain, with its unit: 6.20, "6.20 $/bu", "228 €/t"')
    .option(
      "--seed-price <price>",
      'price of seed where no lot gives one: 20 (per million viable seeds), "0.02 $/1000 seeds"',
    )
    .option(
      "--rate-now <rate>",
      'today\'s rate of viable seeds where no lot says: "1.3 million seeds/ac"; without it no gain is shown',
    )
    .addOption(new Option("--units <system>", "units you use").choices(["us", "metric"]))
    .addOption(
      new Option("--crop <name>", "crop, for bushel weight and market moisture").choices(Object.keys(crops)),
    );

/** Adds all of them, in one place of the help. */
export const addSharedOptions = (command: Command): Command =>
  addSeasonOptions(command)
    .option(
      "--lots <file>",
      "CSV of next season's seed lots: today's rate, seeds/lb, germination, price; give it again for each further file",
      (name: string, before: string[] = []) => [...before, name],
    )
    .option(
      "--region <file>",
      "use what the farms of your region share, too; stripcurve region makes the file from it",
    )
    .option("--lots-sheet <name>", "sheet with the lots, where their workbook (.xlsx) has several")
    .optionsGroup("Messages:")
    .option("-q, --quiet", "say nothing but results and errors");

/** Adds them and what says where the strips are. */
export const addStripsOptions = (command: Command): Command =>
  addSharedOptions(
    command
      .option(
        "--sheet <name>",
        "sheet of a workbook (.xlsx) that holds strips; give it again for each further sheet; otherwise every sheet that looks like strips",
        (name: string, before: string[] = []) => [...before, name],
      )
      .option(
        "--answers <file>",
        "your earlier answers about these files (YAML); otherwise columns.yaml beside the first file, if it is there",
      ),
  );
