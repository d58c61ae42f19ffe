import { describe, expect, it } from "vitest";
import { stripsFromPoints } from "../../../src/points/strips-from-points.ts";
import type { Harvest } from "../../../src/vocabulary/harvest.ts";
import { plainRequest, simulateHarvest, simulatedStrips, textFile } from "../../simulate-harvest.ts";

const simulated = simulateHarvest({ seed: 5, strips: simulatedStrips(5, 2, 2), lengthM: 160 });

/** The text of points with their places written to so many decimals of a degree, and without some columns. */
function rounded(csv: string, decimals: number, without: readonly string[] = []): string {
  const [head, ...rows] = csv
    .trim()
    .split("\n")
    .map((line) => line.split(","));
  const kept = head!.flatMap((name, at) => (without.includes(name) ? [] : [at]));
  const cells = rows.map((row) =>
    kept.map((at) => (/itude$/.test(head![at]!) ? Number(row[at]).toFixed(decimals) : row[at]!)),
  );
  return [kept.map((at) => head![at]!), ...cells].map((row) => row.join(",")).join("\n");
}

const harvestOf = (decimals: number, without: readonly string[] = []): Promise<Harvest> =>
  stripsFromPoints(
    [textFile("harvest.csv", rounded(simulated.yieldCsv, decimals, without))],
    [textFile("seeded.csv", rounded(simulated.seededCsv, decimals))],
    null,
    plainRequest,
  );

/** Worked out once for both tests. */
let fine: Promise<Harvest> | null = null;

describe("places that were rounded", () => {
  it.each([3, 4])("to %d decimals of a degree show no passes, and it is said why", async (decimals) => {
    await expect(harvestOf(decimals)).rejects.toThrow(
      /^harvest\.csv: its coordinates are rounded to (?:36|363) ft, a strip's width or more.* six decimals/s,
    );
  });

  it.each([
    ["with the speed", [] as string[]],
    ["without it", ["speed (m/s)"]],
  ])("to five decimals of a degree give the yields of fine ones within 2 %%, %s", async (_, without) => {
    const [exact, rough] = [await (fine ??= harvestOf(7)), await harvestOf(5, without)];
    const ratios = rough.strips.map(({ yieldKgPerHa }, s) => yieldKgPerHa! / exact.strips[s]!.yieldKgPerHa!);
    for (const ratio of ratios) expect(Math.abs(ratio - 1)).toBeLessThan(0.02);
    expect(rough.findings.map(({ code }) => code)).toContain("places-rounded");
    expect(exact.findings.map(({ code }) => code)).not.toContain("places-rounded");
  });
});
