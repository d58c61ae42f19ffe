/** `stripcurve check`: what is understood, what is wrong, what is left out and why. */
import type { Command } from "commander";
import { checkFarm } from "../farm/read-farm.ts";
import { pricePerThousandViable } from "../decide/rate/seed-cost.ts";
import { capitalized, counted } from "../numbers/written-numbers.ts";
import { checkText } from "../tell/terminal/check-text.ts";
import { dirname, join } from "node:path";
import type { Farm } from "../farm/farm.ts";
import { answersText } from "../read/answers/answers-file.ts";
import { answersFileName } from "../read/answers/answers.ts";
import { settle } from "./ask-questions.ts";
import { readAsked, readAskedAnswers } from "./asked.ts";
import { exitCodes } from "./exit-codes.ts";
import { onlyFolder, readClients } from "./client-folder.ts";
import { checkOutputs, isFolder, writeWhole } from "./files.ts";
import { plainLine } from "../tell/plain-text.ts";
import type { Trial } from "../vocabulary/trial.ts";
import { Progress, say, styleFor } from "./messages.ts";
import {
  addOverwriteOption,
  addStripsOptions,
  type OutputOptions,
  type Paths,
  type SharedOptions,
} from "./shared-options.ts";

interface CheckOptions extends SharedOptions, OutputOptions {
  output: string;
  saveAnswers?: string | true;
}

const examples = `
Examples:
  stripcurve check strips-2026.csv
  stripcurve check strips-*.csv --lots lots.csv --season season.yaml
      All files together, as fit and report will read them.
  stripcurve check - < strips.csv
      From standard input.
  stripcurve check strips.csv --units metric
      Numbers without a unit in the header are in seeds/m², kg/ha and metres, and everything is shown in these units.

A file is CSV with a header: variety, season, rate and yield at least. Units go in brackets after a name:
  variety,season,field,block,rate (million/ac),yield (bu/ac),moisture (%)
  Ostrindel,2026,North,1,1.20,64.8,13.6

stripcurve columns lists every column with its other names and units. Titles, totals and notes around a table are skipped
and listed. In a workbook, every tab that holds strips is read, and so is a tab with lots.

  stripcurve check book.xlsx --save-answers
      Asks about what is not understood, and keeps your answers in columns.yaml for next time.

Each cause is one line, with its rows. "Left out" is not used in any answer; "Doubtful" is used, but look at it.`;

/** Where answers are to be kept, null where they are not. */
const savedAnswersPath = ([first]: Paths, { saveAnswers, answers }: CheckOptions): string | null =>
  saveAnswers === undefined
    ? null
    : typeof saveAnswers === "string"
      ? saveAnswers
      : (answers ?? join(dirname(first), answersFileName));

/**
 * Reads with what is answered on the way, and keeps the answers even where the files cannot be read yet.
 *
 * @throws TrialError for what is still open and has to be answered first
 */
async function readAndAsk(
  files: readonly string[],
  options: CheckOptions,
  progress: Progress,
  path: string,
): Promise<Farm> {
  const given = await readAskedAnswers(files, options);
  const { farm, error, answers, open } = await settle(
    (next) => readAsked(files, { ...options, quiet: true }, progress, next),
    given,
  );
  progress.done();
  await writeWhole([{ path, content: answersText(answers, open) }], options.overwrite === true);
  if (options.quiet !== true) {
    const left =
      open.length === 0
        ? ""
        : ` ${capitalized(counted(open.length, "question"))} ${open.length === 1 ? "is" : "are"} still open, listed at the end of that file with the likeliest answers.`;
    say(`Wrote ${path}.${left}`);
  }
  if (farm === null) throw error!;
  return farm;
}

/** Adds arguments, options, help and action. */
export function defineCheck(command: Command): void {
  command
    .description(
      "Reads the strips and shows what is understood, what is wrong, and what is left out and why.",
    )
    .argument("<files...>", "tables of strips (.csv, .xlsx), - for standard input, or a folder of clients")
    .option("-o, --output <file>", "write there instead of to standard output", "-")
    .option(
      "--save-answers [file]",
      "ask about what is not understood, and keep your answers: in columns.yaml beside the first file, or in the file you name",
    );
  addStripsOptions(addOverwriteOption(command))
    .addHelpText("after", examples)
    .action(async (files: Paths, options: CheckOptions) => {
      const progress = new Progress(options.quiet === true);
      const overwrite = options.overwrite === true;
      if (await isFolder(files[0])) return checkClients(files, options, progress);
      const answersFile = savedAnswersPath(files, options);
      await checkOutputs(answersFile === null ? [options.output] : [options.output, answersFile], overwrite);
      const asked =
        answersFile === null
          ? await readAsked(files, options, progress)
          : await readAndAsk(files, options, progress, answersFile);
      progress.at("Checking the strips");
      const { trial, text } = checked(asked, options.output);
      progress.done();
      await writeWhole([{ path: options.output, content: text }], overwrite);
      process.exitCode = trial.strips.length > 0 ? exitCodes.done : exitCodes.noAnswer;
      return;
    });
}

/** The farm's strips once checked, and the text that says so. */
function checked(farm: Farm, output: string): { trial: Trial; text: string } {
  const trial = checkFarm(farm);
  const seedPrices = new Map(
    [...new Set(trial.strips.map((strip) => strip.variety))].map((variety) => {
      const lot = farm.settings.lots.find((one) => one.variety === variety);
      return [variety, pricePerThousandViable(lot, farm.settings)];
    }),
  );
  return { trial, text: checkText(trial, { ...farm, seedPrices }, styleFor(output)) };
}

/** Every client of a folder, one after the other. */
async function checkClients(
  files: readonly string[],
  options: CheckOptions,
  progress: Progress,
): Promise<void> {
  const overwrite = options.overwrite === true;
  await checkOutputs([options.output], overwrite);
  const { clients } = await readClients(onlyFolder(files), options, progress);
  progress.at("Checking the strips of all clients");
  const texts = clients.map(
    ({ name, farm }) =>
      `${plainLine(name)}\n${"=".repeat(name.length)}\n${checked(farm, options.output).text}`,
  );
  progress.done();
  await writeWhole([{ path: options.output, content: texts.join("\n") }], overwrite);
}
