/** What a person who does not see, or cannot use a mouse, would stumble over. */
import axe, { type RunOptions } from "axe-core";
import type { Page } from "playwright-core";
import { expect } from "vitest";

const rules = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];
/** The rules of axe-core whose outcome depends on colours (its list of rules, 4.14). */
const ofColours = ["color-contrast", "link-in-text-block"];

/**
 * Faults that axe-core finds serious or critical, each with some of its places. The page must allow scripts.
 *
 * Where the page is tried in light as well, the dark one differs by its colours alone, and so only they are gone over.
 *
 * @param within selector of the parts that are gone over, the whole page where not said
 */
export async function seriousFaults(
  page: Page,
  colours: "light" | "dark" = "light",
  within?: string,
): Promise<string[]> {
  if (await page.evaluate(() => !("axe" in window))) await page.evaluate(axe.source);
  const runOnly: RunOptions["runOnly"] = colours === "light" ? rules : { type: "rule", values: ofColours };
  // Neither the source of every node nor a list of what is right: both take half of the time.
  const found = await page.evaluate(
    ([only, place]) => {
      const { axe: here } = window as unknown as { axe: typeof axe };
      here.configure({ noHtml: true });
      // What is in a frame is gone over as a page of its own: axe would wait for an answer from there.
      return here.run(place ?? document, { runOnly: only, resultTypes: ["violations"], iframes: false });
    },
    [runOnly, within] as const,
  );
  return found.violations
    .filter(({ impact }) => impact === "serious" || impact === "critical")
    .map(
      ({ id, nodes }) =>
        `${id}: ${nodes
          .map((node) => node.target.join(" ").slice(0, 120))
          .slice(0, 3)
          .join(" | ")}`,
    );
}

/** Unfolds all that is folded, so that it is looked at too. */
export const openDetails = (page: Page): Promise<void> =>
  page.evaluate(() => document.querySelectorAll("details").forEach((one) => (one.open = true)));

/**
 * Takes out of each table, list and chart those of many rows, choices or marks that are like others beside them: made
 * by the same code, one has the faults that all have. Alike are those with the same tags, classes, roles, styles and names
 * of attributes, with words in the same places; of them the first three and the last stay, so that what is shaded by turns
 * and what ends a table is there. Of the figures with one chart, each about another variety, the first and the last stay.
 *
 * Names that point to one another are looked at before: none may be given twice.
 */
export async function thinOut(page: Page): Promise<void> {
  const twice = await page.evaluate(() => {
    const ids = [...document.querySelectorAll("[id]")].map(({ id }) => id);
    const found = ids.filter((id, index) => ids.indexOf(id) !== index);
    const likeness = (one: Element): string => {
      const attributes = [...one.attributes].map(({ name, value }) =>
        ["class", "role", "scope", "style", "tabindex"].includes(name) || value.trim() === ""
          ? `${name}=${value}`
          : name,
      );
      const words = [...one.childNodes].some((node) => node.nodeType === 3 && /\S/.test(node.nodeValue!));
      return `<${one.tagName} ${attributes.sort().join(" ")}>${words}${[...one.children].map(likeness).join("")}</>`;
    };
    for (const figure of document.querySelectorAll<HTMLElement>("figure[data-chart]")) {
      const ofChart = document.querySelectorAll(`figure[data-chart="${figure.dataset["chart"]}"]`);
      [...ofChart].slice(1, -1).forEach((one) => one.remove());
    }
    for (const many of document.querySelectorAll("tbody, select, svg g")) {
      const alike = new Map<string, Element[]>();
      for (const one of many.children) {
        const like = likeness(one);
        alike.set(like, [...(alike.get(like) ?? []), one]);
      }
      for (const all of alike.values()) for (const one of all.slice(3, -1)) one.remove();
    }
    return found;
  });
  expect(twice, "ids that are given twice").toEqual([]);
}
