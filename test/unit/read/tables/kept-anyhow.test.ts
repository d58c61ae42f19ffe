import { describe, expect, it } from "vitest";
import { parseCrop } from "../../../../src/read/crop-names.ts";
import { toPerAcre } from "../../../../src/numbers/units.ts";
import type { Trial } from "../../../../src/vocabulary/trial.ts";
import { metric, readCsv, trialErrorOf } from "../read-csv.ts";

const rates = ({ strips }: Trial): number[] =>
  strips.map(({ rateSeedsPerM2 }) => Math.round(toPerAcre(rateSeedsPerM2) / 1e4) / 100);

describe("tables as farms keep them", () => {
  it.each([
    ["Rate (mil)", "million seeds/ac"],
    ["Rate (M)", "million seeds/ac"],
    ["Pop (k)", "thousand seeds/ac"],
    ["Pop. (x1000)", "thousand seeds/ac"],
  ])("ask of what area %j is, with an answer to copy", (header, unit) => {
    const error = trialErrorOf(() => readCsv(`variety,season,${header},yield\nOst,2026,1.2,60\n`));
    expect(error.message).toContain(`columns.yaml: columns: {"${header}": rate (${unit})}`);
  });

  it.each([
    ["Pop (1000s)", "yield (bu/ac)", 800, 0.8],
    ["Pop, 1000s", "bu/ac", 800, 0.8],
    ["Seeds/A (000)", "yield", 800, 0.8],
    ["Rate (millions)", "yield (lb/ac)", 1.1, 1.1],
    ["Saatstärke (Tsd.)", "Ertrag (dt/ha)", 2718.1, 1.1],
    ["Densidad (mil semillas/ha)", "rendimiento (kg/ha)", 2718.1, 1.1],
    ["Densidad sem/m2", "rendimiento (kg/ha)", 271.81, 1.1],
    ["milliers de grains/ha", "rendement (q/ha)", 2718.1, 1.1],
    ["1000 seeds/ac", "yield", 1100, 1.1],
  ])("take %j beside %j for what it says", (header, grain, cell, million) => {
    const yields = { "yield (lb/ac)": 3600, "Ertrag (dt/ha)": 60, "rendement (q/ha)": 60 }[grain] ?? 60;
    const kilograms = grain === "rendimiento (kg/ha)" ? 4000 : yields;
    expect(rates(readCsv(`variety,season,"${header}",${grain}\nOst,2026,${cell},${kilograms}\n`))).toEqual([
      million,
    ]);
  });

  it.each([
    "Kg por franja",
    "Peso por franja (kg)",
    "Cosecha kg",
    "Gewicht je Streifen (kg)",
    "Wagon wt (kg)",
    "kg/strip",
    "Poids par bande (kg)",
    "Drusch kg",
  ])("take %j for what a strip weighed", (header) => {
    const { strips } = readCsv(
      `variety,season,rate (seeds/ac),Ancho cosechado (m),Largo (m),${header}\nOst,2026,1200000,10,100,400\n`,
    );
    expect(strips.map(({ yieldKgPerHa }) => Math.round(yieldKgPerHa))).toEqual([4000]);
  });

  it.each([
    ["bars", "variety|season|rate|yield\nOst, late|2026|1200000|60\n"],
    ["bars and spaces", "variety | season | rate | yield\nOst, late | 2026 | 1200000 | 60\n"],
    ["a line for spreadsheets", "sep=|\nvariety|season|rate|yield\nOst, late|2026|1200000|60\n"],
    ["a frame of bars", "| variety | season | rate | yield |\n| Ost, late | 2026 | 1200000 | 60 |\n"],
  ])("take %s between cells", (_name, text) => {
    const trial = readCsv(text);
    expect(trial.strips.map(({ variety }) => variety)).toEqual(["Ost, late"]);
    expect(rates(trial)).toEqual([1.2]);
  });

  it.each(["\u00a0", "\u2007", "\u2009", "\u200a", "\u202f"])("take %j between groups of digits", (space) => {
    expect(rates(readCsv(`variety,season,rate,yield\nOst,2026,1${space}200${space}000,60\n`))).toEqual([1.2]);
  });

  it.each(["yield %", "yield (%)", "% yield", "yield (% of check)", "Ertrag (%)"])(
    "leave out %j beside a yield in a unit, before it or after it, and say so",
    (relative) => {
      for (const yields of [
        `${relative},yield (bu/ac)\nOst,2026,1200000,104,60`,
        `yield (bu/ac),${relative}\nOst,2026,1200000,60,104`,
      ]) {
        const { strips, findings } = readCsv(`variety,season,rate,${yields}\n`);
        expect(strips.map(({ yieldKgPerHa }) => Math.round(yieldKgPerHa))).toEqual([4035]);
        expect(findings).toContainEqual(
          expect.objectContaining({ code: "column-ignored", column: relative }),
        );
      }
      const alone = trialErrorOf(() => readCsv(`variety,season,rate,${relative}\nOst,2026,1200000,104\n`));
      expect(alone.code).toBe("unit-unknown");
    },
  );

  it("take the repetition that is named above each of several tables, beside or below one another", () => {
    const head = "Variety,Season,Rate,Yield";
    const beside = `Rep 1,,,,,Rep 2,,,\n${head},,${head}\nOst,2026,1200000,60,,Ost,2026,1200000,61\n`;
    const below = `Rep 1,,,\n${head}\nOst,2026,1200000,60\n\nRep 2,,,\n${head}\nOst,2026,1200000,61\n`;
    const within = `${head}\nRep 1,,,\nOst,2026,1200000,60\nRep 2,,,\nOst,2026,1200000,61\n`;
    for (const text of [beside, below, within])
      expect(readCsv(text).strips.map(({ block }) => block)).toEqual(["1", "2"]);
  });

  it("take field and season from what is above each of several tables, though one field has more seasons", () => {
    const table = (title: string, grain: number) =>
      `${title},,\nVariety,Rate,Yield\nOst,1200000,${grain}\n\n`;
    const { strips } = readCsv(
      `${table("Hill 2025", 60)}${table("Hill 2026", 61)}${table("Long Bottom 2026", 62)}`,
    );
    expect(strips.map(({ field, season }) => `${field} ${season}`)).toEqual([
      "Hill 2025",
      "Hill 2026",
      "Long Bottom 2026",
    ]);
  });

  it("take no Region for water, however near the word for rain is in another language", () => {
    const { findings } = readCsv("Variety,Season,Rate,Yield,Region\nOst,2026,1200000,60,West\n");
    expect(findings.filter(({ code }) => code === "column-ignored").map(({ severity }) => severity)).toEqual([
      "note",
    ]);
  });

  it("take sides told in a title in words of another language", () => {
    const told = (title: string) =>
      readCsv(`"${title}",,,\nVariety,Season,Rate,weight (kg)\nOst,2026,1200000,400\n`).strips.map(
        ({ yieldKgPerHa }) => Math.round(yieldKgPerHa),
      );
    for (const title of [
      "Franjas de 100 m de largo, cabezal de 10 m",
      "Streifen 100 m lang, 10 m breit",
      "bandes 100 m de long, 10 m de large",
    ])
      expect(told(title), title).toEqual([4000]);
  });

  it("take what the row above tells of the columns below each", () => {
    const trial = readCsv(
      ',,"800,000",,"1,100,000",\nVariety,Year,Yield,Moist,Yield,Moist\nOst,2026,60,13.5,64,13.5\nElm,2026,61,13.5,66,13.5\n',
    );
    expect(rates(trial)).toEqual([0.8, 1.1, 0.8, 1.1]);
    expect(trial.strips.every(({ moisturePct }) => moisturePct === 13.5)).toBe(true);
  });

  it("pass over means in columns of their own beside the strips", () => {
    const trial = readCsv(
      "Variety,Season,Rate,Yield,,Variety,Mean yield,LSD\nOst,2026,1200000,60,,Ost,62,2.1\nElm,2026,1200000,61,,,,\n",
    );
    expect(trial.strips.map(({ variety }) => variety)).toEqual(["Ost", "Elm"]);
    expect(trial.findings.map(({ code, message }) => [code, message])).toContainEqual([
      "columns-beside",
      'Columns "Variety", "Mean yield", "LSD" beside the strips hold no strips, and are not read.',
    ]);
  });

  it("read codes by a legend below the strips", () => {
    const { strips } = readCsv(
      "Plot,Variety,Season,Rate,Yield\n1,V1,2026,1200000,60\n2,V2,2026,1200000,61\n,,,,\nV1 = Ostrin,,,,\nV2 = Wester 22,,,,\n",
    );
    expect(strips.map(({ variety }) => variety)).toEqual(["Ostrin", "Wester 22"]);
  });

  it("ask for the unit of a yield with the likeliest first", () => {
    const error = trialErrorOf(() => readCsv("variety,season,rate,yield\nOst,2026,300,4.3\n", {}, metric));
    expect(error.message).toContain('columns: {"yield": yield (t/ha)}');
  });

  it("take names of fields, called so, in rows of their own above their strips, but no remarks between strips", () => {
    const head = "Variety,Season,Rate,Yield";
    const read = (...lines: string[]) =>
      readCsv(`${[head, ...lines].join("\n")}\n`).strips.map(({ field }) => field);
    const [one, other] = ["Ost,2026,1200000,60", "Elm,2026,1200000,61"];
    expect(read("Field Home,,,", one, other, "Field Creek,,,", one, other)).toEqual([
      "Home",
      "Home",
      "Creek",
      "Creek",
    ]);
    expect(read(one, "wet spot,,,", other, "wet again,,,", one)).toEqual(["", "", ""]);
    // A word alone may be a variety whose row was never filled in: nothing is made of it.
    expect(read("Ost,,,", one, other)).toEqual(["", ""]);
  });

  it("know crops by their kind", () => {
    expect(
      ["HRSW", "Malt barley", "feed barley 2-row", "wheat and barley", "buckwheat"].map(parseCrop),
    ).toEqual(["wheat", "barley", "barley", null, null]);
  });
});
