/** What only the person knows is asked on the desk, kept in `columns.yaml` and in the farm file, and asked once. */
import { readFileSync, writeFileSync } from "node:fs";
import { basename, dirname, join } from "node:path";
import { strFromU8, unzipSync } from "fflate";
import { describe, expect, it } from "vitest";
import { command, desk, foreign, hand, pressed, quiet, savedFiles, stepTo } from "./open-desk.ts";
import { noBrowser, reportBrowser } from "./open-report.ts";
import { unclearStrips } from "./unclear-strips.ts";

describe.skipIf(noBrowser)("what only the person knows", () => {
  const browser = reportBrowser();
  const { saved } = savedFiles();

  it("is asked on the desk, answered by a press, kept in the farm file, and not asked again", async () => {
    const { page, complaints } = await browser.open(desk);
    page.setDefaultTimeout(30_000);
    await hand(
      page,
      "Choose files",
      { name: "strips.csv", content: unclearStrips() },
      { name: "season.yaml", content: "# Prices of the elevator\ngrain_price: 6.20 $/bu\n" },
    );
    await page.getByRole("heading", { name: "On the desk" }).waitFor();
    await quiet(page);
    await stepTo(page, "Mend");
    const open = page.getByRole("group", { name: /\?$|^How bad/ });
    // The header has to be answered first: without it nothing is read.
    await expect.poll(() => open.count()).toBe(1);
    await open.getByRole("button", { name: "Varietty", exact: true }).click();
    await quiet(page);
    await expect.poll(() => open.count()).toBe(2);
    await page
      .getByRole("group", { name: "Is “Lornwik” the same variety as “Lornwick”?" })
      .getByRole("button", { name: "yes, Lornwick" })
      .click();
    await quiet(page);
    await page
      .getByRole("group", { name: /“sagging”/ })
      .getByRole("button", { name: "4, leaning" })
      .click();
    await quiet(page);
    await expect.poll(() => open.count()).toBe(0);
    // One step back and on again, as with everything on the desk.
    await pressed(page, "Undo");
    await quiet(page);
    await expect.poll(() => open.count()).toBe(1);
    await pressed(page, "Redo");
    await quiet(page);
    await expect.poll(() => open.count()).toBe(0);

    const kept = await saved(page, "Save the answers (columns.yaml)");
    const text = readFileSync(kept, "utf8");
    expect(text).toContain("columns:\n  Varietty: variety\n");
    expect(text).toContain("Lornwik: Lornwick");
    expect(text).toContain("sagging: 4");
    // The command, which finds the answers beside the strips, has no more to ask and keeps the very same.
    writeFileSync(join(dirname(kept), "strips.csv"), unclearStrips());
    await command(dirname(kept), "check", "strips.csv", "--save-answers", "again.yaml");
    expect(readFileSync(join(dirname(kept), "again.yaml"), "utf8")).toBe(text);

    await stepTo(page, "Prices and seed");
    await page.getByLabel("Grain price", { exact: true }).fill("6.40 $/bu");
    await page.keyboard.press("Tab");
    await quiet(page);

    await stepTo(page, "Keep");
    const farm = await saved(page, "Save the farm file");
    const inside = unzipSync(readFileSync(farm));
    expect(strFromU8(inside["columns.yaml"]!)).toBe(text);
    expect(Object.keys(inside).sort()).toEqual(["columns.yaml", "season.yaml", "strips.csv"]);
    expect(strFromU8(inside["season.yaml"]!)).toBe("# Prices of the elevator\ngrain_price: 6.40 $/bu\n");

    // The command reads the farm file with what was answered in it, and without a question.
    const told = (await command(dirname(farm), "check", "farm.zip")).replaceAll(/\s+/g, " ");
    expect(told).not.toContain("Lornwik");
    expect(told).toContain("sagging 4 as you answered");

    await page.reload();
    await hand(page, "Choose files", { name: "farm.zip", content: readFileSync(farm) });
    await page.getByRole("heading", { name: "On the desk" }).waitFor();
    await quiet(page);
    await stepTo(page, "Mend");
    await page.getByText("Rows read: 20. Used: 20. Left out: 0.").waitFor();
    expect(await open.count()).toBe(0);
    expect(foreign(complaints)).toEqual([]);
  }, 120_000);

  it("stands in the header of the mended table, which the command reads alone", async () => {
    const { page } = await browser.open(desk);
    page.setDefaultTimeout(30_000);
    const rows = [1, 2, 3].flatMap((block) =>
      [0.8, 1.1, 1.4, 1.7].map((rate, at) => `Lornwick,2025,Home,${block},${rate},${50 + 2 * at + block}`),
    );
    await hand(page, "Choose files", {
      name: "millions.csv",
      content: ["variety,season,field,block,rate,yield (bu/ac)", ...rows].join("\n"),
    });
    await page.getByRole("heading", { name: "On the desk" }).waitFor();
    await quiet(page);
    await stepTo(page, "Mend");
    await pressed(page, "million seeds/ac");
    await page.getByText("Rows read: 12. Used: 12. Left out: 0.").waitFor();
    const mended = await saved(page, "Save the mended table as CSV");
    expect(basename(mended)).toBe("millions-mended.csv");
    expect(readFileSync(mended, "utf8").split(/\r?\n/)[0]).toBe(
      "variety,season,field,block,rate (million seeds/ac),yield (bu/ac)",
    );
    const told = await command(dirname(mended), "check", basename(mended));
    expect(told).toContain("million seeds/ac");
  }, 120_000);

  it("is asked of each lot where the lots table has no column for it, and kept in one more column", async () => {
    const { page } = await browser.open(desk);
    page.setDefaultTimeout(30_000);
    await hand(
      page,
      "Choose files",
      { name: "strips.csv", content: unclearStrips().replace("Varietty", "Variety") },
      { name: "lots.csv", content: "Variety,Seeding rate (seeds/ac),TKW\nLornwick,1500000,35\n" },
    );
    await quiet(page);
    await stepTo(page, "Mend");
    // What is found in many rows is said once, with ways to the first of them.
    await page.getByText("rows 5, 6, 10, 11 … (8 rows), column lodging, “sagging”").waitFor();
    expect(await page.getByRole("button", { name: /^Go to row/ }).count()).toBe(6);

    await stepTo(page, "Prices and seed");
    const lot = page.getByRole("group", { name: "Lornwick" });
    expect(await lot.getByLabel("Today’s rate, viable seeds (seeds/ac)").inputValue()).toBe("1500000");
    expect(await lot.getByLabel("Weight of a thousand kernels, g").inputValue()).toBe("35");
    expect(await lot.getByLabel("Seeds per pound").count()).toBe(0);
    for (const [label, text] of [
      ["Germination, %", "94"],
      ["Seed price", "16"],
      ["Lowest rate you accept, because of weeds (seeds/ac)", "1450000"],
    ] as const) {
      await lot.getByLabel(label, { exact: true }).fill(text);
      await page.keyboard.press("Tab");
    }
    await quiet(page);
    expect(await lot.getByLabel("Unit of the price").inputValue()).toBe("$/bu");
    // A price that cannot be keeps everything from being read, and is put right where it was typed.
    const price = lot.getByLabel("Seed price", { exact: true });
    for (const [typed, impossible] of [
      ["0.2333", 1],
      ["16", 0],
    ] as const) {
      await price.fill(typed);
      await page.keyboard.press("Tab");
      await quiet(page);
      await expect
        .poll(() => page.getByText("is impossible").filter({ visible: true }).count())
        .toBe(impossible);
      expect(await price.inputValue()).toBe(typed);
    }
    await stepTo(page, "At the drill");
    await page.getByText(/germination 94%/).waitFor();
    await page.getByText("you accept no less; the strips ask for less").waitFor();

    await stepTo(page, "Mend");
    await page.getByLabel("Table", { exact: true }).selectOption({ label: "lots.csv (changed)" });
    const table = readFileSync(await saved(page, "Save the mended table as CSV"), "utf8");
    expect(table.split(/\r?\n/).slice(0, 2)).toEqual([
      "Variety,Seeding rate (seeds/ac),TKW,germination_pct,seed_price,seed_price_unit,lowest_rate (seeds/ac)",
      "Lornwick,1500000,35,94,16,$/bu,1450000",
    ]);
  }, 120_000);
});
