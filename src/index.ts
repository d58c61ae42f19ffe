/**
 * What other programs may use: a farm's files → curves and rates → pages, and next season's strips.
 *
 * Nothing here touches disk, clock or network, and all of it runs in a browser too. What is written behind `console.log`
 * is what it prints.
 *
 * @example From a farm's files to its report. Each file is recognized by its content.
 * ```js
 * import { readFile } from "node:fs/promises";
 * import { analyzeFarm, readFarm, reportFarm } from "stripcurve";
 *
 * const names = ["strips-2024.csv", "strips-2025.csv", "strips-2026.csv", "lots.csv", "season.yaml"];
 * const files = names.map(async (name) => ({ name, bytes: await readFile(`data-demo/${name}`) }));
 * const farm = await readFarm(await Promise.all(files));
 * console.log(farm.files.map((file) => file.as)); // [ 'strips', 'strips', 'strips', 'lots', 'season' ]
 *
 * const result = analyzeFarm(farm);
 * const builtFile = (name) => readFile(`dist/${name}`, "utf8");
 * const maker = { builtFile, date: "2026-12-01" };
 * const [report] = await reportFarm(result, maker, { reader: "grower", files: farm.stripFiles });
 * console.log(report.name, report.content.startsWith("<!doctype html>")); // report.html true
 * ```
 *
 * @example Next season's strips, as a farm that has none yet would ask for them.
 * ```js
 * import { planTrial, readFarm, reportPlan } from "stripcurve";
 * import { readFile } from "node:fs/promises";
 *
 * const farm = await readFarm([]);
 * const wishes = {
 *   fieldLength: "1200 ft", fieldWidth: "1320 ft", drillWidth: "40 ft", combineWidth: "35 ft",
 *   varieties: ["Alder"], expectedYield: "60 bu/ac", strips: 12,
 * };
 * const plan = planTrial(farm, wishes, { thisYear: 2027, callWish: (name) => name, onPaper: false });
 * const maker = { builtFile: (name) => readFile(`dist/${name}`, "utf8"), date: "2026-12-01" };
 * console.log((await reportPlan(plan, maker, [])).map((file) => file.name)); // [ 'field-sheet.csv', 'field-map.svg', 'plan.html' ]
 * ```
 *
 * @example From the text of a file to next season's rate.
 * ```js
 * import { analyze, decideAgain, defaultSettings, defaultUnits, readTrial } from "stripcurve";
 *
 * const rows = [2024, 2025].flatMap((season) =>
 *   [0.8, 1.1, 1.4, 1.7].flatMap((rate) =>
 *     [1, 2, 3].map((block) => {
 *       const bushels = 64 - 30 * Math.max(0, 1.3 - rate) ** 2 + block / 2 + (season - 2024);
 *       return ["Alder", season, block, rate, bushels.toFixed(1)].join();
 *     }),
 *   ),
 * );
 * const text = ["variety,season,block,rate (million/ac),yield (bu/ac)", ...rows].join("\n");
 * const file = { name: "strips.csv", bytes: new TextEncoder().encode(text) };
 *
 * const trial = readTrial([file], defaultSettings, defaultUnits);
 * const result = analyze(trial, defaultSettings, defaultUnits);
 * console.log(result.rows); // { read: 24, used: 24, leftOut: 0 }
 * console.log(result.next.map(({ variety, economicOptimum }) => [variety, economicOptimum.kind])); // [ [ 'Alder', 'found' ] ]
 *
 * // A price moves: nothing is fitted again.
 * const dearer = decideAgain(result, { ...defaultSettings, seedPricePerThousand: 0.1 });
 * const rateOf = ({ next }) => next[0].economicOptimum.rateSeedsPerM2;
 * console.log(rateOf(dearer) < rateOf(result)); // true
 * ```
 *
 * @example What cannot be read is an error with a code and a message for people.
 * ```js
 * import { defaultSettings, defaultUnits, readTrial, TrialError } from "stripcurve";
 *
 * const file = { name: "strips.csv", bytes: new TextEncoder().encode("variety,season,rate\nAlder,2024,1.2") };
 * try {
 *   readTrial([file], defaultSettings, defaultUnits);
 * } catch (error) {
 *   console.log(error instanceof TrialError, error.code); // true column-missing
 * }
 * ```
 *
 * @example Settings from a season file, and the units that people use.
 * ```js
 * import { readSeason } from "stripcurve";
 *
 * const bytes = new TextEncoder().encode("crop: barley\nunits: metric\n");
 * const { settings, units } = readSeason({ name: "season.yaml", bytes });
 * console.log(settings.crop, units.system); // barley metric
 * ```
 *
 * @packageDocumentation
 */
export { takeFiles, type FarmFile, type FileKind, type TakenFile } from "./farm/farm-files.ts";
export type { Farm } from "./farm/farm.ts";
export { checkFarm, readFarm, type FarmOptions } from "./farm/read-farm.ts";
export { analyzeFarm } from "./farm/analyze-farm.ts";
export { reportFarm, type FarmOutput, type Reader, type ReportChoice } from "./farm/report-farm.ts";
export { reportClients, type ClientsProgress } from "./farm/report-clients.ts";
export { joinClients, splitClients, type Client, type Clients } from "./farm/clients.ts";
export { changesSince } from "./farm/changes-since.ts";
export {
  planTrial,
  reportPlan,
  type PlanOptions,
  type PlanStep,
  type PlanWishes,
  type WishName,
} from "./farm/plan-trial.ts";
export type { PageMaker } from "./farm/page-maker.ts";
export { numberStyleOf } from "./farm/number-style.ts";
export { readTrial } from "./read/trial-files.ts";
export { readLots } from "./read/lots.ts";
export { readSeason } from "./read/season-file/season.ts";
export { seasonTemplate } from "./read/season-file/season-template.ts";
export { openLots, openSheets, openStrips, type SortedSheets } from "./read/tables/open-sheets.ts";
export { gridSheet, type MergedCells, type Sheet } from "./read/tables/sheet.ts";
export { questionsOf } from "./farm/questions.ts";
export { mergeAnswers, noAnswers, QuestionError } from "./read/answers/answers.ts";
export { answersText, readAnswers } from "./read/answers/answers-file.ts";
export { holdsWhat } from "./read/tables/open-sheets.ts";
export { locateTables, type TablePlace, type TitleRow } from "./read/tables/locate.ts";
export type * from "./read/answers/answers.ts";
export { lotsSchema, seasonSchema, stripsSchema } from "./read/schemas.ts";
export type { InputFile } from "./read/tables/input-file.ts";
export type { LotsRead } from "./read/lots.ts";
export type { Season, TypedEntry } from "./read/season-file/season.ts";
export type { Schema } from "./read/schemas.ts";
export { checkTrial } from "./check/index.ts";
export { analyze, type AnalysisStep } from "./analyze.ts";
export { decideAgain } from "./decide/decide.ts";
export { defaultSettings, defaultUnits } from "./vocabulary/settings.ts";
export type * from "./vocabulary/settings.ts";
export type * from "./vocabulary/trial.ts";
export { TrialError } from "./vocabulary/trial.ts";
export type * from "./vocabulary/result.ts";
export type * from "./vocabulary/pooled-result.ts";
export type * from "./vocabulary/strip-plan.ts";
export type { KnownVariety } from "./plan/candidate.ts";
export type { VarietyWishes } from "./plan/know-varieties.ts";
export type { Outlook } from "./plan/outlook.ts";
export { knowVarieties } from "./plan/know-varieties.ts";
export { planStrips } from "./plan/plan-strips.ts";
export { csvTables } from "./tell/csv/index.ts";
export { jsonPieces } from "./tell/json.ts";
export { chartFiles, type ChartFile } from "./tell/chart-files.ts";
export { checkText } from "./tell/terminal/check-text.ts";
export { fitText } from "./tell/terminal/fit-text.ts";
export { planText } from "./tell/terminal/plan-text.ts";
export { colouredTextStyle, plainTextStyle, type TextStyle } from "./tell/terminal/text-table.ts";
export type { Earlier } from "./tell/wording/since.ts";
export type { NumberStyle } from "./numbers/written-numbers.ts";
export { areaAngleIndex, belgianIndex, convertLodging, parseLodgingScale } from "./numbers/lodging-scales.ts";
