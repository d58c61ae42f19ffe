/** `stripcurve fit`: the result as tables, as JSON, as CSV. */
import { join } from "node:path";
import type { Command } from "commander";
import { analyzeFarm } from "../farm/analyze-farm.ts";
import type { Result } from "../vocabulary/result.ts";
import { csvTables } from "../tell/csv/index.ts";
import { jsonPieces } from "../tell/json.ts";
import { fitText } from "../tell/terminal/fit-text.ts";
import { readAsked } from "./asked.ts";
import { exitCodes } from "./exit-codes.ts";
import { checkOutputs, makeFolder, writeWhole } from "./files.ts";
import { Progress, say, sayFindings, sayNoAnswer, styleFor } from "./messages.ts";
import {
  addOverwriteOption,
  addStripsOptions,
  type OutputOptions,
  type SharedOptions,
} from "./shared-options.ts";

interface FitOptions extends SharedOptions, OutputOptions {
  json?: boolean;
  csv?: string;
  output: string;
}

const examples = `
Examples:
  stripcurve fit strips-*.csv --lots lots.csv --season season.yaml
      Next season's rates, every curve, analysis of variance, as text.
  stripcurve fit strips-*.csv --grain-price "6.20 $/bu" --seed-price 22
      With a price of grain, and of a million viable seeds.
  stripcurve fit strips-*.csv --json > result.json
      The whole result as one JSON object (seeds/m², kg/ha, money per hectare).
  stripcurve fit strips-*.csv --csv tables
      One CSV file for each table in the folder tables, in your units, beside the text.`;

/** Whether any variety has a curve: with one rate there is none. */
const hasAnswer = (result: Result): boolean =>
  result.fits.some((fit) => fit.forms.some((form) => form.form !== "none"));

/** Adds arguments, options, help and action. */
export function defineFit(command: Command): void {
  command
    .description(
      "Fits the response curves and tells them, and next season's rate of each variety, as tables.",
    )
    .argument("<files...>", "CSV files of strips, or - for standard input")
    .option("--json", "give the whole result as JSON instead of the tables")
    .option("--csv <folder>", "also write the tables as CSV files into this folder; it is made if need be")
    .option("-o, --output <file>", "write tables or JSON there instead of to standard output", "-");
  addStripsOptions(addOverwriteOption(command))
    .addHelpText("after", examples)
    .action(async (files: string[], options: FitOptions) => {
      const quiet = options.quiet === true;
      const progress = new Progress(quiet);
      const overwrite = options.overwrite === true;
      const asked = await readAsked(files, options, progress);
      await checkOutputs([options.output], overwrite);
      const result = analyzeFarm(asked, progress.analysis);
      progress.done();
      if (!quiet) sayFindings(result);
      const tables = options.csv === undefined ? [] : csvTables(result);
      if (options.csv !== undefined) await makeFolder(options.csv);
      await writeWhole(
        [
          ...tables.map(({ name, text }) => ({ path: join(options.csv!, name), content: text })),
          {
            path: options.output,
            content: options.json === true ? jsonPieces(result) : fitText(result, styleFor(options.output)),
          },
        ],
        overwrite,
      );
      if (!quiet && tables.length > 0)
        say(`Wrote ${tables.map(({ name }) => join(options.csv!, name)).join(", ")}.`);
      if (hasAnswer(result)) return;
      sayNoAnswer(result);
      process.exitCode = exitCodes.noAnswer;
    });
}
