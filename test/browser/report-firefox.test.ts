/** The report in Firefox as it is installed: drawn, alive to a moved price, and without a complaint. */
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { demoResult } from "../fixtures/demo.ts";
import { launchedFirefox, noFirefox } from "./drivers.ts";
import { reportOf } from "./open-report.ts";

describe.skipIf(noFirefox)("the report in Firefox", () => {
  it("draws every chart, follows a moved price, and complains of nothing", async () => {
    const folder = mkdtempSync(join(tmpdir(), "stripcurve-firefox-"));
    const browser = await launchedFirefox();
    try {
      const path = join(folder, "report.html");
      writeFileSync(path, await reportOf(demoResult()));
      const page = await browser.newPage();
      const complaints: string[] = [];
      page.on("pageerror", (error) => complaints.push(String(error)));
      page.on("console", (message) => {
        if (["error", "warn"].includes(message.type())) complaints.push(message.text());
      });
      await page.goto(`file://${path}`);
      await page.waitForFunction(() => performance.getEntriesByName("charts: alive").length > 0);
      await page.evaluate(() => {
        const grain = document.querySelector<HTMLInputElement>("#grain")!;
        grain.value = "4";
        grain.dispatchEvent(new Event("input", { bubbles: true }));
        grain.dispatchEvent(new Event("change", { bubbles: true }));
      });
      await page.waitForFunction(
        () => document.querySelector<HTMLElement>("#what-if")?.dataset.state === "moved",
      );
      expect(
        await page.evaluate(() =>
          [...document.querySelectorAll("article.variety figure:not(details figure) .picture")].map(
            (picture) => picture.querySelectorAll("svg").length,
          ),
        ),
      ).toEqual(Array<number>(8).fill(1));
      expect(complaints).toEqual([]);
    } finally {
      await browser.close();
      rmSync(folder, { recursive: true, force: true });
    }
  }, 120_000);
});
