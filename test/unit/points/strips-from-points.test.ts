import { describe, expect, it } from "vitest";
import type { HarvestRequest } from "../../../src/points/harvest-request.ts";
import { stripsFromPoints } from "../../../src/points/strips-from-points.ts";
import { harvestStripsCsv } from "../../../src/tell/csv/harvest-strips.ts";
import { tellHarvestPage } from "../../../src/tell/html/harvest-page.ts";
import type { Harvest } from "../../../src/vocabulary/harvest.ts";
import {
  plainRequest,
  simulateHarvest,
  simulatedStrips,
  textFile,
  type HarvestWish,
} from "../../simulate-harvest.ts";

const made = simulatedStrips(11, 2, 2);

const simulated = simulateHarvest({ seed: 11, strips: made, lengthM: 200 });

const harvestOf = (wish: Partial<HarvestWish> = {}, more: Partial<HarvestRequest> = {}) => {
  const simulated = simulateHarvest({ seed: 11, strips: made, lengthM: 200, ...wish });
  return stripsFromPoints(
    [textFile("harvest.csv", simulated.yieldCsv)],
    [textFile("seeded.csv", simulated.seededCsv)],
    null,
    { ...plainRequest, ...more },
  ).then((harvest) => ({ harvest, simulated }));
};

const meanBias = (harvest: Harvest, truth: number[]): number => {
  const shares = harvest.strips.map(({ yieldKgPerHa }, s) => yieldKgPerHa! / truth[s]! - 1);
  return shares.reduce((sum, share) => sum + share, 0) / shares.length;
};

/** The harvest as it is simulated, nothing changed; worked out once for all tests. */
let asItIs: ReturnType<typeof harvestOf> | null = null;
const theHarvest = (): ReturnType<typeof harvestOf> => (asItIs ??= harvestOf());

describe("a simulated harvest of known truth", () => {
  it.each<[string, Partial<HarvestWish>]>([
    ["a delay of 5 s", { delayS: 5 }],
    ["a delay of 14 s", { delayS: 14 }],
    ["curved passes", { curveM: 12 }],
    ["strips at an angle", { turnedDeg: 33 }],
  ])("gives the strips back with %s", async (_, wish) => {
    const { harvest, simulated } = await harvestOf(wish);
    expect(harvest.strips.map(({ variety }) => variety)).toEqual(made.map(({ variety }) => variety));
    expect(harvest.delay.how).toBe("estimated");
    expect(Math.abs(harvest.delay.seconds - (wish.delayS ?? 10))).toBeLessThan(0.5);
    expect(Math.abs(meanBias(harvest, simulated.groundMeans))).toBeLessThan(0.01);
  });

  it("gives every strip a yield where a 24 ft combine goes pass beside pass over 40 ft strips, and says so", async () => {
    const { harvest, simulated } = await harvestOf({ combineM: 7.3152, path: "throughout", overlapM: 0.2 });
    const known = harvest.strips.map(({ yieldKgPerHa }, s) => yieldKgPerHa! / simulated.groundMeans[s]! - 1);
    for (const off of known) expect(Math.abs(off)).toBeLessThan(0.04);
    expect(Math.abs(meanBias(harvest, simulated.groundMeans))).toBeLessThan(0.01);
    expect(harvest.strips.some(({ shared }) => shared > 50)).toBe(true);
    expect(harvest.findings.map(({ code }) => code)).toContain("cuts-shared");
    const leftOut = harvest.leftOut.reduce((sum, { points }) => sum + points, 0);
    expect(harvest.pointsUsed + leftOut).toBe(simulated.points);
  });

  it("counts every point once, for one reason", async () => {
    const { harvest, simulated } = await theHarvest();
    const leftOut = harvest.leftOut.reduce((sum, { points }) => sum + points, 0);
    expect(harvest.pointsRead).toBe(simulated.points);
    expect(harvest.pointsUsed + leftOut).toBe(simulated.points);
  });

  it("has hundreds of points worth few", async () => {
    const { harvest } = await theHarvest();
    for (const { points, worth } of harvest.strips) {
      expect(points).toBeGreaterThan(50);
      expect(worth).toBeLessThan(points / 3);
    }
  });

  it("leaves no place on earth in table, page or result", async () => {
    const { harvest } = await theHarvest();
    const page = tellHarvestPage(harvest, {
      style: "",
      sha256: () => "",
      run: { date: "2026-09-01", files: [] },
    });
    for (const text of [harvestStripsCsv(harvest), page, JSON.stringify(harvest)]) {
      expect(text).not.toMatch(/98\.[34]\d{3}|47\.[12]\d{3}/);
    }
  });

  it("does not find the delay where all passes but one are gone, and says so", async () => {
    const [header, ...rows] = simulated.yieldCsv.trim().split("\n");
    const one = [header, ...rows.slice(0, 150)].join("\n");
    const reading = stripsFromPoints(
      [textFile("y.csv", one)],
      [textFile("s.csv", simulated.seededCsv)],
      null,
      plainRequest,
    );
    await expect(reading).rejects.toMatchObject({ code: "passes-too-few" });
  });
});

describe("steps switched off", () => {
  it("counts nothing for a reason whose step is off", async () => {
    const { harvest } = await harvestOf({}, { off: ["far-out", "change-over", "starts-and-ends"] });
    const reasons = harvest.leftOut.map(({ reason }) => reason);
    for (const reason of ["far-out", "strip-end", "start-of-pass"]) expect(reasons).not.toContain(reason);
    expect(harvest.switchedOff).toEqual(["far-out", "change-over", "starts-and-ends"]);
  });
});

describe("files that cannot be right", () => {
  const swapHeaders = (text: string): string => text.replace("latitude,longitude", "longitude,latitude");
  const reading = (yields: string, seeded: string) =>
    stripsFromPoints([textFile("y.csv", yields)], [textFile("s.csv", seeded)], null, plainRequest);
  const moved = (text: string, degrees: number): string =>
    text.replace(/^47\.(\d+)/gm, (_, rest: string) => `${47 + degrees}.${rest}`);
  const [header, ...rows] = simulated.yieldCsv.trim().split("\n") as [string, ...string[]];

  it("says that latitude and longitude are swapped", async () => {
    await expect(reading(swapHeaders(simulated.yieldCsv), simulated.seededCsv)).rejects.toMatchObject({
      code: "places-swapped",
    });
  });

  it("says that the files do not meet", async () => {
    await expect(reading(moved(simulated.yieldCsv, 1), simulated.seededCsv)).rejects.toMatchObject({
      code: "points-apart",
    });
  });

  it("says that the drill's points are of two fields", async () => {
    const two = simulated.seededCsv + moved(simulated.seededCsv, 1).split("\n").slice(1).join("\n");
    await expect(reading(simulated.yieldCsv, two)).rejects.toMatchObject({ code: "fields-several" });
  });

  it("says that all points lie in one place", async () => {
    const still = [header, ...rows.map((row) => row.replace(/^[^,]+,[^,]+/, "47.2000000,-98.4000000"))].join(
      "\n",
    );
    await expect(reading(still, simulated.seededCsv)).rejects.toMatchObject({ code: "points-in-one-place" });
  });

  it("says that the file is of another crop", async () => {
    const barley = [`${header},crop`, ...rows.map((row) => `${row},barley`)].join("\n");
    await expect(reading(barley, simulated.seededCsv)).rejects.toMatchObject({ code: "crop-other" });
  });

  it("puts times that run backwards in order, says so, and gives the same strips", async () => {
    const turned = [header, ...rows.slice(400, 800), ...rows.slice(0, 400), ...rows.slice(800)].join("\n");
    const { harvest: straight } = await theHarvest();
    const backwards = await reading(turned, simulated.seededCsv);
    expect(backwards.findings.map(({ code }) => code)).toContain("time-backwards");
    expect(backwards.strips.map(({ yieldKgPerHa }) => Math.round(yieldKgPerHa!))).toEqual(
      straight.strips.map(({ yieldKgPerHa }) => Math.round(yieldKgPerHa!)),
    );
  });

  it("says that the yields are of two fields, and uses those on the seeded one", async () => {
    const two = simulated.yieldCsv + moved(simulated.yieldCsv, 1).split("\n").slice(1).join("\n");
    const [both, one] = [
      await reading(two, simulated.seededCsv),
      await reading(simulated.yieldCsv, simulated.seededCsv),
    ];
    expect(both.findings).toContainEqual(
      expect.objectContaining({ code: "fields-several", severity: "doubt" }),
    );
    expect(both.strips.map(({ points }) => points)).toEqual(one.strips.map(({ points }) => points));
  });

  it("doubts yields that no field of the crop gives", async () => {
    // Five times as much flow as the harvest had: 20 t/ha and more.
    const flowing = [
      header,
      ...rows.map((row) => row.replace(/,([\d.]+),13\.5$/, (_, flow: string) => `,${5 * Number(flow)},13.5`)),
    ].join("\n");
    const { findings } = await reading(flowing, simulated.seededCsv);
    expect(findings).toContainEqual(
      expect.objectContaining({ code: "yield-beyond-crop", severity: "doubt" }),
    );
  });

  it("doubts yields for which no field of the crop is harvested, as t/ha taken for bu/ac", async () => {
    // A fortieth of the flow: a field of 4.4 t/ha has 0.11 t/ha.
    const trickling = [
      header,
      ...rows.map((row) =>
        row.replace(/,([\d.]+),13\.5$/, (_, flow: string) => `,${Number(flow) / 40},13.5`),
      ),
    ].join("\n");
    expect((await reading(trickling, simulated.seededCsv)).findings).toContainEqual(
      expect.objectContaining({ code: "yield-below-crop", severity: "doubt" }),
    );
    const codes = (await theHarvest()).harvest.findings.map(({ code }) => code);
    expect(codes).not.toContain("yield-below-crop");
    expect(codes).not.toContain("yield-beyond-crop");
  });

  it("doubts the crop where the grain was far drier or wetter than it is harvested", async () => {
    const dry = simulated.yieldCsv.replaceAll(",13.5\n", ",5.5\n");
    expect((await reading(dry, simulated.seededCsv)).findings).toContainEqual(
      expect.objectContaining({ code: "moisture-beyond-crop", severity: "doubt" }),
    );
    expect((await theHarvest()).harvest.findings.map(({ code }) => code)).not.toContain(
      "moisture-beyond-crop",
    );
  });

  it("doubts latitude and longitude that are swapped, also where the machine went from north to south", async () => {
    // At 50 degrees a degree east is 0.64 of one north: strips along the meridian keep their length, and lose their width.
    const far = simulateHarvest({ seed: 11, strips: made, lengthM: 200, latitude: 50, longitude: 10 });
    const swapped = (text: string): string => text.replace("latitude,longitude", "longitude,latitude");
    const codes = async (change: (text: string) => string): Promise<string[]> =>
      (await reading(change(far.yieldCsv), change(far.seededCsv))).findings.map(({ code }) => code);
    expect(await codes(swapped)).toContain("passes-unlike");
    expect(await codes((text) => text)).not.toContain("passes-unlike");
  });

  it("doubts swapped degrees by the heading, where nothing says how wide the drill is", async () => {
    const far = simulateHarvest({ seed: 11, strips: made, lengthM: 200, latitude: 50, longitude: 10 });
    const swapped = (text: string): string => text.replace("latitude,longitude", "longitude,latitude");
    // Strips run along the meridian: north or south is the heading of every point, as that to the one before tells.
    const [head, ...points] = far.yieldCsv.trim().split("\n") as [string, ...string[]];
    const headed = points.map((row, r) => {
      const [from, to] = [points[Math.max(0, r - 1)]!, points[Math.max(1, r)]!].map((one) =>
        Number(one.split(",")[0]),
      );
      return `${row},${to! >= from! ? 0 : 180}`;
    });
    const text = [`${head},heading`, ...headed].join("\n");
    const codes = async (change: (text: string) => string): Promise<string[]> =>
      (await reading(change(text), change(far.seededCsv))).findings.map(({ code }) => code);
    expect(await codes(swapped)).toContain("courses-unlike");
    expect(await codes((one) => one)).not.toContain("courses-unlike");
  });

  it("says that points without times stand in no order, rather than to call them turns", async () => {
    const bare = simulateHarvest({ seed: 11, strips: made, lengthM: 200, bare: true });
    const [head, ...points] = bare.yieldCsv.trim().split("\n") as [string, ...string[]];
    const untimed = (rows: string[]): string => [head.replace("time (s)", "note"), ...rows].join("\n");
    const mixed = (rows: string[]): string[] => rows.map((_, r) => rows[(r * 101) % rows.length]!);
    const whole = Math.floor(0.4 * points.length);
    const codes = async (rows: string[]): Promise<string[]> =>
      (await reading(untimed(rows), bare.seededCsv)).findings.map(({ code }) => code);
    expect(await codes([...points.slice(0, whole), ...mixed(points.slice(whole))])).toContain(
      "points-unordered",
    );
    expect(await codes(points)).not.toContain("points-unordered");
    await expect(codes(mixed(points))).rejects.toMatchObject({
      code: "passes-too-few",
      message: expect.stringContaining("in the order in which they were logged") as string,
    });
  });

  it("says that one pass of the drill shows no strips, and what a strip is where rates change too soon", async () => {
    const [head, ...seeded] = simulated.seededCsv.trim().split("\n") as [string, ...string[]];
    const short = seeded.map((row, r) =>
      row.replace(/,\d+,(Made \d)$/, `,${r % 12 < 6 ? 800000 : 1700000},$1`),
    );
    await expect(reading(simulated.yieldCsv, [head, ...short].join("\n"))).rejects.toMatchObject({
      code: "strips-none",
    });
  });

  it("is not kept waiting by very many points in one place", async () => {
    const still = Array.from({ length: 200_000 }, (_, i) => `47.2000001,-98.4000001,${20_000 + i}`);
    const started = process.cpuUsage().user;
    const reads = stripsFromPoints(
      [
        textFile(
          "y.csv",
          `latitude,longitude,time,yield (bu/ac)\n${still.map((row) => `${row},60`).join("\n")}`,
        ),
      ],
      [textFile("s.csv", simulated.seededCsv)],
      null,
      plainRequest,
    );
    await expect(reads).rejects.toMatchObject({ code: "points-in-one-place" });
    // About 1 s on a quiet machine; the square of so many would be hours.
    expect((process.cpuUsage().user - started) / 1e6).toBeLessThan(30);
  });

  it("doubts places that do not fit the speed that was logged, as feet taken for metres", async () => {
    const inFeet = (text: string): string =>
      text.replace(
        /^(47\.\d+),(-98\.\d+)/gm,
        (_, north: string, east: string) =>
          `${47.2 + (Number(north) - 47.2) / 0.3048},${-98.4 + (Number(east) + 98.4) / 0.3048}`,
      );
    const codes = async (harvest: Promise<Harvest>): Promise<string[]> =>
      (await harvest).findings.map(({ code }) => code);
    expect(await codes(reading(inFeet(simulated.yieldCsv), inFeet(simulated.seededCsv)))).toContain(
      "steps-unlike",
    );
    expect((await theHarvest()).harvest.findings.map(({ code }) => code)).not.toContain("steps-unlike");
  });

  it("says that a column for yields has none", async () => {
    const starred = [header, ...rows.map((row) => row.replace(/,[\d.]+,13\.5$/, ",****,13.5"))].join("\n");
    await expect(reading(starred, simulated.seededCsv)).rejects.toThrow(/column flow \(kg\/s\): no row/);
  });

  it("says that a column for yields is missing", async () => {
    await expect(reading(simulated.seededCsv, simulated.seededCsv)).rejects.toMatchObject({
      code: "points-without-yield",
    });
  });
});
