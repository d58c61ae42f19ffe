import { describe, expect, it } from "vitest";
import { parseSeconds } from "../../../src/points/clock.ts";
import { metresPerDegree, toMetres } from "../../../src/points/ground.ts";

/**
 * Length of a degree on the WGS 84 ellipsoid, to the metre: the table printed in many atlases (American Practical Navigator,
 * NGA Pub. 9, table "Length of a degree of latitude and longitude"); the values here FROM MEMORY of it, in kilometres.
 */
const degrees = [
  { latitude: 0, north: 110.574, east: 111.32 },
  { latitude: 15, north: 110.649, east: 107.55 },
  { latitude: 30, north: 110.852, east: 96.486 },
  { latitude: 45, north: 111.132, east: 78.847 },
  { latitude: 60, north: 111.412, east: 55.8 },
  { latitude: 75, north: 111.618, east: 28.902 },
];

describe("metres on the ground", () => {
  it.each(degrees)("has a degree at latitude $latitude as long as printed", ({ latitude, north, east }) => {
    const metres = metresPerDegree(latitude);
    expect(Math.abs(metres.north / 1000 - north)).toBeLessThan(0.0011);
    expect(Math.abs(metres.east / 1000 - east)).toBeLessThan(0.0011);
  });

  it("puts the origin at nought and north up", () => {
    const [x, y] = [Float64Array.of(-98.4, -98.39), Float64Array.of(47.2, 47.21)];
    toMetres(x, y, { latitude: 47.2, longitude: -98.4 });
    expect([x[0], y[0]]).toEqual([0, 0]);
    expect(x[1]).toBeGreaterThan(750);
    expect(y[1]).toBeGreaterThan(1100);
  });
});

describe("times of monitors", () => {
  it.each([
    ["2017-08-26T18:36:52.500Z", "2017-08-26T18:36:50.000Z", 2.5],
    ["2020-03-01 00:00:00", "2020-02-29 23:59:59", 1],
    ["8/26/2017 1:00:05 PM", "8/26/2017 12:59:55 PM", 10],
    ["13:00:01", "12:59:59", 2],
    ["17.5", "16", 1.5],
    ["20.08.2026 14:00:02", "20.8.2026 13:59:59", 3],
    ["2026/08/20 14:00:02", "2026/08/20 13:59:59", 3],
    ["20260820140002", "20260820135959", 3],
    ["1787234400250", "1787234398000", 2.25],
  ])("has %s later than %s", (late, early, seconds) => {
    expect(parseSeconds(late) - parseSeconds(early)).toBeCloseTo(seconds, 6);
  });

  it("has no seconds in words", () => {
    expect(parseSeconds("noon")).toBeNaN();
  });
});
