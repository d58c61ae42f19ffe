import { describe, expect, it } from "vitest";
import { crops } from "../../../../src/vocabulary/crops.ts";
import {
  parseUnit,
  plainUnit,
  quantities,
  type ColumnUnit,
  type QuantityName,
} from "../../../../src/read/units/column-units.ts";
import { lotColumns, stripColumns } from "../../../../src/read/strips/columns.ts";
import { stripHeaders } from "../../../../src/read/strips/strips-header.ts";
import { plainName, splitHeader } from "../../../../src/read/tables/headers.ts";
import { nearestName } from "../../../../src/read/nearest-name.ts";
import { readCsv, trialErrorOf } from "../read-csv.ts";

const columnsOf = (header: string): Record<string, string | null> =>
  Object.fromEntries(
    readCsv(`${header}\n`).columns.map(({ header: name, column, unit }) => [
      name,
      unit === null ? column : `${column} ${unit}`,
    ]),
  );

describe("headers", () => {
  it("do not mind case, spaces, underscores and synonyms, and take units in both brackets", () => {
    expect(
      columnsOf("CULTIVAR;Crop_Year;Seeding Rate [million/ac];YIELD(kg/ha);Test-Weight;Rep #;Rain (in)"),
    ).toEqual({
      CULTIVAR: "variety",
      Crop_Year: "season",
      "Seeding Rate [million/ac]": "rate million seeds/ac",
      "YIELD(kg/ha)": "yield kg/ha",
      "Test-Weight": "test_weight",
      "Rep #": "block",
      "Rain (in)": "water in",
    });
  });

  it("take a unit that hangs on the name", () => {
    expect(columnsOf("variety,year,rate_seeds_per_m2,yield_t_ha,stand per ft2,strip_length_m,acres")).toEqual(
      {
        variety: "variety",
        year: "season",
        rate_seeds_per_m2: "rate seeds/m2",
        yield_t_ha: "yield t/ha",
        "stand per ft2": "stand plants/ft2",
        strip_length_m: "strip_length m",
        acres: "strip_area ac",
      },
    );
  });

  it("take a percent sign beside the name for the unit, and not for a score, bushels or plants", () => {
    const known = "variety,year,rate (seeds/ac),";
    for (const lodging of ["Lodging %", "% lodged", "Lodging%", "lodging pct"])
      expect(columnsOf(`${known}yield,${lodging}`)[lodging], lodging).toBe("lodging percent");
    expect(columnsOf(`${known}yield,Stand %,Moisture %,protein %`)).toMatchObject({
      "Stand %": null,
      "Moisture %": "moisture",
      "protein %": "protein",
    });
    expect(trialErrorOf(() => readCsv(`${known}Yield %\n`)).code).toBe("unit-unknown");
    expect(trialErrorOf(() => readCsv("variety,year,% rate,yield\n")).code).toBe("unit-unknown");
    expect(columnsOf(`${known}Yield @ 13.5 %`)["Yield @ 13.5 %"]).toMatch(/^yield/);
  });

  it("take their units from the row below, though a word of it is no unit or another one", () => {
    const below = (header: string, units: string): Record<string, string | null> =>
      columnsOf(`${header}\n${units}\nOst,2026,1,1200000,4.1,2\nOst,2026,2,1200000,4.2,3`);
    const known = "variety,year,rep,rate,yield";
    expect(below(`${known},lodging`, "name,yyyy,no.,seeds/ac,t/ha,score")).toMatchObject({
      "rate (seeds/ac)": "rate seeds/ac",
      "yield (t/ha)": "yield t/ha",
      lodging: "lodging 0-9",
    });
    expect(below(`${known},lodging`, ",,,seeds/ac,t/ha,%")["lodging (%)"]).toBe("lodging percent");
    expect(below(`${known},lodging`, ",,,seeds/ac,t/ha,1-10")["lodging (1-10)"]).toBeNull();
    expect(below(`${known},stand`, ",,,seeds/ac,t/ha,%")["stand (%)"]).toBeNull();
    expect(below(`${known},stand`, ",,,seeds/ac,t/ha,emerged")["stand (emerged)"]).toBeNull();
    expect(trialErrorOf(() => below(`${known},stand`, ",,,seeds/ac,% of mean,plants/m2")).code).toBe(
      "unit-unknown",
    );
  });

  it("take two names of one thing, what was intended, and a unit for a name", () => {
    expect(
      columnsOf("Hybrid/Variety,Yr,Target seeds per acre,bu per acre,plants/ft,H2O %,Lodg,Gross lb,Tare lb"),
    ).toEqual({
      "Hybrid/Variety": "variety",
      Yr: "season",
      "Target seeds per acre": "rate seeds/ac",
      "bu per acre": "yield bu/ac",
      "plants/ft": "stand plants/ft of row",
      "H2O %": "moisture",
      Lodg: "lodging 0-9",
      "Gross lb": "gross_weight lb",
      "Tare lb": "tare_weight lb",
    });
    expect(columnsOf("Sorte;Jahr;Saatstärke Kö/m²;Parzellenertrag kg;TKM g;Ertrag dt/ha")).toEqual({
      Sorte: "variety",
      Jahr: "season",
      "Saatstärke Kö/m²": "rate seeds/m2",
      "Parzellenertrag kg": "strip_weight kg",
      "TKM g": "tkw_g g",
      "Ertrag dt/ha": "yield dt/ha",
    });
  });

  it("take the season from the day of harvest where no column says it, and only there", () => {
    const { strips } = readCsv(
      "variety,harvest date,rate (million/ac),yield\nOst,2025-08-11,1.2,60\nOst,12.8.2026,1.2,61\n",
    );
    expect(strips.map(({ season }) => season)).toEqual([2025, 2026]);
    expect(columnsOf("variety,year,harvest date,rate,yield")).toMatchObject({
      year: "season",
      "harvest date": null,
    });
  });

  it("report what is not understood and use the rest", () => {
    const { columns, findings } = readCsv(
      "variety,season,rate,yield,hail,stand (dense),\nOst,2026,1200000,60,x,5,y\n",
    );
    expect(columns.filter(({ column }) => column === null).map(({ header }) => header)).toEqual([
      "hail",
      "stand (dense)",
    ]);
    expect(findings.map(({ code, column, severity }) => [code, column, severity])).toEqual([
      ["column-left-out", "stand (dense)", "stops"],
      ["column-ignored", "hail", "note"],
      ["column-without-name", null, "doubt"],
    ]);
  });

  it("are refused when two mean the same column", () => {
    const error = trialErrorOf(() => readCsv("variety,season,Year,rate,yield\n"));
    expect(error.code).toBe("column-twice");
    expect(error.message).toBe(
      'strips.csv: two columns mean season: "season" and "Year". Say once in columns.yaml what one of them is: columns: {"Year": not used}.',
    );
  });

  it("are refused with an unknown unit where that would falsify rate or yield", () => {
    const error = trialErrorOf(() => readCsv("variety,season,rate (per hill),yield\n"));
    expect(error.code).toBe("unit-unknown");
    expect(error.message).toContain('the unit "per hill" of column "rate (per hill)" is not known');
    expect(trialErrorOf(() => readCsv("variety,season,rate,yield,moisture (g)\n")).code).toBe("unit-unknown");
  });

  it("are asked for by name when one is missing", () => {
    expect(trialErrorOf(() => readCsv("variety,season,yield\n")).message).toMatch(
      /no column "rate" \(also understood: .*Columns found: "variety", "season", "yield"/,
    );
    expect(trialErrorOf(() => readCsv("variety,season,rate,strip_weight,strip_width\n")).code).toBe(
      "column-missing",
    );
    expect(trialErrorOf(() => readCsv("")).code).toBe("file-empty");
    expect(trialErrorOf(() => readCsv("\n  \n")).code).toBe("file-empty");
  });

  it("are found below title rows, and the person is told", () => {
    const { strips, findings } = readCsv(
      "Seeding trial 2026,,,\n,,,\nvariety,season,rate,yield\nOst,2026,1200000,60\n",
    );
    expect(strips.map(({ place, season }) => [place.row, season])).toEqual([[4, 2026]]);
    expect(findings[0]!.message).toBe(
      'Row 1 ("Seeding trial 2026") above the table is a title, not a strip.',
    );
  });

  it("suggest the nearest name for a misspelt one", () => {
    const { findings } = readCsv("variety,season,rate,yield,lodgign\nOst,2026,1200000,60,1\n");
    expect(findings[0]!.message).toContain('Rename it to "lodging" if that is meant.');
  });

  it("take the number of a plot for its position when they ask, and for nothing where positions are there", () => {
    const told = (header: string): string =>
      readCsv(
        `variety,season,rate,yield,${header}\nOst,2026,1200000,60,1${header.includes(",") ? ",1" : ""}\n`,
      ).findings.find(({ column }) => column?.toLowerCase() === "plot")!.message;
    expect(told("Plot")).toContain('Rename it to "position" if that is meant.');
    expect(told("Plot,position")).not.toContain("Rename it");
  });
});

describe("splitHeader", () => {
  it.each([
    ["yield (bu/ac)", "yield ", "bu/ac"],
    ["rate [seeds/m2]", "rate ", "seeds/m2"],
    ["yield", "yield", ""],
    ["(bu/ac)", "(bu/ac)", ""],
    ["yield (bu/ac", "yield (bu/ac", ""],
  ])("takes %j apart", (header, name, bracket) => expect(splitHeader(header)).toEqual({ name, bracket }));
});

describe("column tables", () => {
  it.each([
    ["strips", stripColumns],
    ["lots", lotColumns],
  ])("give every name of %s to one column only", (_, columns) => {
    const names = columns.flatMap(({ name, also, unitNames }) =>
      [name, ...also, ...Object.keys(unitNames)].map((one) => plainName(one)),
    );
    const own = columns
      .map(({ name, also }) => new Set([name, ...also].map(plainName)).size)
      .reduce((sum, size) => sum + size, 0);
    expect(new Set(names).size).toBe(
      own + columns.reduce((sum, { unitNames }) => sum + Object.keys(unitNames).length, 0),
    );
  });
});

describe("units", () => {
  it.each(Object.keys(quantities) as QuantityName[])(
    "of %s are all understood by the name they are told with",
    (quantity) => {
      for (const unit of quantities[quantity].units as ColumnUnit[]) {
        expect(parseUnit(quantity, unit.name)?.name).toBe(unit.name);
        for (const other of unit.also ?? []) expect(parseUnit(quantity, other)?.name, other).toBe(unit.name);
      }
    },
  );

  it.each([
    ["Seeds per sq. ft.", "seeds/ft2"],
    ["bushels per acre", "bu/ac"],
    ["kg ha⁻¹", "kg/ha"],
    ["kg ha-1", "kg/ha"],
    ["seeds m^-2", "seeds/m2"],
    ["seeds·m⁻²", "seeds/m2"],
    ["BU / AC", "bu/ac"],
    ["plants per square metre", "plants/m2"],
    ["lbs/acre", "lb/ac"],
  ])("write %j as %j", (text, plain) => expect(plainUnit(text)).toBe(plain));

  it.each([
    ["rate", "PLS/ac", "seeds/ac"],
    ["rate", "million viable seeds per acre", "million seeds/ac"],
    ["rate", "1000 seeds/ac", "thousand seeds/ac"],
    ["rate", "10^6 seeds/ha", "million seeds/ha"],
    ["stand", "per m2", "plants/m2"],
    ["yield", "Mg/ha", "t/ha"],
    ["heads", "spikes m-2", "heads/m2"],
  ] as [QuantityName, string, string][])("of %s: %j is %j", (quantity, text, name) =>
    expect(parseUnit(quantity, text)?.name).toBe(name),
  );

  it("do not take one quantity for another", () => {
    expect(parseUnit("rate", "plants/m2")).toBeNull();
    expect(parseUnit("yield", "seeds/ac")).toBeNull();
    expect(parseUnit("rate", "seeds")).toBeNull();
    expect(parseUnit("rate", "")).toBeNull();
  });

  /**
   * NIST Handbook 44, Appendix C (1 acre 4046.856 m², 1 lb 0.45359237 kg, 1 ft 0.3048 m, 1 hundredweight 100 lb, 1 short
   * ton 2000 lb), and the metric prefixes of the SI Brochure, 9th ed., table 7. Bushels of wheat, 60 lb.
   */
  it.each([
    ["rate", "seeds/ac", 4046.8564224, 1],
    ["rate", "thousand seeds/ac", 4.0468564224, 1],
    ["rate", "million seeds/ac", 1, 247.105381],
    ["rate", "seeds/ft2", 1, 10.7639104],
    ["rate", "seeds/ha", 10_000, 1],
    ["rate", "thousand seeds/ha", 10, 1],
    ["rate", "million seeds/ha", 1, 100],
    ["rate", "lb/ac", 1, 1.12085116],
    ["yield", "bu/ac", 1, 67.2510694],
    ["yield", "lb/ac", 1, 1.12085116],
    ["yield", "cwt/ac", 1, 112.085116],
    ["yield", "short ton/ac", 1, 2241.70231],
    ["yield", "t/ha", 1, 1000],
    ["yield", "dt/ha", 1, 100],
    ["yield", "g/m2", 1, 10],
    ["stripWeight", "lb", 1, 0.45359237],
    ["stripWeight", "bu", 1, 27.2155422],
    ["stripWeight", "cwt", 1, 45.359237],
    ["stripWeight", "t", 1, 1000],
    ["stripWeight", "g", 1, 0.001],
    ["length", "ft", 1, 0.3048],
    ["length", "in", 1, 0.0254],
    ["length", "yd", 1, 0.9144],
    ["length", "cm", 1, 0.01],
    ["moisture", "share", 0.135, 13.5],
    ["testWeight", "g/l", 780, 78],
    ["seedsPerPound", "seeds/lb", 1, 2.20462262],
    ["kernelWeight", "g", 35, 28_571.4286],
    ["water", "in", 1, 25.4],
    ["water", "cm", 1, 10],
    ["area", "ac", 1, 0.404685642],
  ] as [QuantityName, string, number, number][])(
    "of %s: one %s converts as published",
    (quantity, unit, value, ours) => {
      expect(parseUnit(quantity, unit)!.toOurs(value, crops.wheat) / ours).toBeCloseTo(1, 7);
    },
  );

  /** NIST Handbook 44, Appendix C: 1 US bushel = 35.23907 L; 60 lb/bu is 77.23 kg/hL. */
  it("convert test weight by the volume of the bushel", () => {
    const { strips } = readCsv("variety,season,rate,yield,test_weight\nOst,2026,1200000,60,60\n");
    expect(strips[0]!.testWeightKgPerHl).toBeCloseTo(77.23, 2);
  });

  /** Pounds per bushel: Common practice (wheat 60), Iowa Code §210.10 (barley 48, corn 56), Univ. of Missouri G4020 (oats 32). */
  it.each([
    ["wheat", 60],
    ["barley", 48],
    ["corn", 56],
    ["oats", 32],
  ] as const)("count bushels of %s as %d lb", (crop, pounds) => {
    const bushel = parseUnit("yield", "bu/ac")!.toOurs(1, crops[crop]);
    expect(bushel / parseUnit("yield", "lb/ac")!.toOurs(1, crops[crop])).toBeCloseTo(pounds, 12);
  });
});

describe("nearestName", () => {
  it("finds the name that was meant, and none for what is far from all", () => {
    const keys = ["grain_price", "seed_price", "crop"];
    expect(nearestName("grian_price", keys)).toBe("grain_price");
    expect(nearestName("Seed_Prise", keys)).toBe("seed_price");
    expect(nearestName("corp", keys)).toBe("crop");
    expect(nearestName("tillage", keys)).toBeNull();
    expect(nearestName("", keys)).toBeNull();
  });
});

describe("the moisture that a yield is told at, behind its name", () => {
  // 60 dt/ha at 14 % are 6000 × 86 / 86.5 kg/ha at the market's 13.5 %; at 15 % 6000 × 85 / 86.5.
  it.each([
    ["Ertrag bei 14 % (dt/ha)", 5965.32],
    ["Ertrag 86 % TS (dt/ha)", 5965.32],
    ["Rdt 15% (q/ha)", 5895.95],
    ["Rendement à 15 % (q/ha)", 5895.95],
    ["Yield @ 13.5% (dt/ha)", 6000],
    ["yield (dt/ha bei 14 %)", 5965.32],
    ["yield (dt/ha, 86 % TS)", 5965.32],
  ])("%s", (header, kgPerHa) => {
    const { strips } = readCsv(`variety;season;rate (seeds/m2);${header};moisture (%)\nOst;2026;300;60;16\n`);
    expect(strips[0]!.yieldKgPerHa).toBeCloseTo(kgPerHa, 1);
  });
});

describe("trade words of other languages", () => {
  it.each([
    ["Wirtschaftsjahr", "season"],
    ["campaña agrícola", "season"],
    ["kf. Kö./m²", "rate"],
    ["densité semis (gr/m²)", "rate"],
    ["Semillas/m2", "rate"],
    ["Erntemenge (kg)", "strip_weight"],
    ["Schneidwerksbreite (m)", "strip_width"],
    ["ancho de labor (m)", "strip_width"],
    ["Feuchte bei Ernte", "moisture"],
    ["Flurstück", "field"],
    ["N° bloc", "block"],
    ["ährentragende Halme", "heads"],
    ["note verse", "lodging"],
    ["semé le", "seeded"],
    ["pluviométrie", "water"],
    ["Kommentar", "note"],
  ])("%s is %s", (header, column) => expect(stripHeaders.nameOf(header)).toBe(column));
});
