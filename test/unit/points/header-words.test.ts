/** Headers as monitors and farm programs shorten, join and cut them; from memory of common exports of the trade. */
import { describe, expect, it } from "vitest";
import { meaningsByWords } from "../../../src/points/header-words.ts";
import { placeAll, readPoints } from "../../../src/points/read-points.ts";
import { geoJson } from "./written-points.ts";

const file = (text: string) => ({ name: "points.csv", bytes: new TextEncoder().encode(text) });
const read = (text: string) => readPoints([file(text)], { crop: "wheat", system: "us" });
const meaningOf = (header: string): string | undefined => meaningsByWords([header], () => null).get(header);

describe("headers by their words", () => {
  it.each([
    ["Yld Vol(Wet)(bu/ac)", "yield (bu/ac)"],
    ["Yld Mass(Dry)(lb/ac)", "dry_yield (lb/ac)"],
    ["Yld_Vol_Dr", "dry_yield"],
    ["Estimated Volume (Dry) (bu/ac)", "dry_yield (bu/ac)"],
    ["yield_buac", "yield (bu/ac)"],
    ["Crop Flow(M)(lb/s)", "flow (lb/s)"],
    ["AppliedRate", "rate"],
    ["Applied Population (ksds/ac)", "rate (ksds/ac)"],
    ["Rt_Apd_Ct_", "rate"],
    ["Target Rate", "target"],
    ["Swth_Wdth_ft", "swath (ft)"],
    ["UTM_E", "x"],
    ["y utm", "y"],
    ["Hochwert", "y"],
    ["Längengrad", "longitude"],
    ["Moisture(%)", "moisture (%)"],
  ])("takes %s as %s", (header, meaning) => {
    expect(meaningOf(header)).toBe(meaning);
  });

  it.each(["Obj. Id", "Yield Std Dev", "Elevation(ft)", "Yield offset", "Sensor X7", "Field Name"])(
    "takes %s as nothing",
    (header) => {
      expect(meaningOf(header)).toBeUndefined();
    },
  );

  it("takes the first of two headers for a column, and none for a column that is known already", () => {
    const known = (header: string) => (header === "rate" ? ("rate" as const) : null);
    const found = meaningsByWords(["rate", "Applied rate 2", "Yld Vol", "Yld Mass"], known);
    expect([...found]).toEqual([["Yld Vol", "yield"]]);
  });

  it("says what it took", async () => {
    const { cloud, findings } = await read(
      "UTM_E,UTM_N,Yld Vol(Dry)(bu/ac)\n500000.5,4982950.5,60\n500010.5,4982950.5,61\n",
    );
    expect(cloud.numbers.dryYield![0]! / cloud.numbers.dryYield![1]!).toBeCloseTo(60 / 61, 10);
    expect(findings).toMatchObject([{ code: "columns-by-words", file: "points.csv" }]);
    expect(findings[0]!.message).toContain("Yld Vol(Dry)(bu/ac) as dry_yield (bu/ac)");
  });
});

describe("places by their size", () => {
  it("takes x and y that are degrees as degrees, and shapes in metres as metres", async () => {
    const rows = [0, 1, 2, 3, 4].map((i) => `${-98.4 - 0.0001 * i},47.2001,60`);
    const degrees = await read(`X,Y,yield (bu/ac)\n${rows.join("\n")}\n`);
    expect(degrees.inDegrees).toBe(true);
    expect(degrees.findings.map(({ code }) => code)).toContain("places-taken");
    placeAll([degrees]);
    // A ten-thousandth of a degree of longitude at 47.2° N: 111,320 m · cos 47.2° / 10,000, to a hundredth.
    const { x } = degrees.cloud.numbers;
    expect((x![0]! - x![1]!) / 7.5636).toBeCloseTo(1, 2);
    const shapes = [0, 9].map((i) => ({
      longitude: 500_000 + i,
      latitude: 4_982_950,
      properties: { "yield (bu/ac)": 60 },
    }));
    const metres = await readPoints(
      [{ name: "points.geojson", bytes: new TextEncoder().encode(geoJson(shapes)) }],
      { crop: "wheat", system: "us" },
    );
    expect(metres.inDegrees).toBe(false);
    placeAll([metres]);
    expect(metres.cloud.numbers.x![1]! - metres.cloud.numbers.x![0]!).toBeCloseTo(9, 6);
  });

  it("says that one file has degrees and the next one metres", async () => {
    const [a, b] = [
      "latitude,longitude,yield (bu/ac)\n47.2,-98.4,60\n",
      "x (m),y (m),yield (bu/ac)\n5,9,60\n",
    ];
    await expect(readPoints([file(a), file(b)], { crop: "wheat", system: "us" })).rejects.toMatchObject({
      code: "places-unlike",
    });
  });
});

describe("numbers with commas", () => {
  it("has 140,224 as thousands where other numbers have decimal points, and as decimals where none has", async () => {
    const [point, comma] = await Promise.all([
      read('x (m),y (m),rate (seeds/ac)\n1.5,2.5,"140,224"\n7.5,2.5,"140,224"\n'),
      read("x (m);y (m);yield (t/ha)\n1,5;2,5;4,224\n7,5;2,5;4,224\n"),
    ]);
    expect(point.cloud.numbers.rate![0]! * 4046.8564224).toBeCloseTo(140_224, 3);
    expect(comma.cloud.numbers.wetYield![0]).toBeCloseTo(4_224, 6);
  });
});
