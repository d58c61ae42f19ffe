import { describe, expect, it } from "vitest";
import {
  atMarketMoisture,
  fromBushelsPerAcre,
  fromPerAcre,
  kgPerPound,
  toBushelsPerAcre,
  toPerAcre,
} from "../../../src/numbers/units.ts";
import { defaultSettings, unknownLot, type Lot } from "../../../src/vocabulary/settings.ts";
import { readTrial } from "../../../src/read/trial-files.ts";
import { bytesOf, metric, readCsv, trialErrorOf, us } from "./read-csv.ts";

const lot = (variety: string, more: Partial<Lot>): Lot => ({ ...unknownLot(variety), ...more });

describe("readTrial", () => {
  it("reads rates in seeds/ac and yields in bu/ac where a US file names no unit", () => {
    const { strips, rowsRead, rowsLeftOut, findings } = readCsv(
      "variety,season,rate,yield\nOst,2026,1200000,60\n",
    );
    expect(strips).toHaveLength(1);
    expect(strips[0]).toMatchObject({ variety: "Ost", season: 2026, place: { file: "strips.csv", row: 2 } });
    expect(strips[0]!.rateSeedsPerM2).toBe(fromPerAcre(1_200_000));
    expect(strips[0]!.yieldKgPerHa).toBe(fromBushelsPerAcre(60, 60));
    expect([rowsRead, rowsLeftOut, findings]).toEqual([1, 0, []]);
  });

  it("reads rates in seeds/m² and yields in kg/ha where a metric file names no unit", () => {
    const { strips, findings } = readCsv("variety;season;rate;yield\nOst;2026;300;4035\n", {}, metric);
    expect(strips[0]).toMatchObject({ rateSeedsPerM2: 300, yieldKgPerHa: 4035 });
    expect(findings.map(({ code }) => code)).toEqual(["rate-taken-as-seeds"]);
  });

  it.each([
    ["strips/2026_Gerste Versuch.csv", "wheat", "barley"],
    ["maïs.csv", "wheat", "corn"],
    ["durum-2026.csv", "wheat", "durum"],
    ["winter wheat.csv", "barley", "wheat"],
  ] as const)("doubts that strips of %s are %s", (name, crop, found) => {
    const read = (file: string, header = "", cell = "") =>
      readTrial(
        [{ name: file, bytes: bytesOf(`variety,season,rate,yield${header}\nOst,2026,1200000,60${cell}\n`) }],
        { ...defaultSettings, crop },
        us,
      ).findings.map(({ code, message }) => ({ code, message }));
    const [doubt] = read(name);
    expect(doubt!.code).toBe("crop-named-otherwise");
    expect(doubt!.message).toContain(
      `By the name "${name.split("/").at(-1)!}" these are strips of ${found}, but they are read as ${crop}`,
    );
    // Each strip says its own crop, or the name says none, or this one.
    expect(read(name, ",crop", `,${crop}`)).toEqual([]);
    expect(read("barleycorn-field.csv")).toEqual([]);
    expect(read(`${crop} strips.csv`)).toEqual([]);
  });

  it("doubts strips whose title speaks of another crop alone", () => {
    const read = (title: string, crop: "wheat" | "barley" = "wheat") =>
      readCsv(`${title}\n\nvariety,season,rate,yield\nOst,2026,1200000,60\n`, { crop })
        .findings.filter(({ code }) => code === "crop-titled-otherwise")
        .map(({ severity, message }) => `${severity} ${message}`);
    expect(read("Barley seeding rate trial")).toEqual([
      expect.stringMatching(
        /^doubt By the title "Barley seeding rate trial" these are strips of barley, but/,
      ),
    ]);
    expect(read("Wintergerste 2026")).toHaveLength(1);
    expect(read("Barley seeding rate trial", "barley")).toEqual([]);
    for (const title of [
      "Wheat and barley",
      "Previous crop: soybeans",
      "Drilled into corn stubble",
      "North 40",
    ])
      expect(read(title), title).toEqual([]);
  });

  it("takes wheat in a name for durum where durum is looked at", () => {
    const bytes = bytesOf("variety,season,rate,yield\nOst,2026,1200000,60\n");
    const { findings } = readTrial([{ name: "wheat.csv", bytes }], { ...defaultSettings, crop: "durum" }, us);
    expect(findings).toEqual([]);
  });

  it("asks in what unit a rate of 1.2 or 28 is", () => {
    for (const rate of ["1.2", "28"]) {
      const error = trialErrorOf(() => readCsv(`variety,season,rate,yield\nOst,2026,${rate},60\n`));
      expect(error.code).toBe("unit-unclear");
      expect(error.message).toContain(`strips.csv, row 2, column rate: in what unit is "${rate}"?`);
    }
  });

  it("gives the same rate in every unit it may be written in", () => {
    const header = (unit: string): string => `variety,season,rate (${unit}),yield\n`;
    const rate = (unit: string, value: string): number =>
      readCsv(`${header(unit)}Ost,2026,${value},60\n`).strips[0]!.rateSeedsPerM2;
    const same = fromPerAcre(1_100_000);
    expect(rate("seeds/ac", "1100000")).toBe(same);
    expect(rate("million/ac", "1.1")).toBe(same);
    expect(rate("thousand seeds per acre", "1100")).toBe(same);
    expect(rate("viable seeds/ft²", String(1_100_000 / 43_560))).toBeCloseTo(same, 9);
    expect(rate("seeds m-2", String(same))).toBe(same);
  });

  it("lists every row that is not used once, with its place and value", () => {
    const { strips, rowsRead, rowsLeftOut, findings } = readCsv(
      "variety,season,rate,yield\nOst,2026,1200000,60\n,2026,1200000,60\nOst,206,1200000,60\nOst,2026,,60\n" +
        "Ost,2026,many,60\nOst,2026,1200000,\n\nOst,2026,1200000,61,5\nOst,2026,1.2,60\n",
    );
    expect(strips).toHaveLength(1);
    expect([rowsRead, rowsLeftOut]).toEqual([8, 7]);
    expect(findings.map(({ code, row, column, value }) => [code, row, column, value])).toEqual([
      ["row-value-missing", 3, "variety", null],
      ["row-season-unclear", 4, "season", "206"],
      ["row-value-missing", 5, "rate", null],
      ["row-not-a-number", 6, "rate", "many"],
      ["row-value-missing", 7, "yield", null],
      ["row-too-long", 9, null, null],
      ["row-unit-unclear", 10, "rate", "1.2"],
    ]);
    expect(findings.every(({ severity, file }) => severity === "stops" && file === "strips.csv")).toBe(true);
  });

  it("says nothing of the other cells of a row that is left out", () => {
    const { findings } = readCsv(
      "variety,season,rate,yield,seeds_per_lb,germination_pct,stand\nOst,2026,1200000,,many,0.9,few\n",
    );
    expect(findings.map(({ code, column }) => [code, column])).toEqual([["row-value-missing", "yield"]]);
  });

  it("uses a strip without an optional value that cannot be read, and says so", () => {
    const { strips, findings } = readCsv(
      "variety,season,rate,yield,stand,lodging\nOst,2026,1200000,60,many,12\n",
    );
    expect(strips[0]).toMatchObject({ standPlantsPerM2: null, lodging: null });
    expect(findings.map(({ code, column }) => [code, column])).toEqual([
      ["value-not-a-number", "stand"],
      ["value-off-scale", "lodging"],
    ]);
  });

  it("leaves out all lodging scores of a site-year that was scored on another scale", () => {
    const rows = (season: number, scores: number[]): string =>
      scores.map((score, i) => `Ost,${season},Home,${1_000_000 + 100_000 * i},60,${score}\n`).join("");
    const header = "variety,season,field,rate,yield,lodging\n";
    const { strips, findings } = readCsv(
      header + rows(2025, [0, 0, 3, 5]) + rows(2026, [0, 0, 5, 40, 70]) + rows(2027, [0, 2, 3, 4, 44]),
    );
    const scores = (season: number) =>
      strips.filter((strip) => strip.season === season).map(({ lodging }) => lodging?.score ?? null);
    expect(scores(2025)).toEqual([0, 0, 3, 5]);
    expect(scores(2026)).toEqual([null, null, null, null, null]);
    // One of four that are not upright is a slip of the pen.
    expect(scores(2027)).toEqual([0, 2, 3, 4, null]);
    const [told, ...others] = findings.filter(({ code }) => code === "lodging-on-other-scale");
    expect(others).toEqual([]);
    expect(told!.message).toMatch(
      /^Two lodging scores of 2026 Home are off the scale 0-9, so the three others there are probably of another/,
    );
  });

  it("counts repeated headers, and other crops, among the rows left out", () => {
    const { findings, rowsLeftOut } = readCsv(
      "variety,season,rate,yield,crop\nvariety,season,rate,yield,crop\nOst,2026,1200000,60,Barley\nOst,2026,1200000,60,Winter wheat\n",
    );
    expect(rowsLeftOut).toBe(2);
    expect(findings.map(({ code }) => code)).toEqual(["row-repeats-header", "row-other-crop"]);
  });

  it("reads files with different columns and units as one trial", () => {
    const files = [
      { name: "a.csv", bytes: bytesOf("variety,year,rate (million/ac),yield\nOst,2025,1.2,60\n") },
      {
        name: "b.csv",
        bytes: bytesOf("yield [kg/ha];Seeding_Rate [seeds/m2];Cultivar;Season\n4035,1;296,5;Ost;2026\n"),
      },
    ];
    const { strips, environments } = readTrial(files, defaultSettings, us);
    expect(strips.map(({ season }) => season)).toEqual([2025, 2026]);
    expect(strips[1]).toMatchObject({ rateSeedsPerM2: 296.5, yieldKgPerHa: 4035.1 });
    expect(environments.map(({ id }) => id)).toEqual(["2025", "2026"]);
    expect(trialErrorOf(() => readTrial([files[0]!, files[0]!], defaultSettings, us)).code).toBe(
      "file-twice",
    );
    expect(trialErrorOf(() => readTrial([], defaultSettings, us)).code).toBe("no-files");
  });
});

describe("yields", () => {
  /** Mulvaney & Devkota 2020, UF/IFAS SS-AGR-443 (AG442): 10,000 lb at 20 % is not 8,000 + 8,000 × 15.5 % = 9,240 lb. */
  it("brings 10,000 lb of corn at 20 % to 9,467.5 lb at 15.5 %", () => {
    const { strips } = readCsv(
      "variety,season,rate,strip_weight (lb),strip_length,strip_width,moisture\nZea,2026,32000,10000,435.6,100,20\n",
      { crop: "corn" },
    );
    const pounds = toBushelsPerAcre(strips[0]!.yieldKgPerHa, 56) * 56;
    expect(pounds).toBeCloseTo(9_467.4556, 3);
    expect(Math.abs(pounds - 9_240)).toBeGreaterThan(200);
  });

  /** Trade arithmetic, recomputed: 60 × 84 / 86.5. */
  it("brings 60 bu/ac of wheat at 16 % to 58.27 at 13.5 %, and says so", () => {
    const { strips, findings } = readCsv("variety,season,rate,yield,moisture\nOst,2026,1200000,60,16\n");
    expect(toBushelsPerAcre(strips[0]!.yieldKgPerHa, 60)).toBeCloseTo(58.2659, 4);
    expect(findings.map(({ code }) => code)).toEqual(["yield-at-market-moisture"]);
  });

  /** Univ. of Missouri table (reprint): pounds of corn equal to 56 lb at 15.5 %. */
  it.each([
    [10, 52.56],
    [13, 54.39],
    [18, 57.7],
    [20, 59.15],
    [25, 63.09],
    [30, 67.6],
  ])("takes corn at %d %% for 56 lb at the weight of the table", (moisture, pounds) => {
    const { strips } = readCsv(
      `variety,season,rate,yield (lb/ac),moisture\nZea,2026,32000,${pounds},${moisture}\n`,
      { crop: "corn" },
    );
    expect(toBushelsPerAcre(strips[0]!.yieldKgPerHa, 56)).toBeCloseTo(1, 3);
  });

  it("takes the moisture that the header says for the yield, not the one of the column", () => {
    const at15 = readCsv("variety,season,rate,yield (kg/ha at 15 %),moisture\nOst,2026,1200000,4000,20\n");
    expect(at15.strips[0]!.yieldKgPerHa).toBe(atMarketMoisture(4000, 15, 13.5));
    const dry = readCsv('variety,season,rate,"yield (kg/ha, dry)"\nOst,2026,1200000,4000\n');
    expect(dry.strips[0]!.yieldKgPerHa).toBe(atMarketMoisture(4000, 0, 13.5));
  });

  it("weighs strips where there is no yield, in both systems alike", () => {
    const weighed = readCsv(
      "variety,season,rate,yield,strip_weight,strip_length,strip_width\nOst,2026,1200000,,600,435.6,10\nOst,2026,1200000,61,,,\n",
    );
    expect(weighed.strips.map(({ yieldKgPerHa }) => toBushelsPerAcre(yieldKgPerHa, 60))).toEqual([
      expect.closeTo(100, 9),
      expect.closeTo(61, 9),
    ]);
    const kilos = readCsv(
      `variety,season,rate,strip_weight,strip_length,strip_width\nOst,2026,300,${600 * kgPerPound},${435.6 * 0.3048},3.048\n`,
      {},
      metric,
    );
    expect(kilos.strips[0]!.yieldKgPerHa).toBeCloseTo(weighed.strips[0]!.yieldKgPerHa, 9);
  });

  it("says when yield and weight of a strip do not agree", () => {
    const header = "variety,season,rate,yield,strip_weight,strip_length,strip_width,moisture\n";
    // 600 lb on 0.1 acre are 100 bu/ac; brought from 16 to 13.5 % they would be 97.1.
    const { findings, strips } = readCsv(
      `${header}Ost,2026,1200000,100.4,600,435.6,10,16\nOst,2026,1200000,97.1,600,435.6,10,16\nOst,2026,1200000,97.1,,435.6,10,16\n`,
    );
    expect(strips).toHaveLength(3);
    expect(findings.map(({ code, row }) => [code, row])).toEqual([
      ["yield-and-weight-differ", 3],
      ["yield-at-market-moisture", null],
    ]);
    expect(findings[0]!.message).toContain("The yield is 2.9% away from what weight, length and width");
  });

  it("takes metres and millimetres in cells for what they are, not for millions", () => {
    const { strips, columns } = readCsv(
      "variety,season,rate,strip_weight,strip_length,strip_width,rain\n" +
        "Ost,2026,1.1 m,1250 kg,370 m,9.1m,150 mm\nOst,2026,1.1 mm,1250 kg,1200 ft,30 ft,6 in\n",
    );
    // 1250 kg from 370 m × 9.1 m, and from 1200 ft × 30 ft.
    expect(strips.map(({ yieldKgPerHa }) => Math.round(yieldKgPerHa))).toEqual([3713, 3737]);
    expect(strips.map(({ rateSeedsPerM2 }) => Math.round(rateSeedsPerM2))).toEqual([272, 272]);
    expect(strips.map(({ waterMm }) => Math.round(waterMm!))).toEqual([150, 152]);
    expect(columns.find(({ column }) => column === "strip_length")!.unit).toBe("ft and m");
  });

  it("leaves out a strip whose moisture or ground cannot be", () => {
    const { findings } = readCsv(
      "variety,season,rate,yield,strip_weight,strip_length,strip_width,moisture (%)\n" +
        "Ost,2026,1200000,60,,,,100\nOst,2026,1200000,60,,,,wet\nOst,2026,1200000,,600,0,10,13\nOst,2026,1200000,,600,400,,13\n",
    );
    expect(findings.map(({ code, column }) => [code, column])).toEqual([
      ["row-moisture-impossible", "moisture"],
      ["row-not-a-number", "moisture"],
      ["row-not-positive", "strip_length"],
      ["row-value-missing", "yield"],
    ]);
  });
});

describe("rates by weight", () => {
  const seeds = (row: string, header: string, settings = {}): number =>
    toPerAcre(readCsv(`${header}\n${row}\n`, settings).strips[0]!.rateSeedsPerM2);

  /** Neely & Esser, Washington State Univ.: 75 lb/ac of 15,000 and 9,000 seeds/lb (worked example W10). */
  it("turns 75 lb/ac into 1.13 million or 675,000 seeds/ac by the lot", () => {
    const header = "variety,season,rate (lb/ac),seeds_per_lb,germination_pct,yield";
    expect(seeds("Ost,2026,75,15000,100,60", header)).toBeCloseTo(1_125_000, 3);
    expect(seeds("Ost,2026,75,9000,100,60", header)).toBeCloseTo(675_000, 3);
  });

  /** South Dakota State Univ. Extension 2014: 1.2 million PLS/ac is 1.3291 bu/ac at 16,000 seeds/lb, 95 % and 99 %. Printed 1.3. */
  it("turns bushels into pure live seeds with germination and purity", () => {
    const header = "variety,season,rate (bu/ac),seeds_per_lb,germination_pct,purity_pct,yield";
    expect(seeds("Ost,2026,1.329080,16000,95,99,60", header)).toBeCloseTo(1_200_000, -1);
  });

  /** SDSU Extension 2014: 1.3 million seeds/ac at 12,812 and 26,374 seeds/lb. Printed 1.69 and 0.82. */
  it.each([
    [12_812, 1.6911],
    [26_374, 0.8215],
  ])("counts 1.3 million seeds at %d seeds/lb in %f bu", (perPound, bushels) => {
    const header = "variety,season,rate (bu/ac),seeds_per_lb,germination_pct,yield";
    expect(seeds(`Ost,2026,${bushels},${perPound},100,60`, header) / 1.3e6).toBeCloseTo(1, 4);
  });

  /** K-State Extension: 750,000 seeds/ac is about 63 lb/ac at 12,000 and 47 at 16,000 seeds/lb. */
  it.each([
    [12_000, 62.5],
    [16_000, 46.875],
  ])("counts 750,000 seeds at %d seeds/lb in %f lb", (perPound, pounds) => {
    const header = "variety,season,rate (lb/ac),seeds_per_lb,germination_pct,yield";
    expect(seeds(`Ost,2026,${pounds},${perPound},100,60`, header)).toBeCloseTo(750_000, 3);
  });

  /**
   * NC State Extension, Duplin County, "Wheat Seeding Rates" (2017), lb/ac for 30 and 35 seeds/ft²; Univ. of Kentucky,
   * Bitzer & Herbek, the same. Print rounds to the pound, the first Kentucky cell two pounds down (150 for 152).
   */
  it.each([
    [10_000, 131, 152],
    [11_000, 119, 138],
    [12_000, 109, 127],
    [12_500, 105, 122],
    [13_000, 101, 117],
    [14_000, 94, 109],
    [15_000, 87, 101],
    [16_000, 82, 95],
    [18_000, 73, 85],
    [20_000, 65, 76],
  ])(
    "reads the pounds of the printed tables at %d seeds/lb as 30 and 35 seeds/ft²",
    (perPound, low, high) => {
      const { strips } = readCsv(
        `variety,season,rate (lb/ac),seeds_per_lb,germination_pct,yield\nOst,2026,${low},${perPound},100,60\nOst,2026,${high},${perPound},100,60\n`,
      );
      const onePound = perPound / 43_560;
      strips.forEach(({ rateSeedsPerM2 }, index) => {
        const perSquareFoot = rateSeedsPerM2 * 0.09290304;
        expect(Math.abs(perSquareFoot - [30, 35][index]!)).toBeLessThanOrEqual(onePound);
      });
    },
  );

  /** Birchip Cropping Group: 40 plants/m² at 85 % of 211,400 seeds/kg is 2.226 kg/ha, printed 2.23. */
  it("turns kg/ha into viable seeds/m²", () => {
    const { strips } = readCsv(
      "variety,season,rate (kg/ha),seeds_per_kg,germination_pct,yield\nCan,2026,2.226,211400,85,2000\n",
      { crop: "canola" },
      metric,
    );
    expect(strips[0]!.rateSeedsPerM2).toBeCloseTo(40, 2);
  });

  it("takes thousand-kernel weight for seeds per pound", () => {
    const header = "variety,season,rate (lb/ac),tkw,germ %,yield";
    // 453,592 / 35 g, trade-wide definition
    expect(seeds("Ost,2026,100,35,100,60", header)).toBeCloseTo(1_295_978.2, 0);
  });

  it("takes from the lot what the row does not say, with a note, and leaves out what nobody says", () => {
    const header = "variety,season,rate (lb/ac),yield\nOst,2026,75,60\nWes,2026,75,60\n";
    const { strips, findings } = readCsv(header, {
      lots: [lot("Ost", { seedsPerKg: 15_000 / kgPerPound, germination: 0.95, purity: 0.99 })],
    });
    expect(strips.map(({ rateSeedsPerM2 }) => toPerAcre(rateSeedsPerM2))).toEqual([
      expect.closeTo(75 * 15_000 * 0.95 * 0.99, 3),
    ]);
    expect(findings.map(({ code, row, severity }) => [code, row, severity])).toEqual([
      ["row-seed-weight-unknown", 3, "stops"],
      ["rate-from-lot", null, "note"],
    ]);
  });
});
