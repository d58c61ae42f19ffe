import { describe, expect, it } from "vitest";
import { planTrial, type PlanWishes } from "../../../src/farm/plan-trial.ts";
import { readFarm } from "../../../src/farm/read-farm.ts";
import { toPerAcre } from "../../../src/numbers/units.ts";

const lotsOf = (text: string) => ({
  name: "lots.csv",
  as: "lots" as const,
  bytes: new TextEncoder().encode(`variety,seeds_per_lb,germination_pct\n${text}`),
});
const ground: PlanWishes = {
  fieldLength: "1200",
  fieldWidth: "1320",
  drillWidth: "40",
  combineWidth: "35",
  varieties: ["Ostrindel"],
  expectedYield: "55",
  blocks: 2,
};
const plan = async (wishes: Partial<PlanWishes>, lots = "Ostrindel,14000,100\nQuavenby,12000,95\n") =>
  planTrial(
    await readFarm([lotsOf(lots)]),
    { ...ground, ...wishes },
    { thisYear: 2027, callWish: (name) => `--${name}`, onPaper: false },
  );

describe("rates of a plan", () => {
  it("may be weights where the lot says its seeds: 60 lb/ac of 14,000 seeds/lb are 840,000 seeds/ac", async () => {
    const { varieties } = await plan({ ratesAt: ["60 lb/ac", "80 lb/ac", "100 lb/ac"] });
    expect(varieties[0]!.chosen.ratesSeedsPerM2.map((rate) => Math.round(toPerAcre(rate)))).toEqual([
      840_000, 1_120_000, 1_400_000,
    ]);
  });

  it("are refused as weights where no lot says its seeds, or lots differ", async () => {
    await expect(plan({ lowestRate: "60 lb/ac" }, "Brimsolt,14000,100\n")).rejects.toThrow(
      /^--lowestRate "60 lb\/ac" is a weight, .* No lot gives the seeds per pound or kg of Ostrindel,/,
    );
    await expect(plan({ highestRate: "90 lb/ac", varieties: ["Ostrindel", "Quavenby"] })).rejects.toThrow(
      /The lots differ in seed size, so one weight is a different number of seeds in each\. Give the rate in seeds/,
    );
  });
});

describe("the alley between rows of blocks", () => {
  // Worked by hand: whole passes of the drill that make 40 ft at least.
  it.each([
    ["40", 40],
    ["30", 60],
    ["15", 45],
    ["60", 60],
  ])("is whole passes of a %s ft drill: %d ft", async (drillWidth, feet) => {
    const { request } = await plan({ drillWidth, combineWidth: "13" });
    expect(request.ground.alleyM / 0.3048).toBeCloseTo(feet, 9);
  });

  it("is as asked where somebody asks", async () => {
    expect((await plan({ alley: "55" })).request.ground.alleyM / 0.3048).toBeCloseTo(55, 9);
  });
});

describe("wishes for a plan", () => {
  it.each<[Partial<PlanWishes>, RegExp]>([
    [{ seasonsUsed: 0 }, /^--seasonsUsed: 0 is impossible; it must be between 1 and 50/],
    [{ stripCost: 1e308 }, /^--stripCost: .* is impossible/],
    [{ gain: 1e9 }, /^--gain: .* is impossible/],
    [{ gain: 0 }, /^--gain: \$0\.00\/ac is impossible; it must be between \$1\.00\/ac and /],
    [{ year: 99_999 }, /^--year: 99999 is impossible/],
    [{ year: 1850 }, /^--year: 1850 is impossible/],
    [
      { rates: 2, ratesAt: ["1 million/ac", "1.2 million/ac", "1.5 million/ac"] },
      /^--rates asks for 2 rates, and --ratesAt names 3\. Give one of the two\.$/,
    ],
    [
      { lowestRate: "2 million/ac", highestRate: "1 million/ac" },
      /^--lowestRate, 2\.00 million seeds\/ac, is not below --highestRate, 1\.00 million seeds\/ac: no rates/,
    ],
    [
      { lowestRate: "1 million/ac", ratesAt: ["0.8 million/ac", "1.2 million/ac", "1.6 million/ac"] },
      /^--ratesAt names 0\.80 million seeds\/ac, which --lowestRate, 1\.00 million seeds\/ac, rules out\./,
    ],
    [
      { highestRate: "1.5 million/ac", ratesAt: ["0.8 million/ac", "1.2 million/ac", "1.6 million/ac"] },
      /^--ratesAt names 1\.60 million seeds\/ac, which --highestRate, 1\.50 million seeds\/ac, rules out\./,
    ],
    [{ drillWidth: "4000" }, /^--drillWidth: 4,000 ft is impossible/],
    [{ expectedYield: "900" }, /^--expectedYield: .* is impossible/],
    [{ ratesAt: ["50 million/ac", "1.2 million/ac"] }, /^--ratesAt: 50\.00 million seeds\/ac is impossible/],
    [{ varieties: ["Ostrindel", " "] }, /^--varieties holds an empty name\. Name each variety/],
    [
      { ratesAt: ["0.8 million/ac", "1.2 million/ac", "800000/ac"] },
      /^--ratesAt names 0\.80 million seeds\/ac twice/,
    ],
  ])("are held to what can be: %o", async (wishes, message) => {
    await expect(plan(wishes)).rejects.toThrow(message);
  });

  it("are for a season after the strips", async () => {
    const text = "variety,season,field,rate (seeds/ac),yield (bu/ac)\nOstrindel,2026,Hill,1000000,60\n";
    const strips = { name: "strips.csv", as: "strips" as const, bytes: new TextEncoder().encode(text) };
    const farm = await readFarm([strips]);
    const planned = () =>
      planTrial(
        farm,
        { ...ground, year: 2025 },
        { thisYear: 2027, callWish: (name) => `--${name}`, onPaper: false },
      );
    expect(planned).toThrow(/^--year is 2025, and the strips go on until 2026\. Give the season to come\.$/);
  });
});
