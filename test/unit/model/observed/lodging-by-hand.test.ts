/** What lodging scores show and leave to believe, in trials small enough to count. */
import { describe, expect, it } from "vitest";
import { modelLodging } from "../../../../src/model/observed/lodging.ts";
import { believeLodging } from "../../../../src/model/observed/lodging-beliefs.ts";
import { rateByOrder } from "../../../../src/model/observed/lodging-order.ts";
import { tabulateLodging } from "../../../../src/model/observed/lodging-cells.ts";
import { regressLodging } from "../../../../src/model/observed/lodging-regression.ts";
import { modelObservations } from "../../../../src/model/observed/observations.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";
import type { LodgingScale, Strip } from "../../../../src/vocabulary/trial.ts";
import { makeStrip } from "../../check/make-strips.ts";

const priors = defaultSettings.priors.lodging;
type Row = [season: number, field: string, variety: string, rate: number, share: number];
const scored = (rows: readonly Row[], scale: LodgingScale = "percent"): Strip[] =>
  rows.map(([season, field, variety, rateSeedsPerM2, share]) =>
    makeStrip({ season, field, variety, rateSeedsPerM2, lodging: { scale, score: 100 * share, share } }),
  );
const model = (rows: readonly Row[]) => modelLodging(scored(rows), priors)[0]!;
/** Four strips of one field and season at two rates, with these shares. */
const four = (season: number, field: string, shares: readonly number[], variety = "Alder"): Row[] =>
  shares.map((share, i): Row => [season, field, variety, i < 2 ? 200 : 400, share]);

describe("a model of lodging", () => {
  const rows: Row[] = [
    ...four(2021, "North", [0.1, 0.3, 0.5, 0.7]),
    ...four(2021, "South", [0, 0, 0, 0]),
    ...four(2022, "North", [0.2, 0, 0.4, 0.6]),
    ...four(2023, "North", [0, 0, 0, 0]),
    [2022, "North", "Birch", 300, 0.9],
  ];

  it("has the chance that anything lodges, by the fields of a season, over the seasons", () => {
    // Half of the fields of 2021, all of 2022, none of 2023: 1.5 of three seasons, with 0.75 of one beforehand: 2.25 ÷ 4.
    expect(model(rows).varieties.map(({ chanceOfAny }) => chanceOfAny)).toEqual([0.5625, 0.5625]);
    // Both fields of 2021 and none in 2022: (1 + 0.75) ÷ 3.
    const wetAndDry = [
      ...rows.slice(0, 4),
      ...four(2021, "South", [0.1, 0.1, 0.2, 0.2]),
      ...four(2022, "North", [0, 0, 0, 0]),
    ];
    expect(model(wetAndDry).varieties[0]!.chanceOfAny).toBeCloseTo(1.75 / 3, 12);
    // One season with lodging: 1.75 ÷ 2.
    expect(model([...rows.slice(0, 4), ...rows.slice(0, 4)]).varieties[0]!.chanceOfAny).toBe(0.875);
  });

  it("has the strips, rates and seasons of each variety", () => {
    const { scale, strips, environments, varieties, priors: used } = model(rows);
    expect({ scale, strips, environments, used }).toEqual({
      scale: "percent",
      strips: 17,
      environments: 4,
      used: priors,
    });
    const [alder, birch] = varieties;
    // The rates' mean is (16 × 300 + 300) ÷ 17.
    expect(alder).toMatchObject({
      variety: "Alder",
      scale: "percent",
      strips: 16,
      testedSeedsPerM2: [200, 400],
      centreSeedsPerM2: 300,
      reason: "",
    });
    expect(birch).toMatchObject({ variety: "Birch", strips: 1, testedSeedsPerM2: [300, 300] });
    const rates = (first: number, second: number) => [
      { rateSeedsPerM2: 200, strips: 2, share: expect.closeTo(first, 12) as number },
      { rateSeedsPerM2: 400, strips: 2, share: expect.closeTo(second, 12) as number },
    ];
    expect(alder!.seen).toEqual([
      { environment: "2021 North", season: 2021, rates: rates(0.2, 0.6) },
      { environment: "2021 South", season: 2021, rates: rates(0, 0) },
      { environment: "2022 North", season: 2022, rates: rates(0.1, 0.5) },
      { environment: "2023 North", season: 2023, rates: rates(0, 0) },
    ]);
    expect(birch!.seen).toEqual([
      { environment: "2022 North", season: 2022, rates: [{ rateSeedsPerM2: 300, strips: 1, share: 0.9 }] },
    ]);
    for (const { beliefs } of varieties)
      expect(beliefs.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 9);
  });

  it("counts rates from their mean over the strips", () => {
    // (6 × 200 + 2 × 400) ÷ 8.
    const uneven = [
      ...four(2021, "North", [0.1, 0.3, 0.5, 0.7]),
      ...[0.1, 0.2, 0.2, 0.1].map((share): Row => [2021, "North", "Alder", 200, share]),
    ];
    expect(model(uneven).varieties[0]!.centreSeedsPerM2).toBe(250);
  });

  it("believes what the fields with lodging say, in units of two standard deviations of the rate", () => {
    // At 200 and 400 as many strips each: 300 and 2 × 100.
    const wet = rows.filter(
      ([season, field, variety]) => season < 2023 && field === "North" && variety === "Alder",
    );
    const believed = (of: readonly Row[], dispersion: number | null) =>
      believeLodging(tabulateLodging(scored(of))[0]!, 300, 200, dispersion, priors)[0];
    const told = model([...four(2019, "North", [0, 0, 0, 0]), ...wet]);
    expect(told.varieties[0]!.beliefs.length).toBeGreaterThan(3);
    expect(told.varieties[0]!.beliefs).toEqual(believed(wet, told.regression!.dispersion));
    // Where low and high rates are parted there is no regression, and the dispersion comes from the beliefs' own fit.
    const parted = [...four(2021, "North", [0, 0, 1, 1]), ...four(2022, "North", [0, 0, 0.9, 1])];
    const withoutRegression = model([...four(2019, "North", [0, 0, 0, 0]), ...parted]);
    expect(withoutRegression.regression).toBeNull();
    expect(withoutRegression.varieties[0]!.beliefs).toEqual(believed(parted, null));
  });

  it("leaves fields in which nothing lodged out of what is believed of the others", () => {
    const wet = rows.filter(
      ([season, field, variety]) => season < 2023 && field === "North" && variety === "Alder",
    );
    const levels = (of: readonly Row[]) => model(of).varieties[0]!.beliefs.map(({ level }) => level);
    const [alone, withDry] = [levels(wet), levels([...wet, ...four(2024, "North", [0, 0, 0, 0])])];
    expect(withDry).toHaveLength(alone.length);
    withDry.forEach((level, i) => expect(level).toBeCloseTo(alone[i]!, 9));
    // What lodged is counted in spite of the numbers that the fields had among all.
    const dryFirst = [...four(2019, "North", [0, 0, 0, 0]), ...wet];
    levels(dryFirst).forEach((level, i) => expect(level).toBeCloseTo(alone[i]!, 9));
  });

  it.each([
    ["never-lodged", [...four(2021, "North", [0, 0, 0, 0]), ...four(2022, "North", [0, 0, 0, 0])]],
    [
      "too-few-strips",
      [...four(2021, "North", [0.1, 0.3, 0.5, 0.7]), ...four(2022, "North", [0.1, 0.3, 0.5])],
    ],
    [
      "too-few-strips",
      [
        ...four(2021, "North", [0.1, 0.3]),
        ...four(2022, "North", [0.1, 0.3]),
        ...four(2023, "North", [0.1, 0.3]),
        ...four(2024, "North", [0.1, 0.3]),
      ],
    ],
    ["", [...four(2021, "North", [0.1, 0.3, 0.5, 0.7]), ...four(2022, "North", [0, 0, 0, 0])]],
  ] as [string, Row[]][])("is %j", (reason, of) => {
    const { beliefs, reason: told, seen } = model(of).varieties[0]!;
    expect(told).toBe(reason);
    expect(beliefs.length > 0).toBe(reason === "");
    expect(seen.length).toBeGreaterThan(0);
  });
});

describe("a regression of lodging", () => {
  const regress = (rows: readonly Row[], centre = 300) =>
    regressLodging(tabulateLodging(scored(rows))[0]!, centre);
  // At 200 a mean of 0.2, at 400 of 0.6, in both fields: log odds of ln 0.25 and ln 1.5, 0.9 apart for a hundred seeds.
  const rows = [...four(2021, "North", [0.1, 0.3, 0.5, 0.7]), ...four(2022, "North", [0.3, 0.1, 0.7, 0.5])];
  const slope = (Math.log(1.5) - Math.log(0.25)) / 2;

  it("has the log odds at its centre and the rise for a hundred seeds, with their errors", () => {
    const {
      coefficients,
      dispersion,
      residualDf,
      byOrder,
      varietyByRate,
      withoutInformation,
      centreSeedsPerM2,
    } = regress(rows)!;
    // Eight strips less two environments, one variety and the rate... the first environment is part of the variety's level.
    expect(residualDf).toBe(8 - 2 - 1);
    // Each of four strips is 0.1 from 0.2 and from 0.6: 4 × 0.01 ÷ 0.16 + 4 × 0.01 ÷ 0.24 over five.
    expect(dispersion).toBeCloseTo((0.04 / 0.16 + 0.04 / 0.24) / 5, 6);
    const [alder, second, rate] = coefficients;
    expect(coefficients.map(({ name }) => name)).toEqual(["Alder", "2022 North", "rate"]);
    expect(alder!.estimate).toBeCloseTo((Math.log(1.5) + Math.log(0.25)) / 2, 6);
    expect(second!.estimate).toBeCloseTo(0, 6);
    expect(second!.p).toBeCloseTo(1, 5);
    expect(rate!.estimate).toBeCloseTo(slope, 6);
    // Weights of 0.16 and 0.24 a strip, four each: the slope between two log odds has 1 ÷ 0.64 + 1 ÷ 0.96 over 2².
    expect(rate!.standardError).toBeCloseTo(Math.sqrt((dispersion * (1 / 0.64 + 1 / 0.96)) / 4), 6);
    expect(rate!.t).toBeCloseTo(rate!.estimate / rate!.standardError, 6);
    // Student's t with 5 degrees of freedom has 0.0005 above 6.869.
    expect(rate!.p < 0.001).toBe(rate!.t > 6.869);
    // All scores at 400 are above those at 200: by order alone the rise has no end.
    expect(byOrder).toBeNull();
    expect({ varietyByRate, withoutInformation, centreSeedsPerM2 }).toEqual({
      varietyByRate: null,
      withoutInformation: [],
      centreSeedsPerM2: 300,
    });
    expect(regress(rows, 200)!.coefficients[0]!.estimate).toBeCloseTo(Math.log(0.25), 6);
  });

  it("tests whether varieties differ in their slopes", () => {
    const alike = [
      ...rows,
      ...rows.map(([season, field, , rate, share]): Row => [season, field, "Birch", rate, share]),
    ];
    const test = regress(alike)!.varietyByRate!;
    expect(test.f).toBeCloseTo(0, 6);
    expect(test.p).toBeCloseTo(1, 5);
    // Sixteen strips less two environments, two varieties and two slopes: the first environment is a variety's level.
    expect([test.df, test.residualDf]).toEqual([1, 16 - 2 - 2 - 1]);
    const unlike = [
      ...rows,
      ...rows.map(([season, field, , rate, share]): Row => [season, field, "Birch", 600 - rate, share]),
    ];
    expect(regress(unlike)!.varietyByRate!.f).toBeGreaterThan(10);
  });

  it("leaves out, and names, environments and varieties in which nothing or everything lodged", () => {
    const mixed = [
      ...four(2021, "North", [0.1, 0.5, 0.3, 0.7]),
      ...four(2022, "North", [0.3, 0.1, 0.7, 0.5]),
    ];
    const more: Row[] = [
      ...mixed,
      ...four(2020, "Dry", [0, 0, 0, 0]),
      ...four(2023, "Flat", [1, 1, 1, 1]),
      ...four(2021, "North", [0, 0, 0, 0], "Cedar"),
    ];
    const told = regress(more)!;
    expect(told.withoutInformation).toEqual(["2020 Dry", "2023 Flat", "Cedar"]);
    const plain = regress(mixed)!;
    expect(told.residualDf).toBe(plain.residualDf);
    expect(told.dispersion).toBeCloseTo(plain.dispersion, 9);
    told.coefficients.forEach((one, i) =>
      expect(one.estimate).toBeCloseTo(plain.coefficients[i]!.estimate, 9),
    );
    expect(told.byOrder!.estimate).toBeCloseTo(plain.byOrder!.estimate, 9);
    expect(told.byOrder).toEqual(rateByOrder(scored(mixed), (rate) => (rate - 300) / 100));
    const one = regress([...mixed, ...more.slice(8, 12), ...four(2021, "North", [0, 0, 0, 0], "Cedar")])!;
    expect(one.withoutInformation).toEqual(["2020 Dry", "Cedar"]);
    // One after another: without the variety that alone lodged in it, a field says nothing.
    const chained = [
      ...rows,
      ...four(2024, "East", [1, 1, 1, 1], "Dogwood"),
      ...four(2024, "East", [0, 0, 0, 0]),
    ];
    expect(regress(chained)!.withoutInformation).toEqual(["2024 East", "Dogwood"]);
  });

  it("names varieties in their order, whichever comes first in the fields", () => {
    const apart = [
      ...four(2021, "North", [0.1, 0.5, 0.3, 0.7], "Birch"),
      ...four(2022, "North", [0.3, 0.1, 0.7, 0.5], "Alder"),
      ...four(2022, "North", [0.2, 0.1, 0.8, 0.5], "Birch"),
    ];
    const { coefficients } = regress(apart)!;
    expect(coefficients.map(({ name }) => name)).toEqual(["Alder", "Birch", "2022 North", "rate"]);
    // In 2022 both lodged on 0.4 on average, at the same rates.
    expect(coefficients[0]!.estimate).toBeCloseTo(coefficients[1]!.estimate, 8);
  });

  it("is not told where rates or strips are too few, all fit exactly, or the rate parts them", () => {
    expect(regress(rows.filter(([, , , rate]) => rate === 200))).toBeNull();
    expect(regress(four(2021, "North", [0.1, 0.3, 0.5, 0.7]).filter((_, i) => i % 2 === 0))).toBeNull();
    expect(regress(four(2021, "North", [0.1, 0.3, 0.5]))).not.toBeNull();
    expect(regress([...four(2021, "North", [0, 0, 1, 1]), ...four(2022, "North", [0, 0, 1, 1])])).toBeNull();
    expect(regress([...four(2021, "North", [0, 0, 0, 0]), ...four(2022, "North", [0, 0, 0, 0])])).toBeNull();
  });
});

describe("everything that was seen", () => {
  it("is told together, with a word where lodging was scored on scales that do not convert", () => {
    const percent = scored(four(2021, "North", [0.1, 0.3, 0.5, 0.7]));
    const visual = scored(four(2022, "North", [0.1, 0.3, 0.5, 0.7], "Birch"), "zero-to-nine");
    const one = modelObservations(percent, defaultSettings);
    expect(one.findings).toEqual([]);
    expect(one.observations).toMatchObject({ stand: [], farmStand: null, tillering: [], protein: [] });
    expect(one.observations.lodgingModels.map(({ scale }) => scale)).toEqual(["percent"]);
    const both = modelObservations([...percent, ...visual], defaultSettings);
    expect(both.findings.map(({ code }) => code)).toEqual(["lodging-scales-apart"]);
    expect(both.findings[0]!.message).toContain("(percent, zero-to-nine)");
    expect(both.findings[0]!.message).toContain("percent for Alder, zero-to-nine for Birch");
  });

  it("counts heads to plants only where the count of plants is no slip", () => {
    // Twelve strips with 85 % of the seed standing and two heads a plant, but for one with a count ten times too low.
    const strips = Array.from({ length: 12 }, (_, i) =>
      makeStrip({
        place: { file: "strips.csv", row: i + 2 },
        rateSeedsPerM2: 200 + 50 * (i % 4),
        standPlantsPerM2: (200 + 50 * (i % 4)) * (i === 5 ? 0.085 : 0.85),
        // The slip's heads are twice the others': they are counted, but not on its plants.
        headsPerM2: (200 + 50 * (i % 4)) * (i === 5 ? 3.4 : 1.7),
        proteinPct: 12,
      }),
    );
    const { observations, findings } = modelObservations(strips, defaultSettings);
    expect(findings.map(({ row }) => row)).toEqual([7]);
    const [variety] = observations.tillering;
    const perPlant = variety!.rates.map((one) => one.headsPerPlant);
    expect(perPlant).toHaveLength(4);
    // Three strips at 250: 425, 850 and 425.
    expect(variety!.rates.find(({ rateSeedsPerM2 }) => rateSeedsPerM2 === 250)!.headsPerM2).toBeCloseTo(
      1700 / 3,
      6,
    );
    for (const heads of perPlant) expect(heads).toBeCloseTo(2, 6);
    expect(observations.protein).toHaveLength(1);
    expect(observations.stand.length).toBeGreaterThan(0);
  });
});
