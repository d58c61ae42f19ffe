import { describe, expect, it } from "vitest";
import { checkColumnUnits } from "../../../src/check/column-units.ts";
import { readCsv } from "../read/read-csv.ts";

const of = (unit: string, yields: readonly number[], crop: "wheat" | "corn" = "wheat") =>
  checkColumnUnits(
    readCsv(
      [
        `variety,season,rate (million/ac),Yld (${unit})`,
        ...yields.map((grain, index) => `Ost,2025,${1 + index / 10},${grain}`),
      ].join("\n"),
    ),
    crop,
  ).map(({ message }) => message);

// Usual yields of wheat lie between 8 and 208 bu/ac (60 lb to the bushel: 1 bu/ac = 67.25 kg/ha), so between 0.56 and 14 t/ha.
describe("yields in another unit than the header says", () => {
  it.each([
    ["bu/ac", [3.9, 4.8, 5.2, 5.6], "t/ha"],
    ["bu/ac", [3900, 4800, 5200, 5600], "lb/ac"],
    ["t/ha", [52, 56, 61, 58], "dt/ha"],
    ["t/ha", [3900, 4800, 5200, 5600], "kg/ha"],
    ["kg/ha", [52, 56, 61, 58], "dt/ha"],
  ])("%s %j may be %s", (unit, yields, other) => {
    const [message] = of(unit, yields);
    expect(message).toContain(
      `All 4 yields are between ${Math.min(...yields)} and ${Math.max(...yields)} ${unit}`,
    );
    expect(message).toContain(
      `${other}? If so, say so once in columns.yaml: columns: {"Yld (${unit})": yield (${other})}.`,
    );
  });

  it.each([
    ["usual ones", "bu/ac", [52, 56, 61, 58]],
    ["one poor strip among usual ones", "bu/ac", [3, 56, 61, 58]],
    ["few", "bu/ac", [3.9, 4.8]],
    ["what is usual in no unit", "bu/ac", [0.001, 0.002, 0.001, 0.002]],
  ])("says nothing of %s", (_, unit, yields) => {
    expect(of(unit, yields)).toEqual([]);
  });
});

// The usual rate of wheat is about 1.2 million seeds/ac, and trials lie between a fifth of it and four times it.
describe("rates in another unit than the header says", () => {
  const rates = (unit: string, sown: readonly number[]) =>
    checkColumnUnits(
      readCsv(
        [
          `variety,season,Rate (${unit}),yield (bu/ac)`,
          ...sown.map((rate, index) => `Ost,2025,${rate},${60 + index}`),
        ].join("\n"),
      ),
      "wheat",
    ).map(({ message }) => message);

  it.each([
    ["seeds/ac", [0.8, 1.1, 1.4, 1.7], "million seeds/ac", "little"],
    ["seeds/ha", [2, 2.5, 3, 3.5], "million seeds/ha", "little"],
    ["million seeds/ac", [800, 1100, 1400, 1700], "thousand seeds/ac", "much"],
    ["seeds/ft2", [200, 250, 300, 350], "seeds/m2", "much"],
  ])("%s %j may be %s", (unit, sown, other, far) => {
    expect(rates(unit, sown)).toEqual([
      `All 4 rates are between ${sown[0]} and ${sown[3]} ${unit}, far too ${far}: ${other}? If so, say so once in columns.yaml: columns: {"Rate (${unit})": rate (${other})}.`,
    ]);
  });

  it("says nothing of usual ones", () => {
    expect(rates("seeds/ac", [800_000, 1_100_000, 1_400_000, 1_700_000])).toEqual([]);
  });
});
