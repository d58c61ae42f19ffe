/**
 * The whole way over the desk as a grower goes it, from a messy workbook to harvest notes and back from the farm file, by
 * keyboard alone: Tab, Enter, space, arrows and typing; nothing is clicked or focused for the person.
 */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { FileChooser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { patience } from "./hands.ts";
import { messyWorkbook, wrongRows } from "./messy-workbook.ts";
import { answerShown, desk, foreign, quiet } from "./open-desk.ts";
import { noBrowser, reportBrowser } from "./open-report.ts";

let folder = "";
beforeAll(() => void (folder = mkdtempSync(join(tmpdir(), "stripcurve-keys-"))));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** So many presses of Tab a person puts up with on the way to one thing. */
const mostPresses = 40;

interface At {
  name: string;
  group: string;
  isSeen: boolean;
}

/** What has the cursor: its name, the group that it is in, and whether the page shows that it has it. */
const cursor = (page: Page): Promise<At> =>
  page.evaluate(() => {
    const one = document.activeElement as HTMLElement;
    const label = (one as HTMLInputElement).labels?.[0]?.textContent;
    const box = one.getBoundingClientRect();
    const ring = getComputedStyle(one);
    return {
      name: (one.getAttribute("aria-label") ?? label ?? one.textContent ?? "").trim(),
      group: one.closest("fieldset")?.querySelector("legend")?.textContent ?? "",
      isSeen:
        one.tagName === "IFRAME" ||
        (ring.outlineStyle !== "none" &&
          box.bottom > 0 &&
          box.top < innerHeight &&
          box.right > 0 &&
          box.left < innerWidth),
    };
  });

/** The advised rates as the report's summary tells them. */
const toldRates = (report: string): string[] =>
  report.match(/[\d.,]+ (?:million|thousand)?\s?seeds\/ac/g) ?? [];

/** The empty line above the header is not kept, so that rows have other numbers; room between words tells nothing. */
const withoutRows = (text: string): string => text.replaceAll(/ row \d+/g, " row").replaceAll(/\s+/g, " ");

class Keys {
  readonly #page: Page;
  #choose: (from: FileChooser) => Promise<void> = () => Promise.resolve();

  constructor(page: Page) {
    this.#page = page;
    // From the start, so that no dialog opens unnoticed.
    page.on("filechooser", (from) => void this.#choose(from));
  }

  /** Tabs to the first thing whose name begins so, and looks whether the cursor is in sight there. */
  async to(name: string, { back = false, group = "" } = {}): Promise<void> {
    const passed: string[] = [];
    for (let presses = 1; presses <= mostPresses; presses++) {
      await this.#page.keyboard.press(back ? "Shift+Tab" : "Tab");
      const at = await cursor(this.#page);
      if (at.name.startsWith(name) && (group === "" || at.group === group)) {
        expect(at.isSeen, `the cursor is seen on “${name}”`).toBe(true);
        return;
      }
      passed.push(at.name.slice(0, 30));
    }
    throw new Error(`No way by keyboard to “${name}”, past: ${passed.join(" | ")}`);
  }

  async press(name: string, way: { back?: boolean; group?: string } = {}): Promise<void> {
    await this.to(name, way);
    await this.#page.keyboard.press("Enter");
  }

  /** Types over what is in a field. */
  async fill(name: string, text: string, way: { back?: boolean; group?: string } = {}): Promise<void> {
    await this.to(name, way);
    await this.#page.keyboard.press("Control+a");
    await this.#page.keyboard.type(text);
  }

  /** Goes up or down a list that is closed until an option is chosen, and gives what was chosen before. */
  async choose(name: string, value: string, way: { back?: boolean; group?: string } = {}): Promise<string> {
    await this.to(name, way);
    const now = (): Promise<string> =>
      this.#page.evaluate(() => (document.activeElement as HTMLSelectElement).value);
    const before = await now();
    await this.#page.keyboard.press("Home");
    for (let presses = 0; presses < 20 && (await now()) !== value; presses++)
      await this.#page.keyboard.press("ArrowDown");
    expect(await now()).toBe(value);
    return before;
  }

  /** A step is entered at its heading, and the row of steps is what comes before that. */
  async step(title: string): Promise<void> {
    await this.press(title, { back: true });
    await quiet(this.#page);
    expect(await this.#page.evaluate(() => document.activeElement?.tagName)).toBe("H2");
  }

  async saved(name: string, way: { back?: boolean } = {}): Promise<string> {
    await this.to(name, way);
    const [download] = await Promise.all([
      this.#page.waitForEvent("download"),
      this.#page.keyboard.press("Enter"),
    ]);
    const path = join(folder, download.suggestedFilename());
    await download.saveAs(path);
    return path;
  }

  /** Chooses a file of the disk, as the dialog that a button opens does. */
  async give(name: string, path: string): Promise<void> {
    await this.to(name);
    const chosen = new Promise<void>(
      (done, failed) => (this.#choose = (from) => from.setFiles(path).then(done, failed)),
    );
    await this.#page.keyboard.press("Enter");
    await chosen;
    await quiet(this.#page);
  }
}

describe.skipIf(noBrowser)("the desk", () => {
  const browser = reportBrowser();

  it("leads by keyboard alone from a messy workbook to rates, pounds, a plan and harvest notes, and back from the farm file", async () => {
    const { page, complaints } = await browser.open(desk);
    const keys = new Keys(page);
    const reads = (words: string | RegExp): Promise<void> =>
      expect.poll(() => page.locator("main").textContent(), patience).toMatch(words);
    page.on("dialog", (dialog) => void dialog.accept("hail"));
    await quiet(page);

    const workbook = join(folder, "trials.xlsx");
    writeFileSync(workbook, messyWorkbook());
    await keys.give("Choose files", workbook);
    await reads("On the desk");
    const kind = (sheet: string): Promise<string> =>
      page.getByLabel(`What sheet ${sheet} of trials.xlsx is`).inputValue();
    expect([await kind("Strips"), await kind("Fuel book")]).toEqual(["strips", ""]);
    await quiet(page);
    await keys.press("Look at the rows");
    await quiet(page);
    await reads("Left out: 3.");

    // A row is left out with a reason, and taken back; then it is mended where it is, as two others are.
    await keys.press(`Go to row ${wrongRows.tooMany}`);
    await keys.press(`Leave out row ${wrongRows.tooMany}`);
    await reads(/Left out: hail/);
    await page.keyboard.press("Escape");
    await keys.press("Undo", { back: true });
    await quiet(page);
    for (const [row, header, text] of [
      [wrongRows.noYield, "Yield (bu/ac)", "65.2"],
      [wrongRows.noNumber, "Yield (bu/ac)", "61.2"],
      [wrongRows.tooMany, "Seeds per acre", "1300000"],
    ] as const) {
      await keys.to("Left out", { back: true });
      await keys.press(`Go to row ${row}`);
      await expect
        .poll(async () => (await cursor(page)).name, patience)
        .toBe(`${header}, row ${row}, something was found`);
      await page.keyboard.press("Control+a");
      await page.keyboard.type(text);
      await page.keyboard.press("Enter");
      await quiet(page);
      // Out of the table, however many rows it has.
      await page.keyboard.press("Escape");
      expect((await cursor(page)).name).toMatch(/^Rows of/);
    }
    await reads("Left out: 0.");
    await keys.press("Undo", { back: true });
    await reads("Left out: 1.");
    await keys.press("Redo");
    await reads("Left out: 0.");
    await quiet(page);
    const mended = readFileSync(await keys.saved("Save the mended table"), "utf8");
    expect(mended).toContain("61.2");
    expect(mended).not.toContain("6l.2");

    await keys.step("Prices and seed");
    await keys.fill("Grain price", "6.40 $/bu");
    // What stands below a price is drawn again with its answer.
    await quiet(page);
    await keys.press("Fill in the lots");
    await page.getByRole("group", { name: "Lornwick" }).waitFor();
    await quiet(page);
    // Each is waited for: a change that overtakes another costs the engine a start.
    const ofLot = { group: "Lornwick" };
    for (const [name, text] of [
      ["Today’s rate", "1400000"],
      ["Lowest rate", "600000"],
      ["Seeds per pound", "14000"],
      ["Germination, %", "95"],
    ] as const) {
      await keys.fill(name, text, ofLot);
      await quiet(page);
    }
    // 14 $/bu of 60 lb.
    expect(await keys.choose("Unit of the price", "$/lb", ofLot)).toBe("$/bu");
    await quiet(page);
    await keys.fill("Seed price", "0.2333", { ...ofLot, back: true });
    await page.keyboard.press("Tab");
    await quiet(page);

    await keys.press("To the answer");
    const answered = await answerShown(page);
    expect(answered).toContain("Lornwick");
    expect(answered).toContain("Pellastor");
    expect(toldRates(answered).length).toBeGreaterThan(2);
    await keys.choose("Who reads it", "grower");
    await answerShown(page);
    const report = readFileSync(await keys.saved("Save this report"), "utf8");
    expect(report).toContain("Lornwick");

    await keys.step("At the drill");
    await keys.choose("Variety", "Lornwick");
    const pounds = async (): Promise<number> =>
      Number(
        /([\d.]+) lb\/ac/.exec(
          (await page.locator(".seed-card").textContent({ timeout: 60_000 })) ?? "",
        )?.[1],
      );
    await expect.poll(pounds, patience).toBeGreaterThan(0);
    const onTime = await pounds();
    // One digit, so that the card is told once.
    await keys.fill("Days later than the best date", "9");
    await expect.poll(pounds, patience).toBeGreaterThan(onTime);
    const late = await pounds();
    await keys.fill("Seed size of this lot", "12000");
    await expect.poll(pounds, patience).toBeCloseTo((late * 14) / 12, -0.5);

    // Back over the fields to the heading's steps.
    await keys.step("Next strips");
    for (const [label, text] of [
      ["Length of a run", "1200"],
      ["Room across the strips", "1320"],
      ["Width of a drill pass", "40"],
      ["Width of the combine’s cut", "35"],
    ] as const)
      await keys.fill(label, text);
    await page.keyboard.press("Enter");
    await reads("Take harvest notes on this sheet");
    await quiet(page);
    await keys.press("Take harvest notes on this sheet");

    // Strip after strip on a phone, without leaving the keys.
    await page.setViewportSize({ width: 360, height: 740 });
    await keys.fill("Weight (", "64.5");
    await keys.fill("Note", "=cheat(1)");
    await keys.press("Next strip");
    await reads(/, 2 of \d+/);
    const sheet = readFileSync(await keys.saved("Save the sheet"), "utf8");
    expect(sheet).toContain("64.5");
    // A spreadsheet runs no cell of it: the apostrophe is the usual guard (OWASP, CSV injection).
    expect(sheet).toContain("'=cheat(1)");
    await page.setViewportSize({ width: 1280, height: 720 });

    await keys.step("Keep");
    const farm = await keys.saved("Save the farm file");
    await keys.to("Remember farm and harvest notes");
    await page.keyboard.press("Space");
    await expect.poll(() => page.locator("#progress").textContent(), patience).toMatch(/is remembered/);
    await page.keyboard.press("Space");
    await expect
      .poll(() => page.locator("#progress").textContent(), patience)
      .toMatch(/Nothing is remembered/);
    await keys.press("Forget everything");
    await expect.poll(() => page.locator("#progress").textContent(), patience).toMatch(/forgotten/);
    // Closed and opened anew, the desk is empty, and gives the same answer to the farm file.
    await page.reload();
    await quiet(page);
    await keys.give("Choose files", farm);
    await keys.press("To the answer");
    expect(withoutRows(await answerShown(page))).toBe(withoutRows(answered));
    expect(foreign(complaints)).toEqual([]);
  });
});
