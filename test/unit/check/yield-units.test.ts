import { describe, expect, it } from "vitest";
import { checkYieldUnits } from "../../../src/check/yield-units.ts";
import { readCsv } from "../read/read-csv.ts";

const of = (unit: string, yields: readonly number[], crop: "wheat" | "corn" = "wheat") =>
  checkYieldUnits(
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
      `All 4 yields lie between ${Math.min(...yields)} and ${Math.max(...yields)} ${unit}`,
    );
    expect(message).toContain(
      `${other}? If so, answer it once in columns.yaml: columns: {"Yld (${unit})": yield (${other})}.`,
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
