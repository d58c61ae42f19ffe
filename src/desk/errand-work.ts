/** Does what the desk asks of the engine: bytes and typed words in, text and bytes out. Runs in the worker. */
import { parseDocument } from "yaml";
import type { StepsApart } from "../farm/analyze-farm.ts";
import { drillAdvice, drillCard } from "../farm/drill-card.ts";
import { packFarm, unpackFarm } from "../farm/farm-archive.ts";
import { takeEach, takeFiles, type FarmFile } from "../farm/farm-files.ts";
import { numberStyleOf } from "../farm/number-style.ts";
import { makesMany, type PageMaker } from "../farm/page-maker.ts";
import { planTrial, reportPlan } from "../farm/plan-trial.ts";
import { harvestStrips, reportHarvest } from "../farm/harvest.ts";
import type { Farm } from "../farm/farm.ts";
import { checkFarm, readFarmSeason } from "../farm/read-farm.ts";
import { questionsOf } from "../farm/questions.ts";
import { capitalized } from "../numbers/written-numbers.ts";
import {
  answersFileName,
  mergeAnswers,
  noAnswers,
  QuestionError,
  type Answers,
  type Question,
} from "../read/answers/answers.ts";
import { seasonPlannedOn } from "../numbers/calendar.ts";
import { answersText, readAnswers } from "../read/answers/answers-file.ts";
import type { TypedEntry } from "../read/season-file/season.ts";
import { decodeText } from "../read/tables/decode.ts";
import { holdsWhat, openSheets, toldByTab } from "../read/tables/open-sheets.ts";
import { readAmount } from "../read/units/amount.ts";
import { jsonPieces } from "../tell/json.ts";
import { planStep } from "../tell/wording/steps.ts";
import { crops } from "../vocabulary/crops.ts";
import type { Result } from "../vocabulary/result.ts";
import { TrialError } from "../vocabulary/trial.ts";
import {
  harvestWishLabels,
  type Answered,
  type DeskInput,
  type ErrandName,
  type Errands,
  type LookedFile,
  type Provisions,
} from "./errands.ts";
import { LastInput, type Begin } from "./last-input.ts";

type Asks<Name extends ErrandName> = Errands[Name]["ask"];
type Gives<Name extends ErrandName> = Errands[Name]["gives"];
type Work = {
  [Name in ErrandName]: (ask: Asks<Name>, begin: Begin) => Promise<Gives<Name>> | Gives<Name>;
};

/**
 * @param today ISO date for pages, where the person is
 * @param stepsNow steps of an analysis in a second thread, once there is one
 */
export function errandWork(
  { built, pageScript }: Provisions,
  today: () => string,
  stepsNow: () => StepsApart | null = () => null,
): Work {
  const making = makesMany({
    builtFile: (name) => (name === "page.js" ? new TextDecoder().decode(pageScript) : (built[name] ?? "")),
  });
  const maker = (locale: string): PageMaker => ({
    ...making,
    date: today(),
    numbers: numberStyleOf(locale),
  });
  const last = new LastInput(maker, stepsNow);
  return {
    look,
    answer: ({ input }, begin) => answer(last, input, begin),
    async report(ask, begin) {
      const { page, inOrder } = await last.reportOf(ask, begin);
      return { html: page, inOrder };
    },
    async parts({ wanted, ...ask }) {
      const report = await last.reportOf(ask, silently);
      const made = wanted.map(async (number) => ({ number, part: await report.part(number) }));
      return { parts: await Promise.all(made) };
    },
    async wholeReport(ask) {
      return { html: await (await last.reportOf(ask, silently)).whole() };
    },
    async json({ input }, begin) {
      const { result } = await last.resultOf(input, begin);
      return { text: [...jsonPieces(result)].join("") };
    },
    async plan({ input, wishes, locale }, begin) {
      const farm = await last.farmOf(input);
      const plan = planTrial(farm, wishes, {
        thisYear: seasonPlannedOn(today()),
        callWish: wishWords,
        begin: (step) => begin(planStep(step)),
      });
      begin("Drawing the plan");
      return { outputs: await reportPlan(plan, maker(locale), farm.stripFiles) };
    },
    harvest: (ask, begin) => harvest(ask, maker, begin),
    async drill({ input, wishes }, begin) {
      const { farm, result } = await last.resultOf(input, begin);
      return { text: drillCard(farm, wishes, drillAdvice(result, wishes.variety)).text };
    },
    answers: ({ input }) => answersFile(last, input),
    pack({ files, typed, answers, leftOut }) {
      const reasons =
        leftOut === null ? [] : [{ name: "left-out.md", bytes: new TextEncoder().encode(leftOut) }];
      return { bytes: packFarm([...withAnswers(withTyped(files, typed), answers), ...reasons]) };
    },
  };
}

const silently = (): void => undefined;

/** A failure in words: our own messages as they are, anything unforeseen with a way to go on. */
function toldOf(error: unknown): string {
  if (error instanceof TrialError) return error.message;
  return `Something went wrong in this page: ${error instanceof Error ? error.message : String(error)}. Nothing is lost: save your farm file, and open the desk again.`;
}

/** `fieldLength` is "Field length" in a message. */
const wishWords = (name: string): string =>
  capitalized(name.replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`));

async function look({ files }: Asks<"look">, begin: Begin): Promise<Gives<"look">> {
  begin("Opening the files");
  const looked: LookedFile[] = [];
  for (const file of files) {
    try {
      for (const one of unpackFarm([file])) looked.push(await lookInto(one));
    } catch (error) {
      looked.push({ ...file, as: null, problem: toldOf(error), sheets: [] });
    }
  }
  return { files: looked };
}

async function lookInto(file: FarmFile): Promise<LookedFile> {
  const [taken] = await takeFiles([file]);
  const { as, problem } = taken!;
  const { name, bytes } = file;
  if (problem !== null) return { name, bytes, as, problem: problem.message, sheets: [] };
  // Points are not rows to mend, and there are very many.
  if (as !== null && as !== "strips" && as !== "lots") return { name, bytes, as, problem: null, sheets: [] };
  try {
    const sheets = (await openSheets(file)).map((sheet) => {
      const rows: string[][] = [];
      sheet.forEach((cells) => void rows.push(cells));
      return {
        file: sheet.file,
        tab: sheet.tab,
        holds: holdsWhat(sheet, noAnswers),
        toldByTab: toldByTab(sheet),
        delimiter: sheet.usualMark === "point" ? ("," as const) : (";" as const),
        rows,
      };
    });
    return { name, bytes, as, problem: null, sheets };
  } catch (error) {
    return { name, bytes, as, problem: toldOf(error), sheets: [] };
  }
}

async function answer(last: LastInput, input: DeskInput, begin: Begin): Promise<Answered> {
  begin("Reading the strips");
  try {
    const { farm, result } = await last.resultOf(input, begin);
    return answered(farm, result);
  } catch (error) {
    const problem = toldOf(error);
    const farm = last.farmRead(input);
    if (farm !== null) return checkedOnly(farm, problem);
    return unread(problem, error instanceof QuestionError ? [...error.questions] : []);
  }
}

const answered = (farm: Farm, result: Result): Answered => ({
  problem: null,
  questions: questionsOf(farm),
  findings: result.findings,
  columns: farm.trial.columns,
  rows: result.rows,
  varieties: [...new Set(farm.trial.strips.map(({ variety }) => variety))].sort(),
  answered: result.next.length > 0,
  units: farm.units.system,
  remarks: farm.remarks,
});

function checkedOnly(farm: Farm, problem: string): Answered {
  const { strips, columns, findings, rowsRead, rowsLeftOut } = checkFarm(farm);
  return {
    problem,
    questions: questionsOf(farm),
    findings,
    columns,
    rows: { read: rowsRead, used: strips.length, leftOut: rowsLeftOut },
    varieties: [...new Set(farm.trial.strips.map(({ variety }) => variety))].sort(),
    answered: false,
    units: farm.units.system,
    remarks: farm.remarks,
  };
}

const unread = (problem: string, questions: Question[]): Answered => ({
  problem,
  questions,
  findings: [],
  columns: [],
  rows: { read: 0, used: 0, leftOut: 0 },
  varieties: [],
  answered: false,
  units: "us",
  remarks: [],
});

/** Strips made from points, with widths read in the units of the farm's season file. */
async function harvest(
  { input, files, wishes, locale }: Asks<"harvest">,
  maker: (locale: string) => PageMaker,
  begin: Begin,
): Promise<Gives<"harvest">> {
  begin("Making strips of the points");
  const taken = await takeEach(input.files);
  const seasonFile = taken.find(({ as }) => as === "season")?.file ?? null;
  const { settings, units } = readFarmSeason(seasonFile, input.typed);
  const width = (text: string, name: string): number | null =>
    text === "" ? null : readAmount(text, "length", units, crops[settings.crop], name);
  const { harvested, seeded, sheet, weighed } = files;
  const made = await harvestStrips(harvested, seeded, sheet, {
    crop: settings.crop,
    system: units.system,
    currency: units.currency,
    eachStepOff: true,
    ...wishes,
    weighed: weighed === null ? null : { file: weighed, use: wishes.calibrate },
    combineWidthM: width(wishes.combineWidth, harvestWishLabels["combine-width"]),
    drillWidthM: width(wishes.drillWidth, harvestWishLabels["drill-width"]),
    callWish: (name, value) => `“${harvestWishLabels[name]}”${value === undefined ? "" : `: ${value}`}`,
  });
  begin("Drawing the maps");
  const names = [...harvested, ...seeded, sheet, weighed].flatMap((file) => file?.name ?? []);
  return {
    name: harvested[0]!.name.replace(/(?:\.\w+)?$/, "-strips.csv"),
    csv: made.csv,
    html: await reportHarvest(made, maker(locale), names),
  };
}

async function answersFile(last: LastInput, input: DeskInput): Promise<Gives<"answers">> {
  try {
    const farm = await last.farmOf(input);
    return { text: answersText(farm.answers, questionsOf(farm)) };
  } catch (error) {
    const open = error instanceof QuestionError ? error.questions : [];
    return { text: answersText(answersIn(input.files, input.answers), open) };
  }
}

/** The season file with what was typed in the page, comments kept; a new one where there is none. */
function withTyped(files: FarmFile[], typed: readonly TypedEntry[]): FarmFile[] {
  if (typed.length === 0) return files;
  const season = files.find(({ as }) => as === "season");
  const document = parseDocument(season === undefined ? "" : decodeText(season.bytes, season.name).text);
  for (const { key, text } of typed) document.set(key, document.createNode(text));
  const bytes = new TextEncoder().encode(String(document));
  const named: FarmFile = { name: season?.name ?? "season.yaml", bytes, as: "season" };
  return [...files.filter((file) => file !== season), named];
}

/** What a file of answers says, with what was answered since. */
function answersIn(files: readonly FarmFile[], since: Answers): Answers {
  const file = files.find(({ as }) => as === "answers");
  return file === undefined ? since : mergeAnswers(readAnswers(file), since);
}

/** The files with one file of all answers, where there are any. */
function withAnswers(files: FarmFile[], since: Answers): FarmFile[] {
  const before = files.find(({ as }) => as === "answers");
  const text = answersText(answersIn(files, since));
  if (text === answersText(noAnswers)) return files;
  const named: FarmFile = { name: answersFileName, bytes: new TextEncoder().encode(text), as: "answers" };
  return [...files.filter((file) => file !== before), named];
}
