/** The desk listens while a long table is edited: no task of the page's thread takes long, by its processor time. */
import { describe, expect, it } from "vitest";
import { longestTask, mostMs } from "./longest-task.ts";
import { desk, hand, quiet, stepTo } from "./open-desk.ts";
import { noBrowser, reportBrowser } from "./open-report.ts";

describe.skipIf(noBrowser)("the desk's own thread", () => {
  const browser = reportBrowser();

  it("shows a long task where there is one", async () => {
    const { page } = await browser.open(desk);
    const { ms } = await longestTask(page, async () => {
      await page.evaluate(() => {
        let sum = 0;
        for (let i = 0; i < 300_000_000; i++) sum += i % 7;
        return sum;
      });
    });
    expect(ms).toBeGreaterThan(mostMs);
  });

  it("listens while a table of 2,000 rows is edited", async () => {
    const { page } = await browser.open(desk);
    const rows = Array.from(
      { length: 2_000 },
      (_, r) =>
        `V${r % 4},${2020 + (r % 5)},F${r % 20},${1 + (r % 3)},${800_000 + 300_000 * (r % 5)},${50 + (r % 17)}`,
    );
    await hand(page, "Choose files", {
      name: "many.csv",
      content: ["variety,season,field,block,rate (seeds/ac),yield (bu/ac)", ...rows].join("\n"),
    });
    await quiet(page);
    await stepTo(page, "Mend");
    await quiet(page);
    const { ms, tasks } = await longestTask(page, async () => {
      const cell = page.locator("table input").nth(5);
      await cell.fill("61.5");
      await cell.press("Tab");
      await quiet(page);
      await page.locator("table input").nth(6).press("PageDown");
    });
    expect(tasks).toBeGreaterThan(5);
    expect(ms).toBeLessThanOrEqual(mostMs);
  });
});
