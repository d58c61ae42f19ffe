/** `stripcurve check`: what is understood, what is wrong, what is left out and why. */
import type { Command } from "commander";
import { checkFarm } from "../farm/read-farm.ts";
import { pricePerThousandViable } from "../decide/rate/seed-cost.ts";
import { checkText } from "../tell/terminal/check-text.ts";
import { readAsked } from "./asked.ts";
import { exitCodes } from "./exit-codes.ts";
import { checkOutputs, writeWhole } from "./files.ts";
import { Progress, styleFor } from "./messages.ts";
import {
  addOverwriteOption,
  addStripsOptions,
  type OutputOptions,
  type SharedOptions,
} from "./shared-options.ts";

interface CheckOptions extends SharedOptions, OutputOptions {
  output: string;
}

const examples = `
Examples:
  stripcurve check strips-2026.csv
  stripcurve check strips-*.csv --lots lots.csv --season season.yaml
      All files together, as fit and report will read them.
  stripcurve check - < strips.csv
      From standard input.
  stripcurve check strips.csv --units metric
      Numbers without a unit in the header are in seeds/m², kg/ha and metres, and so is the text.

A file is CSV with a header: variety, season, rate and yield at least. Units stand in brackets behind a name:
  variety,season,field,block,rate (million/ac),yield (bu/ac),moisture (%)
  Ostrindel,2026,North,1,1.20,64.8,13.6

Each finding is one line. "Left out" is not used in any answer; "Doubtful" is used, but look at it.`;

/** Adds arguments, options, help and action. */
export function defineCheck(command: Command): void {
  command
    .description(
      "Reads the strips and tells what is understood, what is wrong, and what is left out and why.",
    )
    .argument("<files...>", "CSV files of strips, or - for standard input")
    .option("-o, --output <file>", "write there instead of to standard output", "-");
  addStripsOptions(addOverwriteOption(command))
    .addHelpText("after", examples)
    .action(async (files: string[], options: CheckOptions) => {
      const progress = new Progress(options.quiet === true);
      const overwrite = options.overwrite === true;
      const asked = await readAsked(files, options, progress);
      await checkOutputs([options.output], overwrite);
      progress.at("Checking the strips");
      const trial = checkFarm(asked);
      progress.done();
      const seedPrices = new Map(
        [...new Set(trial.strips.map((strip) => strip.variety))].map((variety) => {
          const lot = asked.settings.lots.find((one) => one.variety === variety);
          return [variety, pricePerThousandViable(lot, asked.settings)];
        }),
      );
      const text = checkText(trial, { ...asked, seedPrices }, styleFor(options.output));
      await writeWhole([{ path: options.output, content: text }], overwrite);
      process.exitCode = trial.strips.length > 0 ? exitCodes.done : exitCodes.noAnswer;
    });
}
