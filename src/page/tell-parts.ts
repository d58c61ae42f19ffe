/** Words and tables that follow a moved price, told anew by the functions that told them in the report. */
import type { Result } from "../vocabulary/result.ts";
import { methodTold } from "../tell/html/background.ts";
import { drillSection, lateSection } from "../tell/html/drill.ts";
import { drillCards } from "../tell/html/drill-cards.ts";
import { fitsTable } from "../tell/html/fits.ts";
import { isolateNames } from "../tell/html/isolate-names.ts";
import { escapeHtml, type Markup } from "../tell/html/markup.ts";
import { nextTable } from "../tell/html/next-table.ts";
import { pricesUsed } from "../tell/html/prices.ts";
import { pooledTables, varietiesTogether } from "../tell/html/seasons-together.ts";
import { growerVariety, varietyAnswer, varietyDetail } from "../tell/html/variety-answer.ts";
import type { Measures } from "../numbers/measures.ts";
import { drillText } from "../tell/wording/drill-settings.ts";
import { headline } from "../tell/wording/next.ts";
import { isFolded } from "./folded.ts";

/** Of each part by its name in the page. */
const tellers: Record<
  string,
  (result: Result, measures: Measures, subject: string) => Markup | string | null
> = {
  headline,
  next: (result, measures) => nextTable(result, measures),
  prices: pricesUsed,
  drill: drillSection,
  late: lateSection,
  cards: drillCards,
  "drill-text": drillText,
  variety: (result, measures, variety) => varietyAnswer(result, variety, measures),
  "variety-detail": (result, measures, variety) => varietyDetail(result, variety, measures),
  "grower-variety": (result, measures, variety) => growerVariety(result, variety, measures),
  method: methodTold,
  fits: (result, measures, variety) => fitsTable(result, variety, measures),
  together: varietiesTogether,
  pooled: pooledTables,
};

/**
 * Tells every part of the page for a result; a folded part when it is opened.
 *
 * @param report what the parts tell as they stand
 */
export function partsTeller(page: Document, report: Result, measures: Measures): (result: Result) => void {
  const told = new Map<Element, Result>();
  /** What is there is not read again by the browser. */
  const shown = new Map<Element, string>();
  let latest = report;
  const tell = (): void => {
    for (const element of page.querySelectorAll<HTMLElement>("[data-part]")) {
      if ((told.get(element) ?? report) === latest || isFolded(element)) continue;
      told.set(element, latest);
      const { part = "", subject = "" } = element.dataset;
      const words = tellers[part]?.(latest, measures, subject) ?? "";
      const isPlain = typeof words === "string";
      const text = isPlain ? words : words.text;
      if (shown.get(element) === text) continue;
      shown.set(element, text);
      if (isPlain && element.matches("textarea")) element.textContent = text;
      else element.innerHTML = isolateNames(isPlain ? escapeHtml(text) : text);
    }
  };
  page.addEventListener("toggle", tell, { capture: true });
  return (result) => {
    latest = result;
    tell();
  };
}
