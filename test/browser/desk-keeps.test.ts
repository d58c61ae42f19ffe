/** What the desk keeps on a computer: nothing unless it is asked for, and nothing that was typed is lost. */
import type { Page } from "playwright-core";
import { describe, expect, it } from "vitest";
import { desk, hand, pressed, quiet, stepTo } from "./open-desk.ts";
import { noBrowser, reportBrowser } from "./open-report.ts";

const sheet = [
  "strip,field,season,block,variety,rate (seeds/ac),strip_weight (lb),moisture (%),note",
  "1,Creek,2027,1,Lornwick,900000,,,",
  "2,Creek,2027,1,Lornwick,1300000,,,",
  "",
].join("\n");

/** Everything that the page left in the browser's stores, as text. */
const stored = (page: Page): Promise<string> =>
  page.evaluate(async () => {
    const found: unknown[] = [{ ...localStorage }, { ...sessionStorage }, document.cookie];
    for (const { name } of await indexedDB.databases()) {
      const base = await new Promise<IDBDatabase>((done) => {
        const opening = indexedDB.open(name!);
        opening.onsuccess = () => done(opening.result);
      });
      for (const part of base.objectStoreNames)
        found.push(
          ...(await new Promise<unknown[]>((done) => {
            const asking = base.transaction(part).objectStore(part).getAll();
            asking.onsuccess = () => done(asking.result as unknown[]);
          })),
        );
      base.close();
    }
    return JSON.stringify(found, (_, value: unknown) =>
      value instanceof Uint8Array ? `${value.length} bytes` : value,
    );
  });

async function noteFirstStrip(page: Page): Promise<void> {
  await stepTo(page, "Harvest notes");
  await hand(page, "Field sheet", { name: "field-sheet.csv", content: sheet });
  await page.getByLabel("Weight (lb)").fill("1234");
  await page.getByLabel("Note", { exact: true }).fill("wet corner");
}

describe.skipIf(noBrowser)("what the desk keeps", () => {
  const browser = reportBrowser();

  it("stores no harvest note that nobody asked it to, and keeps all of them while it is open", async () => {
    const { page } = await browser.open(desk);
    await noteFirstStrip(page);
    await pressed(page, "Next strip");
    await stepTo(page, "Keep");
    expect(await stored(page)).not.toMatch(/1234|wet corner|bytes/);
    await stepTo(page, "Harvest notes");
    await pressed(page, "Previous strip");
    await expect.poll(() => page.getByLabel("Weight (lb)").inputValue()).toBe("1234");
    // What is in no file would be lost with the page: the browser asks back.
    const asked = page.waitForEvent("dialog");
    const reloaded = page.reload();
    const dialog = await asked;
    expect(dialog.type()).toBe("beforeunload");
    await dialog.accept();
    await reloaded;
    await stepTo(page, "Harvest notes");
    expect(await page.getByText(/^Strip 1/).count()).toBe(0);
  });

  it("remembers where it is asked to, and forgets everything at one press", async () => {
    const { page } = await browser.open(desk);
    await noteFirstStrip(page);
    await page.getByLabel(/^Remember/).check();
    await page.getByText("is remembered in this browser").waitFor();
    await page.getByLabel("Moisture (%)").fill("13.9");
    await expect.poll(() => stored(page)).toContain("13.9");
    await page.reload();
    await stepTo(page, "Harvest notes");
    await pressed(page, "Previous strip");
    await expect.poll(() => page.getByLabel("Moisture (%)").inputValue()).toBe("13.9");
    await stepTo(page, "Keep");
    page.once("dialog", (dialog) => void dialog.accept());
    await pressed(page, "Forget everything");
    await page.getByText("Everything is forgotten.").waitFor();
    await expect.poll(() => stored(page)).not.toMatch(/1234|wet corner|true/);
    await stepTo(page, "Harvest notes");
    expect(await page.getByText(/^Strip 1/).count()).toBe(0);
  });

  it("says that a browser's store is full, and loses nothing", async () => {
    const { page } = await browser.open(desk);
    await noteFirstStrip(page);
    await page.evaluate(() => {
      IDBObjectStore.prototype.put = () => {
        throw new DOMException("no room", "QuotaExceededError");
      };
    });
    await page.getByLabel(/^Remember/).click();
    await page.getByText("store is full").waitFor();
    await expect.poll(() => page.getByLabel(/^Remember/).isChecked()).toBe(false);
    expect(await page.getByLabel("Note", { exact: true }).inputValue()).toBe("wet corner");
  });

  it("leaves what is being typed under the cursor when an answer arrives, and hands it on when its row scrolls away", async () => {
    const { page } = await browser.open(desk);
    const rows = Array.from(
      { length: 400 },
      (_, row) => `Lornwick,2026,${800_000 + row * 1000},${50 + row / 20}`,
    );
    await hand(page, "Choose files", {
      name: "long.csv",
      content: ["variety,season,rate (seeds/ac),yield (bu/ac)", ...rows, ""].join("\n"),
    });
    await quiet(page);
    await stepTo(page, "Mend");
    const cell = (row: number) => page.getByLabel(new RegExp(`^yield \\(bu/ac\\), row ${row}(,|$)`));
    await cell(3).fill("51");
    await cell(4).fill("52.5");
    await quiet(page);
    expect(await cell(4).inputValue()).toBe("52.5");
    await expect.poll(() => cell(4).evaluate((input) => input === document.activeElement)).toBe(true);
    await page.locator(".grid").evaluate((grid) => grid.scrollTo(0, 12_000));
    await cell(280).waitFor();
    await page.locator(".grid").evaluate((grid) => grid.scrollTo(0, 0));
    await cell(4).waitFor();
    await expect.poll(() => cell(4).inputValue()).toBe("52.5");
  });
});
