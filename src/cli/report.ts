/** `stripcurve report`: the page for grower, agronomist and teacher. */
import { Option, type Command } from "commander";
import { analyze } from "../analyze.ts";
import type { Result } from "../vocabulary/result.ts";
import { tellLesson, tellPage } from "../tell/html.ts";
import type { PageParts } from "../tell/html/page-parts.ts";
import type { NumberStyle } from "../numbers/written-numbers.ts";
import type { Earlier } from "../tell/wording/since.ts";
import { TrialError } from "../vocabulary/trial.ts";
import { readAsked, type Asked } from "./asked.ts";
import { clientPages } from "./client-pages.ts";
import { clientsByFarm, readClients, type Client, type Clients } from "./clients.ts";
import { doublePrices } from "./double-prices.ts";
import { exitCodes } from "./exit-codes.ts";
import { isFolder, makeFolder, standardStream, writeWhole } from "./files.ts";
import { Progress, say, sayFindings, sayNoAnswer } from "./messages.ts";
import { localeOption, numberStyleOf } from "./number-style.ts";
import { readPageParts } from "./page-parts.ts";
import { pictureFiles } from "./picture-files.ts";
import { addStripsOptions, type SharedOptions } from "./shared-options.ts";

interface ReportOptions extends SharedOptions {
  output: string;
  reader?: "grower" | "agronomist" | "educator";
  since?: string;
  charts?: string;
  locale?: string;
}

const examples = `
Examples:
  stripcurve report strips-*.csv --lots lots.csv --season season.yaml -o report.html
      Next season's rate of each variety and all that it rests on, in one file that works offline and prints.
  stripcurve report strips-*.csv --lots lots.csv --reader grower -o two-pages.html
      Two printed pages in plain words, for the wall of the shop and the cab of the drill.
  stripcurve report clients/ --reader agronomist -o clients-report/
      A summary of all clients, and a page for each: a file in clients/ is a client, or a folder with its strips, its own
      lots.csv and season.yaml. Given files instead of a folder, each farm named in them is a client.
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
    .argument(
      "<files...>",
      "CSV files of strips, or - for standard input; for an agronomist also a folder of clients",
    )
    .addOption(
      new Option(
        "-o, --output <file>",
        "where the report goes, or - for standard output; a folder for an agronomist's many clients",
      ).makeOptionMandatory(),
    )
    .addOption(
      new Option(
        "--reader <who>",
        "instead of all about one farm: two printed pages for a grower, many clients for an agronomist, a lesson for an educator",
      ).choices(["grower", "agronomist", "educator"]),
    )
    .option(
      "--since <file>",
      "say what changed since an earlier result, and why; the file comes from stripcurve fit --json",
    )
    .option(
      "--charts <folder>",
      "also write every chart there, as SVG, PNG and Vega-Lite spec; it is made if need be",
    )
    .addOption(localeOption());
  addStripsOptions(command)
    .addHelpText("after", examples)
    .action(async (files: string[], options: ReportOptions) => {
      const quiet = options.quiet === true;
      const numbers = numberStyleOf(options.locale);
      const progress = new Progress(quiet);
      const { asked, clients } = await readWanted(files, options, progress);
      const earlier = options.since === undefined ? {} : { earlier: await readEarlier(options.since, asked) };
      const result = analyze(asked.trial, asked.settings, asked.units, progress.analysis);
      progress.at("Drawing the report");
      const written =
        clients === null
          ? [
              {
                path: options.output,
                content: await onePage(result, options, asked.fileNames, numbers, earlier),
              },
            ]
          : await clientPages(clients, result, options.output, asked.fileNames, numbers, earlier, progress);
      if (options.charts !== undefined) {
        progress.at("Drawing the charts");
        written.push(...(await pictureFiles(result, options.charts, numbers)));
        await makeFolder(options.charts);
      }
      if (clients !== null) await makeFolder(options.output);
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

/** What is to be read; for an agronomist's many clients, of each one too. */
async function readWanted(
  paths: string[],
  options: ReportOptions,
  progress: Progress,
): Promise<{ asked: Asked; clients: Client[] | null }> {
  if (options.reader === "educator" && options.since !== undefined)
    throw new TrialError("since-in-lesson", "A lesson does not tell what changed: leave out --since.");
  if (options.reader !== "agronomist")
    return { asked: await readAsked(paths, options, progress), clients: null };
  let found: Clients | null;
  if ((await Promise.all(paths.map(isFolder))).includes(true)) {
    if (paths.length > 1)
      throw new TrialError("folder-and-files", "Give one folder of clients and nothing else, or files.");
    if (options.since !== undefined)
      throw new TrialError(
        "since-with-folder",
        "--since compares the strips of files, as stripcurve fit reads them: give files instead of a folder of clients.",
      );
    found = await readClients(paths[0]!, options, progress);
  } else {
    const asked = await readAsked(paths, options, progress);
    found = clientsByFarm(asked);
    if (found === null) return { asked, clients: null };
  }
  if (options.output === standardStream || /\.html?$/i.test(options.output))
    throw new TrialError(
      "clients-need-folder",
      `There are ${found.clients.length} clients, each with a page: name a folder for them, such as -o report.`,
    );
  return { asked: found.all, clients: found.clients };
}

async function onePage(
  result: Result,
  { reader }: ReportOptions,
  fileNames: string[],
  numbers: NumberStyle,
  more: Partial<PageParts>,
): Promise<string> {
  const kind = reader === "educator" ? "lesson" : reader === "grower" ? "grower" : "farm";
  const parts = { ...(await readPageParts(kind, fileNames, numbers)), ...more };
  if (kind === "lesson") return tellLesson(result, doublePrices(result), parts);
  return tellPage(result, { ...parts, everyCheck: reader === "agronomist" }, kind);
}
