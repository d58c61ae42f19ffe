/** The desk's result is the command's, byte for byte: another engine, the same strips, the same numbers. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { answerShown, command, desk, hand, root, savedFiles, stepTo, type HandedFile } from "./open-desk.ts";
import { noBrowser, reportBrowser, type OpenedReport } from "./open-report.ts";

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

const demo = ["strips-2024.csv", "strips-2025.csv", "strips-2026.csv"].map((name) =>
  fromProject(`data-demo/${name}`),
);
const lots = fromProject("data-demo/lots.csv");
const season = fromProject("data-demo/season.yaml");

const cases: [what: string, strips: HandedFile[], beside: { lots?: HandedFile; season?: HandedFile }][] = [
  ["the demo farm", demo, { lots, season }],
  ["a workbook", [fromProject("test/fixtures/workbooks/openpyxl.xlsx")], {}],
  ["a metric file with decimal commas in an old encoding", [metricStrips()], {}],
  ["Yates's oats", [publishedStrips("yates-oats", (level) => 200 + 250 * level, "bu/ac")], {}],
  ["Gomez's rice", [publishedStrips("gomez-stripplot", (level) => 200 + 2 * level, "kg/ha")], {}],
  ["Verbyla's lupins", [lupinStrips()], {}],
];

describe.skipIf(noBrowser)("the desk's result", () => {
  const browser = reportBrowser();
  // The demo farm's seasons are pooled in a second worker beside the first, the others' in one worker.
  const shipped = reportBrowser({ asShipped: true });
  const { saved } = savedFiles();
  let folder = "";
  beforeAll(() => void (folder = mkdtempSync(join(tmpdir(), "stripcurve-same-"))));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  // One page for all others: each case opens it anew.
  let opened: Promise<OpenedReport> | null = null;

  it.each(cases)("is that of the command, byte for byte: %s", async (_, strips, beside) => {
    const { page } = await (strips === demo ? shipped.open(desk) : (opened ??= browser.keep(desk)));
    if (strips !== demo) await page.reload();
    const all = [...strips, ...Object.values(beside)];
    for (const { name, content } of all) writeFileSync(join(folder, name), content);
    const there = await command(
      folder,
      "fit",
      ...strips.map(({ name }) => name),
      "--json",
      ...Object.entries(beside).flatMap(([option, { name }]) => [`--${option}`, name]),
    );
    await hand(page, "Choose files", ...all);
    await page.getByText("on the desk").first().waitFor();
    await stepTo(page, "Answer");
    await answerShown(page);
    const here = readFileSync(await saved(page, "Save the result as JSON"), "utf8");
    expect(here === there, firstDifference(here, there)).toBe(true);
  });
});

function firstDifference(here: string, there: string): string {
  const [ours, others] = [here.split("\n"), there.split("\n")];
  const line = ours.findIndex((text, index) => text !== others[index]);
  return `line ${line + 1}: ${ours[line]?.slice(0, 200)} | ${others[line]?.slice(0, 200)}`;
}
