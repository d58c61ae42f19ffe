/** The desk's result is the command's, byte for byte: another engine, the same strips, the same numbers. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import {
  answerShown,
  command,
  desk,
  firstDifference,
  hand,
  quiet,
  root,
  savedFiles,
  stepTo,
  type HandedFile,
} from "./open-desk.ts";
import { noBrowser, reportBrowser } from "./open-report.ts";

const fromProject = (path: string): HandedFile => ({
  name: path.slice(path.lastIndexOf("/") + 1),
  content: readFileSync(join(root, path)),
});

/** Two varieties as a metric farm's spreadsheet saves them: decimal commas, semicolons, an old encoding. */
function metricStrips(): HandedFile {
  const rows = readFileSync(join(root, "data-demo/strips-2026.csv"), "utf8")
    .trim()
    .split("\n")
    .slice(1)
    .map((line) => line.split(","))
    .filter(([, , , , , variety]) => variety === "Ostrindel" || variety === "Brimsolt")
    .map(([, field, season, block, , variety, rate, yieldBuAc, moisture]) => {
      const seedsPerM2 = Math.round(Number(rate) / 4046.86);
      const tonnesPerHa = (Number(yieldBuAc) * 0.06725).toFixed(2).replace(".", ",");
      return [variety, season, field, block, seedsPerM2, tonnesPerHa, moisture!.replace(".", ",")].join(";");
    });
  const header = "Sorte;Jahr;Schlag;Block;Aussaatstärke (Körner/m²);Ertrag (t/ha);Feuchte (%)";
  return {
    name: "streifen.csv",
    content: Buffer.from([header, ...rows, ""].join("\r\n"), "latin1"),
  };
}

interface Published {
  columns: string[];
  rows: (string | number)[][];
}

/** A published trial as strips. Two of the three varied nitrogen: here its levels stand for seeding rates [seeds/m²]. */
function publishedStrips(name: string, rateOf: (level: number) => number, yieldUnit: string): HandedFile {
  const { columns, rows } = JSON.parse(
    readFileSync(join(root, `test/reference/mixed-models/${name}.json`), "utf8"),
  ) as Published;
  const at = (column: string): number => columns.indexOf(column);
  const lines = rows.map((row) =>
    [row[at("variety")], 1931, row[at("block")], rateOf(Number(row[at("rate")])), row[at("yield")]].join(","),
  );
  return {
    name: `${name}.csv`,
    content: [`variety,season,block,rate (seeds/m2),yield (${yieldUnit})`, ...lines, ""].join("\n"),
  };
}

interface Lupins {
  sets: { groups: { name: string; strips: [block: string, rate: number, yieldTonnesPerHa: number][] }[] }[];
}

/** Verbyla et al. (1999), Applied Statistics 48:269: three lupins at target densities, the first season. */
function lupinStrips(): HandedFile {
  const { sets } = JSON.parse(
    readFileSync(join(root, "test/reference/rate-response/verbyla_lupin.json"), "utf8"),
  ) as Lupins;
  const lines = sets[0]!.groups
    .map((group) => ({ ...group, of: group.name.split(" | ") }))
    .filter(({ of }) => of[0] === "1991" && ["Danja", "Gungurru", "Merrit"].includes(of[2]!))
    .flatMap(({ of: [season, site, variety], strips }) =>
      strips.map((strip) => [variety, season, site, ...strip].join(",")),
    );
  return {
    name: "lupins.csv",
    content: ["variety,season,field,block,rate (seeds/m2),yield (t/ha)", ...lines, ""].join("\n"),
  };
}

const cases: [what: string, strips: HandedFile][] = [
  ["a workbook", fromProject("test/fixtures/workbooks/openpyxl.xlsx")],
  ["a metric file with decimal commas in an old encoding", metricStrips()],
  ["Yates's oats", publishedStrips("yates-oats", (level) => 200 + 250 * level, "bu/ac")],
  ["Gomez's rice", publishedStrips("gomez-stripplot", (level) => 200 + 2 * level, "kg/ha")],
  ["Verbyla's lupins", lupinStrips()],
];

// The demo farm, whose seasons are pooled in a second worker beside the first, is held to the same in desk-looks.
describe.skipIf(noBrowser)("the desk's result", () => {
  const browser = reportBrowser();
  const { saved } = savedFiles();
  let folder = "";
  beforeAll(() => void (folder = mkdtempSync(join(tmpdir(), "stripcurve-same-"))));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  // One desk for all, emptied for each, with the report that has the fewest pictures.
  let opened: Promise<Page> | null = null;
  async function emptyDesk(): Promise<Page> {
    opened ??= browser.keep(desk).then(async ({ page }) => {
      await stepTo(page, "Answer");
      await page.getByLabel("Who reads it").selectOption("grower");
      return page;
    });
    const page = await opened;
    await stepTo(page, "Strips");
    for (const one of await page.getByRole("button", { name: /^Leave out / }).all()) await one.click();
    await quiet(page);
    return page;
  }

  it.each(cases)("is that of the command, byte for byte: %s", async (_, strips) => {
    const page = await emptyDesk();
    writeFileSync(join(folder, strips.name), strips.content);
    const there = await command(folder, "fit", strips.name, "--json");
    await hand(page, "Choose files", strips);
    await page.getByText("on the desk").first().waitFor();
    await stepTo(page, "Answer");
    await answerShown(page);
    const here = readFileSync(await saved(page, "Save the result as JSON"), "utf8");
    expect(here === there, firstDifference(here, there)).toBe(true);
  });
});
