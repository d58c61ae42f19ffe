import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { demoPoints, kgPerHaOfBushel } from "../../../data-demo/points.ts";
import { growDemoFarm } from "../../../data-demo/farm.ts";
import { harvestStrips } from "../../../src/farm/harvest.ts";
import { plainRequest } from "../../simulate-harvest.ts";

const stored = (name: string) => {
  const bytes = readFileSync(new URL(`../../../data-demo/${name}`, import.meta.url));
  return { name, bytes: new Uint8Array(bytes) };
};

describe("the demo farm's harvest as points", () => {
  it("is made again byte for byte", () => {
    for (const [name, text] of Object.entries(demoPoints()))
      expect(new TextDecoder().decode(stored(name).bytes) === text, name).toBe(true);
  });

  it("leads to the strips of the field that are on file, within their error", async () => {
    const { harvest } = await harvestStrips(
      [stored("points/harvest-north-2026.csv")],
      [stored("points/seeded-north-2026.csv")],
      stored("strips-2026.csv"),
      { ...plainRequest, field: "North" },
    );
    const onFile = growDemoFarm()
      .filter(({ season, field }) => season === 2026 && field === "North")
      .sort((a, b) => a.position - b.position);
    expect(harvest).toMatchObject({ season: 2026, farm: "Windlass Farm", field: "North" });
    expect(harvest.strips.map(({ variety }) => variety)).toEqual(onFile.map(({ variety }) => variety));
    const apart = harvest.strips.flatMap(({ yieldKgPerHa, standardErrorKgPerHa }, s) =>
      onFile[s]!.yield === null
        ? []
        : [
            {
              bushels: Math.abs(yieldKgPerHa! / kgPerHaOfBushel - onFile[s]!.yield),
              errors: Math.abs(yieldKgPerHa! - onFile[s]!.yield * kgPerHaOfBushel) / standardErrorKgPerHa!,
            },
          ],
    );
    expect(apart.length).toBeGreaterThan(50);
    expect(Math.max(...apart.map(({ errors }) => errors))).toBeLessThan(1.96);
    expect(apart.reduce((sum, { bushels }) => sum + bushels, 0) / apart.length).toBeLessThan(1);
  });
});
