/** A result → a page for its reader. */
import { noSuchLesson } from "../messages/planning.ts";
import { tellLesson, tellPage } from "../tell/html.ts";
import type { PageKind } from "../tell/html/page-parts.ts";
import { PartsLater, seenFirst } from "../tell/html/parts-later.ts";
import type { Earlier } from "../tell/wording/since.ts";
import type { Result } from "../vocabulary/result.ts";
import { doublePrices } from "./double-prices.ts";
import { pageParts, type PageMaker } from "./page-maker.ts";

/** `farm`: everything about one farm. `grower`: two printed pages. `agronomist`: every fit shown. `educator`: a lesson. */
export type Reader = "farm" | "grower" | "agronomist" | "educator";

/** A file to keep or pass on. */
export interface FarmOutput {
  /** Name without folder. */
  name: string;
  /** Text, whole or in pieces, or bytes. */
  content: string | Iterable<string> | Uint8Array;
}

export interface ReportChoice {
  reader?: Reader;
  /** Names of the files read, as the page lists them: `stripFiles` of the farm. */
  files?: string[];
  /** For a lesson: the variety it is about; by default the one with most to show. */
  variety?: string | undefined;
  /** What `changesSince` found. */
  earlier?: Earlier;
}

const pageOf: Record<Reader, Exclude<PageKind, "clients" | "plan" | "harvest">> = {
  farm: "farm",
  agronomist: "farm",
  grower: "grower",
  educator: "lesson",
};

/**
 * The report on one farm: one HTML file that works offline, with its script and style inside.
 *
 * @param maker  built files, date and style of numbers
 * @throws TrialError `lesson-variety-unknown` for a variety without strips
 * @returns a list of one, `report.html`; reports on several clients have more (`reportClients`)
 */
export async function reportFarm(
  result: Result,
  maker: PageMaker,
  choice: ReportChoice = {},
): Promise<FarmOutput[]> {
  return [{ name: "report.html", content: await tellReport(result, maker, choice) }];
}

/** A report that can be read before its pictures are drawn. */
export interface ReportInParts {
  /** The page with a mark, `partMark`, for each part that is made when it is asked for. */
  page: string;
  /** Parts in sight first, then those that are folded away. */
  inOrder: number[];
  part(index: number): Promise<string>;
  /** As `reportFarm` gives it. */
  whole(): Promise<string>;
}

export async function reportInParts(
  result: Result,
  maker: PageMaker,
  choice: ReportChoice = {},
): Promise<ReportInParts> {
  const later = new PartsLater();
  const page = await tellReport(result, maker, choice, later);
  return {
    page,
    inOrder: seenFirst(page),
    part: (index) => later.part(index),
    async whole() {
      const filled = await later.fill(page);
      return later.isOther ? tellReport(result, maker, choice) : filled;
    },
  };
}

async function tellReport(
  result: Result,
  maker: PageMaker,
  { reader = "farm", files = [], earlier, variety }: ReportChoice,
  later?: PartsLater,
): Promise<string> {
  const kind = pageOf[reader];
  if (variety !== undefined && !result.varieties.includes(variety))
    throw noSuchLesson(variety, result.varieties);
  const parts = {
    ...(await pageParts(kind, maker, files)),
    ...(earlier === undefined ? {} : { earlier }),
    ...(later === undefined ? {} : { later }),
  };
  return kind === "lesson"
    ? tellLesson(result, doublePrices(result), parts, variety)
    : tellPage(result, { ...parts, everyCheck: reader === "agronomist" }, kind);
}
