import { describe, expect, it } from "vitest";
import type { CellsOfVariety } from "../../../../src/model/beliefs/rate-evidence.ts";
import {
  farmEvidence,
  growingPlaces,
  marksOf,
  toRateEvidence,
  type Place,
} from "../../../../src/model/region/farm-evidence.ts";
import { makeTrial } from "../../../make-trial.ts";

const strip = (field: string, season: number, more: object = {}) => ({
  field,
  season,
  rateSeedsPerM2: 300,
  yieldKgPerHa: 4000,
  ...more,
});

describe("where strips were grown", () => {
  it("is the field, with the ground that others know by name and the mean of the water noted", () => {
    const places = growingPlaces(
      makeTrial([
        strip("Hill", 2024, { farm: "Home", ground: "sand", waterMm: 100 }),
        strip("Hill", 2024, { farm: "Home", ground: "sand", waterMm: 200 }),
        strip("Hill", 2024, { farm: "Home", ground: "sand", waterMm: null }),
        strip("Vale", 2024, { farm: "Home" }),
      ]),
    );
    const [hill, vale] = ["2024 Home, Hill", "2024 Home, Vale"].map((id) => places.get(id)!);
    expect(hill).toEqual({ field: '["Home","Hill"]', groundKind: "sandy", waterMm: 150 });
    expect(vale).toEqual({ field: '["Home","Vale"]' });
    expect(places.size).toBe(2);
  });

  it("has no ground where strips differ in it, or where nobody else knows the word", () => {
    const kindsOf = (...grounds: (string | undefined)[]) =>
      growingPlaces(
        makeTrial(grounds.map((ground) => strip("Hill", 2024, ground === undefined ? {} : { ground }))),
      ).get("2024 Hill")!.groundKind;
    expect(kindsOf("sand", "sand")).toBe("sandy");
    expect(kindsOf("sand", "clay")).toBeUndefined();
    expect(kindsOf("sand", undefined)).toBeUndefined();
    expect(kindsOf("behind the barn")).toBeUndefined();
    expect("groundKind" in growingPlaces(makeTrial([strip("Hill", 2024)])).get("2024 Hill")!).toBe(false);
  });
});

/** Two blocks of three rates, where yields are the mean of 4000 and more or less by these shares. */
const cellsOf = (
  some: Partial<CellsOfVariety & Place>,
  shares: readonly number[],
  level = 4000,
): CellsOfVariety & Place => ({
  variety: "Alder",
  environment: "2024 Hill",
  season: 2024,
  withinCellSs: 0,
  field: "Hill",
  cells: ["1", "2"].flatMap((block) =>
    [200, 300, 400].map((rateSeedsPerM2, k) => ({
      block,
      rateSeedsPerM2,
      strips: 1,
      meanYieldKgPerHa: level * (1 + shares[k]!),
    })),
  ),
  ...some,
});
const rise = [-0.1, 0.03, 0.07];

describe("what a farm shares", () => {
  it("are the sums of its strips, without names or a level of yield", () => {
    const { sums } = farmEvidence([cellsOf({ groundKind: "sandy", waterMm: 260 }, rise)]);
    expect(sums).toHaveLength(1);
    // Two blocks of three: on the diagonal 2 − 2/3, beside it −2/3; 260 mm are ten inches and a bit.
    const [on, off] = [1.333333, -0.6666667];
    expect(sums[0]).toEqual({
      variety: "Alder",
      season: 2024,
      field: 1,
      strips: 6,
      ratesSeedsPerM2: [200, 300, 400],
      counts: [2, 2, 2],
      weight: [on, off, on, off, off, on],
      cross: [-0.2, 0.06, 0.14],
      // 2 (0.01 + 0.0009 + 0.0049).
      total: 0.0316,
      degrees: 4,
      ground: "sandy",
      waterMm: 254,
    });
    expect(farmEvidence([cellsOf({ groundKind: "sandy", waterMm: 260 }, rise, 7000)])).toEqual({ sums });
    const [bare] = farmEvidence([cellsOf({}, rise)]).sums;
    expect("ground" in bare! || "waterMm" in bare!).toBe(false);
  });

  it("leaves out a variety with one rate in a field", () => {
    const one = cellsOf({}, rise);
    expect(farmEvidence([{ ...one, cells: one.cells.slice(0, 1) }])).toEqual({ sums: [] });
  });

  it("numbers fields by what they gave, and is the same in whatever order and under whatever names", () => {
    const strips = (names: readonly string[], seasons = [2024, 2025]) =>
      seasons.flatMap((season) =>
        [0.5, 1, 2].map((times, f) =>
          cellsOf(
            { field: names[f]!, environment: `${season} ${names[f]}`, season },
            rise.map((one) => times * one),
          ),
        ),
      );
    const farm = farmEvidence(strips(["Hill", "Vale", "Flat"]));
    expect(farm.sums.map(({ season, field }) => [season, field])).toEqual([
      [2024, 1],
      [2024, 2],
      [2024, 3],
      [2025, 1],
      [2025, 2],
      [2025, 3],
    ]);
    // A field keeps its number over the seasons.
    const numbers = [2024, 2025].map((season) =>
      farm.sums.filter((one) => one.season === season).map(({ total }) => total),
    );
    expect(numbers[0]).toEqual(numbers[1]);
    expect(farmEvidence(strips(["a", "b", "c"]))).toEqual(farm);
    expect(farmEvidence(strips(["z", "y", "x"]).reverse())).toEqual(farm);
    const [first, ...others] = strips(["Hill", "Vale", "Flat"]);
    expect(farmEvidence([...others, first!])).toEqual(farm);
  });

  it("numbers fields that gave the same at first by what they gave then", () => {
    const inSeason = (field: string, season: number, times: number) =>
      cellsOf(
        { field, environment: `${season} ${field}`, season },
        rise.map((one) => times * one),
      );
    const strips = [
      inSeason("Hill", 2024, 1),
      inSeason("Vale", 2024, 1),
      inSeason("Flat", 2024, 1),
      inSeason("Hill", 2025, 1),
      inSeason("Vale", 2025, 0.5),
      inSeason("Flat", 2025, 2),
    ];
    const numbered = farmEvidence(strips);
    // As 2025 alone numbers them.
    const alone = farmEvidence(strips.slice(3)).sums.map(({ total }) => total);
    expect(numbered.sums.slice(3).map(({ total }) => total)).toEqual(alone);
    expect(numbered.sums.map(({ field }) => field)).toEqual([1, 2, 3, 1, 2, 3]);
    for (const order of [
      [5, 4, 3, 2, 1, 0],
      [1, 0, 2, 4, 3, 5],
      [2, 1, 0, 3, 5, 4],
    ])
      expect(farmEvidence(order.map((i) => strips[i]!))).toEqual(numbered);
  });

  it("numbers fields by what they gave first, whatever came after", () => {
    const totalsOf = (field: number, sums: ReturnType<typeof farmEvidence>["sums"]) =>
      sums.filter((one) => one.field === field).map(({ total }) => total);
    const strips = (["Hill", "Vale"] as const).flatMap((field, f) =>
      [2024, 2025].map((season) =>
        cellsOf(
          { field, environment: `${season} ${field}`, season },
          rise.map((one) => ((f === 0) === (season === 2024) ? 1 : 2) * one),
        ),
      ),
    );
    const first = farmEvidence(strips.filter(({ season }) => season === 2024)).sums;
    const whole = farmEvidence(strips).sums;
    for (const field of [1, 2]) expect(totalsOf(field, whole)[0]).toBe(totalsOf(field, first)[0]);
  });

  it("is in the order of varieties, then seasons", () => {
    const farm = farmEvidence([
      cellsOf({ variety: "Birch", season: 2023, environment: "2023 Hill" }, rise),
      cellsOf({ season: 2025, environment: "2025 Hill" }, rise),
      cellsOf({}, rise),
    ]);
    expect(farm.sums.map(({ variety, season }) => `${variety} ${season}`)).toEqual([
      "Alder 2024",
      "Alder 2025",
      "Birch 2023",
    ]);
  });
});

describe("shared sums, once they are read", () => {
  const twoSeasons = () =>
    farmEvidence([cellsOf({}, rise), cellsOf({ season: 2025, environment: "2025 Hill" }, rise)]).sums;

  it("are what curves are weighed by", () => {
    const evidence = toRateEvidence(twoSeasons()[1]!);
    const [on, off] = [1.333333, -0.6666667];
    expect([...evidence.weight]).toEqual([on, off, off, off, on, off, off, off, on]);
    expect([[...evidence.rates], [...evidence.counts], [...evidence.cross]]).toEqual([
      [200, 300, 400],
      [2, 2, 2],
      [-0.2, 0.06, 0.14],
    ]);
    expect(evidence).toMatchObject({
      variety: "Alder",
      environment: "2025 1",
      field: "1",
      season: 2025,
      meanYieldKgPerHa: 1,
      strips: 6,
      total: 0.0316,
      degrees: 4,
      across: null,
    });
  });

  it("have a triangle of weights written out on both sides", () => {
    const uneven = toRateEvidence({ ...twoSeasons()[0]!, weight: [1, 2, 3, 4, 5, 6] });
    expect([...uneven.weight]).toEqual([1, 2, 4, 2, 3, 5, 4, 5, 6]);
  });

  it("are known again by marks of 48 bits, whatever was noted of place and water since", () => {
    const sums = twoSeasons();
    const marks = marksOf({ sums });
    expect(marks).toHaveLength(2);
    marks.forEach((mark) => expect(mark).toMatch(/^[0-9a-f]{12}$/));
    expect(new Set(marks).size).toBe(2);
    const noted = sums.map((one) => ({ ...one, field: 9, ground: "heavy" as const, waterMm: 127 }));
    expect(marksOf({ sums: noted })).toEqual(marks);
    expect(marksOf({ sums: [{ ...sums[0]!, total: 0.0317 }] })[0]).not.toBe(marks[0]);
    // Three numbers of 16 bits each, spread over all of them: of 500 marks no two are alike, and every digit is used everywhere.
    const many = marksOf({ sums: Array.from({ length: 500 }, (_, i) => ({ ...sums[0]!, total: i })) });
    expect(new Set(many).size).toBe(500);
    for (let place = 0; place < 12; place++) expect(new Set(many.map((mark) => mark[place])).size).toBe(16);
  });
});
