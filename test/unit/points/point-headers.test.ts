import { describe, expect, it } from "vitest";
import { takeFiles } from "../../../src/farm/farm-files.ts";
import { readFarm } from "../../../src/farm/read-farm.ts";
import { pointsKind, reader } from "../../../src/points/point-headers.ts";
import { geoJson, zippedShapefile } from "./written-points.ts";

const file = (name: string, content: string | Uint8Array) => ({
  name,
  bytes: typeof content === "string" ? new TextEncoder().encode(content) : content,
});
const table = (header: string) => file("table.csv", `${header}\n${header.replaceAll(/[^,;]+/g, "1")}\n`);
const shapes = (properties: Record<string, number>) => [{ longitude: -98.4, latitude: 47.2, properties }];

describe("which machine's points a file holds", () => {
  it.each([
    ["latitude,longitude,time,flow (lb/s),moisture", "harvested"],
    ["Longitude;Latitude;Yld Mass(Wet)(lb/ac);Crop Flw(M)(lb/s)", "harvested"],
    ["x,y,yield (bu/ac)", "harvested"],
    ["lat,lon,time,variety,yield,rate,speed", "harvested"],
    ["latitude,longitude,AppliedRate (seeds/ac)", "seeded"],
    ["lat,lon,time,rate,variety", "seeded"],
    // Strips that say where they are; and what holds no rate and no yield.
    ["variety,season,rate,yield,latitude,longitude", null],
    ["variety,season,rate,yield,strip width,lat,lon,block", null],
    ["variety,rate,latitude,longitude,position,block", null],
    ["latitude,longitude,elevation", null],
    ["variety,season,field,rate,yield", null],
    ["variety,seeds_per_lb,germination_pct", null],
  ])("%s: %s", (header, kind) => expect(pointsKind(table(header))).toBe(kind));

  it("is told of GeoJSON, of its beginning too, and of zipped shapefiles", () => {
    const cut = shapes({ Yld_bu_ac: 60, Moisture: 13 });
    expect(pointsKind(file("cut.geojson", geoJson(cut)))).toBe("harvested");
    expect(pointsKind(file("cut.geojson", `${geoJson([...cut, ...cut]).slice(0, -20)}`))).toBe("harvested");
    expect(pointsKind(file("cut.zip", zippedShapefile(cut)))).toBe("harvested");
    expect(pointsKind(file("sown.zip", zippedShapefile(shapes({ rate: 1_200_000 }))))).toBe("seeded");
  });

  it("keeps points apart from strips", async () => {
    const points = table("latitude,longitude,time,yield (bu/ac)");
    const strips = file("strips.csv", "variety,season,rate,yield\nOstrindel,2026,1200000,60\n");
    expect((await takeFiles([points, strips])).map(({ as }) => as)).toEqual(["harvested", "strips"]);
    const { trial, remarks } = await readFarm([points, strips]);
    expect(trial.strips).toHaveLength(1);
    expect(remarks).toEqual([expect.stringContaining("table.csv holds points that a machine logged")]);
  });
});

it.each(["Epoch", "unix_time", "Timestamp", "GPS Time"])("%s is the time of a point", (header) =>
  expect(reader.nameOf(header)).toBe("time"),
);
