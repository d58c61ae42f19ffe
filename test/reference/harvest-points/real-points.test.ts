/**
 * Points of real drills and combines, read as they were published; larger than this project keeps, so they are read where
 * the environment variable STRIPCURVE_REFERENCE names the folder of reference sets with a folder `points` in or beside it.
 *
 * Sources: `soy-onfarm-*`: tmieno2/r.spatial.workshop.datasets at commit 0fec642e (MIT). `spring-wheat-as-applied-seeding`,
 * `oats-yield-monitor-same-field`: paulhegedus/OFPEDATA2 at commit af21fb48 (MIT). `corn-yield-monitor-gartner`:
 * agridat at commit 5919e3fb, Precision Agriculture Center of the University of Minnesota (CC BY-SA 3.0).
 */
import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { harvestStrips } from "../../../src/farm/harvest.ts";
import { analyzeFarm, readFarm } from "../../../src/index.ts";
import { crops } from "../../../src/vocabulary/crops.ts";
import { toPerAcre, toPoundsPerAcre } from "../../../src/numbers/units.ts";
import { findPasses } from "../../../src/points/passes.ts";
import { measured, pointYields, toMarket } from "../../../src/points/point-yields.ts";
import { placeAll, readPoints } from "../../../src/points/read-points.ts";
import { seededGround } from "../../../src/points/seeded-ground.ts";
import { workingWidth } from "../../../src/points/working-width.ts";
import type { HarvestRequest } from "../../../src/points/harvest-request.ts";

const reference = process.env.STRIPCURVE_REFERENCE ?? "";
const folder = [join(reference, "points"), join(reference, "../points")].find(
  (path) => reference !== "" && existsSync(path),
);
const file = (name: string) => ({ name, bytes: readFileSync(join(folder!, name)) });
const request: HarvestRequest = {
  crop: "wheat", system: "us", currency: "$", season: 2019, farm: "", field: "", delayS: null,
  combineWidthM: null, drillWidthM: null, off: [], eachStepOff: false,
};

if (folder === undefined)
  it.skip("skipped: real points are in the folder of reference sets, which is not here (set STRIPCURVE_REFERENCE)");
else {
  describe("a soybean seeding-rate trial, thinned, in plots of 75 m", () => {
    const made = harvestStrips([file("soy-onfarm-yield-points.csv")], [file("soy-onfarm-as-applied.csv")], null, {
      ...request, crop: "soybean", variety: "Soybean",
      columns: { seed_rate: "rate (thousand seeds/ac)" },
    });

    it("finds plots over the whole range of rates that the drill logged", async () => {
      const { strips, rateClasses } = (await made).harvest;
      const rates = strips.map(({ rate }) => toPerAcre(rate)).sort((a, b) => a - b);
      // 95,000 to 156,000 seeds/ac with the last plot whole; 25 lines of up to eight plots, those of one rate joined.
      expect(rates[0]).toBeLessThan(100_000);
      expect(rates.at(-1)).toBeGreaterThan(150_000);
      expect(rates.at(-1)).toBeLessThan(157_000);
      expect(strips.length).toBeGreaterThan(90);
      expect(rateClasses.length).toBeGreaterThanOrEqual(5);
    });

    it("shares cuts over several plots out by area, and says so", async () => {
      const { harvest } = await made;
      expect(harvest.strips.filter(({ yieldKgPerHa }) => yieldKgPerHa !== null).length).toBeGreaterThan(80);
      expect(harvest.findings.map(({ code }) => code)).toContain("cuts-shared");
    });

    it("leads to response curves", async () => {
      const { csv } = await made;
      const farm = await readFarm([{ name: "soy.csv", bytes: new TextEncoder().encode(csv) }], {
        typed: [{ key: "crop", text: "soybean", from: "test" }],
      });
      const result = analyzeFarm(farm);
      expect(result.environments).toHaveLength(1);
      expect(result.fits[0]!.forms.filter(({ converged }) => converged).length).toBeGreaterThanOrEqual(4);
      // R: the mean of all 1,683 points is 59.7 bu/ac and their middle 62.0, dips at the ends of passes included.
      const yields = (await made).harvest.strips.flatMap(({ yieldKgPerHa }) => yieldKgPerHa ?? []);
      const mean = yields.reduce((sum, one) => sum + one, 0) / yields.length / 67.25;
      expect(mean).toBeGreaterThan(58);
      expect(mean).toBeLessThan(66);
    });
  });

  describe("the as-applied file of a spring wheat trial", () => {
    it("has four rates, strips across the whole field, and 1,019 points without a rate", async () => {
      const read = await readPoints([file("spring-wheat-as-applied-seeding.csv")], request);
      placeAll([read]);
      expect([read.withoutRate, read.withRateZero]).toEqual([1019, 18]);
      const passes = findPasses(read.cloud);
      const ground = seededGround(read.cloud, passes, workingWidth(read.cloud, passes, null)!.metres);
      const classes = ground.classes.map(({ rate }) => toPoundsPerAcre(rate));
      expect(classes).toHaveLength(4);
      for (const [c, near] of [130, 172, 186, 215].entries())
        expect(Math.abs(classes[c]! / near - 1)).toBeLessThan(0.03);
      // Blocks of passes alternate low, usual, high over 800 m; each is one strip of hundreds of metres.
      expect(ground.strips.filter(({ lengthM }) => lengthM > 500).length).toBeGreaterThanOrEqual(13);
    });
  });

  describe("a raw maize harvest", () => {
    it("gives the yields that R works out from flow, seconds, distance, cut and moisture", async () => {
      const read = await readPoints([file("corn-yield-monitor-gartner.csv")], {
        ...request, crop: "corn",
        columns: { mass: "flow (lb/s)", dist: "distance (in)" },
      });
      placeAll([read]);
      const passes = findPasses(read.cloud);
      const { yields, areaM2 } = pointYields(read.cloud, passes, measured(read.cloud, passes)!, 360 * 0.0254, 0);
      const market = crops.corn.marketMoisturePct;
      const dry = [...passes.order].map((i, k) => toMarket(yields[k]!, read.cloud.numbers.moisture![i]!, market));
      const mean = dry.reduce((sum, one) => sum + one, 0) / dry.length;
      const middle = [...dry].sort((a, b) => a - b)[dry.length >> 1]!;
      const area = areaM2.reduce((sum, one) => sum + one, 0);
      const overArea = dry.reduce((sum, one, k) => sum + one * areaM2[k]!, 0) / area;
      // R 4.2.2: 0.45359237 lb, 0.0254 in, 360 in cut, brought to 15.5 %; 4,949 points.
      expect(dry).toHaveLength(4949);
      for (const [ours, fromR] of [
        [mean, 8376.660074],
        [middle, 8576.563728],
        [overArea, 8377.298879],
      ])
        expect(Math.abs(ours! / fromR! - 1)).toBeLessThan(1e-8);
    });
  });

  describe("the same maize harvest as other programs write it", () => {
    const rows = readFileSync(join(folder, "corn-yield-monitor-gartner.csv"), "utf8").trim().split("\n").slice(1);
    const written = (head: string, cells: (row: string[]) => (string | number)[], between = ","): string =>
      [head, ...rows.map((row) => cells(row.split(",")).join(between))].join("\n");
    const comma = (value: number | string): string => String(value).replace(".", ",");

    it.each([
      [
        "shortened names and feet",
        written(
          "Longitude,Latitude,Crop Flow(M)(lb/s),Moisture(%),Duration(s),Distance(ft),Swth Wdth(ft)",
          ([long, lat, mass, , seconds, dist, moist]) => [long!, lat!, mass!, moist!, seconds!, Number(dist) / 12, 30],
        ),
      ],
      [
        "metric units, decimal commas and columns in another order",
        written(
          "Feuchte (%);working width (m);distance (m);Mass flow (kg/s);interval;lat;lon",
          ([long, lat, mass, , seconds, dist, moist]) =>
            [moist!, 9.144, Number(dist) * 0.0254, Number(mass) * 0.45359237, seconds!, lat!, long!].map(comma),
          ";",
        ),
      ],
    ])("gives the mean yield that R works out, from %s", async (_, text) => {
      const read = await readPoints([{ name: "m.csv", bytes: new TextEncoder().encode(text) }], {
        ...request, crop: "corn",
      });
      placeAll([read]);
      const passes = findPasses(read.cloud);
      const { yields } = pointYields(read.cloud, passes, measured(read.cloud, passes)!, 9.144, 0);
      const dry = [...passes.order].map((i, k) =>
        toMarket(yields[k]!, read.cloud.numbers.moisture![i]!, crops.corn.marketMoisturePct),
      );
      expect(dry.reduce((sum, one) => sum + one, 0) / dry.length / 8376.660074).toBeCloseTo(1, 8);
    });
  });

  describe("a raw oats harvest of 97,383 points, over the strips of the spring wheat", () => {
    it("goes through every point once", async () => {
      const { harvest } = await harvestStrips(
        [file("oats-yield-monitor-same-field.csv")],
        [file("spring-wheat-as-applied-seeding.csv")],
        null,
        { ...request, crop: "oats" },
      );
      expect(harvest.pointsRead).toBe(97_383);
      const out = harvest.leftOut.reduce((sum, { points }) => sum + points, 0);
      expect(harvest.pointsUsed + out).toBe(97_383);
      expect(harvest.pointsUsed).toBeGreaterThan(4_000);
    });
  });
}
