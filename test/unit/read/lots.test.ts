import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { readLots } from "../../../src/read/lots.ts";
import { pricePerThousandViable } from "../../../src/decide/rate/seed-cost.ts";
import { defaultSettings } from "../../../src/vocabulary/settings.ts";
import { acresPerHectare, fromPerAcre, fromSeedsPerPound, kgPerPound } from "../../../src/numbers/units.ts";
import { bytesOf, metric, trialErrorOf, us } from "./read-csv.ts";

const read = (text: string, units = us, settings = defaultSettings) =>
  readLots({ name: "lots.csv", bytes: bytesOf(text) }, settings, units);
const one = (header: string, row: string, units = us) => {
  const { lots, findings } = read(`${header}\n${row}\n`, units);
  expect(findings.filter(({ code }) => code !== "germination-assumed")).toEqual([]);
  return lots[0]!;
};

describe("readLots", () => {
  it("reads the lots of the demo farm", () => {
    const bytes = readFileSync(new URL("../../../data-demo/lots.csv", import.meta.url));
    const { lots, findings } = readLots({ name: "lots.csv", bytes }, defaultSettings, us);
    expect(findings).toEqual([]);
    expect(lots[0]).toEqual({
      variety: "Ostrindel",
      rateNowSeedsPerM2: fromPerAcre(1_600_000),
      lowestRateSeedsPerM2: null,
      recommendedSeedsPerM2: null,
      seedsPerKg: fromSeedsPerPound(13_400),
      germination: 0.96,
      purity: 0.99,
      pricePerKg: expect.closeTo(17 / (60 * kgPerPound), 12),
      pricePerThousandSeeds: null,
      soldIn: { noun: "bu", size: "", kg: expect.closeTo(60 * kgPerPound, 9), thousandSeeds: null },
      treated: true,
      areaHa: 420 / acresPerHectare,
    });
  });

  /** Trade arithmetic, recomputed: $15/bu of 60 lb at 12,500 seeds/lb is $20.00 per million seeds. */
  it.each([
    ["$/bu", "15"],
    ["$/lb", "0.25"],
    ["$/cwt", "25"],
    ["$/50 lb", "12.50"],
    ["$/50-lb bag", "12.50"],
    ["$/kg", String(0.25 / kgPerPound)],
    ["$/ton", "500"],
    ["$/1000 seeds", "0.02"],
    ["$/million seeds", "20"],
    ["per 80000 seeds", "1.6"],
    ["bu", "$15.00"],
  ])("prices seed in %s", (unit, price) => {
    const lot = one(`variety,seeds_per_lb,germination_pct,seed_price (${unit})`, `Ost,12500,100,${price}`);
    expect(pricePerThousandViable(lot, defaultSettings)).toBeCloseTo(0.02, 9);
  });

  /** Purdue, Nielsen, 2015: $240 per 80,000 seeds is $3.00 per thousand. */
  it("prices units with the seeds that are in them", () => {
    const lot = one("variety,germ,seed_price ($/unit),seeds_per_unit", "Zea,100,240,80000");
    expect(lot.pricePerThousandSeeds).toBeCloseTo(3, 12);
  });

  it("takes the unit of a price from its own column where the header names none, and asks where neither does", () => {
    const lot = one("variety,germ,price,price unit", "Ost,95,15,$/bu");
    expect(lot.pricePerKg).toBeCloseTo(15 / (60 * kgPerPound), 12);
    const error = trialErrorOf(() => read("variety,germ,price\nOst,95,15\n"));
    expect(error.code).toBe("unit-unclear");
    expect(error.message).toContain('lots.csv, row 2, column seed_price: in what unit is "15"?');
    expect(trialErrorOf(() => read("variety,germ,price ($/sack)\nOst,95,15\n")).code).toBe("unit-unknown");
  });

  it.each([
    ["$/50-lb bag", "bag", "50 lb", 50 * kgPerPound, null],
    ["$/2000 lb tote", "tote", "2,000 lb", 2000 * kgPerPound, null],
    ["$/bu", "bu", "", 60 * kgPerPound, null],
    ["$/kg", "kg", "", 1, null],
    ["$/50 lb", "", "50 lb", 50 * kgPerPound, null],
    ["$/million seeds", "million seeds", "", null, 1000],
  ])("keeps what the seed is sold in: %s", (unit, noun, size, kg, thousandSeeds) => {
    const { soldIn } = one(`variety,germ,price (${unit})`, "Ost,95,15");
    expect(soldIn).toEqual({ noun, size, kg: kg && expect.closeTo(kg, 9), thousandSeeds });
  });

  it("adds the treatment to the price, over the seeds per weight where one is by count", () => {
    const byWeight = one(
      "variety,germ,seeds_per_lb,price ($/lb),treatment ($/million seeds)",
      "Ost,95,12500,0.25,4",
    );
    expect(byWeight.pricePerKg).toBeCloseTo((0.25 + 0.05) / kgPerPound, 12);
    expect(byWeight.treated).toBe(true);
    const byCount = one(
      "variety,germ,seeds_per_lb,price ($/million seeds),treatment ($/lb)",
      "Ost,95,12500,20,0.05",
    );
    expect(byCount.pricePerThousandSeeds).toBeCloseTo(0.024, 12);
    const { lots, findings } = read("variety,germ,price ($/lb),treatment ($/million)\nOst,95,0.25,4\n");
    expect(lots[0]!.pricePerKg).toBeCloseTo(0.25 / kgPerPound, 12);
    expect(findings.map(({ code, column }) => [code, column])).toEqual([
      ["value-treatment-unit", "treatment_cost"],
    ]);
  });

  it("reads a metric farm's lots", () => {
    const lot = one("variety;rate now;tkw;germ;price (€/dt);hectares", "Ost;300;35,5;95;62,50;80", metric);
    expect(lot).toMatchObject({ rateNowSeedsPerM2: 300, areaHa: 80, germination: 0.95 });
    expect(lot.seedsPerKg).toBeCloseTo(1e6 / 35.5, 6);
    expect(lot.pricePerKg).toBeCloseTo(0.625, 12);
  });

  it("turns today's pounds into seeds with the lot's own figures", () => {
    const lot = one("variety,rate_now (lb/ac),seeds_per_lb,germ,purity", "Ost,75,15000,100,100");
    expect(lot.rateNowSeedsPerM2).toBeCloseTo(fromPerAcre(1_125_000), 6);
    expect(read("variety,germ,rate_now (lb/ac)\nOst,95,75\n").findings[0]!.code).toBe(
      "value-seed-weight-unknown",
    );
  });

  it("lists what it cannot use and says what it assumed", () => {
    const { lots, findings } = read(
      "variety,germ,purity (%),seeds_per_lb,price ($/unit),treated,acres\n" +
        "Ost,,101,0,10,perhaps,-5\n,95,99,13000,,yes,1\nOst,95,99,13000,,yes,1\nWes,95,99,13000,-1,no,many\n",
    );
    expect(lots.map(({ variety, treated }) => [variety, treated])).toEqual([
      ["Ost", true],
      ["Wes", false],
    ]);
    expect(findings.map(({ code, row }) => `${row} ${code}`).sort()).toEqual([
      "2 germination-assumed",
      "2 value-impossible-share",
      "2 value-not-positive",
      "2 value-not-positive",
      "2 value-not-yes-or-no",
      "2 value-seeds-per-unit-missing",
      "3 row-value-missing",
      "4 row-lot-twice",
      "5 value-negative",
      "5 value-not-a-number",
    ]);
  });

  it("doubts prices in another currency", () => {
    const { findings } = read("variety,germ,price (€/kg)\nOst,95,0.6\n");
    expect(findings.map(({ code }) => code)).toEqual(["other-currency"]);
  });

  it("needs varieties, and asks in what unit a rate of 1.2 is", () => {
    expect(trialErrorOf(() => read("name,germ\nOst,95\n")).code).toBe("column-missing");
    expect(trialErrorOf(() => read("variety,germ,rate_now\nOst,95,1.2\n")).code).toBe("unit-unclear");
  });
});
