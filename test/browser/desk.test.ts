/** The desk as a grower opens it: from the disk, in real browsers, without a network. */
import { gzipSync } from "node:zlib";
import { describe, expect, it } from "vitest";
import { launchedFirefox, noFirefox } from "./drivers.ts";
import { answerShown, desk, deskPath, foreign, pressed } from "./open-desk.ts";
import { noBrowser, reportBrowser } from "./open-report.ts";

describe("the desk's file", () => {
  it("is at most 1.6 MB, 650 kB packed", () => {
    expect(desk.length).toBeLessThanOrEqual(1_600_000);
    expect(gzipSync(desk).length).toBeLessThanOrEqual(650_000);
  });
});

describe.skipIf(noBrowser)("the desk in Chromium", () => {
  const browser = reportBrowser();

  it("answers the demo farm, and asks for nothing outside itself", async () => {
    const { page, complaints } = await browser.open(desk);
    await pressed(page, "Try the demo farm");
    expect(await answerShown(page)).toContain("Ostrindel");
    expect(foreign(complaints)).toEqual([]);
  });
});

describe.skipIf(noFirefox)("the desk in Firefox", () => {
  it("answers the demo farm from the disk, in a worker, as strictly as Firefox is installed", async () => {
    const driven = await launchedFirefox();
    try {
      const page = await driven.newPage();
      const complaints: string[] = [];
      // The driver waits for what it clicks by a text that it evaluates, and the page's policy tells it off.
      page.on("pageerror", (error) => {
        if (!String(error).includes("blocked a JavaScript eval")) complaints.push(String(error));
      });
      await page.goto(`file://${deskPath}`);
      await page.locator("::-p-text(Try the demo farm)").click();
      const heading = (): Promise<string> =>
        page.evaluate(
          () =>
            document
              .querySelector<HTMLIFrameElement>("iframe.report:not([hidden], .stale)")
              ?.contentDocument?.querySelector("h1")?.textContent ?? "",
        );
      await expect.poll(heading, { timeout: 50_000, interval: 200 }).toContain("Seeding rates for 2027");
      expect(await page.$eval("footer", (foot) => foot.textContent)).not.toContain("without a worker");
      expect(complaints).toEqual([]);
    } finally {
      await driven.close();
    }
  });
});
