import { strToU8, zipSync } from "fflate";
import { describe, expect, it } from "vitest";
import { unpackFarm } from "../../../../src/farm/farm-archive.ts";
import { readFarm } from "../../../../src/farm/read-farm.ts";
import { noAnswers } from "../../../../src/read/answers/answers.ts";
import { openLots, openStrips } from "../../../../src/read/tables/open-sheets.ts";
import type { Sheet } from "../../../../src/read/tables/sheet.ts";
import { readTrial } from "../../../../src/read/trial-files.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";
import type { Trial } from "../../../../src/vocabulary/trial.ts";
import { us } from "../read-csv.ts";

const zipped = (name: string, ...parts: string[]) => ({
  name,
  bytes: zipSync(Object.fromEntries(parts.map((part) => [part, strToU8("<x/>")]))),
});
const bytes = (name: string, ...start: number[]) => ({
  name,
  bytes: Uint8Array.from([...start, ...Array.from({ length: 300 }, (_, index) => index % 256)]),
});
const file = (name: string, text: string) => ({ name, bytes: strToU8(text) });
const strips = file("strips.csv", "variety,season,rate (million/ac),yield (bu/ac)\nOst,2026,1.2,60\n");
const lots = file(
  "lots.csv",
  "variety,rate_now (million/ac),seeds_per_lb,seed_price ($/bu)\nOst,1.2,13000,15\n",
);
const asStrips = (given: typeof strips, sheets: string[] = []): Promise<Trial> =>
  openStrips([given], sheets, noAnswers).then((found) => readTrial(found.strips, defaultSettings, us));
const asLots = (given: typeof strips, sheet: string | null = null): Promise<Sheet> =>
  openLots(given, sheet, noAnswers);

describe("another file than the one that is wanted", () => {
  it.each([
    [
      "lots as strips",
      () => asStrips(lots),
      'lots.csv is a table of seed lots ("rate_now (million/ac)", "seeds_per_lb", "seed_price ($/bu)"), not of strips. Give it as lots: --lots "lots.csv".',
    ],
    [
      "strips as lots",
      () => asLots(strips),
      'strips.csv is given as seed lots, but it is a table of strips ("yield (bu/ac)"). Give it as strips, without --lots; lots have variety, rate_now, seeds_per_lb, germination_pct and seed_price.',
    ],
    [
      "a sheet of a text file",
      () => asStrips(strips, ["2026"]),
      'strips.csv is not a workbook and has no sheets, but the sheet "2026" was asked for. Leave the sheet out, or give the workbook (.xlsx).',
    ],
    [
      "a sheet of lots that are text",
      () => asLots(lots, "seed"),
      'lots.csv is not a workbook and has no sheets, but the sheet "seed" was asked for. Leave the sheet out, or give the workbook (.xlsx).',
    ],
    [
      "a PDF file",
      () => asStrips(file("a.pdf", "%PDF-1.4\n1 0 obj")),
      "a.pdf is a PDF file, not a table that can be read. Copy its table into a spreadsheet and save that as .xlsx or CSV.",
    ],
    [
      "JSON",
      () => asStrips(file("result.json", '{ "schema": "stripcurve-result-1" }')),
      "result.json is a JSON file, not a table that can be read. A table is .csv or .xlsx. A result of stripcurve fit goes with --since, and evidence of a farm to stripcurve region.",
    ],
    [
      "a web page",
      () => asStrips(file("a.csv", "<!DOCTYPE html><html>")),
      "a.csv is a web page, not a table that can be read. Save its table as CSV, or copy it into a spreadsheet.",
    ],
    [
      "a PDF file with bytes that no text has",
      () => asStrips(bytes("a.csv", 0x25, 0x50, 0x44, 0x46, 0x2d)),
      "a.csv is a PDF file, not a table that can be read. Copy its table into a spreadsheet and save that as .xlsx or CSV.",
    ],
    [
      "a picture",
      () => asStrips(bytes("plan.jpg", 0xff, 0xd8, 0xff, 0xe0)),
      "plan.jpg is a picture, not a table that can be read. Type its numbers into a spreadsheet and save that as .xlsx or CSV.",
    ],
    [
      "a letter",
      () => asStrips(zipped("notes.docx", "[Content_Types].xml", "word/document.xml")),
      "notes.docx is a word processor's file, not a table that can be read. Copy its table into a spreadsheet and save that as .xlsx or CSV.",
    ],
    [
      "a letter as lots",
      () => asLots(file("notes.rtf", "{\\rtf1\\ansi A}")),
      "notes.rtf is a word processor's file, not a table that can be read. Copy its table into a spreadsheet and save that as .xlsx or CSV.",
    ],
    [
      "an open spreadsheet",
      () => asStrips(zipped("strips.ods", "mimetype", "content.xml", "styles.xml")),
      "strips.ods is a spreadsheet of another kind, not a table that can be read. Open it and save it as .xlsx or CSV.",
    ],
    [
      "a spreadsheet of another kind still",
      () => asStrips(zipped("strips.numbers", "Index/Document.iwa", "preview.jpg")),
      "strips.numbers is a spreadsheet of another kind, not a table that can be read. Open it and save it as .xlsx or CSV.",
    ],
    [
      "an archive",
      () => asStrips(bytes("strips.csv.gz", 0x1f, 0x8b, 8, 0)),
      "strips.csv.gz is a packed archive, not a table that can be read. Unpack it, and give the files that are in it.",
    ],
    [
      "more columns than a spreadsheet has",
      () => asStrips(file("wide.csv", `${Array.from({ length: 100_000 }, (_, i) => `h${i}`).join(",")}\n`)),
      "wide.csv, row 1: there are 100000 columns, and no spreadsheet has more than 16384. Delete what is beside the table.",
    ],
  ])("%s: says what it is and what to do", async (_, read, message) => {
    await expect(read()).rejects.toThrow(expect.objectContaining({ message }) as Error);
  });

  it.each([["content.xml"], ["Index/Document.iwa"], ["xl/workbook.xml"], ["[Content_Types].xml"]])(
    "is no archive of a farm's files where it holds %s",
    (part) => {
      const office = zipped("strips.ods", "mimetype", part);
      expect(unpackFarm([office])).toEqual([office]);
    },
  );

  it.each(["more.ods", "2024/old.xls", "sheet.xlsb", "book.numbers"])(
    "is not passed over in a farm's archive: %s",
    async (name) => {
      const ods = zipped(name, "mimetype", "content.xml").bytes;
      const archive = zipSync({ "strips.csv": strips.bytes, [name]: ods, "photo.jpg": strToU8("x") });
      const files = unpackFarm([{ name: "farm.zip", bytes: archive }]);
      expect(files.map((one) => one.name).sort()).toEqual([name.split("/").at(-1), "strips.csv"].sort());
      await expect(readFarm(files)).rejects.toThrow("is a spreadsheet of another kind");
    },
  );

  it("a table that may be either is taken as it is given", async () => {
    const either = file("x.csv", "variety,seeds_per_lb\nOst,13000\n");
    await expect(asLots(either)).resolves.toMatchObject({ file: "x.csv" });
    await expect(asLots(lots)).resolves.toMatchObject({ file: "lots.csv" });
    expect((await asStrips(strips)).strips.map(({ variety }) => variety)).toEqual(["Ost"]);
  });
});
