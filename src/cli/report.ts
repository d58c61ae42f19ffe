/** `stripcurve report`: the page for grower, agronomist and teacher. */
import { createHash } from "node:crypto";
import { Option, type Command } from "commander";
import { analyze } from "../analyze.ts";
import { tellPage } from "../tell/html.ts";
import { readAsked } from "./asked.ts";
import { exitCodes } from "./exit-codes.ts";
import { readOwnFile, standardStream, writeWhole } from "./files.ts";
import { Progress, say, sayFindings, sayNoAnswer } from "./messages.ts";
import { addStripsOptions, type SharedOptions } from "./shared-options.ts";
import { today } from "./today.ts";

interface ReportOptions extends SharedOptions {
  output: string;
}

const examples = `
Examples:
  stripcurve report strips-*.csv --lots lots.csv --season season.yaml -o report.html
      Next season's rate of each variety and all that it rests on, in one file that works offline and prints.
  stripcurve report strips-*.csv --grain-price 5.40 -o low-price.html
      The same strips at another price of grain.`;

/** Adds arguments, options, help and action. */
export function defineReport(command: Command): void {
  command
    .description(
      "Writes the report: next season's rate of each variety, and all that it rests on, as one HTML file.",
    )
    .argument("<files...>", "CSV files of strips, or - for standard input")
    .addOption(
      new Option(
        "-o, --output <file>",
        "where the report goes, or - for standard output",
      ).makeOptionMandatory(),
    );
  addStripsOptions(command)
    .addHelpText("after", examples)
    .action(async (files: string[], options: ReportOptions) => {
      const quiet = options.quiet === true;
      const progress = new Progress(quiet);
      const asked = await readAsked(files, options, progress);
      progress.at("Fitting the curves");
      const result = analyze(asked.trial, asked.settings, asked.units);
      progress.at("Drawing the report");
      const page = await tellPage(result, {
        script: await readOwnFile("page.js"),
        style: await readOwnFile("page.css"),
        run: { date: today(), files: asked.fileNames },
        sha256: (text) => createHash("sha256").update(text).digest("base64"),
      });
      progress.done();
      if (!quiet) sayFindings(result);
      await writeWhole([{ path: options.output, text: page }]);
      if (!quiet && options.output !== standardStream) say(`Wrote ${options.output}.`);
      if (result.next.length > 0) return;
      sayNoAnswer(result);
      process.exitCode = exitCodes.noAnswer;
    });
}
