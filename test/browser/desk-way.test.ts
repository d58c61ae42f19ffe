/** The whole way over the desk as a grower goes it, from a messy workbook to harvest notes and back from the farm file. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { drivenChromium, noFirefox, openedFirefox } from "./drivers.ts";
import { Hands, patience, type Driven } from "./hands.ts";
import { messyWorkbook, wrongRows } from "./messy-workbook.ts";
import { desk, foreign } from "./open-desk.ts";
import { noBrowser, reportBrowser } from "./open-report.ts";

let folder = "";
beforeAll(() => void (folder = mkdtempSync(join(tmpdir(), "stripcurve-way-"))));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** The advised rates as the report's summary tells them. */
const toldRates = (report: string): string[] =>
  report.match(/[\d.,]+ (?:million|thousand)?\s?seeds\/ac/g) ?? [];

const read = async (saved: Promise<string>): Promise<string> => readFileSync(await saved, "utf8");

async function wholeWay(page: Driven): Promise<void> {
  const hands = new Hands(page);
  await hands.quiet();

  // In: a workbook with a title above its table, and a sheet of something else.
  const workbook = join(folder, "trials.xlsx");
  writeFileSync(workbook, messyWorkbook());
  await page.give("Choose files", workbook);
  await hands.reads("On the desk");
  expect(await hands.value("What sheet Strips of trials.xlsx is")).toBe("strips");
  expect(await hands.value("What sheet Fuel book of trials.xlsx is")).toBe("");

  // Mend: each of three findings beside its row, in place.
  await hands.stepTo("Mend");
  await hands.reads("Left out: 3.");
  for (const [row, header, text] of [
    [wrongRows.noYield, "Yield (bu/ac)", "65.2"],
    [wrongRows.noNumber, "Yield (bu/ac)", "61.2"],
    [wrongRows.tooMany, "Seeds per acre", "1300000"],
  ] as const) {
    await hands.press(`Go to row ${row}`);
    await expect.poll(() => hands.focused(), patience).toBe(`${header}, row ${row}, something was found`);
    await hands.typeOver(text);
    await page.key("Enter");
    await hands.quiet();
  }
  await hands.reads("Left out: 0.");
  await hands.press("Undo");
  await hands.reads("Left out: 1.");
  await hands.press("Redo");
  await hands.reads("Left out: 0.");
  await hands.quiet();
  const mended = await read(hands.save("Save the mended table as CSV"));
  expect(mended).toContain("61.2");
  expect(mended).not.toContain("6l.2");

  // Ask: today's rate and the lot.
  await hands.stepTo("Prices and seed");
  await hands.fill("Grain price", "6.40 $/bu");
  await page.key("Tab");
  await hands.press("Fill in the lots");
  const ofLot = (name: string): { name: string; starts: true; group: string } => ({
    name,
    starts: true,
    group: "Lornwick",
  });
  for (const [label, text] of [
    ["Today’s rate", "1400000"],
    ["Seeds per pound", "14000"],
    ["Germination, %", "95"],
    ["Lowest rate", "600000"],
  ] as const)
    await hands.fill(ofLot(label), text);
  // 14 $/bu of 60 lb.
  expect(await hands.value(ofLot("Unit of the price"))).toBe("$/bu");
  await hands.choose(ofLot("Unit of the price"), "$/lb");
  await hands.fill(ofLot("Seed price"), "0.2333");
  await page.key("Tab");
  await hands.quiet();

  // Answer.
  await hands.stepTo("Answer");
  const answered = await hands.answer();
  expect(answered).toContain("Lornwick");
  expect(answered).toContain("Pellastor");
  expect(toldRates(answered).length).toBeGreaterThan(2);

  // At the drill: rain delays seeding by twelve days, a heavier lot arrives.
  await hands.stepTo("At the drill");
  await hands.choose("Variety", "Lornwick");
  const pounds = async (): Promise<number> =>
    Number(/([\d.]+) lb\/ac/.exec(await hands.words(".seed-card"))?.[1]);
  await expect.poll(pounds, patience).toBeGreaterThan(0);
  const inTime = await pounds();
  await hands.fill("Days later than the best date", "12");
  await expect.poll(pounds, patience).toBeGreaterThan(inTime);
  const late = await pounds();
  await hands.fill("Seed size of this lot", "12000");
  // The same seeds of fewer to the pound: heavier by 14,000/12,000.
  await expect.poll(pounds, patience).toBeCloseTo((late * 14) / 12, -0.5);

  // Next strips.
  await hands.stepTo("Next strips");
  for (const [label, text] of [
    ["Length of a run, along the strips", "1200"],
    ["Room across the strips", "1320"],
    ["Width of a drill pass", "40"],
    ["Width of the combine’s cut", "35"],
  ] as const)
    await hands.fill(label, text);
  await hands.press("Plan the strips");
  await hands.press("Take harvest notes on this sheet");

  // Harvest notes, on a phone.
  await hands.resize(360, 740);
  await hands.fill("Note", "=cheat(1)");
  await hands.fill({ name: "Weight (", starts: true }, "64.5");
  await hands.press("Next strip");
  await hands.reads(/, 2 of \d+/);
  const sheet = await read(hands.save("Save the sheet"));
  expect(sheet).toContain("64.5");
  // A spreadsheet runs no cell of it: the apostrophe is the usual guard (OWASP, CSV injection).
  expect(sheet).toContain("'=cheat(1)");
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
  const withoutRows = (text: string): string => text.replaceAll(/ row \d+/g, " row").replaceAll(/\s+/g, " ");
  expect(withoutRows(await hands.answer())).toBe(withoutRows(answered));
}

describe.skipIf(noBrowser)("the whole way over the desk in Chromium", () => {
  const browser = reportBrowser();

  it("leads from a messy workbook to rates, pounds, a plan and harvest notes, and back from the farm file", async () => {
    const { page, complaints } = await browser.open(desk);
    await wholeWay(drivenChromium(page, folder));
    expect(foreign(complaints)).toEqual([]);
  });
});

describe.skipIf(noFirefox)("the whole way over the desk in Firefox", () => {
  it("leads there, too, in a worker and from the disk, as strictly as Firefox is installed", async () => {
    const { driven, complaints, close } = await openedFirefox(folder);
    try {
      await wholeWay(driven);
      expect(await new Hands(driven).words("footer")).not.toContain("without a worker");
      expect(complaints).toEqual([]);
    } finally {
      await close();
    }
  });
});
