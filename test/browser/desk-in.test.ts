/** The ways in: cells that are pasted, a table typed by hand, folders dropped and chosen. */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { desk, pressed, quiet, stepTo } from "./open-desk.ts";
import { noBrowser, reportBrowser } from "./open-report.ts";

/** Four strips of one season, as a spreadsheet copies them: tabs between cells, a line end behind the last row. */
const header = "variety\tseason\tfield\tblock\tseeding rate (seeds per acre)\tyield (bu/ac)";
const copied = `${header}\nAlder\t2026\tNorth\t1\t900000\t70\nAlder\t2026\tNorth\t1\t1400000\t75\nAlder\t2026\tNorth\t2\t900000\t68\nAlder\t2026\tNorth\t2\t1400000\t76\n`;
const asCsv = (text: string): string => text.replaceAll("\t", ",");

/** Names of what is on the desk, once that many files are. */
async function filesOnDesk(page: Page, count: number): Promise<string[]> {
  const names = page.locator("main .files .name");
  await names.nth(count - 1).waitFor();
  return names.allTextContents();
}

describe.skipIf(noBrowser)("strips come to the desk", () => {
  const browser = reportBrowser();
  let folder = "";
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), "stripcurve-in-"));
    mkdirSync(join(folder, "trials/2026"), { recursive: true });
    writeFileSync(join(folder, "trials/2026/strips.csv"), asCsv(copied));
    writeFileSync(join(folder, "trials/lots.csv"), "variety,current rate (seeds/ac)\nAlder,1200000\n");
    writeFileSync(join(folder, "trials/.hidden"), "nothing");
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  it("as cells pasted into the box, counted without the empty line behind them", async () => {
    const { page } = await browser.open(desk);
    await page.getByText("Paste cells, or type").click();
    await page.getByLabel("Cells copied from a spreadsheet, header first").fill(copied);
    await pressed(page, "Take these cells");
    expect(await filesOnDesk(page, 1)).toEqual(["pasted.csv"]);
    expect(await page.getByLabel("What pasted.csv is").inputValue()).toBe("strips");
    expect(await page.locator("main .files .hint").textContent()).toBe("4 rows");
  });

  it("as cells pasted onto the page, wherever the cursor is, and never over one another", async () => {
    const { page } = await browser.open(desk);
    for (let pasting = 0; pasting < 2; pasting++) {
      await page.evaluate((text) => {
        const clipboardData = new DataTransfer();
        clipboardData.setData("text/plain", text);
        document
          .querySelector("main")!
          .dispatchEvent(new ClipboardEvent("paste", { clipboardData, bubbles: true }));
      }, copied);
      await filesOnDesk(page, pasting + 1);
    }
    expect(await filesOnDesk(page, 2)).toEqual(["pasted.csv", "pasted-2.csv"]);
  });

  it("typed by hand into an empty table, by keys alone", async () => {
    const { page } = await browser.open(desk);
    await page.getByText("Paste cells, or type").focus();
    await page.keyboard.press("Enter");
    await page.getByRole("button", { name: "Start an empty table" }).focus();
    await page.keyboard.press("Enter");
    await page.getByLabel("variety, row 2", { exact: true }).focus();
    // With each cell the strips are read again: two rows are enough to be counted.
    const rows = copied.trim().split("\n").slice(1, 3);
    for (const [index, row] of rows.entries()) {
      if (index > 0) {
        await page.getByLabel(`variety, row ${index + 2}`, { exact: true }).focus();
      }
      for (const cell of row.split("\t")) {
        await page.keyboard.type(cell);
        await page.keyboard.press("Tab");
      }
    }
    await page.getByText("Rows read: 2. Used: 2. Left out: 0.").waitFor();
  });

  it("in a folder that is dropped, with the folders within it", async () => {
    const { page } = await browser.open(desk);
    const session = await page.context().newCDPSession(page);
    const at = { x: 200, y: 300 };
    const data = { items: [], files: [join(folder, "trials")], dragOperationsMask: 1 };
    for (const type of ["dragEnter", "dragOver", "drop"] as const)
      await session.send("Input.dispatchDragEvent", { type, ...at, data });
    expect((await filesOnDesk(page, 2)).sort()).toEqual(["lots.csv", "strips.csv"]);
  });

  it("in a folder that is chosen", async () => {
    const { page } = await browser.open(desk);
    await page.locator('input[aria-label="Choose a folder"]').setInputFiles(join(folder, "trials"));
    await filesOnDesk(page, 2);
    await quiet(page);
    await stepTo(page, "Mend");
    await page.getByText("Rows read: 4. Used: 4. Left out: 0.").waitFor();
  });

  it("with their headers in sight, whatever their length", async () => {
    const { page } = await browser.open(desk);
    await page.locator('input[aria-label="Choose a folder"]').setInputFiles(join(folder, "trials"));
    await filesOnDesk(page, 2);
    await quiet(page);
    await stepTo(page, "Mend");
    await page.getByLabel("Table", { exact: true }).selectOption({ label: "strips.csv" });
    const cut = await page
      .locator("thead input")
      .evaluateAll((inputs) =>
        (inputs as HTMLInputElement[])
          .filter(({ scrollWidth, clientWidth }) => scrollWidth > clientWidth)
          .map(({ value }) => value),
      );
    expect(cut).toEqual([]);
  });
});
