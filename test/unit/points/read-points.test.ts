import { strToU8, zipSync } from "fflate";
import { describe, expect, it } from "vitest";
import { placeAll, readPoints, type PointsWish } from "../../../src/points/read-points.ts";
import { geoJson, zippedShapefile, type WrittenPoint } from "./written-points.ts";

const wish: PointsWish = { crop: "wheat", system: "us" };
const file = (name: string, content: string | Uint8Array) => ({
  name,
  bytes: typeof content === "string" ? new TextEncoder().encode(content) : content,
});
const read = (text: string | Uint8Array, name = "points.csv", more: Partial<PointsWish> = {}) =>
  readPoints([file(name, text)], { ...wish, ...more });
const acre = 4046.8564224;
const pound = 0.45359237;

const points: WrittenPoint[] = Array.from({ length: 5 }, (_, i) => ({
  longitude: -98.4 + 0.0001 * i,
  latitude: 47.2,
  properties: { Yld_bu_ac: 60 + i, Moisture: 13.5, Time: `2026-08-20 10:00:0${i}`, Swath_ft: 35 },
}));

describe("points in their formats", () => {
  it("has the same points from CSV, GeoJSON and a zipped shapefile", async () => {
    const csv = [
      "latitude;longitude;Yld_bu_ac;Moisture;Time;Swath_ft",
      ...points.map(({ latitude, longitude, properties }) =>
        [latitude, longitude, ...Object.values(properties)].join(";"),
      ),
    ].join("\n");
    const clouds = [
      (await read(csv)).cloud,
      (await read(geoJson(points), "points.geojson")).cloud,
      (await read(zippedShapefile(points), "points.zip")).cloud,
    ];
    for (const { count, numbers } of clouds) {
      expect(count).toBe(5);
      // 60 lb/bu: 60 bu/ac are 3,600 lb/ac.
      expect(numbers.wetYield![0]).toBeCloseTo((3600 * pound * 10_000) / acre, 6);
      expect(numbers.swath![4]).toBeCloseTo(35 * 0.3048, 9);
      expect(numbers.time![4]! - numbers.time![0]!).toBe(4);
      expect(numbers.x![4]).toBeCloseTo(-98.3996, 9);
    }
  });

  it("puts places of a shapefile that is in metres into degrees, as its projection says", async () => {
    // UTM zone 14 N: 500,000 m east lie on its middle meridian, 99° W; 45° N are 4,982,950.4 m from the equator
    // (value of the meridian arc on WGS 84, 4,984,944.378 m, times 0.9996; FROM MEMORY of the printed tables).
    const prj =
      'PROJCS["WGS_1984_UTM_Zone_14N",GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],' +
      'PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],' +
      'PARAMETER["False_Easting",500000.0],PARAMETER["False_Northing",0.0],PARAMETER["Central_Meridian",-99.0],' +
      'PARAMETER["Scale_Factor",0.9996],PARAMETER["Latitude_Of_Origin",0.0],UNIT["Meter",1.0]]';
    const utm = points.map((point, i) => ({ ...point, longitude: 500_000, latitude: 4_982_950.4 + 10 * i }));
    const { cloud } = await read(zippedShapefile(utm, { "layer.prj": prj }), "points.zip");
    expect(cloud.numbers.x![0]).toBeCloseTo(-99, 7);
    expect(cloud.numbers.y![0]).toBeCloseTo(45, 5);
  });

  /**
   * Worked examples of IOGP Guidance Note 7-2, "Coordinate Conversions and Transformations including Formulas": Transverse
   * Mercator (OSGB 1936 / British National Grid) and Lambert Conic Conformal with two parallels (NAD27 / Texas South
   * Central, in US survey feet). The ellipsoids are given without the datums' names, so that places stay on them. The
   * figures of the second are FROM MEMORY of that note.
   */
  it.each([
    {
      name: "Transverse Mercator in metres",
      at: [577_274.99, 69_740.5],
      place: [0.5, 50.5],
      prj:
        'PROJCS["Example",GEOGCS["Airy",DATUM["D_Unknown",SPHEROID["Airy_1830",6377563.396,299.32496]],PRIMEM["Greenwich",0],' +
        'UNIT["Degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],PARAMETER["False_Easting",400000],' +
        'PARAMETER["False_Northing",-100000],PARAMETER["Central_Meridian",-2],PARAMETER["Scale_Factor",0.9996012717],' +
        'PARAMETER["Latitude_Of_Origin",49],UNIT["Meter",1]]',
    },
    {
      name: "Lambert Conic Conformal in US survey feet",
      at: [2_963_503.91, 254_759.8],
      place: [-96, 28.5],
      prj:
        'PROJCS["Example",GEOGCS["Clarke",DATUM["D_Unknown",SPHEROID["Clarke_1866",6378206.4,294.9786982]],PRIMEM["Greenwich",0],' +
        'UNIT["Degree",0.0174532925199433]],PROJECTION["Lambert_Conformal_Conic"],PARAMETER["False_Easting",2000000],' +
        'PARAMETER["False_Northing",0],PARAMETER["Central_Meridian",-99],PARAMETER["Standard_Parallel_1",28.38333333333333],' +
        'PARAMETER["Standard_Parallel_2",30.28333333333333],PARAMETER["Latitude_Of_Origin",27.83333333333333],' +
        'UNIT["Foot_US",0.3048006096012192]]',
    },
  ])("puts the published example of $name where it belongs, to 2 cm", async ({ at, place, prj }) => {
    const there = points.map((point) => ({ ...point, longitude: at[0]!, latitude: at[1]! }));
    const { cloud } = await read(zippedShapefile(there, { "layer.prj": prj }), "points.zip");
    // 0.0000002° are 2 cm of latitude.
    expect(Math.abs(cloud.numbers.x![0]! - place[0]!)).toBeLessThan(2e-7);
    expect(Math.abs(cloud.numbers.y![0]! - place[1]!)).toBeLessThan(2e-7);
  });

  it("reads the one CSV of an archive that holds no layer", async () => {
    const { cloud } = await read(
      zipSync({ "harvest/points.csv": strToU8("x,y,yield (bu/ac)\n0,0,50\n1,0,51\n") }),
      "points.zip",
    );
    expect(cloud.count).toBe(2);
    expect(cloud.files).toEqual(["points.zip"]);
  });

  it.each<[string, Record<string, string>, string]>([
    ["two layers", { "a.shp": "", "b.shp": "" }, "2 layers"],
    ["a layer without its table", { "a.shp": "" }, "no .dbf"],
    ["a layer that is cut off", { "a.shp": "abc", "a.dbf": "abc" }, "no shapefile of points"],
    ["pictures only", { "a.png": "abc" }, "no .shp"],
  ])("says that an archive holds %s", async (_, parts, words) => {
    const zip = zipSync(
      Object.fromEntries(Object.entries(parts).map(([name, text]) => [name, strToU8(text)])),
    );
    await expect(read(zip, "points.zip")).rejects.toMatchObject({ code: "shapefile-unreadable" });
    await expect(read(zip, "points.zip")).rejects.toThrow(words);
  });

  it.each([
    [
      "lines",
      JSON.stringify({
        type: "FeatureCollection",
        features: [
          {
            type: "Feature",
            properties: {},
            geometry: {
              type: "LineString",
              coordinates: [
                [0, 0],
                [1, 1],
              ],
            },
          },
        ],
      }),
      "lines.geojson",
      "points-none",
    ],
    ["text that is no GeoJSON", "{ oh no", "points.geojson", "points-none"],
    [
      "an archive without a layer",
      zippedShapefile(points).slice(0, 200),
      "points.zip",
      "shapefile-unreadable",
    ],
    ["no places", "yield (bu/ac),time\n50,1\n", "points.csv", "points-without-place"],
    ["places that are all missing", "latitude,longitude,yield (bu/ac)\n,,50\n", "points.csv", "points-none"],
    ["nothing in it", "", "points.csv", "points-none"],
    [
      "latitude and longitude swapped in North America",
      "latitude,longitude,yield (bu/ac)\n-98.4,47.2,50\n",
      "points.csv",
      "places-swapped",
    ],
    [
      "latitude and longitude swapped near the 90th meridian",
      "latitude,longitude,yield (bu/ac)\n-89.3,40.05,50\n",
      "points.csv",
      "places-swapped",
    ],
    [
      "metres called degrees",
      "latitude,longitude,yield (bu/ac)\n4982950,500000,50\n",
      "points.csv",
      "places-swapped",
    ],
  ] as const)("says what is wrong with %s", async (_, content, name, code) => {
    await expect(read(content, name)).rejects.toMatchObject({ code });
  });
});

describe("what monitors write", () => {
  it("has stars, −999 and nought where nothing can be as missing, and a rate of nought as the drill off", async () => {
    const { cloud, withoutRate, withRateZero } = await read(
      "x,y,rate (lb/ac),moisture (%),yield (bu/ac)\n0,0,****,13,50\n1,0,-999,0,50\n2,0,0,-999.0,50\n3,0,120,13,0\n4,0,,13,****\n",
    );
    expect([...cloud.numbers.rate!].map((rate) => rate > 0)).toEqual([false, false, false, true, false]);
    expect([withoutRate, withRateZero]).toEqual([3, 1]);
    expect([...cloud.numbers.moisture!]).toEqual([13, NaN, NaN, 13, 13]);
    // A yield of nought is one: the header may have been up.
    expect(cloud.numbers.wetYield![3]).toBe(0);
    expect(cloud.numbers.wetYield![4]).toBeNaN();
  });

  it.each([
    "Längengrad;Breitengrad;Zeit (s);Geschwindigkeit (m/s);Arbeitsbreite (m);Durchfluss (kg/s);Feuchte (%)",
    "longitude;latitude;heure;vitesse (m/s);largeur de coupe (m);débit (kg/s);humidité (%)",
    "longitud;latitud;hora;velocidad (m/s);ancho de corte (m);flujo (kg/s);humedad (%)",
  ])("is read with the words of %s, quoted and with decimal commas", async (header) => {
    const { cloud, findings } = await read(
      `${header}\n"-98,4000000";"47,2000000";"5";"1,70";"9,0";"4,25";"13,5"\n`,
    );
    const { numbers } = cloud;
    expect(
      [numbers.x, numbers.y, numbers.time, numbers.speed, numbers.swath, numbers.flow].map((all) => all?.[0]),
    ).toEqual([-98.4, 47.2, 5, 1.7, 9, 4.25]);
    expect(numbers.moisture![0]).toBe(13.5);
    expect(findings).toEqual([]);
  });

  it("says which cells are no numbers", async () => {
    const { findings } = await read("x,y,yield (bu/ac)\n0,0,fifty\n1,0,50\n2,0,fifty\n");
    expect(findings).toMatchObject([{ code: "point-unread", row: 2, value: "fifty" }]);
  });

  it("has a place of nought and nought as none in degrees, where no field is, but not in metres", async () => {
    const rows = "47.2,-98.4,60\n0,0,61\n47.3,0,62\n";
    const inDegrees = await read(`latitude,longitude,yield (bu/ac)\n${rows}`);
    expect([inDegrees.withoutPlace, inDegrees.cloud.count]).toEqual([1, 2]);
    const inMetres = await read("x (m),y (m),yield (bu/ac)\n5,6,60\n0,0,61\n");
    expect([inMetres.withoutPlace, inMetres.cloud.count]).toEqual([0, 2]);
  });

  it("counts rows without a place", async () => {
    const { withoutPlace, rowsRead } = await read(
      "latitude,longitude,yield (bu/ac)\n47.2,-98.4,50\n,,51\n****,-98.4,52\n",
    );
    expect([withoutPlace, rowsRead]).toEqual([2, 3]);
  });

  it.each([
    ["Obj__Id,Y,X,Yld_Mass_D(lb/ac),Sp(mph)", "x"],
    ["Northing,Easting,Dry Yield (bu/ac),Ground Speed (mph)", "dryYield"],
    ["lat,lon,Mass Flow (lb/s),Cycle,Swath Width (ft)", "flow"],
    ["Lat,Long,Applied Rate (seeds/ac),Control Rate (seeds/ac),Product", "rate"],
  ] as const)("understands %s", async (header, field) => {
    const cells = header.split(",").map((_, c) => String(c + 1));
    const { cloud } = await read(`${header}\n${cells.join(",")}\n${cells.join(",")}\n`);
    expect(cloud.numbers[field]).not.toBeNull();
  });

  it("takes a person's word for what a header means", async () => {
    const text = "x,y,Rt_Apd_Ct\n0,0,1.2\n10,0,1.2\n";
    const { cloud } = await read(text, "a.csv", { columns: { Rt_Apd_Ct: "rate (million seeds/ac)" } });
    expect(cloud.numbers.rate![0]).toBeCloseTo(1.2e6 / acre, 6);
  });

  it("asks for the unit of a number that may be two things, with what to write", async () => {
    const reading = read("x,y,seed rate\n0,0,130\n10,0,131\n");
    await expect(reading).rejects.toMatchObject({ code: "unit-unclear" });
    // 130 of wheat are hardly seeds/ft² or seeds/ac: what the crop is sown at comes first.
    await expect(reading).rejects.toThrow('--column "seed rate=rate (seeds/m2)"');
  });
});

describe("places", () => {
  it("are metres from the middle, east and north", async () => {
    const reading = await read(
      "latitude,longitude,yield (bu/ac)\n44.9999,-99,50\n45,-99,50\n45.0001,-98.9999,50\n",
    );
    placeAll([reading]);
    const { x, y } = reading.cloud.numbers;
    // A degree at 45°: 111,132 m north and 78,847 m east.
    expect(x![2]).toBeCloseTo(7.8847, 3);
    expect(y![2]).toBeCloseTo(11.1132, 3);
    expect([x![1], y![1]]).toEqual([0, 0]);
  });
});
