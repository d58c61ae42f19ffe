/** The report: one file that holds everything, works from a disk, without a network and with scripts off. */
import type { NeedsMore, Result } from "../vocabulary/result.ts";
import { chartDrawer } from "./draw-charts.ts";
import { clientsPage } from "./html/clients-page.ts";
import { farmPage } from "./html/farm-page.ts";
import { growerPage } from "./html/grower-page.ts";
import { lessonPage } from "./html/lesson-page.ts";
import type { PageParts } from "./html/page-parts.ts";
import type { Client, Trouble } from "./wording/clients.ts";
import type { DoubledPrices } from "./wording/lesson.ts";
import { measuresOf } from "../numbers/measures.ts";
import { plainStyle } from "../numbers/written-numbers.ts";

/**
 * The report as HTML text.
 *
 * @param parts scripts, style and what is said of the run; the page allows no other script or style
 * @returns the whole file
 */
export function tellPage(
  result: Result,
  parts: PageParts,
  kind: "farm" | "grower" = "farm",
): Promise<string> {
  const measures = measuresOf(result, parts.numbers ?? plainStyle);
  const page = kind === "grower" ? growerPage : farmPage;
  return page(result, parts, measures, chartDrawer(measures, parts.later));
}

/**
 * The lesson as HTML text.
 *
 * @param doubled the same decision with prices doubled
 * @param variety that it is about; otherwise the one with most to show
 */
export function tellLesson(
  result: Result,
  doubled: DoubledPrices,
  parts: PageParts,
  variety?: string,
): Promise<string> {
  const measures = measuresOf(result, parts.numbers ?? plainStyle);
  return lessonPage(result, doubled, parts, measures, chartDrawer(measures, parts.later), variety);
}

/**
 * The summary of many clients as HTML text.
 *
 * @param clients each with the result of its own strips
 * @param all     result of all strips together
 * @param needsMore  which of two varieties needs more seed, surest first
 * @param troubles  clients that are told in part or not at all
 */
export function tellClients(
  clients: readonly Client[],
  all: Result,
  needsMore: readonly NeedsMore[],
  parts: PageParts,
  troubles: readonly Trouble[] = [],
): Promise<string> {
  const measures = measuresOf(all, parts.numbers ?? plainStyle);
  return clientsPage(clients, all, needsMore, troubles, parts, measures, chartDrawer(measures, parts.later));
}
