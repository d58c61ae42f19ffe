import { beforeAll, describe, expect, it } from "vitest";
import { demoResult } from "../fixtures/demo.ts";
import { demoEarlier } from "../fixtures/earlier.ts";
import { openDetails, seriousFaults } from "./faults.ts";
import { noBrowser, reportBrowser, reportOf } from "./open-report.ts";

const now = demoResult();
const pages: [string, () => Promise<string>][] = [
  ["grower", () => reportOf(now, "grower", { earlier: demoEarlier(now) })],
  ["one who compares", () => reportOf(now, "farm", { earlier: demoEarlier(now) })],
];

describe.skipIf(noBrowser).each(pages)("the page for the %s", (_, make) => {
  const browser = reportBrowser();
  let html = "";
  beforeAll(async () => {
    html = await make();
  });

  it("opens offline without a word on the console, and asks for nothing", async () => {
    const { page, complaints } = await browser.open(html);
    await page.waitForTimeout(1000);
    expect(await page.locator("h1").isVisible()).toBe(true);
    expect(complaints).toEqual([]);
  });

  it("needs no sideways scrolling on a phone", async () => {
    const { page } = await browser.open(html, { viewport: { width: 360, height: 740 } });
    await openDetails(page);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(360);
  });

  it.each(["light", "dark"] as const)("has no serious fault by axe-core, %s", async (colorScheme) => {
    const { page } = await browser.open(html, { colorScheme, bypassCSP: true });
    await openDetails(page);
    await page.waitForTimeout(1000);
    expect(await seriousFaults(page)).toEqual([]);
  });

  it("lets no script or style run but its own", async () => {
    const { page, complaints } = await browser.open(
      html.replace(
        "</main>",
        '<img src="x" onerror="document.title = 1"><script>document.title = 2</script></main>',
      ),
    );
    await page.waitForTimeout(300);
    expect(["1", "2"]).not.toContain(await page.title());
    expect(complaints.filter((text) => text.includes("Content Security Policy")).length).toBeGreaterThan(1);
  });
});

describe.skipIf(noBrowser)("the grower's two pages", () => {
  const browser = reportBrowser();

  it("follow a moved price in the words of each variety", async () => {
    const { page, complaints } = await browser.open(await reportOf(now, "grower"));
    const zones = (): Promise<string[]> => page.locator("article.variety [data-part]").allInnerTexts();
    const before = await zones();
    await page.locator("#grain").fill("3");
    await expect.poll(zones).not.toEqual(before);
    expect(complaints).toEqual([]);
  });

  it("hold the answer, the drill and every variety with scripts off", async () => {
    const { page } = await browser.open(await reportOf(now, "grower"), { javaScriptEnabled: false });
    expect(await page.locator("table.next tbody tr").count()).toBe(4);
    expect(await page.locator(".drill-table tbody tr").count()).toBe(4);
    expect(await page.locator("article.variety figure svg").count()).toBe(8);
  });
});
