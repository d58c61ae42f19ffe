/** Odd and broken strips files made by hand, each with what has to come of it. */
import { bytesOf } from "../read-csv.ts";

/** An error's code, or how many strips are used and how many rows are listed as left out. */
export type Outcome = string | { used: number; left: number };

export interface OddFile {
  name: string;
  bytes: Uint8Array;
  outcome: Outcome;
}

const header = "variety,season,rate (seeds/ac),yield (bu/ac)";
const good = "Ost,2026,1200000,60";
const used = (count: number): Outcome => ({ used: count, left: 0 });
const listed = (usedRows: number, left: number): Outcome => ({ used: usedRows, left });

const file = (name: string, text: string | Uint8Array, outcome: Outcome): OddFile => ({
  name,
  bytes: typeof text === "string" ? bytesOf(text) : text,
  outcome,
});
/** Below the usual header. */
const below = (name: string, rows: string, outcome: Outcome): OddFile =>
  file(name, `${header}\n${rows}`, outcome);
/** One value of a column beside good ones. */
const withColumn = (name: string, column: string, value: string, outcome: Outcome): OddFile =>
  file(name, `${header},${column}\n${good},${value}\n`, outcome);
/** One good row under other headers. */
const headed = (name: string, headers: string, row: string, outcome: Outcome): OddFile =>
  file(name, `${headers}\n${row}\n`, outcome);

const latin1 = (text: string): Uint8Array => Uint8Array.from(text, (character) => character.charCodeAt(0));
const utf16 = (text: string, little: boolean): Uint8Array =>
  Uint8Array.from(
    [...text].flatMap((one) => {
      const code = one.charCodeAt(0);
      return little ? [code & 255, code >> 8] : [code >> 8, code & 255];
    }),
  );
const joined = (...parts: Uint8Array[]): Uint8Array => Uint8Array.from(parts.flatMap((part) => [...part]));

const wholeFiles: OddFile[] = [
  file("nothing at all", "", "file-empty"),
  file("a byte order mark alone", "\ufeff", "file-empty"),
  file("blank lines", "\n\n \n\t\n", "file-empty"),
  file("the header alone", header, used(0)),
  file("the header and a line end", `${header}\n`, used(0)),
  file("no header", `${good}\n${good}\n`, "column-missing"),
  file("a title above the header", `Seeding trial\n${header}\n${good}\n`, used(1)),
  file("blank lines above the header", `\n\n${header}\n${good}\n`, used(1)),
  file("blank lines between rows", `${header}\n\n${good}\n,,,\n   \n${good}\n\n\n`, used(2)),
  file("no line end at the end", `${header}\n${good}`, used(1)),
  file("Windows line ends", `${header}\r\n${good}\r\n`, used(1)),
  file("old Mac line ends", `${header}\r${good}\r${good}`, used(2)),
  file("three kinds of line ends", `${header}\r\n${good}\n${good}\r${good}\r\n`, used(3)),
  file("a byte order mark", `\ufeff${header}\n${good}\n`, used(1)),
  file(
    "a separator line of a spreadsheet",
    `sep=;\n${header.replaceAll(",", ";")}\n${good.replaceAll(",", ";")}\n`,
    used(1),
  ),
  file(
    "UTF-16, little end first, with a mark",
    joined(Uint8Array.of(255, 254), utf16(`${header}\n${good}\n`, true)),
    used(1),
  ),
  file(
    "UTF-16, big end first, with a mark",
    joined(Uint8Array.of(254, 255), utf16(`${header}\n${good}\n`, false)),
    used(1),
  ),
  file("UTF-16 without a mark", utf16(`${header}\n${good}\n`, true), used(1)),
  file("UTF-16 with half a character at the end", utf16(`${header}\n${good}\n`, true).slice(0, -1), used(1)),
  file("Windows-1252", latin1(`${header}\nMüller’s\xb2,2026,1200000,60\n`.replace("’", "\x92")), used(1)),
  file("UTF-8 cut inside a character", bytesOf(`${header},note\n${good},ü`).slice(0, -1), used(1)),
  file("zero bytes", `${header}\n${good}\0\n`, "file-binary"),
  file("a zero byte in a name", `${header}\nO\0st,2026,1200000,60\n`, "file-binary"),
  file(
    "random bytes",
    Uint8Array.from({ length: 3000 }, (_, index) => (index * index * 31 + index * 7) % 256),
    "file-binary",
  ),
  file("a picture", joined(Uint8Array.of(0x89), latin1("PNG\r\n\x1a\n\0\0\0\rIHDR")), "file-is-document"),
  file("a zip archive", joined(latin1("PK"), Uint8Array.of(3, 4, 20, 0)), "file-is-spreadsheet"),
  file(
    "an old workbook",
    Uint8Array.of(0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1),
    "file-is-spreadsheet",
  ),
  file("a web page", "<!doctype html><html><body>not found</body></html>", "file-is-document"),
  file("JSON", '[{"variety":"Ost","season":2026}]', "file-is-document"),
  file("prose", "The trial was sown on 28 April. It rained.", "column-missing"),
  file("an unclosed quotation mark", `${header}\n"Ost,2026,1200000,60\n${good}\n`, "quotes-broken"),
  file(
    "a quotation mark closed too early",
    `${header}\n"Ost" x,2026,1200000,60\n${good}\n"A",2026,1200000,60\n`,
    "quotes-broken",
  ),
  file("inch marks in names", `${header}\n7" Ost,2026,1200000,60\n${good}\n`, used(2)),
  file(
    "a cell of ten million characters",
    `${header},note\n${good},${"x".repeat(10_000_000)}\n${good},y\n`,
    used(2),
  ),
  file(
    "a variety of ten million characters",
    `${header}\n${"x".repeat(10_000_000)},2026,1200000,60\n${good}\n`,
    listed(1, 1),
  ),
  file(
    "a number of a million digits",
    `${header}\nOst,2026,${"1".repeat(1_000_000)},60\n${good}\n`,
    listed(1, 1),
  ),
  file("ten thousand columns", `${header},${"x,".repeat(10_000)}\n${good}\n${good}\n`, used(2)),
  file("a header of a million characters", `${header},${"x".repeat(1_000_000)}\n${good},1\n`, used(1)),
  file("pipes between cells", `${header.replaceAll(",", "|")}\n${good.replaceAll(",", "|")}\n`, used(1)),
  file("spaces between cells", "variety season rate yield\nOst 2026 1200000 60\n", "column-missing"),
];

const headers: OddFile[] = [
  headed(
    "columns in another order",
    "yield (bu/ac),rate (seeds/ac),season,variety",
    "60,1200000,2026,Ost",
    used(1),
  ),
  headed("names in capitals", "VARIETY,SEASON,RATE (SEEDS/AC),YIELD (BU/AC)", good, used(1)),
  headed(
    "spaces about names and units",
    " variety , season , rate  ( seeds / ac ) , yield ( bu / ac ) ",
    good,
    used(1),
  ),
  headed("names in quotation marks", '"variety","season","rate (seeds/ac)","yield (bu/ac)"', good, used(1)),
  headed("a line end in a name", '"variety","season","rate\n(seeds/ac)","yield (bu/ac)"', good, used(1)),
  headed(
    "synonyms",
    "Cultivar,Harvest Year,Seeding Rate (seeds/acre),Grain Yield (bushels per acre)",
    good,
    used(1),
  ),
  headed("units without brackets", "variety,season,rate_seeds_ac,yield bu/ac", good, used(1)),
  headed("two columns of one name", `${header},yield`, `${good},61`, "column-twice"),
  headed("two columns of one meaning", `${header},cultivar`, `${good},Ost`, "column-twice"),
  headed("two unknown columns of one name", `${header},x,x`, `${good},1,2`, used(1)),
  headed("names that merged cells left empty", `${header},,`, `${good},1,2`, used(1)),
  headed(
    "a merged cell over two header rows",
    "variety,season,rate,,\n,,(seeds/ac),yield",
    "Ost,2026,1200000,60",
    used(1),
  ),
  headed("no variety", "season,rate,yield", "2026,1200000,60", "column-missing"),
  headed("no season", "variety,rate,yield", "Ost,1200000,60", "column-missing"),
  headed("no rate", "variety,season,yield", "Ost,2026,60", "column-missing"),
  headed("no yield", "variety,season,rate", "Ost,2026,1200000", "column-missing"),
  headed(
    "a weight without the ground",
    "variety,season,rate,strip_weight",
    "Ost,2026,1200000,600",
    "column-missing",
  ),
  headed("a misspelt name", "vareity,season,rate,yield", good, "column-missing"),
  headed("an unknown unit of the rate", "variety,season,rate (per hill),yield", good, "unit-unknown"),
  headed("an unknown unit of the yield", "variety,season,rate,yield (loads)", good, "unit-unknown"),
  headed("an unknown unit of the stand", `${header},stand (dense)`, `${good},25`, used(1)),
  headed("a comment in brackets of a name", "variety (our names),season (harvest),rate,yield", good, used(1)),
  headed("a bracket that does not close", "variety,season,rate (seeds/ac,yield", good, used(1)),
  headed("nothing in brackets", "variety,season,rate (),yield ()", good, used(1)),
  headed(
    "a rate in millions without saying so",
    "variety,season,rate,yield",
    "Ost,2026,1.2,60",
    "unit-unclear",
  ),
  headed(
    "a rate in seeds per square foot without saying so",
    "variety,season,rate,yield",
    "Ost,2026,28,60",
    "unit-unclear",
  ),
  headed(
    "a yield in kg/ha without saying so",
    "variety,season,rate,yield",
    "Ost,2026,1200000,4035",
    "unit-unclear",
  ),
  headed("rates in another alphabet", "сорт,год,норма,урожай", good, "column-missing"),
  headed("markup in a name", `${header},<script>alert(1)</script>`, `${good},1`, used(1)),
  headed("a formula in a name", `${header},=HYPERLINK("x")`, `${good},1`, used(1)),
  headed(
    "the name of a built-in property",
    `${header},constructor,__proto__,toString`,
    `${good},1,2,3`,
    used(1),
  ),
];

const rows: OddFile[] = [
  below("a row of one cell", "Ost\n", listed(0, 1)),
  below("a row without its last cells", `${good}\nOst,2026,1200000\n${good}\n`, listed(2, 1)),
  below("a file cut off in a row", `${good}\nOst,2026,12000`, listed(1, 1)),
  below("a file cut off after a delimiter", `${good}\nOst,2026,1200000,`, listed(1, 1)),
  below("commas behind the last cell", `${good},,,\n`, used(1)),
  below("a decimal comma without quotation marks", "Ost,2026,1200000,60,5\n", listed(0, 1)),
  below("a comma in a name without quotation marks", "Ost, early,2026,1200000,60\n", listed(0, 1)),
  below("a comma in a name with quotation marks", '"Ost, early",2026,1200000,60\n', used(1)),
  below("a line end in a name", '"Ost\nearly",2026,1200000,60\n', used(1)),
  below("the header again", `${good}\n${header}\n${good}\n`, listed(2, 1)),
  below("totals at the end", `${good}\nMean,,1200000,60\nTotal,,,60\n`, used(1)),
  below("a footnote", `${good}\n* hail on 3 July\n`, used(1)),
  below("a row of dashes", `${good}\n---,---,---,---\n`, listed(1, 1)),
  below("a comment line", `# made by hand\n${good}\n`, used(1)),
  below("cells that merging left empty", `${good}\n,2026,1300000,61\n,,1400000,62\n`, listed(1, 2)),
  below("names with spaces around them", " Ost ,2026,1200000,60\nOst,2026,1300000,61\n", used(2)),
  below("names with accents, composed and not", "Söd,2026,1200000,60\nSo\u0308d,2026,1300000,61\n", used(2)),
  below("names from right to left", "חיטה,2026,1200000,60\nقمح,2026,1300000,61\n", used(2)),
  below("marks that turn the writing", "\u202eOst\u202c,2026,1200000,60\n", used(1)),
  below("pictures for names", "🌾🌾,2026,1200000,60\n", used(1)),
  below("half a picture for a name", "\ud83c,2026,1200000,60\n", used(1)),
  below("markup for a name", "<img src=x onerror=alert(1)>,2026,1200000,60\n", used(1)),
  below("a formula for a name", "=1+1,2026,1200000,60\n", used(1)),
  below("control characters in a name", "Ost\u001b[2J\u0007,2026,1200000,60\n", used(1)),
  below(
    "the name of a built-in property for a variety",
    "__proto__,2026,1200000,60\nconstructor,2026,1200000,60\n",
    used(2),
  ),
  below("a number for a name", "42,2026,1200000,60\n", used(1)),
  below("a dash for a name", "-,2026,1200000,60\n", listed(0, 1)),
];

const seasons: OddFile[] = (
  [
    ["26", 1],
    ["", 0],
    ["2026.0", 1],
    ["2,026", 0],
    ["2026-04-28", 1],
    ["4/28/2026", 1],
    ["spring 2026", 1],
    ["2025/26", 1],
    ["2024/26", 0],
    ["2025 and 2026", 0],
    ["20261", 0],
    ["-2026", 0],
    ["٢٠٢٦", 0],
    ["2.026E+03", 0],
    ["=2026", 0],
    [" 2026 ", 1],
  ] as [string, number][]
).map(([value, count]) =>
  below(
    `the season ${JSON.stringify(value)}`,
    `Ost,"${value}",1200000,60\n${good}\n`,
    listed(count + 1, 1 - count),
  ),
);

const rates: OddFile[] = (
  [
    ["1.2E+06", 1],
    ["1.20E6", 1],
    ["1,200,000", 1],
    ["1 200 000", 1],
    ["1'200'000", 1],
    ["1.200.000", 1],
    [" 1200000 ", 1],
    ["0", 0],
    ["-1200000", 0],
    ["", 0],
    ["NA", 0],
    ["n/a", 0],
    ["#DIV/0!", 0],
    ["#REF!", 0],
    ["=A2*1000", 0],
    ["1.2 M", 1],
    ["1200000 seeds", 0],
    ["about 1200000", 1],
    ["12-Jan", 0],
    ["2026-04-28", 0],
    ["1.2.3", 0],
    ["12,00,000", 0],
    ["1e400", 0],
    ["1e-400", 0],
    ["Infinity", 0],
    ["NaN", 0],
    ["null", 0],
    ["0x124F80", 0],
    ["½", 1],
    ["٣", 0],
    ["1200000%", 0],
    ["$1200000", 0],
    ["TRUE", 0],
    ["--", 0],
    ["1200000-1300000", 1],
  ] as [string, number][]
).map(([value, count]) =>
  below(
    `the rate ${JSON.stringify(value)}`,
    `Ost,2026,"${value}",60\n${good}\n`,
    listed(count + 1, 1 - count),
  ),
);

const yields: OddFile[] = (
  [
    ["60.25", 1],
    ["60,25", 1],
    ["0", 1],
    ["-5", 1],
    ["", 0],
    ["*", 0],
    ["hail", 0],
    ["60 bu", 1],
    ["60%", 0],
    ["#N/A", 0],
    [".5", 1],
    ["1e2", 1],
    ["1e308", 0],
    ["60..2", 0],
    ["60,,2", 0],
  ] as [string, number][]
).map(([value, count]) =>
  below(
    `the yield ${JSON.stringify(value)}`,
    `Ost,2026,1200000,"${value}"\n${good}\n`,
    listed(count + 1, 1 - count),
  ),
);

/** A value that cannot be read in a column that can be done without leaves the strip in. */
const optional: OddFile[] = [
  ...["many", "1,2,3", "#VALUE!", "1e999", "∞", "15-20", "=5"].flatMap((value) =>
    [
      "stand (plants/ft2)",
      "heads",
      "protein (%)",
      "test_weight",
      "ground_cover",
      "position",
      "lodging",
      "rain",
    ].map((column) => withColumn(`${JSON.stringify(value)} in ${column}`, column, `"${value}"`, used(1))),
  ),
  ...["soon", "4/5/2026", "2026-02-30", "46140", "0000-00-00", "28.4.26", "April"].map((value) =>
    withColumn(`${JSON.stringify(value)} for a seeding date`, "seeded", value, used(1)),
  ),
  withColumn("a lodging score off its scale", "lodging", "12", used(1)),
  withColumn("a lodging score in words", "lodging", "flat", used(1)),
  withColumn("another lodging scale", "lodging (%)", "85", used(1)),
  withColumn("an unknown lodging scale", "lodging (stars)", "3", used(1)),
  withColumn("percent signs in a column of percents", "protein (%)", "13.5%", used(1)),
  withColumn("a share in a column of percents", "protein", "0.135", used(1)),
  withColumn("a moisture in words", "moisture (%)", "wet", listed(0, 1)),
  withColumn("a moisture of 100 %", "moisture (%)", "100", listed(0, 1)),
  withColumn("a moisture as a share without saying so", "moisture", "0.135", used(1)),
  withColumn("a moisture in an unknown unit", "moisture (grade)", "2", "unit-unknown"),
  withColumn("another crop", "crop", "barley", listed(0, 1)),
  withColumn("a crop nobody knows", "crop", "<b>", listed(0, 1)),
  withColumn("the same crop by another name", "crop", "Spring Wheat", used(1)),
  withColumn("a very long note", "note", "x".repeat(5_000), used(1)),
  withColumn("a note that is a link to a script", "note", "javascript:alert(1)", used(1)),
  withColumn("a note with template signs", "note", "${7*7} {{7*7}} <%= 7*7 %>", used(1)),
];

const weights: OddFile[] = [
  headed(
    "a rate by weight without the seed's weight",
    "variety,season,rate (lb/ac),yield",
    "Ost,2026,90,60",
    listed(0, 1),
  ),
  headed(
    "a rate by weight without germination",
    "variety,season,rate (lb/ac),yield,seeds_per_lb",
    "Ost,2026,90,60,13000",
    listed(0, 1),
  ),
  headed(
    "a rate by weight with all it needs",
    "variety,season,rate (lb/ac),yield,tkw,germ",
    "Ost,2026,90,60,35,95",
    used(1),
  ),
  headed(
    "a rate by weight with a seed weight of 0",
    "variety,season,rate (lb/ac),yield,tkw,germ",
    "Ost,2026,90,60,0,95",
    listed(0, 1),
  ),
  headed(
    "a rate by weight with germination in words",
    "variety,season,rate (lb/ac),yield,tkw,germ",
    "Ost,2026,90,60,35,good",
    listed(0, 1),
  ),
  headed(
    "a rate by weight with a germination of 0",
    "variety,season,rate (kg/ha),yield,tkw,germ (%)",
    "Ost,2026,90,60,35,0",
    listed(0, 1),
  ),
  headed(
    "a strip of no length",
    "variety,season,rate,strip_weight,strip_length,strip_width",
    "Ost,2026,1200000,600,0,30",
    listed(0, 1),
  ),
  headed(
    "a strip of next to no ground",
    "variety,season,rate,strip_weight,strip_length,strip_width",
    "Ost,2026,1200000,600,1e-300,1e-300",
    listed(0, 1),
  ),
  headed(
    "a strip not weighed",
    "variety,season,rate,strip_weight,strip_length,strip_width",
    "Ost,2026,1200000,,300,30",
    listed(0, 1),
  ),
  headed(
    "a strip weighed in words",
    "variety,season,rate,strip_weight,strip_length,strip_width",
    "Ost,2026,1200000,heavy,300,30",
    listed(0, 1),
  ),
];

const marks: OddFile[] = [
  file("decimal commas", `${header.replaceAll(",", ";")}\nOst;2026;1200000;60,5\n`, used(1)),
  file(
    "decimal commas and points",
    `${header.replaceAll(",", ";")}\nOst;2026;1200000;60,5\nOst;2026;1200000;61.5\n`,
    used(2),
  ),
  file(
    "thousands or decimals, nobody knows",
    `${header.replaceAll(",", ";")}\nOst;2026;1200000;60,500\n`,
    "number-ambiguous",
  ),
  file(
    "thousands or decimals, both marks about",
    `${header.replaceAll(",", ";")}\nO;2026;1200000;6,5\nO;2026;1200000;6.5\nO;2026;1200000;6,500\n`,
    "number-ambiguous",
  ),
  file(
    "thousands and decimals, settled by another row",
    `${header.replaceAll(",", ";")}\nO;2026;1200000;60,500\nO;2026;1200000;60,5\n`,
    used(2),
  ),
  file(
    "tabs between, commas within",
    `${header.replaceAll(",", "\t")}\nOst\t2026\t1,200,000\t60.5\n`,
    used(1),
  ),
];

export const handMade: OddFile[] = [
  ...wholeFiles,
  ...headers,
  ...rows,
  ...seasons,
  ...rates,
  ...yields,
  ...optional,
  ...weights,
  ...marks,
];
