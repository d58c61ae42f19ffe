/** What a person who does not see, or cannot use a mouse, would stumble over. */
import axe from "axe-core";
import type { Page } from "playwright-core";

/** Faults that axe-core finds serious or critical, each with some of its places. The page must allow scripts. */
export async function seriousFaults(page: Page): Promise<string[]> {
  await page.evaluate(axe.source);
  const found = await page.evaluate(() =>
    (window as unknown as { axe: typeof axe }).axe.run(document, {
      runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    }),
  );
  return found.violations
    .filter(({ impact }) => impact === "serious" || impact === "critical")
    .map(
      ({ id, nodes }) =>
        `${id}: ${nodes
          .map((node) => node.html.slice(0, 120))
          .slice(0, 3)
          .join(" | ")}`,
    );
}

/** Unfolds all that is folded, so that it is looked at too. */
export const openDetails = (page: Page): Promise<void> =>
  page.evaluate(() => document.querySelectorAll("details").forEach((one) => (one.open = true)));
