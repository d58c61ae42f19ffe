import { describe, expect, it } from "vitest";
import { stripHeaders } from "../../../../src/read/strips/strips-header.ts";
import { unknownLot } from "../../../../src/vocabulary/settings.ts";
import { readCsv } from "../read-csv.ts";

const lot = { ...unknownLot("Ost"), seedsPerKg: 28_000, germination: 0.95 };

/** Headers as programs and people write them, and what is meant: common practice, without source. */
describe("a header that no name fits as it is written", () => {
  it.each([
    ["Planted Rate (seeds/ac)", "rate"],
    ["lbs/ac seeded", "rate"],
    ["Seeded lb/ac", "rate"],
    ["kg/ha semés", "rate"],
    ["Avg Moisture (%)", "moisture"],
    ["humedad media (%)", "moisture"],
    ["mittlere Feuchte", "moisture"],
    ["Area Harvested (ac)", "strip_area"],
    ["Rendement moyen (q/ha)", "yield"],
    ["bu/ac harvested", "yield"],
    ["bu/ac dry", "yield"],
    ["Kg récoltés", "strip_weight"],
  ])("%j is %s by its words", (header, column) => expect(stripHeaders.looseNameOf(header)).toBe(column));

  it.each(["Target yield", "Seed cost", "lb/ac", "Average", "Yield rank", "Avg", "Moisture loss"])(
    "%j is none",
    (header) => expect(stripHeaders.looseNameOf(header)).toBeNull(),
  );

  it("is taken only where nothing else tells the column", () => {
    const { strips, columns } = readCsv(
      "Variety,Harvest Start,Planted Rate (seeds/ac),Yield (bu/ac),Avg Yield (bu/ac),Avg Moisture (%)\nOst,8/10/2026 4:17:05 PM,1200000,60,55,13.5\n",
    );
    expect(strips).toHaveLength(1);
    expect(strips[0]).toMatchObject({ season: 2026, moisturePct: 13.5 });
    expect(columns.map(({ column }) => column)).toEqual([
      "variety",
      "season",
      "rate",
      "yield",
      null,
      "moisture",
    ]);
  });

  it("tells tables side by side by it", () => {
    const head = "Variety,Rep,lbs/ac seeded,bu/ac,,Variety,Rep,lbs/ac seeded,bu/ac";
    const { strips, findings } = readCsv(
      `2026,,,,,,,,\nNorth 80,,,,,Creek,,,\n${head}\nOst,1,90,60,,Ost,1,110,62\nElm,1,90,61,,Elm,1,110,63\n`,
      { lots: ["Ost", "Elm"].map((variety) => ({ ...lot, variety })) },
    );
    expect(findings.filter(({ severity }) => severity === "stops")).toEqual([]);
    expect(strips.map(({ field }) => field)).toEqual(["North 80", "North 80", "Creek", "Creek"]);
  });
});
