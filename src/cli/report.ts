/** `stripcurve report`: the page for grower, agronomist and teacher. */
import { join } from "node:path";
import { Option, type Command } from "commander";
import {
  clientsNeedFolder,
  sinceInLesson,
  sinceWithFolder,
  varietyWithoutLesson,
} from "../messages/options.ts";
import { splitClients, type Clients } from "../farm/clients.ts";
import type { PageMaker } from "../farm/page-maker.ts";
import type { Farm } from "../farm/farm.ts";
import { analyzeFarm } from "../farm/analyze-farm.ts";
import { checkFarm } from "../farm/read-farm.ts";
import { reportClients, type ClientsProgress } from "../farm/report-clients.ts";
import { reportFarm } from "../farm/report-farm.ts";
import type { Earlier } from "../tell/wording/since.ts";
import type { Result } from "../vocabulary/result.ts";
import { readAsked } from "./asked.ts";
import { callCrew, type Crew } from "./client-crew.ts";
import { onlyFolder, readClients } from "./client-folder.ts";
import { exitCodes } from "./exit-codes.ts";
import {
  checkFolder,
  checkOutputs,
  isFolder,
  makeFolder,
  readInput,
  removeEmptyFolder,
  standardStream,
  writeWhole,
  type OutputFile,
} from "./files.ts";
import { localeOption } from "./locale.ts";
import { Progress, say, sayFindings, sayNoAnswer } from "./messages.ts";
import { clearMemoryBesideThreads, clearMemorySooner } from "./memory.ts";
import { hasOwnProcess } from "./own-process.ts";
import { pageMaker } from "./page-maker.ts";
import { pictureFiles } from "./picture-files.ts";
import { analyzeInThreads } from "./two-threads.ts";
import {
  addOverwriteOption,
  addStripsOptions,
  type OutputOptions,
  type SharedOptions,
} from "./shared-options.ts";

interface ReportOptions extends SharedOptions, OutputOptions {
  output: string;
  reader?: "grower" | "agronomist" | "educator";
  variety?: string;
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
  stripcurve report clients/ -o clients-report/
      A summary of all clients, and a page for each: a file in clients/ is a client, or a folder with its strips, its own
      lots.csv and season.yaml. Given files instead of a folder, each farm named in them is a client.
  stripcurve report strips-*.csv --lots lots.csv --reader educator -o lesson.html
      A lesson on rate response with these strips, to project: step by step, answers hidden.
  stripcurve report strips-*.csv --since last-year.json -o report.html
      What changed since last year, and why. Last year's file came from: stripcurve fit --json -o last-year.json
  stripcurve report strips-*.csv --charts slides/ -o report.html
      Also every chart, as a picture for slides and as a spec for other programs.
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
      "CSV files of strips, or - for standard input; or a folder of an agronomist's clients",
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
        "a page for another reader instead of the report of one farm: two printed pages for a grower, many clients for an agronomist, a lesson for an educator",
      ).choices(["grower", "agronomist", "educator"]),
    )
    .option("--variety <name>", "variety that a lesson is about; otherwise the one with most to show")
    .option(
      "--since <file>",
      "say what changed since an earlier result, and why; the file comes from stripcurve fit --json",
    )
    .option(
      "--charts <folder>",
      "also write every chart there, as SVG, PNG and Vega-Lite spec; it is made if it is not there",
    )
    .addOption(localeOption());
  addStripsOptions(addOverwriteOption(command))
    .addHelpText("after", examples)
    .action(async (files: string[], options: ReportOptions) => {
      const quiet = options.quiet === true;
      const maker = pageMaker(options.locale);
      const progress = new Progress(quiet);
      const overwrite = options.overwrite === true;
      const { farm, clients } = await readWanted(files, options, progress);
      const page = clients === null ? options.output : join(options.output, "index.html");
      await checkOutputs([page], overwrite, clients !== null);
      if (options.charts !== undefined) await checkFolder(options.charts);
      const earlier = options.since === undefined ? undefined : await readEarlier(options.since, farm, maker);
      const work = { options, maker, earlier, progress };
      const result = clients === null ? await writeFarm(farm, work) : await writeClients(clients, farm, work);
      if (!quiet && options.output !== standardStream) say(`Wrote ${options.output}.`);
      if (!quiet && options.charts !== undefined) say(`Wrote the charts into ${options.charts}.`);
      if (result.next.length > 0 || (clients !== null && clients.clients.length > 0)) return;
      sayNoAnswer(result);
      process.exitCode = exitCodes.noAnswer;
    });
}

/** What all that is written is made with. */
interface Work {
  options: ReportOptions;
  maker: PageMaker;
  earlier: Earlier | undefined;
  progress: Progress;
}

/** Everything is drawn before anything is written. */
async function writeFarm(farm: Farm, work: Work): Promise<Result> {
  const { options, maker, earlier, progress } = work;
  const result = await analyzeInThreads(farm, progress.analysis);
  progress.at("Drawing the report");
  const pages = await reportFarm(result, maker, {
    reader: options.reader,
    files: farm.stripFiles,
    earlier,
    variety: options.variety,
  });
  const written: OutputFile[] = pages.map(({ content }) => ({ path: options.output, content }));
  written.push(...(await drawPictures(result, work)));
  sayWhatWasFound([result], work);
  await writeWhole(written, options.overwrite === true);
  return result;
}

/** Clients are drawn on every core that is ours, and each page goes to the disk as soon as it is drawn. */
async function writeClients(clients: Clients, farm: Farm, work: Work): Promise<Result> {
  const { options, maker, earlier, progress } = work;
  clearMemoryBesideThreads();
  const crew = hasOwnProcess()
    ? callCrew({ locale: options.locale, date: maker.date }, clients.clients.length + 1)
    : null;
  const isNew = await makeFolder(options.output);
  try {
    const analyzed = analyzeTogether(farm, crew, progress);
    const pages = reportClients(clients, analyzed, maker, earlier, clientSteps(progress), crew ?? undefined);
    async function* written(): AsyncGenerator<OutputFile> {
      for await (const { name, content } of pages) yield { path: join(options.output, name), content };
      const result = await analyzed();
      yield* await drawPictures(result, work);
      sayWhatWasFound(clients.clients.map(foundAtClient), work);
    }
    await writeWhole(written(), options.overwrite === true);
    return await analyzed();
  } catch (error) {
    if (isNew) await removeEmptyFolder(options.output);
    throw error;
  } finally {
    await crew?.leave();
  }
}

/** So many strips are held once only: they are fitted when no thread is left that would hold others. */
const veryManyStrips = 50_000;

/** All strips together: beside the clients, or after them where that would take too much memory. */
function analyzeTogether(farm: Farm, crew: Crew | null, progress: Progress): () => Promise<Result> {
  let together: Promise<Result> | null = null;
  if (crew !== null && farm.trial.strips.length <= veryManyStrips) {
    together = crew.analyze(farm);
    // Told of by the summary, which waits for it.
    together.catch(() => undefined);
  }
  const alone = async (): Promise<Result> => {
    await crew?.leave();
    progress.at("Fitting the strips of all clients together");
    clearMemorySooner();
    return analyzeFarm(farm);
  };
  return () => (together ??= alone());
}

async function drawPictures(result: Result, { options, maker, progress }: Work): Promise<OutputFile[]> {
  if (options.charts === undefined) return [];
  progress.at("Drawing the charts");
  const pictures = await pictureFiles(result, options.charts, maker.numbers);
  await makeFolder(options.charts);
  return pictures;
}

function sayWhatWasFound(
  found: readonly Pick<Result, "rows" | "findings">[],
  { options, progress }: Work,
): void {
  progress.done();
  if (options.quiet !== true) sayFindings(found);
}

/** What `check` finds at a client; what its curves show is on its page. */
function foundAtClient({ farm }: Clients["clients"][number]): Pick<Result, "rows" | "findings"> {
  const { strips, rowsLeftOut, findings } = checkFarm(farm);
  return { rows: { read: strips.length + rowsLeftOut, used: strips.length, leftOut: rowsLeftOut }, findings };
}

/** Loaded when asked for: what holds a file against the schema takes its time. */
const readEarlier = async (path: string, farm: Farm, maker: PageMaker): Promise<Earlier> =>
  (await import("../farm/changes-since.ts")).changesSince(await readInput(path), farm, maker);

const clientSteps = (progress: Progress): ClientsProgress => ({
  client: (name, number, of) => progress.at(`Fitting and drawing ${name}, ${number} of ${of}`),
  summary: () => progress.at("Drawing the summary"),
});

/** What is to be read; for an agronomist's many clients, of each one too. */
async function readWanted(
  paths: string[],
  options: ReportOptions,
  progress: Progress,
): Promise<{ farm: Farm; clients: Clients | null }> {
  if (options.reader === "educator" && options.since !== undefined) throw sinceInLesson();
  if (options.variety !== undefined && options.reader !== "educator") throw varietyWithoutLesson();
  const isClients = (await Promise.all(paths.map(isFolder))).includes(true);
  const forAgronomist = options.reader === "agronomist" || (options.reader === undefined && isClients);
  if (!forAgronomist) return { farm: await readAsked(paths, options, progress), clients: null };
  let clients: Clients | null;
  if (isClients) {
    const folder = onlyFolder(paths);
    if (options.since !== undefined) throw sinceWithFolder();
    clearMemorySooner();
    clients = await readClients(folder, options, progress);
  } else {
    const farm = await readAsked(paths, options, progress);
    clients = splitClients(farm);
    if (clients === null) return { farm, clients };
  }
  if (options.output === standardStream || /\.html?$/i.test(options.output))
    throw clientsNeedFolder(clients.clients.length);
  return { farm: clients.all, clients };
}
