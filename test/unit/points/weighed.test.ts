import { beforeAll, describe, expect, it } from "vitest";
import type { HarvestRequest } from "../../../src/points/harvest-request.ts";
import { stripsFromPoints } from "../../../src/points/strips-from-points.ts";
import { readWeighed } from "../../../src/points/weighed.ts";
import { harvestStripsCsv } from "../../../src/tell/csv/harvest-strips.ts";
import { tellHarvestPage } from "../../../src/tell/html/harvest-page.ts";
import type { Harvest, ScaleUse } from "../../../src/vocabulary/harvest.ts";
import { plainRequest, simulateHarvest, simulatedStrips, textFile } from "../../simulate-harvest.ts";

const made = simulatedStrips(5, 1, 1);
const [lengthM, combineM] = [300, 10.668];
const simulated = simulateHarvest({ seed: 5, strips: made, lengthM });
const kgPerPound = 0.45359237;
/** What lay in each cut strip, by the truth of the simulation: 1.08 times what the monitor shows of the first, and so on. */
const factors = [1.08, 1.02, 1.05, 1.04];
const pounds = simulated.groundMeans.map(
  (kgPerHa, s) => (factors[s]! * kgPerHa * lengthM * combineM) / 10_000 / kgPerPound,
);
const wagon = ["strip,weight (lb)", ...pounds.map((weight, s) => `${s + 1},${weight.toFixed(0)}`)].join("\n");

const harvestWith = (weights: string, use: ScaleUse, yields = simulated.yieldCsv): Promise<Harvest> =>
  stripsFromPoints([textFile("y.csv", yields)], [textFile("s.csv", simulated.seededCsv)], null, {
    ...plainRequest,
    delayS: 10,
    weighed: { file: textFile("wagon.csv", weights), use },
  } satisfies HarvestRequest);

const [told, one, each] = [{} as Harvest, {} as Harvest, {} as Harvest];
beforeAll(async () => {
  Object.assign(told, await harvestWith(wagon, "none"));
  Object.assign(one, await harvestWith(wagon, "one"));
  Object.assign(each, await harvestWith(wagon, "each"));
});

describe("a weigh wagon beside the monitor", () => {
  it("finds the factor of each strip, to a hundredth: its ends are not as its middle", () => {
    const { loads, factor } = told.scale!;
    expect(loads.map(({ name }) => name)).toEqual(["1", "2", "3", "4"]);
    loads.forEach((load, s) => expect(Math.abs(load.factor / factors[s]! - 1)).toBeLessThan(0.015));
    expect(factor).toBeCloseTo(1.0475, 1.7);
  });

  it("leaves the yields alone where it is not asked to use them, and says so", () => {
    expect(told.strips.map(({ scaleFactor }) => scaleFactor)).toEqual([null, null, null, null]);
    const csv = harvestStripsCsv(told);
    expect(csv.split("\n")[1]).toContain(",monitor,");
  });

  it("brings each strip to its own weight, or all by one factor", () => {
    told.strips.forEach((strip, s) => {
      const { loads, factor } = told.scale!;
      expect(each.strips[s]!.yieldKgPerHa! / strip.yieldKgPerHa!).toBeCloseTo(loads[s]!.factor, 10);
      expect(one.strips[s]!.yieldKgPerHa! / strip.yieldKgPerHa!).toBeCloseTo(factor, 10);
      expect(one.strips[s]!.scaleFactor).toBeCloseTo(factor, 10);
      // The error of a yield grows with it.
      expect(one.strips[s]!.standardErrorKgPerHa! / strip.standardErrorKgPerHa!).toBeCloseTo(factor, 3);
    });
    expect(harvestStripsCsv(each).split("\n")[1]).toMatch(/,scale,1\.0\d+/);
    const parts = { style: "", sha256: () => "", run: { date: "2026-09-01", files: [] } };
    expect(tellHarvestPage(each, parts)).toContain("adjusted to the scale");
    expect(tellHarvestPage(told, parts)).toContain("the weights are not used");
  });

  it("takes loads by the pass that they were cut in, and finds the same factors", async () => {
    const [header, ...rows] = simulated.yieldCsv.trim().split("\n") as [string, ...string[]];
    const east = rows.map((row) => Number(row.split(",")[1]));
    const [first, last] = [Math.min(...east), Math.max(...east)];
    // One pass down the middle of each of the four strips, from west to east.
    const passOf = (at: number): string => `P${1 + Math.round((3 * (at - first)) / (last - first))}`;
    const byPass = [`${header},pass`, ...rows.map((row, r) => `${row},${passOf(east[r]!)}`)].join("\n");
    const loads = ["pass,weight (lb)", ...pounds.map((weight, s) => `P${s + 1},${weight.toFixed(0)}`)].join(
      "\n",
    );
    const harvest = await harvestWith(loads, "each", byPass);
    expect(harvest.scale!.of).toBe("pass");
    expect(harvest.scale!.loads.map(({ name }) => name)).toEqual(["P1", "P2", "P3", "P4"]);
    harvest.scale!.loads.forEach(({ factor }, p) =>
      expect(Math.abs(factor / factors[p]! - 1)).toBeLessThan(0.015),
    );
    harvest.strips.forEach(({ scaleFactor }, s) =>
      expect(scaleFactor).toBeCloseTo(harvest.scale!.loads[s]!.factor, 6),
    );
  });

  it("doubts a factor far from 1, factors that scatter, and weights of no strip", async () => {
    const odd = wagon.replace(/\n2,.*/, "\n2,9000\n77,5000\n3b,heavy");
    const { findings, scale } = await harvestWith(odd, "none");
    const codes = findings.map(({ code }) => code);
    for (const code of ["scale-far", "scale-scatters", "weighed-unmet", "weighed-unread"])
      expect(codes).toContain(code);
    expect(findings.find(({ code }) => code === "weighed-unread")).toMatchObject({
      file: "wagon.csv",
      row: 5,
      column: "weight (lb)",
      value: "heavy",
    });
    expect(scale!.loads).toHaveLength(4);
    expect(told.findings.map(({ code }) => code)).not.toContain("scale-far");
  });
});

describe("a file of weights", () => {
  it("adds up several loads of a strip, and takes the empty wagon off", () => {
    const { loads } = readWeighed(
      textFile(
        "w.csv",
        "position,gross weight (kg),tare weight (kg),moisture (%)\n1,5000,3000,14\n1,4000,3000,14\n2,,,\n",
      ),
      "wheat",
      "us",
    );
    expect(loads).toEqual([{ of: "strip", name: "1", kg: 3_000, moisturePct: 14, row: 2 }]);
  });

  it("says what is missing", () => {
    expect(() => readWeighed(textFile("w.csv", "load,pounds\n1,2\n"), "wheat", "us")).toThrow(/column strip/);
  });
});
