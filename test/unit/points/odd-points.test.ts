import { describe, expect, it } from "vitest";
import { stripsFromPoints } from "../../../src/points/strips-from-points.ts";
import type { HarvestRequest } from "../../../src/points/harvest-request.ts";
import type { Harvest } from "../../../src/vocabulary/harvest.ts";
import {
  csvOf,
  plainRequest,
  rowsOf,
  simulateHarvest,
  simulatedStrips,
  textFile,
  type Row,
} from "../../simulate-harvest.ts";

const simulated = simulateHarvest({ seed: 5, strips: simulatedStrips(5, 2, 2), lengthM: 160 });
const [cut, seeded] = [rowsOf(simulated.yieldCsv), rowsOf(simulated.seededCsv)];
const without = (rows: readonly Row[], ...names: string[]): Row[] =>
  rows.map((row) => Object.fromEntries(Object.entries(row).filter(([name]) => !names.includes(name))));

const harvestOf = (
  yields: readonly Row[],
  drill: readonly Row[] = seeded,
  more: Partial<HarvestRequest> = {},
): Promise<Harvest> =>
  stripsFromPoints([textFile("harvest.csv", csvOf(yields))], [textFile("seeded.csv", csvOf(drill))], null, {
    ...plainRequest,
    ...more,
  });
/** The log as it is simulated, nothing changed; worked out once for all tests. */
let unchanged: Promise<Harvest> | null = null;
const asLogged = (): Promise<Harvest> => (unchanged ??= harvestOf(cut));
const yieldsOf = ({ strips }: Harvest): (number | null)[] => strips.map(({ yieldKgPerHa }) => yieldKgPerHa);
const codes = ({ findings }: Harvest): string[] => findings.map(({ code }) => code);
const ratios = (one: Harvest, other: Harvest): number[] =>
  yieldsOf(one).map((value, s) => value! / yieldsOf(other)[s]!);

describe("points as machines and their programs hand them on", () => {
  it("count once where a file holds them twice, whole or row by row", async () => {
    const once = await asLogged();
    for (const twice of [[...cut, ...cut], cut.flatMap((row) => [row, row])]) {
      const harvest = await harvestOf(twice);
      expect(yieldsOf(harvest)).toEqual(yieldsOf(once));
      expect([harvest.pointsRead, harvest.pointsUsed]).toEqual([cut.length, once.pointsUsed]);
      const told = harvest.findings.find(({ code }) => code === "points-repeated")!;
      expect(told.message).toContain(`${cut.length.toLocaleString("en-US")} points are in it more than once`);
    }
  });

  it("have a flow and no times: the speed says how long each point took", async () => {
    const timeless = await harvestOf(without(cut, "time"));
    expect(timeless.findings.map(({ message }) => message).join()).not.toContain("--delay");
    // No delay can be taken off: the strips are known worse, and none of them is lost.
    for (const ratio of ratios(timeless, await asLogged())) expect(Math.abs(ratio - 1)).toBeLessThan(0.06);
  });

  it("have a flow, and neither times nor speed: it is said what is missing", async () => {
    await expect(harvestOf(without(cut, "time", "speed (m/s)"))).rejects.toThrow(
      /harvest\.csv, column flow \(kg\/s\): a flow of grain gives a yield only with the time/,
    );
  });

  it("are of two combines at once, told apart by their column", async () => {
    const half = Math.floor(cut.length / 2);
    const start = Date.parse(cut[0]!["time"]!);
    const machines = cut.map((row, at): Row => {
      const time = at < half ? row["time"]! : new Date(start + (at - half) * 1000 + 500).toISOString();
      return { ...row, time, Combine: at < half ? "Old" : "New" };
    });
    machines.sort((a, b) => Date.parse(a["time"]!) - Date.parse(b["time"]!));
    for (const ratio of ratios(await harvestOf(machines), await asLogged()))
      expect(Math.abs(ratio - 1)).toBeLessThan(0.03);
  });

  it("name the crop as the product: another crop's file is told", async () => {
    const named = cut.map((row) => ({ ...row, Product: "Corn" }));
    await expect(harvestOf(named)).rejects.toThrow(/harvest\.csv: its crop is corn, but wheat was asked for/);
  });

  it("are of another crop here and there: those are skipped, and counted", async () => {
    const named = cut.map((row, at) => ({ ...row, Crop: at % 200 < 3 ? "Soybeans" : "Spring Wheat" }));
    const harvest = await harvestOf(named);
    const others = named.filter(({ Crop }) => Crop === "Soybeans").length;
    expect(harvest.pointsRead).toBe(cut.length - others);
    expect(harvest.findings.find(({ code }) => code === "other-crops")!.message).toContain(
      `${others} points are logged as another crop than wheat`,
    );
    for (const ratio of ratios(harvest, await asLogged())) expect(Math.abs(ratio - 1)).toBeLessThan(0.01);
  });

  it("are of sections of the drill, each a narrow pass beside the next, without a doubt about its width", async () => {
    const eastPerFoot = 0.3048 / (111_320 * Math.cos((Number(seeded[0]!["latitude"]) * Math.PI) / 180));
    const sections = seeded.flatMap((row) =>
      [-15, -5, 5, 15].map((feet, at): Row => ({
        ...row,
        longitude: (Number(row["longitude"]) + feet * eastPerFoot).toFixed(7),
        "swath (ft)": "10",
        section: String(at + 1),
      })),
    );
    const harvest = await harvestOf(cut, sections);
    expect(codes(harvest)).not.toContain("passes-unlike");
    for (const ratio of ratios(harvest, await asLogged())) expect(Math.abs(ratio - 1)).toBeLessThan(0.005);
  });

  it("are of two fields in both files, and the one that is asked for is picked", async () => {
    const away = (rows: readonly Row[]): Row[] =>
      rows.map((row) => ({ ...row, latitude: (Number(row["latitude"]) + 0.05).toFixed(7), Field: "South" }));
    const both = (rows: readonly Row[]): Row[] => [
      ...away(rows),
      ...rows.map((row) => ({ ...row, Field: "North" })),
    ];
    await expect(harvestOf(both(cut), both(seeded))).rejects.toThrow(/--field NAME picks them/);
    const north = await harvestOf(both(cut), both(seeded), { field: "north" });
    expect(yieldsOf(north)).toEqual(yieldsOf(await asLogged()));
    expect([north.pointsRead, codes(north).filter((code) => code === "other-fields").length]).toEqual([
      cut.length,
      2,
    ]);
    expect(codes(north)).not.toContain("time-backwards");
  });

  it("have headers that are cut short, with two brackets", async () => {
    const short = cut.map((row): Row => ({
      Latitude: row["latitude"]!,
      Longitude: row["longitude"]!,
      Time: row["time"]!,
      "Swth(ft)": row["swath (ft)"]!,
      "Grn Flw(wet)(kg/s)": row["flow (kg/s)"]!,
      "Moist(%)": row["moisture (%)"]!,
    }));
    const drilled = seeded.map(({ "rate (seeds/ac)": rate, ...row }): Row => ({
      ...row,
      "Rt Apd(act)(ksds/ac)": (Number(rate) / 1000).toFixed(3),
    }));
    for (const ratio of ratios(await harvestOf(short, drilled), await asLogged()))
      expect(Math.abs(ratio - 1)).toBeLessThan(0.01);
  });
});
