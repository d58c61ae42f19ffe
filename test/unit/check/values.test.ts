import { describe, expect, it } from "vitest";
import { checkTrial } from "../../../src/check/index.ts";
import { crops, type CropName } from "../../../src/vocabulary/crops.ts";
import { defaultSettings, defaultUnits } from "../../../src/vocabulary/settings.ts";
import type { Strip } from "../../../src/vocabulary/trial.ts";
import { fromBushelsPerAcre, fromPerAcre } from "../../../src/numbers/units.ts";
import { makeBlocks, makeStrip, makeTrial, soundOrders } from "./make-strips.ts";

const checked = (strips: Strip[], crop: CropName = "wheat") =>
  checkTrial(makeTrial(strips), { ...defaultSettings, crop }, defaultUnits);
/** Codes of what is said of one strip alone among sound ones. */
const codesOf = (differing: Partial<Strip>, crop: CropName = "wheat"): string[] => {
  const place = { file: "odd.csv", row: 7 };
  return checked([...makeBlocks(soundOrders), makeStrip({ ...differing, place })], crop)
    .findings.filter((finding) => finding.file === "odd.csv" && finding.row === 7)
    .map((finding) => `${finding.severity} ${finding.code}`);
};

describe("impossible values", () => {
  it("leave the strip out where nothing is left without them, and count it", () => {
    const strips = makeBlocks(soundOrders);
    const trial = checked([...strips, makeStrip({ yieldKgPerHa: -4 }), makeStrip({ rateSeedsPerM2: 1.2 })]);
    expect(trial.strips).toEqual(strips);
    expect(trial).toMatchObject({ rowsRead: 17, rowsLeftOut: 2 });
    expect(trial.environments.map((environment) => environment.strips)).toEqual([15]);
    expect(
      trial.findings.filter((finding) => finding.severity === "stops").map((finding) => finding.code),
    ).toEqual(["row-impossible-rate", "row-impossible-yield"]);
  });

  it("leave only the value out where the yield still counts", () => {
    const trial = checked([
      ...makeBlocks(soundOrders),
      makeStrip({ groundCoverPct: 120, headsPerM2: -1, proteinPct: 14 }),
    ]);
    expect(trial.rowsLeftOut).toBe(0);
    expect(trial.strips.find(({ proteinPct }) => proteinPct === 14)).toMatchObject({
      groundCoverPct: null,
      headsPerM2: null,
    });
    expect(codesOf({ groundCoverPct: 120 })).toEqual(["stops value-impossible-ground_cover"]);
  });

  it("leave a strip out once, whatever else is wrong with it", () => {
    const trial = checked([...makeBlocks(soundOrders), makeStrip({ yieldKgPerHa: -4, groundCoverPct: 120 })]);
    expect(trial).toMatchObject({ rowsLeftOut: 1 });
    expect(trial.strips).toHaveLength(15);
  });

  it("say what was found, the limits and what to do, in the person's units", () => {
    const { findings } = checked([makeStrip({ yieldKgPerHa: fromBushelsPerAcre(600, 60) })]);
    expect(findings[0]).toMatchObject({ severity: "stops", column: "yield", file: "strips.csv", row: 2 });
    expect(findings[0]!.message).toMatch(
      /^A yield of 600\.0 bu\/ac is impossible \(possible is 0\.0 bu\/ac to 297\.4 bu\/ac\)\. The strip is left out\./,
    );
  });
});

describe("a rate too small for its unit", () => {
  it("is not told as none", () => {
    const { findings } = checked([makeStrip({ rateSeedsPerM2: fromPerAcre(0.8) })]);
    expect(findings[0]!.message).toMatch(/^A rate of under 0\.01 million seeds\/ac is impossible/);
  });
});

describe("doubtful values", () => {
  it("stay in", () => {
    const odd = makeStrip({ yieldKgPerHa: 15_000 });
    const trial = checked([...makeBlocks(soundOrders), odd]);
    expect(trial.strips).toContainEqual(odd);
    expect(codesOf({ yieldKgPerHa: 15_000 })).toEqual(["doubt doubtful-yield"]);
  });

  it.each([
    [{ yieldKgPerHa: 0 }, "yield-of-nought"],
    [{ moisturePct: 40 }, "doubtful-moisture"],
    [{ rateSeedsPerM2: fromPerAcre(120_000) }, "doubtful-rate"],
    [{ standPlantsPerM2: 360 }, "stand-above-seeds"],
    [{ standPlantsPerM2: 20 }, "stand-far-below-seeds"],
    [{ seeded: "2022-10-01" }, "seeded-in-other-year"],
    [{ seedsPerKg: 4_000 }, "doubtful-seeds_per_lb"],
    [{ proteinPct: 40 }, "doubtful-protein"],
  ] satisfies [Partial<Strip>, string][])("%o gives %s", (differing, code) => {
    expect(codesOf(differing)).toContain(`doubt ${code}`);
  });

  it("are none for what the trade knows: trial yields, seed counts and sowings of autumn", () => {
    // Seeds/lb of spring wheat over four trial years, SDSU Extension 2014; durum, NDSU: 9,000 to 12,000 (FROM MEMORY).
    for (const seedsPerLb of [12_812, 26_374])
      expect(codesOf({ seedsPerKg: seedsPerLb / 0.45359237 })).toEqual([]);
    // Kansas Agric. Exp. Stn. Research Reports 9(4) report 20: 205,795 to 658,544 plants/ac from 0.2 to 1.0 M seeds/ac, 49.3 to 58.2 bu/ac.
    expect(
      codesOf({
        rateSeedsPerM2: fromPerAcre(1_000_000),
        standPlantsPerM2: fromPerAcre(658_544),
        yieldKgPerHa: fromBushelsPerAcre(58.2, 60),
        seeded: "2023-10-05",
      }),
    ).toEqual([]);
  });

  it("depend on the crop: 200 bu/ac is usual for corn and not for wheat", () => {
    const corn = { rateSeedsPerM2: 8, yieldKgPerHa: fromBushelsPerAcre(230, 56) };
    expect(codesOf(corn, "corn")).toEqual([]);
    expect(codesOf({ ...corn, rateSeedsPerM2: 300 }, "wheat")).toEqual(["doubt doubtful-yield"]);
  });

  it("leave the usual rate of every crop alone", () => {
    for (const crop of Object.keys(crops) as CropName[]) {
      const codes = codesOf({ rateSeedsPerM2: crops[crop].usualSeedsPerM2, yieldKgPerHa: 2_000 }, crop);
      expect(codes, crop).toEqual([]);
    }
  });

  it("are counted together when a whole column is off", () => {
    const strips = Array.from({ length: 500 }, (_, i) =>
      makeStrip({ yieldKgPerHa: 15_000 + i, place: { file: "strips.csv", row: i + 2 } }),
    );
    const doubts = checked(strips).findings.filter((finding) => finding.code === "doubtful-yield");
    expect(doubts).toHaveLength(21);
    expect(
      doubts.map((doubt) => doubt.message).filter((message) => message.startsWith("480 more")),
    ).toHaveLength(1);
  });
});

describe("strips read twice", () => {
  it("are left out where the position proves it, across files too: the first file by its name keeps them", () => {
    const strips = makeBlocks(soundOrders);
    const again = strips.map((strip) => ({ ...strip, place: { file: "copy.csv", row: strip.place.row } }));
    const trial = checked([...strips, ...again]);
    expect(trial.strips).toEqual(again);
    expect(trial.rowsLeftOut).toBe(15);
    const twice = trial.findings.filter((finding) => finding.code === "row-twice");
    expect(twice).toHaveLength(15);
    expect(twice[0]!.message).toContain("row 2 of copy.csv");
  });

  it("are found whatever lies between them", () => {
    const spot = { position: 4, rateSeedsPerM2: 280 };
    const strips = [4000, 4100, 4000].map((yieldKgPerHa, i) =>
      makeStrip({ ...spot, yieldKgPerHa, place: { file: "strips.csv", row: i + 2 } }),
    );
    const { findings } = checked(strips);
    expect(findings.filter(({ code }) => code === "row-twice").map(({ row }) => row)).toEqual([4]);
  });

  it("stay in with a doubt where no position tells", () => {
    const strips = makeBlocks(soundOrders, { position: null });
    const trial = checked([...strips, { ...strips[3]!, place: { file: "strips.csv", row: 99 } }]);
    expect(trial.rowsLeftOut).toBe(0);
    expect(
      trial.findings.filter((finding) => finding.code === "perhaps-twice").map(({ row }) => row),
    ).toEqual([99]);
  });

  it("are not strips that share a position and differ otherwise: those are told", () => {
    const strips = makeBlocks(soundOrders);
    const trial = checked([
      ...strips,
      { ...strips[3]!, yieldKgPerHa: 1234, place: { file: "strips.csv", row: 99 } },
    ]);
    expect(trial.rowsLeftOut).toBe(0);
    expect(trial.findings.map(({ code }) => code)).toContain("position-taken");
  });

  it("are none in a sound trial", () => {
    const codes = checked(makeBlocks(soundOrders)).findings.map(({ code }) => code);
    for (const code of ["row-twice", "perhaps-twice", "position-taken"]) expect(codes).not.toContain(code);
  });
});

describe("names", () => {
  it("that differ in case, space or punctuation alone are pointed at", () => {
    const { findings } = checked([
      ...makeBlocks(soundOrders),
      ...makeBlocks(soundOrders, { variety: "ostrindel " }),
      ...makeBlocks(soundOrders, { field: "north-", season: 2025 }),
    ]);
    expect(findings.filter(({ code }) => code.startsWith("alike-")).map(({ code }) => code)).toEqual([
      "alike-field-names",
      "alike-variety-names",
    ]);
  });

  it("of lots and strips are held against one another", () => {
    const lot = {
      rateNowSeedsPerM2: null,
      lowestRateSeedsPerM2: null,
      recommendedSeedsPerM2: null,
      seedsPerKg: null,
      germination: 1,
      purity: 1,
      pricePerKg: null,
      pricePerThousandSeeds: null,
      soldIn: null,
    };
    const lots = [{ ...lot, variety: "Quavenby", treated: false, areaHa: null }];
    const { findings } = checkTrial(
      makeTrial(makeBlocks(soundOrders)),
      { ...defaultSettings, lots },
      defaultUnits,
    );
    expect(findings.map(({ code }) => code)).toEqual(
      expect.arrayContaining(["lot-without-strips", "variety-without-lot"]),
    );
  });
});

describe("rows left out", () => {
  it("are as many as the findings that name one", () => {
    const { rowsLeftOut, findings } = checked([
      ...makeBlocks(soundOrders),
      ...makeBlocks(soundOrders),
      makeStrip({ yieldKgPerHa: -4, season: 3000, groundCoverPct: 200 }),
      makeStrip({ moisturePct: 99 }),
      makeStrip({ standPlantsPerM2: -1 }),
    ]);
    expect(rowsLeftOut).toBe(17);
    expect(findings.filter(({ code }) => code.startsWith("row-"))).toHaveLength(17);
  });
});
