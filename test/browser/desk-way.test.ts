/** The whole way over the desk as a grower goes it, from a messy workbook to harvest notes and back from the farm file. */
import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { messyWorkbook, wrongRows } from "./messy-workbook.ts";
import { answerShown, desk, foreign, hand, pressed, quiet, savedFiles, stepTo } from "./open-desk.ts";
import { noBrowser, reportBrowser } from "./open-report.ts";

/** The advised rates as the report's summary tells them, and the state of the desk. */
const toldRates = (report: string): string[] =>
  report.match(/[\d.,]+ (?:million|thousand)?\s?seeds\/ac/g) ?? [];

describe.skipIf(noBrowser)("the whole way over the desk", () => {
  const browser = reportBrowser();
  const { saved } = savedFiles();

  it("leads from a messy workbook to rates, pounds, a plan and harvest notes, and back from the farm file", async () => {
    const { page, complaints } = await browser.open(desk);
    page.setDefaultTimeout(60_000);

    // In: a workbook with a title above its table, and a sheet of something else.
    await hand(page, "Choose files", { name: "trials.xlsx", content: messyWorkbook() });
    await page.getByRole("heading", { name: "On the desk" }).waitFor();
    await expect
      .poll(() => page.getByLabel("What sheet Strips of trials.xlsx is").inputValue())
      .toBe("strips");
    await expect.poll(() => page.getByLabel("What sheet Fuel book of trials.xlsx is").inputValue()).toBe("");

    // Mend: each of three findings beside its row, in place.
    await quiet(page);
    await stepTo(page, "Mend");
    const sum = page.getByText(/^Rows read: /);
    await expect.poll(() => sum.innerText()).toContain("Left out: 3.");
    for (const [row, header, text] of [
      [wrongRows.noYield, "Yield (bu/ac)", "65.2"],
      [wrongRows.noNumber, "Yield (bu/ac)", "61.2"],
      [wrongRows.tooMany, "Seeds per acre", "1300000"],
    ] as const) {
      await page
        .getByRole("button", { name: `Go to row ${row}`, exact: true })
        .first()
        .click();
      await expect
        .poll(() => page.evaluate(() => document.activeElement?.getAttribute("aria-label")))
        .toBe(`${header}, row ${row}, something was found`);
      await page.keyboard.press("Control+A");
      await page.keyboard.type(text);
      await page.keyboard.press("Enter");
      await quiet(page);
    }
    await expect.poll(() => sum.innerText()).toContain("Left out: 0.");
    await pressed(page, "Undo");
    await quiet(page);
    await expect.poll(() => sum.innerText()).toContain("Left out: 1.");
    await pressed(page, "Do again");
    await quiet(page);
    await expect.poll(() => sum.innerText()).toContain("Left out: 0.");
    const mended = readFileSync(await saved(page, "Save the mended table as CSV"), "utf8");
    expect(mended).toContain("61.2");
    expect(mended).not.toContain("6l.2");

    // Ask: today's rate and the lot.
    await stepTo(page, "Prices and seed");
    await page.getByLabel("Price of grain", { exact: true }).fill("6.40 $/bu");
    await page.keyboard.press("Tab");
    await pressed(page, "Fill in the lots");
    const lot = page.getByRole("group", { name: "Lornwick" });
    await lot.getByLabel(/^Today’s rate/).fill("1400000");
    await lot.getByLabel("Seeds per pound").fill("14000");
    await lot.getByLabel("Germination, %").fill("95");
    await lot.getByLabel(/^Lowest rate/).fill("600000");
    // 14 $/bu of 60 lb.
    expect(await lot.getByLabel("Its price is for").inputValue()).toBe("$/bu");
    await lot.getByLabel("Its price is for").selectOption("$/lb");
    await lot.getByLabel(/^Price of seed/).fill("0.2333");
    await page.keyboard.press("Tab");
    await quiet(page);

    // Answer.
    await stepTo(page, "Answer");
    const answered = await answerShown(page);
    expect(answered).toContain("Lornwick");
    expect(answered).toContain("Pellastor");
    const rates = toldRates(answered);
    expect(rates.length).toBeGreaterThan(2);

    // At the drill: rain delays seeding by twelve days, a heavier lot arrives.
    await stepTo(page, "At the drill");
    await page.getByLabel("Variety").selectOption("Lornwick");
    const pounds = async (): Promise<number> => {
      await page.locator(".seed-card").waitFor();
      return Number(/([\d.]+) lb\/ac/.exec(await page.locator(".seed-card").innerText())?.[1]);
    };
    const inTime = await pounds();
    await page.getByLabel("Days later than the best date").fill("12");
    await expect.poll(pounds).toBeGreaterThan(inTime);
    const late = await pounds();
    await page.getByLabel("Seed size of this lot").fill("12000");
    // The same seeds of fewer to the pound: heavier by 14,000/12,000.
    await expect.poll(pounds).toBeCloseTo((late * 14) / 12, -0.5);

    // Next strips.
    await stepTo(page, "Next strips");
    for (const [label, text] of [
      ["Length of a run, along the strips", "1200"],
      ["Room across the strips", "1320"],
      ["Width of a drill pass", "40"],
      ["Width of the combine’s cut", "35"],
    ] as const)
      await page.getByLabel(label).fill(text);
    await pressed(page, "Plan the strips");
    await page.getByRole("button", { name: "Take harvest notes on this sheet" }).waitFor();
    await quiet(page);
    await pressed(page, "Take harvest notes on this sheet");

    // Harvest notes, on a phone.
    await page.setViewportSize({ width: 360, height: 740 });
    await page.getByLabel("Note", { exact: true }).fill("=cheat(1)");
    await page
      .getByLabel(/^(Weight|Yield) \(/)
      .first()
      .fill("64.5");
    await pressed(page, "Next strip");
    await page.getByText(/, 2 of \d+$/).waitFor();
    const sheet = readFileSync(await saved(page, "Save the sheet"), "utf8");
    expect(sheet).toContain("64.5");
    // A spreadsheet runs no cell of it: the apostrophe is the usual guard (OWASP, CSV injection).
    expect(sheet).toContain("'=cheat(1)");
    await page.setViewportSize({ width: 1280, height: 800 });

    // Keep, close, open anew: the same answer.
    await stepTo(page, "Keep");
    const farm = readFileSync(await saved(page, "Save the farm file"));
    await page.reload();
    await hand(page, "Choose files", { name: "farm.zip", content: farm });
    await page.getByText("on the desk").first().waitFor();
    await stepTo(page, "Answer");
    // The empty line above the header is not kept, so that rows have other numbers; room between words tells nothing.
    const withoutRows = (text: string): string =>
      text.replaceAll(/ row \d+/g, " row").replaceAll(/\s+/g, " ");
    expect(withoutRows(await answerShown(page))).toBe(withoutRows(answered));
    expect(foreign(complaints)).toEqual([]);
  }, 240_000);
});
