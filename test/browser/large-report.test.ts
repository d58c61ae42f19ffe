import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { beforeAll, describe, expect, it } from "vitest";
import { analyze } from "../../src/analyze.ts";
import { readTrial } from "../../src/read/trial-files.ts";
import type { Result } from "../../src/vocabulary/result.ts";
import { defaultSettings, defaultUnits } from "../../src/vocabulary/settings.ts";
import { writeNetwork } from "../bench/scale/write-network.ts";
import { noBrowser, reportBrowser, reportOf, type OpenedReport } from "./open-report.ts";

/** 12 site-years × 2 varieties × 6 rates × 16 blocks: enough strips for folded pictures to be left to the page. */
function largeResult(): Result {
  const folder = mkdtempSync(join(tmpdir(), "stripcurve-network-"));
  try {
    const path = join(folder, "network.csv");
    writeNetwork([path], 2304, { name: "two varieties", varieties: 2, blocks: 16, ownRates: false });
    const files = [{ name: "network.csv", bytes: readFileSync(path) }];
    return analyze(readTrial(files, defaultSettings, defaultUnits), defaultSettings, defaultUnits);
  } finally {
    rmSync(folder, { recursive: true });
  }
}

describe.skipIf(noBrowser)("the report of a large trial", () => {
  const browser = reportBrowser();
  let report = "";
  beforeAll(async () => {
    report = await reportOf(largeResult());
  });
  const folded = ".closer figure";
  let alive: Promise<OpenedReport> | null = null;
  const opened = (): Promise<OpenedReport> =>
    (alive ??= browser.keep(report).then(async (one) => {
      await one.page.locator("#what-if").waitFor();
      return one;
    }));
  let still: Promise<OpenedReport> | null = null;
  const withoutScripts = (): Promise<OpenedReport> =>
    (still ??= browser.keep(report, { javaScriptEnabled: false }));

  it("draws folded pictures when their part is opened, and folds their numbers then", async () => {
    const { page, complaints } = await opened();
    const first = page.locator("details.closer").first();
    expect(await page.locator(`${folded} svg`).count()).toBe(0);
    await first.locator("> summary").click();
    const figures = await first.locator("figure").count();
    expect(figures).toBeGreaterThan(2);
    await expect.poll(() => first.locator("figure svg").count()).toBe(figures);
    await expect.poll(() => first.locator("details.numbers[open]").count()).toBe(0);
    await expect.poll(() => first.locator(".when-opened").isVisible()).toBe(false);
    expect(await page.locator(`${folded} svg`).count()).toBe(figures);
    expect(complaints).toEqual([]);
  });

  it("says with scripts off that tables stand for pictures, and shows them", async () => {
    const { page, complaints } = await withoutScripts();
    const first = page.locator("details.closer").first();
    await first.locator("> summary").click();
    expect(await first.locator(".when-opened").innerText()).toContain("tables say the same");
    expect(await first.locator("figure table:visible").count()).toBe(await first.locator("figure").count());
    expect(complaints).toEqual([]);
  });

  it("draws folded pictures at the moved prices", async () => {
    const { page } = await opened();
    const { page: unmoved } = await withoutScripts();
    const numbers = async (of: Page, part: number): Promise<string> => {
      const closer = of.locator("details.closer").nth(part);
      await closer.evaluate((one) => ((one as HTMLDetailsElement).open = true));
      const figure = closer.locator(".chart-season-optima").first();
      if (of === page) await figure.locator("svg").waitFor();
      return (await figure.locator("table").textContent()) ?? "";
    };
    expect(await numbers(page, 0)).toBe(await numbers(unmoved, 0));
    await page.locator("#grain").fill("3");
    await page.waitForFunction(
      () => document.querySelector<HTMLElement>("#what-if")?.dataset["state"] === "moved",
    );
    expect(await numbers(page, 1)).not.toBe(await numbers(unmoved, 1));
  });

  it("gives one mark to each rate of a site-year, not to each strip", async () => {
    const { page } = await withoutScripts();
    const response = page.locator(".chart-response").first();
    expect(await response.locator(".key").innerText()).toContain("mean of one rate in one site-year");
    const signs = await response.locator("svg :is(circle, path)").count();
    expect(signs).toBeLessThan(12 * 6 + 20);
  });
});
