/** What another browser could do otherwise: report and desk in Firefox as it is installed, opened from the disk. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Browser } from "puppeteer-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { demoResult } from "../fixtures/demo.ts";
import { launchedFirefox, noFirefox, openedDesk } from "./firefox.ts";
import { Hands, patience } from "./hands.ts";
import { messyWorkbook, wrongRows } from "./messy-workbook.ts";
import { reportOf } from "./open-report.ts";

const sheet = [
  "strip,field,season,block,variety,rate (seeds/ac),strip_weight (lb),moisture (%),note",
  "1,Creek,2027,1,Lornwick,900000,,,",
  "2,Creek,2027,1,Lornwick,1300000,,,",
  "",
].join("\n");

/** The advised rates as the report's summary tells them. */
const toldRates = (report: string): string[] =>
  report.match(/[\d.,]+ (?:million|thousand)?\s?seeds\/ac/g) ?? [];

const read = async (saved: Promise<string>): Promise<string> => readFileSync(await saved, "utf8");

describe.skipIf(noFirefox)("in Firefox", () => {
  let folder = "";
  let browser: Browser;
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), "stripcurve-firefox-"));
    browser = await launchedFirefox(folder);
  });
  afterAll(async () => {
    await browser.close();
    rmSync(folder, { recursive: true, force: true });
  });

  it("the report draws every chart, follows a moved price, and complains of nothing", async () => {
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
    await page.close();
  });

  // The whole way is gone in Chromium (desk-by-keys); here what each browser does in its own way: a worker from the disk,
  // archives unpacked and packed, the cursor put into a cell, fields filled and chosen from, files saved and given again.
  it("the desk leads from a workbook to an answer, in a worker, and back from the farm file", async () => {
    const { driven: page, complaints } = await openedDesk(browser, folder);
    const hands = new Hands(page);
    await hands.quiet();
    const workbook = join(folder, "trials.xlsx");
    writeFileSync(workbook, messyWorkbook());
    await page.give("Choose files", workbook);
    await hands.reads("On the desk");
    expect(await hands.value("What sheet Strips of trials.xlsx is")).toBe("strips");
    expect(await hands.value("What sheet Fuel book of trials.xlsx is")).toBe("");

    await hands.stepTo("Mend");
    await hands.reads("Left out: 3.");
    const row = wrongRows.noNumber;
    await hands.press(`Go to row ${row}`);
    await expect.poll(() => hands.focused(), patience).toBe(`Yield (bu/ac), row ${row}, something was found`);
    await hands.typeOver("61.2");
    await page.key("Enter");
    await hands.reads("Left out: 2.");
    const mended = await read(hands.save("Save the mended table as CSV"));
    expect(mended).toContain("61.2");
    expect(mended).not.toContain("6l.2");

    await hands.stepTo("Prices and seed");
    await hands.press("Fill in the lots");
    const ofLot = (name: string): { name: string; group: string } => ({ name, group: "Lornwick" });
    await hands.choose(ofLot("Unit of the price"), "$/lb");
    await hands.fill(ofLot("Seed price"), "0.2333");
    await page.key("Tab");

    await hands.stepTo("Answer");
    const answered = await hands.answer();
    expect(answered).toContain("Lornwick");
    expect(answered).toContain("Pellastor");
    expect(toldRates(answered).length).toBeGreaterThan(2);
    // Where it works without a worker, the foot says so.
    expect(await hands.words("footer")).toMatch(/blocks every connection\.$/);

    await hands.stepTo("Harvest notes");
    await hands.resize(360, 740);
    const notes = join(folder, "field-sheet.csv");
    writeFileSync(notes, sheet);
    await page.give("Field sheet", notes);
    await hands.fill({ name: "Weight (", starts: true }, "64.5");
    await hands.press("Next strip");
    await hands.reads(/, 2 of 2/);
    expect(await read(hands.save("Save the sheet"))).toContain("64.5");
    await hands.resize(1280, 800);

    // Keep, close, open anew: the same answer.
    await hands.stepTo("Keep");
    const farm = await hands.save("Save the farm file");
    await page.reload();
    await hands.quiet();
    await page.give("Choose files", farm);
    await hands.reads("On the desk");
    await hands.stepTo("Answer");
    // The empty line above the header is not kept, so that rows have other numbers; room between words tells nothing.
    const withoutRows = (text: string): string =>
      text.replaceAll(/ row \d+/g, " row").replaceAll(/\s+/g, " ");
    expect(withoutRows(await hands.answer())).toBe(withoutRows(answered));
    expect(complaints).toEqual([]);
  });
});
