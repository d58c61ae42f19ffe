/** Messages about options of the command that do not go together, or lack another. */
import { TrialError } from "../vocabulary/trial.ts";

export const standardInputTwice = (): TrialError =>
  new TrialError("standard-input-twice", "Standard input (-) can be one file only.");

/** @param name  of the option, such as `--season` */
export const optionTwice = (name: string): TrialError =>
  new TrialError(
    "option-twice",
    `${name} is given twice, and only one of the two could count. Give it once.`,
  );

/** @param flags  of options that a command cannot do without: `-o, --output <file>` */
export const optionsMissing = (flags: readonly string[]): string =>
  flags.length === 1
    ? `This option has to be given as well: ${flags[0]!}.`
    : `These options have to be given as well: ${flags.join("; ")}.`;

export const lotsSheetWithoutLots = (sheet: string): TrialError =>
  new TrialError(
    "lots-sheet-without-lots",
    `--lots-sheet ${JSON.stringify(sheet)} names a sheet of the lots, but no lots are given: add --lots with the workbook. Lots in the workbook of the strips are found without either.`,
  );

export const folderAndFiles = (): TrialError =>
  new TrialError("folder-and-files", "Give one folder of clients and nothing else, or files.");

/** @param troubles what keeps each client of the folder from being read */
export const folderWithoutClients = (
  folder: string,
  troubles: readonly { name: string; message: string }[],
): TrialError =>
  new TrialError(
    "folder-without-clients",
    [
      `${folder} holds no clients that can be read: put a table of strips (.csv, .xlsx) into it for each, or a folder of them.`,
      ...troubles.map(({ name, message }) => `  ${name}: ${message}`),
    ].join("\n"),
  );

export const sinceInLesson = (): TrialError =>
  new TrialError("since-in-lesson", "A lesson does not show what changed: leave out --since.");

export const varietyWithoutLesson = (): TrialError =>
  new TrialError(
    "variety-without-lesson",
    "--variety names the variety of a lesson: give --reader educator as well, or leave it out.",
  );

export const sinceWithFolder = (): TrialError =>
  new TrialError(
    "since-with-folder",
    "--since compares the strips of files, as stripcurve fit reads them: give files instead of a folder of clients.",
  );

export const clientsNeedFolder = (clients: number): TrialError =>
  new TrialError(
    "clients-need-folder",
    `There are ${clients} clients, each with a page: name a folder for them, such as -o report.`,
  );

export const noLot = (lots: string): TrialError => new TrialError("lot-missing", `${lots} holds no lot.`);

export const noLotOf = (lots: string, variety: string, has: readonly string[]): TrialError =>
  new TrialError("lot-missing", `${lots} has no lot of ${variety}. It has ${has.join(", ")}.`);

export const noAnswerIn = (files: readonly string[]): TrialError =>
  new TrialError("variety-missing", `${files.join(", ")} gives no answer, and no rate for a card.`);

export const noStripsOf = (files: readonly string[], variety: string, has: readonly string[]): TrialError =>
  new TrialError(
    "variety-missing",
    `${files.join(", ")} has no strips of ${variety}. It has ${has.join(", ")}.`,
  );

export const seedSizeTwice = (): TrialError =>
  new TrialError("seed-size-twice", "Give one of --seeds-per-lb, --seeds-per-kg and --tkw.");

export const noRateIn = (files: readonly string[]): TrialError =>
  new TrialError("rate-unknown", `${files.join(", ")} gives no rate: use --rate.`);

export const resultNotAlone = (path: string): TrialError =>
  new TrialError("result-not-alone", `${path} is a result: give it alone, without other files.`);

export const rateKnownTwice = (): TrialError =>
  new TrialError("rate-known-twice", "Give one of --rate, --stand and --row: the others follow.");

export const noRateGiven = (): TrialError =>
  new TrialError(
    "rate-unknown",
    "No rate is given: use --rate, --stand, --row or --caught, --from with a result, or --lots with today's rates.",
  );

export const noRateOfLot = (variety: string): TrialError =>
  new TrialError(
    "rate-unknown",
    `The lot of ${variety} has no rate_now: give it in the lots file, or give --rate for all lots.`,
  );

export const countIncomplete = (): TrialError =>
  new TrialError(
    "count-incomplete",
    'A count needs --plants and one of --in-row and --in-hoop, as in --plants 40 --in-row "3 ft".',
  );

export const weightsMissing = (): TrialError =>
  new TrialError("weights-missing", "--calibrate needs weights: give them with --weighed.");
