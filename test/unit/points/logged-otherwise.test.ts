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

const [lengthM, drillM] = [160, 12.192];
const strips = simulatedStrips(5, 2, 2);
const simulated = simulateHarvest({ seed: 5, strips, lengthM });
const cut = rowsOf(simulated.yieldCsv);
const without = (row: Row, ...names: string[]): Row =>
  Object.fromEntries(Object.entries(row).filter(([name]) => !names.includes(name)));

const harvestOf = (
  yields: readonly string[],
  drill: readonly string[] = [simulated.seededCsv],
  more: Partial<HarvestRequest> = {},
): Promise<Harvest> =>
  stripsFromPoints(
    yields.map((text, at) => textFile(`harvest-${at + 1}.csv`, text)),
    drill.map((text, at) => textFile(`seeded-${at + 1}.csv`, text)),
    null,
    { ...plainRequest, ...more },
  );
const messageOf = ({ findings }: Harvest, code: string): string | undefined =>
  findings.find((one) => one.code === code)?.message;
/** Largest share by which a strip is off the truth that it was made with, and the mean over the strips. */
function off({ strips: found }: Harvest, means = simulated.groundMeans): { largest: number; mean: number } {
  expect(found).toHaveLength(means.length);
  const shares = found.map(({ yieldKgPerHa }, s) => (yieldKgPerHa ?? NaN) / means[s]! - 1);
  return {
    largest: Math.max(...shares.map(Math.abs)),
    mean: shares.reduce((sum, one) => sum + one, 0) / shares.length,
  };
}

describe("times of points", () => {
  const start = Date.parse(cut[0]!["time"]!);
  /** The same log, begun at another time, in another spelling. */
  const spelt = (begin: string, spell: (at: Date) => Row): string =>
    csvOf(
      cut.map((row) => {
        const at = new Date(Date.parse(row["time"]!) - start + Date.parse(begin));
        return { ...without(row, "time"), ...spell(at) };
      }),
    );
  const two = (value: number): string => String(value).padStart(2, "0");
  const clock = (at: Date): string => at.toISOString().slice(11, 19);
  const halfDay = (at: Date): string =>
    `${at.getUTCHours() % 12 || 12}:${two(at.getUTCMinutes())}:${two(at.getUTCSeconds())} ${at.getUTCHours() < 12 ? "AM" : "PM"}`;

  it.each<[string, (at: Date) => Row]>([
    ["a date and a time in two columns", (at) => ({ Date: at.toISOString().slice(0, 10), Time: clock(at) })],
    [
      "the day before the month",
      (at) => ({ time: `${at.getUTCDate()}/${at.getUTCMonth() + 1}/2026 ${clock(at)}` }),
    ],
    [
      "a year of two digits",
      (at) => ({ time: `${at.getUTCMonth() + 1}/${at.getUTCDate()}/26 ${halfDay(at)}` }),
    ],
    [
      "a date as in ISO 8601 and AM or PM",
      (at) => ({ time: `${at.toISOString().slice(0, 10)} ${halfDay(at)}` }),
    ],
  ])("are read as %s, over midnight", async (_, spell) => {
    const harvest = await harvestOf([spelt("2026-08-20T23:20:00Z", spell)]);
    expect(harvest.season).toBe(2026);
    expect(harvest.delay.how).toBe("estimated");
    expect(Math.abs(harvest.delay.seconds - 10)).toBeLessThan(1.5);
    expect(off(harvest).largest).toBeLessThan(0.03);
    expect(messageOf(harvest, "time-backwards")).toBeUndefined();
  });

  it("are kept apart by their dates where two days' clocks overlap", async () => {
    const half = Math.floor(cut.length / 2);
    const day = (row: Row, at: number): Row => {
      const since = Date.parse(row["time"]!) - Date.parse(cut[at < half ? 0 : half]!["time"]!);
      const time = clock(new Date(Date.parse("2026-08-20T10:00:00Z") + since));
      return { ...without(row, "time"), Date: at < half ? "8/20/2026" : "8/21/2026", Time: time };
    };
    const harvest = await harvestOf([csvOf(cut.map(day))]);
    expect(messageOf(harvest, "time-backwards")).toBeUndefined();
    expect(off(harvest).largest).toBeLessThan(0.03);
  });

  it.each([
    ["the minute", (at: Date) => ({ time: at.toISOString().slice(0, 16) })],
    ["the second, of five points each", null],
  ] as const)("are given to %s: points are spread over it, and it is said", async (_, spell) => {
    const often = simulateHarvest({ seed: 6, strips, lengthM, everyS: 0.2 });
    const text =
      spell === null
        ? often.yieldCsv.replaceAll(/(T\d\d:\d\d:\d\d)\.\d+Z/g, "$1Z")
        : spelt("2026-08-20T10:00:30Z", spell);
    const drill = spell === null ? often.seededCsv : simulated.seededCsv;
    const harvest = await harvestOf([text], [drill]);
    expect(messageOf(harvest, "times-coarse")).toMatch(spell === null ? /to the second/ : /to the minute/);
    expect(Math.abs(harvest.delay.seconds - 10)).toBeLessThan(1.5);
    expect(off(harvest, spell === null ? often.groundMeans : simulated.groundMeans).largest).toBeLessThan(
      0.03,
    );
  });
});

describe("logs of few or many points", () => {
  // 5 s: 9.5 m from point to point, but less where the machine turns. 0.2 s: the receiver's jitter is a third of a step.
  it.each([0.2, 5])("every %d s give the same strips, without bias", async (everyS) => {
    const made = simulateHarvest({ seed: 51, strips, lengthM: 400, everyS });
    const found = off(await harvestOf([made.yieldCsv], [made.seededCsv]), made.groundMeans);
    expect(found.largest).toBeLessThan(0.02);
    expect(Math.abs(found.mean)).toBeLessThan(0.003);
  });
});

describe("grain that came in", () => {
  const rest = (row: Row): Row => without(row, "flow (kg/s)");
  const pounds = (row: Row): string => (Number(row["flow (kg/s)"]) / 0.45359237).toFixed(4);

  it.each(["Wet Mass (lb)", "mass (lb)", "Crop Mass Wet(lb)"])(
    "is the weight of each point: %s",
    async (header) => {
      const harvest = await harvestOf([csvOf(cut.map((row) => ({ ...rest(row), [header]: pounds(row) })))]);
      expect(off(harvest).largest).toBeLessThan(0.03);
      expect(harvest.delay.how).toBe("estimated");
    },
  );

  it("has its units in a row of their own below the names", async () => {
    const names = Object.keys(cut[0]!).map((name) => name.replace(/ \(.*/, ""));
    const units = ["deg", "deg", "", "m/s", "(ft)", "kg/s", "%"];
    const text = [names, units, ...cut.map((row) => Object.values(row))]
      .map((row) => row.join(","))
      .join("\n");
    const harvest = await harvestOf([text]);
    expect(off(harvest).largest).toBeLessThan(0.03);
    expect([harvest.pointsRead, harvest.withoutPlace]).toEqual([cut.length, 0]);
  });
});

describe("machines of several widths", () => {
  const east = 76_000;
  const [wide, narrow] = [
    simulateHarvest({ seed: 31, strips: strips.slice(0, 8), lengthM }),
    simulateHarvest({
      seed: 32,
      strips: strips.slice(8),
      lengthM,
      drillM: 9.144,
      combineM: 7.3152,
      longitude: -98.4 + (8 * drillM) / east,
    }),
  ];

  it("have each their own full width, and it is said that two combines were at work at once", async () => {
    const harvest = await harvestOf([wide.yieldCsv, narrow.yieldCsv], [wide.seededCsv, narrow.seededCsv]);
    expect(off(harvest, [...wide.groundMeans, ...narrow.groundMeans]).largest).toBeLessThan(0.03);
    expect(harvest.leftOut.find(({ reason }) => reason === "short-swath")).toBeUndefined();
    expect(messageOf(harvest, "combines-several")).toContain(
      "two combines that harvested at the same time (harvest-1.csv, harvest-2.csv)",
    );
  });

  it("is not said of one combine on two days", async () => {
    const half = Math.floor(cut.length / 2);
    const later = cut
      .slice(half)
      .map((row) => ({ ...row, time: row["time"]!.replace("2026-08-20", "2026-08-22") }));
    const harvest = await harvestOf([csvOf(cut.slice(0, half)), csvOf(later)]);
    expect(messageOf(harvest, "combines-several")).toBeUndefined();
    expect(off(harvest).largest).toBeLessThan(0.03);
  });
});

describe("moisture of points", () => {
  it("is the same as shares below a percent sign", async () => {
    const shares = cut.map((row) => ({ ...row, "moisture (%)": String(Number(row["moisture (%)"]) / 100) }));
    const [asPercents, asShares] = [await harvestOf([simulated.yieldCsv]), await harvestOf([csvOf(shares)])];
    expect(asShares.findings.map(({ code }) => code)).not.toContain("moisture-beyond-crop");
    asShares.strips.forEach(({ yieldKgPerHa }, s) =>
      expect(yieldKgPerHa! / asPercents.strips[s]!.yieldKgPerHa!).toBeCloseTo(1, 6),
    );
  });
});
