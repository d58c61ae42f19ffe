import { describe, expect, it } from "vitest";
import { readPoints } from "../../../src/points/read-points.ts";
import { rateClasses } from "../../../src/points/rate-classes.ts";
import { stripsFromPoints } from "../../../src/points/strips-from-points.ts";
import { stripsWithoutPoints } from "../../../src/messages/harvest.ts";
import { plainStyle } from "../../../src/numbers/written-numbers.ts";
import { readFarm } from "../../../src/farm/read-farm.ts";
import { harvestStripsCsv } from "../../../src/tell/csv/harvest-strips.ts";
import { harvestMeasures, rateText } from "../../../src/tell/harvest-measures.ts";
import { harvestText } from "../../../src/tell/terminal/harvest-text.ts";
import { ratesSentence, withGaps } from "../../../src/tell/wording/harvest.ts";
import type { Harvest } from "../../../src/vocabulary/harvest.ts";
import { plainRequest, simulateHarvest, simulatedStrips, textFile } from "../../simulate-harvest.ts";
import { fromPoundsPerAcre } from "../../../src/numbers/units.ts";

const simulated = simulateHarvest({ seed: 5, strips: simulatedStrips(5, 1, 1), lengthM: 200 });
const harvestOf = (seeded: string, more = {}): Promise<Harvest> =>
  stripsFromPoints([textFile("y.csv", simulated.yieldCsv)], [textFile("s.csv", seeded)], null, {
    ...plainRequest,
    season: 2026,
    ...more,
  });
const plain = { heading: (text: string) => text, faint: (text: string) => text } as Parameters<
  typeof harvestText
>[1];

describe("rates found, as they are told", () => {
  const told = (perAcre: number[]): string => {
    const classes = rateClasses(perAcre.map((rate) => ({ rate: fromPoundsPerAcre(rate), points: 100 })));
    const harvest = {
      units: { system: "us", currency: "$" },
      crop: "wheat",
      rateIsWeight: true,
      rateClasses: classes.map(({ rate, from, to, points }) => ({
        rate,
        lowest: from,
        highest: to,
        points,
        strips: 1,
      })),
    } as unknown as Harvest;
    return ratesSentence(harvest, rateText(harvest, harvestMeasures(harvest, plainStyle)), plainStyle);
  };

  it("are listed, with the narrowest gap, where gaps part them", () => {
    // 189 is 9.2% above 173, the nearest two.
    expect(told([125, 130, 173, 189, 214])).toBe(
      "Four rates were found: 125, 173, 189 and 214 lb/ac. The nearest two are 9% apart.",
    );
    expect(told([150, 151])).toBe("One rate was found: 150 lb/ac.");
  });

  it("run from the lowest to the highest where no gap separates them", () => {
    expect(told([100, 104, 108, 112, 116, 120, 124])).toMatch(
      /^Rates run from 100 to 124 lb\/ac, and no gap separates them\./,
    );
    expect(told([100, 104, 108, 112, 116, 120, 124, 180])).toContain(
      "at 2 of 3 borders no gap separates one class from the next",
    );
  });

  it("have the gap below each class", () => {
    const classes = [
      [100, 110],
      [121, 130],
    ].map(([lowest, highest]) => ({ rate: 0, lowest: lowest!, highest: highest!, points: 1, strips: 1 }));
    const [lowest, second] = withGaps(classes);
    expect(lowest?.gapBelow).toBeNull();
    expect(second?.gapBelow).toBeCloseTo(0.1, 12);
  });

  it("stand on the terminal with the steps that are off", async () => {
    const text = harvestText(await harvestOf(simulated.seededCsv, { off: ["speed", "moisture"] }), plain);
    expect(text).toContain(
      "Four rates were found: 0.80 million, 1.10 million, 1.40 million and 1.70 million seeds/ac. The nearest two are 2",
    );
    expect(text).toContain("Switched off here: speed, market moisture.");
  });
});

describe("a strips file made of points", () => {
  it("says no market moisture where that step is off", async () => {
    expect(harvestStripsCsv(await harvestOf(simulated.seededCsv))).toContain(",yield (bu/ac at 13.5%),");
    expect(harvestStripsCsv(await harvestOf(simulated.seededCsv, { off: ["moisture"] }))).toContain(
      ",yield (bu/ac),",
    );
  });

  it("takes seeds in a pound from the drill's file where rates are weights", async () => {
    const [head, ...rows] = simulated.seededCsv.trim().split("\n") as [string, ...string[]];
    const at = head.split(",").indexOf("rate (seeds/ac)");
    const weighed = rows.map((row) => {
      const cells = row.split(",");
      cells[at] = (Number(cells[at]) / 14_000).toFixed(2);
      return [...cells, "14000"].join(",");
    });
    const seeded = [`${head.replace("rate (seeds/ac)", "rate (lb/ac)")},seeds/lb`, ...weighed].join("\n");
    const harvest = await harvestOf(seeded);
    const csv = harvestStripsCsv(harvest);
    expect(csv.split("\n")[0]).toContain(",seeds_per_lb,");
    const germinating = csv
      .trim()
      .split(/\r?\n/)
      .map((line, l) => `${line},${l === 0 ? "germination_pct" : "100"}`)
      .join("\n");
    const { trial } = await readFarm([textFile("strips.csv", germinating)]);
    const rates = trial.strips.map(({ rateSeedsPerM2 }) => Math.round((rateSeedsPerM2 * 4046.86) / 1e5) / 10);
    expect([...rates].sort()).toEqual([0.8, 1.1, 1.4, 1.7]);
  });

  it("has columns for its reader that are no unknown ones", async () => {
    const csv = harvestStripsCsv(await harvestOf(simulated.seededCsv));
    const { trial } = await readFarm([textFile("strips.csv", csv)]);
    const told = trial.findings.filter(({ code }) => code.startsWith("column-"));
    expect(told.map(({ code, column }) => `${code} ${column}`)).toEqual([
      "column-of-harvest standard_error (bu/ac)",
      "column-of-harvest monitor_points",
      "column-of-harvest points_worth",
    ]);
  });
});

it("strips of which little is left between their ends are told as short, and long ones are not", async () => {
  const told = async (lengthM: number, off: Harvest["switchedOff"] = []): Promise<string[]> => {
    const made = simulateHarvest({ seed: 5, strips: simulatedStrips(5, 1, 1), lengthM });
    const files = [textFile("y.csv", made.yieldCsv), textFile("s.csv", made.seededCsv)] as const;
    const { findings } = await stripsFromPoints([files[0]], [files[1]], null, { ...plainRequest, off });
    return findings.filter(({ code }) => code === "strips-short").map(({ message }) => message);
  };
  expect((await told(90))[0]).toMatch(
    /^Half of the strips are 3\d\d ft long or shorter\. 100 ft inside each end/,
  );
  expect([await told(90, ["change-over"]), await told(300)]).toEqual([[], []]);
});

it("two strips in a row are two, and no range", () => {
  expect(stripsWithoutPoints([2, 3, 10, 27, 28, 29]).message).toMatch(/^Strips 2, 3, 10, 27 to 29:/);
});

it("the likeliest unit of a bare rate is named first", async () => {
  const rows = Array.from({ length: 50 }, (_, i) => `${i * 3},0,130`).join("\n");
  const read = readPoints([textFile("s.csv", `x_m,y_m,seed_rate\n${rows}`)], {
    ...plainRequest,
    crop: "soybean",
  });
  await expect(read).rejects.toThrow(/as "seed_rate \(thousand seeds\/ac\)"/);
});
