import { describe, expect, it } from "vitest";
import { answerName, answersWith, noAnswers, type Answers } from "../../../../src/read/answers/answers.ts";
import { holdsWhat } from "../../../../src/read/tables/open-sheets.ts";
import { gridSheet } from "../../../../src/read/tables/sheet.ts";
import { readTrial } from "../../../../src/read/trial-files.ts";
import { defaultSettings, unknownLot } from "../../../../src/vocabulary/settings.ts";
import type { Trial } from "../../../../src/vocabulary/trial.ts";
import { bytesOf, readCsv, us } from "../read-csv.ts";

const header = "variety,season,field,block,rate (million/ac),yield (bu/ac)";
const rows = [
  "Ostrin,2025,Hill,1,0.9,50.1",
  "Ostrin,2025,Hill,1,1.2,56.3",
  "Wester,2025,Hill,1,0.9,48.2",
  "Wester,2025,Hill,1,1.2,55.5",
];
const plain = readCsv([header, ...rows].join("\n"));

/** Strips without where they stood, and the rows that were counted. */
const strips = ({ strips: read, rowsRead, rowsLeftOut }: Trial) => ({
  rowsRead,
  rowsLeftOut,
  strips: read.map(({ rateSeedsPerM2, yieldKgPerHa, ...strip }) => ({
    ...strip,
    place: null,
    rate: rateSeedsPerM2.toPrecision(12),
    grain: yieldKgPerHa.toPrecision(12),
  })),
});
const grid = (text: string, tab = "Sheet1", answers: Answers = noAnswers): Trial => {
  const cells = text.split("\n").map((line) => line.split("|").map((cell) => cell.trim()));
  const sheet = gridSheet({ file: `book.xlsx [${tab}]`, source: "book.xlsx", tab }, cells);
  return readTrial([sheet], defaultSettings, us, answers);
};
const piped = (lines: readonly string[]): string => lines.join("\n").replaceAll(",", "|");

describe("one and the same trial, as farms keep it", () => {
  it.each([
    ["a remark that ends early", [header, ...rows, "combine broke down for two hours"]],
    ["titles, a gap, totals and a remark", ["Strips of Hill|", "", header, ...rows, "", "Mean,,,,,52.5"]],
    [
      "the season in the title",
      ["Harvest 2025", header.replace("season,", ""), ...rows.map((row) => row.replace("2025,", ""))],
    ],
    [
      "labels above the table",
      [
        "Field: Hill",
        "Season|2025",
        "variety,block,rate (million/ac),yield (bu/ac)",
        ...rows.map((row) => row.replace("2025,Hill,", "")),
      ],
    ],
    [
      "units in a row of their own",
      ["variety,season,field,block,rate,yield", ",,,,million/ac,bu/ac", ...rows],
    ],
    [
      "two tables one below the other",
      [header, ...rows.slice(0, 2), "", "Second drill", header, ...rows.slice(2)],
    ],
    ["two tables side by side", [`${header},,${header}`, `${rows[0]},,${rows[2]}`, `${rows[1]},,${rows[3]}`]],
    [
      "the variety in a title above its rows",
      [
        "Hill 2025",
        "Ostrin",
        "field,block,rate (million/ac),yield (bu/ac)",
        ...rows.slice(0, 2).map((row) => row.replace("Ostrin,2025,", "")),
        "Wester",
        "field,block,rate (million/ac),yield (bu/ac)",
        ...rows.slice(2).map((row) => row.replace("Wester,2025,", "")),
      ],
    ],
    [
      "the variety as a label, season and field once above all",
      [
        "Season: 2025,Field: Hill",
        "Variety: Ostrin",
        "block,rate (million/ac),yield (bu/ac)",
        ...rows.slice(0, 2).map((row) => row.replace("Ostrin,2025,Hill,", "")),
        "",
        "Variety - Wester",
        "block,rate (million/ac),yield (bu/ac)",
        ...rows.slice(2).map((row) => row.replace("Wester,2025,Hill,", "")),
      ],
    ],
    [
      "a variety above each of the blocks side by side",
      [
        "Season: 2025,Field: Hill",
        ",Ostrin,,,Variety Wester",
        "block,rate (million/ac),yield (bu/ac),,rate (million/ac),yield (bu/ac)",
        "1,0.9,50.1,,0.9,48.2",
        "1,1.2,56.3,,1.2,55.5",
      ],
    ],
    ["other words", ["Var,Yr,Fld,Rep,Pop (M/ac),Yld bu/ac", ...rows]],
    ["German words", ["Sorte,Jahr,Schlag,Wdh,Aussaatstärke (Mio Körner/ac),Ertrag (bu/ac)", ...rows]],
    ["French words", ["Variété,Année,Parcelle,Bloc,Densité de semis (M/ac),Rendement (bu/ac)", ...rows]],
    [
      "Spanish words",
      ["Variedad,Campaña,Lote,Bloque,Densidad de siembra (M/ac),Rendimiento (bu/ac)", ...rows],
    ],
    [
      "rates with their million",
      [
        header.replace(" (million/ac)", " (seeds/ac)"),
        ...rows.map((row) => row.replace(/,(0\.9|1\.2),/, ",$1 M,")),
      ],
    ],
  ])("reads alike with %s", (_, lines) => {
    const read = strips(grid(piped(lines)));
    const inOrder = (trial: typeof read) => ({
      ...trial,
      strips: trial.strips.map((strip) => JSON.stringify(strip)).sort(),
    });
    expect(inOrder(read)).toEqual(inOrder(strips(plain)));
  });

  it("takes season from the name of the tab", () => {
    const lines = [header.replace("season,", ""), ...rows.map((row) => row.replace("2025,", ""))];
    const trial = grid(piped(lines), "2025");
    expect(strips(trial)).toEqual(strips(plain));
    expect(trial.findings.find(({ code }) => code === "value-from-beside")?.message).toContain(
      'There is no column season: "2025" is used for all rows, from the name of the tab.',
    );
  });

  it("fills merged cells", () => {
    const cells = [header, rows[0]!, ",,,,1.2,56.3", rows[2]!, ",,,,1.2,55.5"].map((line) => line.split(","));
    const merged = [0, 1, 2, 3].flatMap((column) =>
      [2, 4].map((row) => ({ firstRow: row, lastRow: row + 1, firstColumn: column, lastColumn: column })),
    );
    const sheet = gridSheet({ file: "b.xlsx", source: "b.xlsx", tab: "S" }, cells, merged);
    expect(strips(readTrial([sheet], defaultSettings, us))).toEqual(strips(plain));
  });

  it("reads it with answers: headers, spellings, thousands, cells left empty", () => {
    const lines = [
      "kind,season,field,block,rate (seeds/ac),Combine says",
      ...rows.map((row, index) =>
        row
          .replace(/,(0\.9|1\.2),/, (_, rate: string) => `,${Number(rate) * 1000},`)
          .replace(/^Wester/, index === 2 ? "Westre" : "")
          .replace(/^Ostrin/, index === 0 ? "Ostrin" : ""),
      ),
    ];
    const answers: Answers = {
      ...answersWith({
        columns: { kind: "variety", "Combine says": "yield (bu/ac)" },
        thousands: ["rate"],
        fillDown: ["variety"],
      }),
      names: answerName("variety", "Westre", "Wester").names,
    };
    expect(strips(grid(piped(lines), "Sheet1", answers))).toEqual(strips(plain));
  });
});

describe("what farms write down", () => {
  const one = (more: string, value: string, answers: Answers = noAnswers): Trial =>
    readTrial(
      [
        {
          name: "s.csv",
          bytes: bytesOf(`variety,season,rate (million/ac),yield,${more}\nOst,2025,1.2,60,${value}\n`),
        },
      ],
      defaultSettings,
      us,
      answers,
    );

  // Common practice without source: none 0, slight 1, leaning or some 4, bad 7, flat 9.
  it.each([
    ["none", 0],
    ["Upright", 0],
    ["slight", 1],
    ["leaning", 4],
    ["some", 4],
    ["bad", 7],
    ["flat", 9],
    ["stehend", 0],
    ["couché", 9],
    ["acostado", 9],
  ])("lodging %j is score %i", (word, score) => {
    expect(one("lodging", word).strips[0]!.lodging).toMatchObject({ scale: "zero-to-nine", score });
  });

  it("lodging in percent cells is a percent, whatever the header says no scale of", () => {
    expect(one("lodging", "40%").strips[0]!.lodging).toMatchObject({ scale: "percent", score: 40 });
    expect(one("lodging (%)", "40 %").strips[0]!.lodging).toMatchObject({ scale: "percent", score: 40 });
    const unitOf = (cell: string): string | null =>
      one("lodging", cell).columns.find(({ column }) => column === "lodging")!.unit;
    expect(["40%", "4", ""].map(unitOf)).toEqual(["percent", "0-9", "0-9"]);
  });

  it("lengths that are named above the table without a colon hold for all strips", () => {
    const { strips: read } = readCsv(
      "Strip length: 1200 ft; combine header 30 ft\nvariety,season,rate (million/ac),net lb\nOst,2025,1.2,2000\n",
    );
    // 2,000 lb / (1,200 ft × 30 ft / 43,560 ft² per acre) / 60 lb/bu = 40.33 bu/ac; a bushel an acre is 67.2511 kg/ha.
    expect(read[0]!.yieldKgPerHa / 67.2511).toBeCloseTo(40.333, 2);
  });

  it("lodging words that are not known are asked, and answered once", () => {
    expect(one("lodging", "wobbly").findings[0]!.message).toContain("lodging_words: {wobbly: 4}");
    const answered = one("lodging", "wobbly", answersWith({ lodgingWords: { wobbly: 3 } }));
    expect(answered.strips[0]!.lodging!.score).toBe(3);
  });

  it("plants per foot of row are plants per area by the row spacing", () => {
    // Univ. of Minnesota Extension, "Evaluating spring small grains stands": 6-inch rows, 1.2 M plants/ac, 13.8 plants per foot.
    const { strips: read } = one("plants per foot of row,row spacing (in)", "13.8,6");
    expect((read[0]!.standPlantsPerM2! * 4046.8564224) / 1e6).toBeCloseTo(1.2, 2);
  });

  it("scale tickets give the grain, with length and width said once", () => {
    const text =
      "Strip length: 1000 ft\nCut width: 30 ft\nvariety,season,rate (million/ac),gross weight lb,tare lb\nOst,2025,1.2,24000,21521\n";
    const { strips: read } = readTrial([{ name: "s.csv", bytes: bytesOf(text) }], defaultSettings, us);
    // 2,479 lb on 30,000 ft² = 0.68871 ac, 60 lb/bu: 59.99 bu/ac; 1 bu/ac = 67.2511 kg/ha.
    expect(read[0]!.yieldKgPerHa / 67.2511).toBeCloseTo(59.99, 1);
  });

  it("TW is test weight, and never the weight of kernels", () => {
    const strip = one("TW", "60").strips[0]!;
    expect([strip.seedsPerKg, strip.testWeightKgPerHl!.toFixed(1)]).toEqual([null, "77.2"]);
  });

  it("a reason in `exclude` leaves the strip out, and keeps what was recorded", () => {
    const { strips: read, findings } = one("exclude", "sprayer skip");
    expect(read).toEqual([]);
    expect(findings[0]).toMatchObject({ code: "row-excluded", severity: "stops" });
    expect(findings[0]!.message).toBe(
      "Left out as the file says: sprayer skip. Recorded: variety Ost, rate 1.2, yield 60.",
    );
  });

  it("two files with other yields for the same strips are two farms, and other blocks are one field's", () => {
    const file = (name: string, block: number, grain: number) => ({
      name,
      bytes: bytesOf(`${header}\nOst,2025,Home,${block},1.2,${grain}\n`),
    });
    const two = readTrial([file("north/a.csv", 1, 60), file("b.csv", 1, 40)], defaultSettings, us);
    expect(two.strips.map(({ farm }) => farm)).toEqual(["a", "b"]);
    expect(two.findings.map(({ code }) => code)).toContain("farms-apart");
    const same = readTrial([file("a.csv", 1, 60), file("b.csv", 2, 58)], defaultSettings, us);
    expect(same.strips.map(({ farm }) => farm)).toEqual(["", ""]);
    expect(same.findings.map(({ code }) => code)).toContain("field-of-two-files");
  });
});

describe("files that name no field", () => {
  const file = (name: string, block: number, grain: number) => ({
    name,
    bytes: bytesOf(`variety,season,block,rate,yield\nOst,2025,${block},1200000,${grain}\n`),
  });

  it("are different fields, named like them, where they have other yields for the same strips", () => {
    const { strips, findings } = readTrial(
      [file("x/hill 2025.csv", 1, 60), file("bottom.csv", 1, 40)],
      defaultSettings,
      us,
    );
    expect(strips.map(({ field }) => field)).toEqual(["hill", "bottom"]);
    expect(findings.find(({ code }) => code === "fields-apart")!.message).toBe(
      'hill 2025.csv, bottom.csv name no field and have different yields at the same rates and blocks, so they are treated as different fields: “hill”, “bottom”. If they are from one field, say so in columns.yaml: files: {"hill 2025.csv": {field: …}}, with the same name for each.',
    );
  });

  it("are one field's where they complete one layout", () => {
    const { strips } = readTrial([file("a.csv", 1, 60), file("b.csv", 2, 40)], defaultSettings, us);
    expect(strips.map(({ field }) => field)).toEqual(["", ""]);
  });
});

describe("a file given twice under two names", () => {
  const more = [...rows, "Wester,2025,Hill,2,0.9,47.7", "Wester,2025,Hill,2,1.2,54.1"];
  const named = (name: string, lines: readonly string[]) => ({ name, bytes: bytesOf(lines.join("\n")) });
  const both = (answers: Answers = noAnswers, last = more): Trial =>
    readTrial(
      [named("a.csv", [header, ...more]), named("copy of a.csv", [header, ...last])],
      defaultSettings,
      us,
      answers,
    );

  it("counts once, each row of the copy told", () => {
    const trial = both();
    expect(trial.strips.map(({ place }) => place.file)).toEqual(more.map(() => "a.csv"));
    const copied = trial.findings.filter(({ code }) => code === "row-of-copy");
    expect(copied.map(({ file, row }) => `${file} ${row}`)).toEqual(
      more.map((_, index) => `copy of a.csv ${index + 2}`),
    );
    expect(trial).toMatchObject({ rowsRead: 2 * more.length, rowsLeftOut: more.length });
  });

  it("counts once where one file is a part of the other, in either order", () => {
    expect(both(noAnswers, more.slice(0, 4)).strips).toHaveLength(more.length);
    const [a, b] = [named("a.csv", [header, ...more.slice(2)]), named("b.csv", [header, ...more])];
    const trial = readTrial([a, b], defaultSettings, us);
    expect(new Set(trial.strips.map(({ place }) => place.file))).toEqual(new Set(["b.csv"]));
  });

  it("counts twice where that was answered, and where one yield is another", () => {
    const strips = { holds: "strips", nameIs: null, values: {} } as const;
    expect(both(answersWith({ files: { "copy of a.csv": strips } })).strips).toHaveLength(2 * more.length);
    const other = more.map((row, index) => (index === 3 ? row.replace("55.5", "55.6") : row));
    expect(both(noAnswers, other).rowsLeftOut).toBe(0);
  });
});

describe("test weights that stand as thousand-kernel weights", () => {
  const lots = [{ ...unknownLot("Ost"), seedsPerKg: 27_300, germination: 0.96 }];
  const of = (weights: readonly number[], columns = "tkw_g", answers: Answers = noAnswers): Trial =>
    readTrial(
      [
        {
          name: "s.csv",
          bytes: bytesOf(
            [
              `variety,season,rate (lb/ac),yield,${columns}`,
              ...weights.map((weight) => `Ost,2025,90,60,${weight}`),
            ].join("\n"),
          ),
        },
      ],
      { ...defaultSettings, lots },
      us,
      answers,
    );
  const doubt = ({ findings }: Trial) => findings.find(({ code }) => code === "test-weight-as-kernels");

  it("are asked about, with the lot that says otherwise", () => {
    expect(doubt(of([59.1, 60.2, 61]))?.message).toBe(
      'Column "tkw_g" holds 59.1 to 61.0 and is read as grams per thousand kernels. But these could be test weights in lb/bu, and the lot of Ost has 36.6 g. If they are test weights, rates by weight come out wrong: say so once in columns.yaml: columns: {"tkw_g": test_weight (lb/bu)}.',
    );
    expect(doubt(of([76, 79]))?.value).toBe("tkw_g (kg/hl)");
  });

  it("are test weights once that is answered, and the lot gives the seeds", () => {
    const [strip] = of([60], "tkw_g", answersWith({ columns: { tkw_g: "test_weight (lb/bu)" } })).strips;
    // 90 lb/ac × 0.45359237 kg/lb × 27,300 seeds/kg × 0.96, over 4,046.856 m²/ac.
    expect(strip!.rateSeedsPerM2).toBeCloseTo((90 * 0.45359237 * 27_300 * 0.96) / 4046.8564224, 6);
  });

  it.each([
    ["kernels as light as the lot's", [36, 38]],
    ["figures that are no test weights", [45, 47]],
  ])("are not suspected in %s", (_, weights) => {
    expect(doubt(of(weights))).toBeUndefined();
  });
});

describe("what a sheet holds", () => {
  const of = (header: string) =>
    holdsWhat(
      gridSheet({ file: "b.xlsx", source: "b.xlsx", tab: "S" }, [
        header.split(","),
        header.split(",").map(() => "1"),
      ]),
      noAnswers,
    );
  it.each([
    ["variety,season,rate,yield", "strips"],
    ["variety,block,rate,,moisture", "strips"],
    ["variety,season,field,rate", "strips"],
    ["variety,rate,seeds/lb,germination", "lots"],
    ["variety,season,field,rate,seed price ($/bu)", "lots"],
    ["client,phone", null],
  ])("%s: %s", (header, what) => {
    expect(of(header)).toBe(what);
  });
});
