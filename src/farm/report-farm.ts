/** A result → the page of whoever reads it. */
import { noSuchLesson } from "../messages/planning.ts";
import { tellLesson, tellPage } from "../tell/html.ts";
import type { PageKind } from "../tell/html/page-parts.ts";
import type { Earlier } from "../tell/wording/since.ts";
import type { Result } from "../vocabulary/result.ts";
import { doublePrices } from "./double-prices.ts";
import { pageParts, type PageMaker } from "./page-maker.ts";

/** `farm`: everything about one farm. `grower`: two printed pages. `agronomist`: every fit laid open. `educator`: a lesson. */
export type Reader = "farm" | "grower" | "agronomist" | "educator";

/** A file to be kept or handed over. */
export interface FarmOutput {
  /** Name without folder. */
  name: string;
  /** Text, whole or in pieces, or bytes. */
  content: string | Iterable<string> | Uint8Array;
}

export interface ReportChoice {
  reader?: Reader;
  /** Names of the files read, as the page tells them: `stripFiles` of the farm. */
  files?: string[];
  /** For a lesson: the variety that it is about; otherwise the one with most to show. */
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
 * @returns a list of one, `report.html`; what is told of several clients has more (`reportClients`)
 */
export async function reportFarm(
  result: Result,
  maker: PageMaker,
  { reader = "farm", files = [], earlier, variety }: ReportChoice = {},
): Promise<FarmOutput[]> {
  const kind = pageOf[reader];
  if (variety !== undefined && !result.varieties.includes(variety))
    throw noSuchLesson(variety, result.varieties);
  const parts = { ...(await pageParts(kind, maker, files)), ...(earlier === undefined ? {} : { earlier }) };
  const content =
    kind === "lesson"
      ? await tellLesson(result, doublePrices(result), parts, variety)
      : await tellPage(result, { ...parts, everyCheck: reader === "agronomist" }, kind);
  return [{ name: "report.html", content }];
}
