/** `stripcurve report`: the page for grower, agronomist and teacher. */
import { Option, type Command } from "commander";
import { analyze } from "../analyze.ts";
import { tellLesson, tellPage, type PageKind } from "../tell/html.ts";
import type { Earlier } from "../tell/wording/since.ts";
import { TrialError } from "../trial.ts";
import { readAsked, type Asked } from "./asked.ts";
import { doublePrices } from "./double-prices.ts";
import { exitCodes } from "./exit-codes.ts";
import { makeFolder, standardStream, writeWhole, type OutputFile } from "./files.ts";
import { Progress, say, sayFindings, sayNoAnswer } from "./messages.ts";
import { readPageParts } from "./page-parts.ts";
import { pictureFiles } from "./picture-files.ts";
import { addStripsOptions, type SharedOptions } from "./shared-options.ts";

interface ReportOptions extends SharedOptions {
  output: string;
  reader?: "grower" | "educator";
  since?: string;
  charts?: string;
}

const examples = `
Examples:
  stripcurve report strips-*.csv --lots lots.csv --season season.yaml -o report.html
      Next season's rate of each variety and all that it rests on, in one file that works offline and prints.
  stripcurve report strips-*.csv --lots lots.csv --reader grower -o two-pages.html
      Two printed pages in plain words, for the wall of the shop and the cab of the drill.
  stripcurve report strips-*.csv --lots lots.csv --reader educator -o lesson.html
      A lesson on rate response with these strips, to project: step by step, answers hidden.
  stripcurve report strips-*.csv --since last-year.json -o report.html
      What changed and why, where last year's strips went into: stripcurve fit --json -o last-year.json
  stripcurve report strips-*.csv --charts slides/ -o report.html
      Every chart besides as a picture for slides, and as a spec for other programs.
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
    )
    .addOption(
      new Option("--reader <who>", "whom it is for, where not everything is wanted").choices([
        "grower",
        "educator",
      ]),
    )
    .option(
      "--since <file>",
      "say what changed since an earlier result, and why; the file comes from stripcurve fit --json",
    )
    .option(
      "--charts <folder>",
      "also write every chart there, as SVG, PNG and Vega-Lite spec; it is made if need be",
    );
  addStripsOptions(command)
    .addHelpText("after", examples)
    .action(async (files: string[], options: ReportOptions) => {
      const quiet = options.quiet === true;
      const progress = new Progress(quiet);
      const kind = pageOf(options);
      const asked = await readAsked(files, options, progress);
      const earlier = options.since === undefined ? {} : { earlier: await readEarlier(options.since, asked) };
      progress.at("Fitting the curves");
      const result = analyze(asked.trial, asked.settings, asked.units);
      progress.at("Drawing the report");
      const parts = { ...(await readPageParts(kind, asked.fileNames)), ...earlier };
      const page =
        kind === "lesson"
          ? await tellLesson(result, doublePrices(result), parts)
          : await tellPage(result, parts, kind);
      const written: OutputFile[] = [{ path: options.output, content: page }];
      if (options.charts !== undefined) {
        progress.at("Drawing the charts");
        written.push(...(await pictureFiles(result, options.charts)));
        await makeFolder(options.charts);
      }
      progress.done();
      if (!quiet) sayFindings(result);
      await writeWhole(written);
      if (!quiet && options.output !== standardStream) say(`Wrote ${options.output}.`);
      if (!quiet && options.charts !== undefined) say(`Wrote the charts into ${options.charts}.`);
      if (result.next.length > 0) return;
      sayNoAnswer(result);
      process.exitCode = exitCodes.noAnswer;
    });
}

/** Loaded when asked for: what holds a file against the schema takes its time. */
const readEarlier = async (path: string, asked: Asked): Promise<Earlier> =>
  (await import("./earlier.ts")).readEarlier(path, asked);

function pageOf({ reader, since }: ReportOptions): PageKind {
  if (reader !== "educator") return reader ?? "farm";
  if (since !== undefined)
    throw new TrialError("since-in-lesson", "A lesson does not tell what changed: leave out --since.");
  return "lesson";
}
