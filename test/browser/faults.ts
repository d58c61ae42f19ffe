/** What a person who does not see, or cannot use a mouse, would stumble over. */
import axe, { type RunOptions } from "axe-core";
import type { Page } from "playwright-core";

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
