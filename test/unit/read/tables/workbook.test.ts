import fc from "fast-check";
import { strFromU8, strToU8, unzipSync, zipSync, type Zippable } from "fflate";
import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { random } from "../../../../src/maths/random.ts";
import { readLots } from "../../../../src/read/lots.ts";
import { noAnswers } from "../../../../src/read/answers/answers.ts";
import { openLots, openStrips } from "../../../../src/read/tables/open-sheets.ts";
import type { Sheet } from "../../../../src/read/tables/sheet.ts";
import { readTrial } from "../../../../src/read/trial-files.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";
import { TrialError } from "../../../../src/vocabulary/trial.ts";
import { us } from "../read-csv.ts";

const root = new URL("../../../../", import.meta.url);
const fileAt = (path: string) => ({ name: path, bytes: new Uint8Array(readFileSync(new URL(path, root))) });
const openpyxl = fileAt("test/fixtures/workbooks/openpyxl.xlsx");
const xlsxwriter = fileAt("test/fixtures/workbooks/xlsxwriter.xlsx");

const part = (name: string, inside: string): string =>
  `<?xml version="1.0" encoding="UTF-8"?><${name} xmlns="http://schemas.openxmlformats.org/${
    name === "Relationships" ? "package/2006/relationships" : "spreadsheetml/2006/main"
  }" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships">${inside}</${name}>`;

/** The least a workbook can be made of: ECMA-376 Part 1 (2016), 18.2 (workbook), 18.3 (worksheets), 18.8 (styles). */
function workbook(rows: string, more: Zippable = {}): Uint8Array {
  const type = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
  return zipSync({
    "xl/workbook.xml": strToU8(
      part("workbook", '<sheets><sheet name="Strips" sheetId="1" r:id="rId1"/></sheets>'),
    ),
    "xl/_rels/workbook.xml.rels": strToU8(
      part(
        "Relationships",
        `<Relationship Id="rId1" Type="${type}/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="rId2" Type="${type}/styles" Target="styles.xml"/>`,
      ),
    ),
    "xl/styles.xml": strToU8(
      part("styleSheet", '<cellXfs count="2"><xf numFmtId="0"/><xf numFmtId="14"/></cellXfs>'),
    ),
    "xl/worksheets/sheet1.xml": strToU8(part("worksheet", `<sheetData>${rows}</sheetData>`)),
    ...more,
  });
}

/** A cell's content: text, a number as it stands in the file, a date by its number, an error. */
type Content = string | { number: string } | { day: string } | { error: string } | null;

function cell(content: Content, at: string): string {
  if (content === null) return "";
  if (typeof content === "string") return `<c r="${at}" t="inlineStr"><is><t>${content}</t></is></c>`;
  if ("number" in content) return `<c r="${at}"><v>${content.number}</v></c>`;
  if ("day" in content) return `<c r="${at}" s="1"><v>${content.day}</v></c>`;
  return `<c r="${at}" t="e"><v>${content.error}</v></c>`;
}
const row = (number: number, ...contents: Content[]): string =>
  `<row r="${number}">${contents.map((content, index) => cell(content, `${"ABCDEFG"[index]!}${number}`)).join("")}</row>`;
const header = row(1, "variety", "season", "rate (million/ac)", "yield", "seeded");
const season = { number: "2026" };
const book = (rows: string, more: Zippable = {}) => ({
  name: "trial.xlsx",
  bytes: workbook(header + rows, more),
});

type File = { name: string; bytes: Uint8Array };

const stripsOf = async (file: File, ...wanted: string[]): Promise<Sheet[]> =>
  (await openStrips([file], wanted, noAnswers)).strips;

async function rowsOf(file: File): Promise<string[][]> {
  const rows: string[][] = [];
  for (const sheet of await stripsOf(file)) sheet.forEach((cells) => void rows.push(cells));
  return rows;
}

async function errorOf(file: File, ...wanted: string[]): Promise<TrialError> {
  try {
    await stripsOf(file, ...wanted);
  } catch (error) {
    if (error instanceof TrialError) return error;
    throw error;
  }
  throw new Error("no TrialError was thrown");
}

describe("a workbook", () => {
  it.each([
    ["openpyxl", openpyxl, "Strips 2024"],
    ["XlsxWriter", xlsxwriter, null],
  ] as const)("written by %s reads as the same trial as its CSV", async (_, file, sheet) => {
    const csv = readTrial([fileAt("data-demo/strips-2024.csv")], defaultSettings, us);
    const same = readTrial(await stripsOf(file, ...(sheet === null ? [] : [sheet])), defaultSettings, us);
    const plain = (trial: typeof csv) =>
      trial.strips.map(({ place, ...strip }) => ({ ...strip, row: place.row }));
    expect(plain(same)).toEqual(plain(csv));
    expect(same.findings.map(({ code, row }) => [code, row])).toEqual(
      csv.findings.map(({ code, row }) => [code, row]),
    );
  });

  /** ECMA-376 Part 1 (2016): 18.3.1.73 (row, hidden), 18.3.1.13 (col, hidden), 18.3.1.40 (f). */
  it("says what is hidden in the sheet, and which formulas have no result", async () => {
    const rows = [
      row(2, "Ost", season, { number: "1.2" }, { number: "60" }),
      row(3, "Ost", season, { number: "1.4" }, { number: "61" }).replace("<row ", '<row hidden="1" '),
      `<row r="4">${cell("Ost", "A4")}${cell(season, "B4")}${cell({ number: "1.6" }, "C4")}<c r="D4"><f>2*30</f><v></v></c></row>`,
      row(5).replace("<row ", '<row hidden="true" '),
    ];
    const file = book(rows.join(""));
    const parts = unzipSync(file.bytes);
    const sheet = strFromU8(parts["xl/worksheets/sheet1.xml"]!);
    parts["xl/worksheets/sheet1.xml"] = strToU8(
      sheet.replace("<sheetData>", '<cols><col min="2" max="2" hidden="1"/></cols><sheetData>'),
    );
    const trial = readTrial(await stripsOf({ ...file, bytes: zipSync(parts) }), defaultSettings, us);
    expect(trial.strips.map(({ yieldKgPerHa }) => Math.round(yieldKgPerHa / 67.2511))).toEqual([60, 61]);
    expect(trial.findings.slice(0, 3).map(({ severity, message }) => [severity, message])).toEqual([
      [
        "doubt",
        "Cell D4 holds a formula whose result is not in the file, so it counts as empty. Open the file in a spreadsheet program, save it there, and read it again.",
      ],
      [
        "doubt",
        "Row 3 of the sheet is hidden or filtered away, but read all the same. To leave rows out, add a column exclude.",
      ],
      ["note", "Column B of the sheet is hidden, but read all the same."],
    ]);
  });

  it("gives lots as well", async () => {
    const csv = readLots(fileAt("data-demo/lots.csv"), defaultSettings, us);
    const book = readLots(await openLots(openpyxl, "lots", noAnswers), defaultSettings, us);
    expect([book.lots, book.findings]).toEqual([csv.lots, csv.findings]);
    expect(book.places.map(({ row }) => row)).toEqual(csv.places.map(({ row }) => row));
  });

  it("with several sheets gives those that hold strips, and those that are named", async () => {
    const { strips, lots } = await openStrips([openpyxl], [], noAnswers);
    expect([...strips, ...lots].map(({ file }) => file.replace(/.*\//, ""))).toEqual([
      "openpyxl.xlsx [Strips 2024]",
      "openpyxl.xlsx [Lots]",
    ]);
    expect((await stripsOf(openpyxl, "strips 2024", "Lots")).map(({ tab }) => tab)).toEqual([
      "Strips 2024",
      "Lots",
    ]);
    expect((await errorOf(openpyxl, "Srtips 2024")).message).toMatch(
      /has no sheet "Srtips 2024"\. Did you mean "Strips 2024"\?/,
    );
    expect((await stripsOf(xlsxwriter))[0]!.file).toBe("test/fixtures/workbooks/xlsxwriter.xlsx");
  });

  it("keeps rows, numbers and dates as typed", async () => {
    const named = "Ost &amp; &quot;Wes&quot;, early";
    const rows =
      row(3, named, season, { number: "1.234" }, { number: "54.200000000000003" }, { day: "46140" }) +
      row(4, "Ost", season, { number: "1.1" }, { error: "#DIV/0!" });
    expect((await rowsOf(book(rows))).slice(1, 4)).toEqual([
      ["", "", "", "", ""],
      ['Ost & "Wes", early', "2026", "1.2340", "54.2", "2026-04-28"],
      ["Ost", "2026", "1.1", "", ""],
    ]);
    const { strips, findings } = readTrial(await stripsOf(book(rows)), defaultSettings, us);
    expect(strips.map(({ place, seeded }) => [place.row, seeded])).toEqual([[3, "2026-04-28"]]);
    expect(findings.map(({ code, row }) => [code, row])).toEqual([["row-value-missing", 4]]);
  });

  it("lists a date that stands for a rate", async () => {
    const rows = row(2, "Ost", season, { day: "46140" }, { number: "60" });
    const { findings } = readTrial(await stripsOf(book(rows)), defaultSettings, us);
    expect(findings.map(({ code, value }) => [code, value])).toEqual([["row-not-a-number", "2026-04-28"]]);
  });
});

describe("a workbook that is not what it says", () => {
  const broken = "workbook-broken";

  it("is refused when it unpacks to more than 50 MB", async () => {
    const big = book("", { "xl/worksheets/sheet2.xml": new Uint8Array(60_000_000) });
    expect(big.bytes.length).toBeLessThan(200_000);
    expect((await errorOf(big)).code).toBe("workbook-too-large");
    const many = Object.fromEntries(
      Array.from({ length: 2_001 }, (_, i) => [`xl/worksheets/s${i}.xml`, new Uint8Array(1)]),
    );
    expect((await errorOf(book("", many))).code).toBe("workbook-too-large");
  });

  // Parts of one tag, one text or one style over and over, below the 50 MB: parsing them took up to a minute.
  it.each<[string, (size: number) => Record<string, Uint8Array>]>([
    ["empty tags", (size) => ({ "xl/worksheets/sheet1.xml": strToU8("<x></x>".repeat(size / 7)) })],
    ["styles", (size) => ({ "xl/styles.xml": strToU8('<xf numFmtId="9"/>'.repeat(size / 18)) })],
    ["texts", (size) => ({ "xl/sharedStrings.xml": strToU8("<si><t>a</t></si>".repeat(size / 17)) })],
  ])("is refused when its %s swell, before they are unpacked", async (_, parts) => {
    const error = await errorOf(book("", parts(5_000_000)));
    expect([error.code, error.message]).toEqual([
      "workbook-too-large",
      expect.stringContaining("more than a hundred times its size") as string,
    ]);
  });

  it("is refused when one cell holds more than any cell can", async () => {
    const draw = random(7, "letters");
    const letters = Array.from({ length: 4_500_000 }, () =>
      String.fromCharCode(97 + Math.floor(26 * draw())),
    );
    const error = await errorOf(
      book(`<row r="2"><c r="A2" t="inlineStr"><is><t>${letters.join("")}</t></is></c></row>`),
    );
    expect([error.code, error.message]).toEqual([
      "workbook-too-large",
      expect.stringContaining("a cell holds more than 4 million characters") as string,
    ]);
  });

  it("is refused when its parts are larger than the archive claims", async () => {
    const strip = (number: number): string => row(number, "Ost", season, { number: "1.1" }, { number: "60" });
    const sheet = part(
      "worksheet",
      `<sheetData>${header}${Array.from({ length: 5_000 }, (_, i) => strip(i + 2)).join("")}</sheetData>`,
    );
    const bytes = workbook("", { "xl/worksheets/sheet1.xml": strToU8(sheet) });
    const claim = (claimed: number): { name: string; bytes: Uint8Array } => {
      const view = new DataView(Uint8Array.from(bytes).buffer);
      for (let at = 0; at + 4 <= bytes.length; at++) {
        if (view.getUint32(at, true) === sheet.length) view.setUint32(at, claimed, true);
      }
      return { name: "lie.xlsx", bytes: new Uint8Array(view.buffer) };
    };
    expect((await errorOf(claim(1_000))).code).toBe(broken);
    expect((await errorOf(claim(4_000_000_000))).code).toBe("workbook-too-large");
  });

  it("is refused when one cell lies at the far end of the sheet", async () => {
    const error = await errorOf(book('<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>'));
    expect(error.code).toBe("workbook-too-wide");
    expect(error.message).toContain(
      "the sheet reaches to cell XFD1048576. Delete what is far from the table",
    );
    expect((await errorOf(book('<row r="9000000"><c><v>1</v></c></row>'))).code).toBe("workbook-too-wide");
  });

  it.each([
    ["in single quotes", "<row r='1048576'><c r='XFD1048576'><v>1</v></c></row>", "workbook-too-wide"],
    ["with a prefix", '<x:row r="1048576"><x:c r = "XFD1048576"><v>1</v></x:c></x:row>', "workbook-too-wide"],
    ["without its row", '<row><c r="XFD1048576"><v>1</v></c></row>', "workbook-too-wide"],
    ["by a character's number", '<row r="2"><c r="&#88;FD1048576"><v>1</v></c></row>', broken],
    ["in small letters", '<row r="2"><c r="xfd1048576"><v>1</v></c></row>', broken],
    ["as a power of ten", '<row r="1e9"><c r="A1e9"><v>1</v></c></row>', broken],
    ["without quotes", "<row r=1048576><c r=XFD1048576><v>1</v></c></row>", broken],
  ])("is refused when the far end is named %s", async (_, rows, code) => {
    expect((await errorOf(book(rows))).code).toBe(code);
  });

  it("is refused when the far end lies in a part of another name, or in many sheets together", async () => {
    const far = part(
      "worksheet",
      '<sheetData><row r="1048576"><c r="C1048576"><v>1</v></c></row></sheetData>',
    );
    const elsewhere = book("", { "xl/evil.xml": strToU8(far.replaceAll("C1048576", "XFD1048576")) });
    expect((await errorOf(elsewhere)).code).toBe("workbook-too-wide");
    expect(await rowsOf(book("", { "xl/one.xml": strToU8(far) }))).toHaveLength(1);
    expect((await errorOf(book("", { "xl/one.xml": strToU8(far), "xl/two.xml": strToU8(far) }))).code).toBe(
      "workbook-too-wide",
    );
  });

  it("is refused when sheets share a part, which would be read for each of them", async () => {
    const sheet = (id: number): string => `<sheet name="S${id}" sheetId="${id}" r:id="rId1"/>`;
    const sheets = Array.from({ length: 100_000 }, (_, index) => sheet(index + 1)).join("");
    const before = process.cpuUsage();
    const error = await errorOf(
      book("", {
        "xl/workbook.xml": [strToU8(part("workbook", `<sheets>${sheets}</sheets>`)), { level: 0 }],
      }),
    );
    expect(error.code).toBe(broken);
    expect(process.cpuUsage(before).user).toBeLessThan(2_000_000);
    const type = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
    const link = (id: number, target: string): string =>
      `<Relationship Id="rId${id}" Type="${type}/worksheet" Target="${target}"/>`;
    const twice = book("", {
      "xl/workbook.xml": strToU8(
        part("workbook", `<sheets>${sheet(1)}${sheet(2).replace("rId1", "rId3")}</sheets>`),
      ),
      "xl/_rels/workbook.xml.rels": strToU8(
        part("Relationships", link(1, "worksheets/sheet1.xml") + link(3, "/xl/worksheets/sheet1.xml")),
      ),
    });
    expect((await errorOf(twice)).code).toBe(broken);
  });

  it("is refused soon when a tag has no end", async () => {
    // Read once over it is done in a part of a second; read anew from each space it would take hours.
    const sheet = strToU8(`<worksheet><s${" ".repeat(900_000)}/></worksheet>`);
    const before = process.cpuUsage();
    expect((await errorOf(book("", { "xl/worksheets/sheet1.xml": sheet }))).code).toBe(broken);
    expect(process.cpuUsage(before).user).toBeLessThan(10_000_000);
  });

  it("is read where one of its sheets is a chart", async () => {
    const type = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
    const parts = {
      "xl/workbook.xml": strToU8(
        part(
          "workbook",
          '<sheets><sheet name="Chart" sheetId="2" r:id="rId3"/><sheet name="Strips" sheetId="1" r:id="rId1"/></sheets>',
        ),
      ),
      "xl/_rels/workbook.xml.rels": strToU8(
        part(
          "Relationships",
          `<Relationship Id="rId1" Type="${type}/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="rId2" Type="${type}/styles" Target="styles.xml"/><Relationship Id="rId3" Type="${type}/chartsheet" Target="chartsheets/sheet1.xml"/>`,
        ),
      ),
      "xl/chartsheets/sheet1.xml": strToU8(part("chartsheet", "<sheetViews/>")),
    };
    expect((await rowsOf(book("", parts)))[0]).toEqual([
      "variety",
      "season",
      "rate (million/ac)",
      "yield",
      "seeded",
    ]);
    const chartAlone = book("", {
      ...parts,
      "xl/worksheets/sheet1.xml": strToU8(part("worksheet", "<sheetData/>")),
    });
    expect((await errorOf(chartAlone)).code).toBe("workbook-empty");
  });

  it.each([
    ["cut off", openpyxl.bytes.slice(0, 4_000)],
    [
      "a zip archive of something else",
      zipSync({ "ppt/presentation.xml": strToU8("<w/>"), "a.txt": strToU8("a") }),
    ],
    ["four bytes of a zip archive", Uint8Array.of(0x50, 0x4b, 3, 4)],
    ["a cell that points nowhere", workbook('<row r="1"><c r="A1" t="s"><v>99</v></c></row>')],
    ["broken XML", workbook('<row r="1"><c r="A1"><v>1')],
  ])("is refused when it is %s", async (_, bytes) => {
    expect([broken, "workbook-empty"]).toContain((await errorOf({ name: "x.xlsx", bytes })).code);
  });

  it("declares no entities that grow", async () => {
    const lol = `<!DOCTYPE x [<!ENTITY a "${"x".repeat(1000)}"><!ENTITY b "${"&a;".repeat(1000)}">]>`;
    const sheet = `${lol}${part("worksheet", `<sheetData>${row(1, "&b;")}</sheetData>`)}`;
    const bytes = workbook("", { "xl/worksheets/sheet1.xml": strToU8(sheet) });
    const outcome = await rowsOf({ name: "x.xlsx", bytes }).catch((error: unknown) => error);
    if (outcome instanceof TrialError) expect(outcome.code).toMatch(/^workbook-/);
    else expect(JSON.stringify(outcome).length).toBeLessThan(1_000);
  });

  it("throws nothing but a TrialError, whatever bytes are changed", async () => {
    const good = xlsxwriter.bytes;
    let refused = 0;
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.tuple(fc.nat(good.length - 1), fc.nat(255)), { minLength: 1, maxLength: 8 }),
        async (changes) => {
          const bytes = Uint8Array.from(good);
          for (const [at, byte] of changes) if (at > 3) bytes[at] = byte;
          try {
            readTrial(await stripsOf({ name: "x.xlsx", bytes }), defaultSettings, us);
          } catch (error) {
            expect(error).toBeInstanceOf(TrialError);
            refused++;
          }
        },
      ),
      { seed: 20260428, numRuns: 60 },
    );
    expect(refused).toBeGreaterThan(10);
  });
});
