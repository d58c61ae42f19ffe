import { ofClient } from "../../../src/tell/wording/clients.ts";
import { describe, expect, it } from "vitest";
import { analyzeFarm } from "../../../src/farm/analyze-farm.ts";
import { readFarm } from "../../../src/farm/read-farm.ts";
import { measuresOf } from "../../../src/numbers/measures.ts";
import { csvTables } from "../../../src/tell/csv/index.ts";
import { fitText } from "../../../src/tell/terminal/fit-text.ts";
import { settingsWith, whatIfFields } from "../../../src/tell/what-if.ts";
import { askRateNow, assumedSentence } from "../../../src/tell/wording/assumed.ts";
import { assumedOfClients } from "../../../src/tell/wording/clients.ts";
import { drillCard, type DrillWishes } from "../../../src/farm/drill-card.ts";
import { planTrial } from "../../../src/farm/plan-trial.ts";
import { drillCards } from "../../../src/tell/html/drill-cards.ts";
import type { Settings } from "../../../src/vocabulary/settings.ts";
import { demoResult } from "../../fixtures/demo.ts";
import { pricesUsed } from "../../../src/tell/html/prices.ts";
import { planText } from "../../../src/tell/terminal/plan-text.ts";
import { drillText } from "../../../src/tell/wording/drill-settings.ts";
import { planAssumedSentence } from "../../../src/tell/wording/plan.ts";
import { plainTextStyle } from "../../../src/tell/terminal/text-table.ts";

const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);
const strips = [
  "variety,season,block,rate (million/ac),yield (bu/ac)",
  ...["Alder", "Birch"].flatMap((variety) =>
    [0.8, 1.1, 1.4, 1.7].flatMap((rate) =>
      [1, 2, 3].map((block) => [variety, 2026, block, rate, 60 - 20 * (rate - 1.3) ** 2 + block / 3].join()),
    ),
  ),
].join("\n");
const resultOf = async (season?: string, lots?: string) =>
  analyzeFarm(
    await readFarm([
      { name: "strips.csv", bytes: bytes(strips), as: "strips" },
      ...(season === undefined ? [] : [{ name: "season.yaml", bytes: bytes(season), as: "season" as const }]),
      ...(lots === undefined ? [] : [{ name: "lots.csv", bytes: bytes(lots), as: "lots" as const }]),
    ]),
  );

const dates = "best_seeding_date: 2027-04-20\nplanned_seeding_date: 2027-04-20\n";

describe("what nobody gave", () => {
  it("is told as assumed on the terminal and in tables, with its value", async () => {
    const result = await resultOf();
    const sentence = assumedSentence(result, measuresOf(result));
    expect(sentence).toContain("grain at $6/bu");
    expect(sentence).toContain("seed at $20.00");
    expect(fitText(result, plainTextStyle)).toContain(sentence);
    expect(csvTables(result).find(({ name }) => name === "next.csv")!.text).toContain(
      "grain_price seed_price",
    );
    expect(result.settings.assumed).toContain("grain_price");
  });

  it("stands on the page of many clients, once for all whom it concerns, and not for who gave it", async () => {
    const [bare, given] = [
      await resultOf(),
      await resultOf(`grain_price: 6 $/bu\nseed_price: 20 $/million\n${dates}`),
    ];
    const clients = [
      { name: "Aspen", result: ofClient(bare), page: "aspen.html" },
      { name: "Cedar", result: ofClient(given), page: "cedar.html" },
      { name: "Elm", result: ofClient(bare), page: "elm.html" },
    ];
    const told = assumedOfClients(clients, measuresOf(bare));
    expect(told).toHaveLength(1);
    expect(told[0]).toMatchObject({ who: "Aspen and Elm" });
    expect(told[0]!.sentence).toContain("grain at $6/bu");
  });

  it("is not told where it was given: price by season file, seed by its lot", async () => {
    const lots = "variety,seed price ($/lb),seeds per lb,rate now (seeds/ac)\nAlder,0.3,13000,1300000";
    const result = await resultOf("grain_price: 6 $/bu", lots);
    expect(assumedSentence(result, measuresOf(result))).toMatch(
      /^Assumed, because nobody gave it: seed at .* for Birch;/,
    );
  });

  it("is told of lateness, where a rate rests on it", async () => {
    const priced = "grain_price: 6 $/bu\nseed_price: 20 $/million\nrate_now: 1.2 million/ac\n";
    const late = `${priced}best_seeding_date: 2027-04-20\nplanned_seeding_date: 2027-04-30\n`;
    const result = await resultOf(late);
    const sentence = assumedSentence(result, measuresOf(result));
    expect(sentence).toMatch(/^Assumed, because nobody gave it: 1% more seed for each day late[.;]/);
    const next = csvTables(result).find(({ name }) => name === "next.csv")!.text;
    expect(next).toContain("late_per_day");
    const given = await resultOf(`${late}late_per_day: 1%\nlargest_step: 10%\n`);
    expect(assumedSentence(given, measuresOf(given))).toBe("");
    const onTime = await resultOf(priced);
    expect(assumedSentence(onTime, measuresOf(onTime))).not.toContain("late");
    // Without both dates nobody knows whether seeding is late.
    expect(assumedSentence(onTime, measuresOf(onTime))).toContain("seeding on time");
    expect(sentence).not.toContain("on time");
  });

  it("is told of the price of seed once, where all varieties have the same", async () => {
    const bare = await resultOf();
    expect(pricesUsed(bare, measuresOf(bare))).toContain(
      ", seed at $20.00 per million viable seeds (assumed), a step",
    );
    const lots = "variety,seed price ($/lb),seeds per lb,rate now (seeds/ac),germination %";
    const one = await resultOf(undefined, `${lots}\nAlder,0.3,12000,1300000,100\n`);
    expect(pricesUsed(one, measuresOf(one))).toContain(
      ", seed per million viable seeds at $25.00 (Alder) and $20.00 (Birch, assumed), a step",
    );
  });

  it("is told of the largest step, where it binds", async () => {
    const far = "grain_price: 6 $/bu\nseed_price: 20 $/million\nrate_now: 1.7 million/ac\n";
    const result = await resultOf(far);
    const measures = measuresOf(result);
    expect(assumedSentence(result, measures)).toContain("changes of at most 10% a season");
    expect(pricesUsed(result, measures)).toContain("a step of at most 10% a season (assumed)");
    expect(csvTables(result).find(({ name }) => name === "next.csv")!.text).toContain("largest_step");
    const given = await resultOf(`${far}largest_step: 10%\n`);
    expect(assumedSentence(given, measures)).not.toContain("changes of");
    expect(pricesUsed(given, measures)).not.toContain("season (assumed)");
  });

  it("is told of the premium for protein and the cost of lodging, where they count", () => {
    const result = demoResult();
    const measures = measuresOf(result);
    const used = (changes: Partial<Settings>): string =>
      pricesUsed({ ...result, settings: { ...result.settings, ...changes } }, measures);
    expect(used({ proteinSchedule: [{ proteinPct: 14, premiumPerKg: 0.01 }] })).toMatch(
      /^Based on grain at \S+( \(assumed\))? with its premium for protein, seed/,
    );
    // $12.14 per hectare is $4.91 per acre.
    expect(used({ lodgingCostPerHa: 12.14 })).toMatch(/ and \$4\.91\/ac lost where the crop lies flat\.$/);
    expect(used({ proteinSchedule: [] })).not.toMatch(/protein|flat/);
  });

  it("is told of a lot's germination and purity, on the drill card, the text for the drill and the seed card", async () => {
    const lotOf = (purity: string): string =>
      `variety,rate now (seeds/ac),seeds per lb,germination (%),purity (%)\nAlder,1300000,13000,,${purity}\nBirch,1300000,13000,92,98`;
    const result = await resultOf(undefined, lotOf(""));
    const measures = measuresOf(result);
    expect(result.settings.lots.map(({ assumed }) => assumed)).toEqual([
      ["germination_pct", "purity_pct"],
      undefined,
    ]);
    const message = drillText(result, measures);
    expect(message).toContain("germination 100% (assumed), purity 100% (assumed)");
    expect(message).toContain("germination 92%, purity 98%");
    expect(drillCards(result, measures).text).toContain("germination 100% (assumed)");
    expect(drillText(await resultOf(undefined, lotOf("99")), measures)).toContain(
      "germination 100% (assumed), purity 99%",
    );
    const farm = { settings: result.settings, units: result.units };
    const wishes: DrillWishes = {
      variety: "Alder",
      rate: "1300000",
      seedSize: { kind: "seedsPerPound", text: "" },
      germination: "",
      daysLate: "",
      area: "",
    };
    expect(drillCard(farm, wishes, null).text).toContain("germination 100% (assumed), purity 100% (assumed)");
    // What is typed at the drill was given.
    expect(drillCard(farm, { ...wishes, germination: "88" }, null).text).toContain(
      "germination 88%, purity 100% (assumed)",
    );
  });

  it("is told of a plan: prices, work for a strip, seasons", async () => {
    const farm = await readFarm([{ name: "strips.csv", bytes: bytes(strips), as: "strips" }]);
    const wishes = {
      fieldLength: "1200 ft",
      fieldWidth: "1320 ft",
      drillWidth: "40 ft",
      combineWidth: "35 ft",
    };
    const planned = (more: object) =>
      planTrial(farm, { ...wishes, ...more }, { thisYear: 2026, callWish: (name) => name, onPaper: false });
    const plan = await planned({});
    const sentence = planAssumedSentence(plan, measuresOf(plan));
    // Nobody gave today's rate: the usual 1.21 million of wheat stands for it, so it is no rate of theirs.
    expect(sentence).toMatch(
      /nobody gave it: today's rate of 1\.21 million seeds\/ac for Alder and Birch; grain at \$6\/bu; seed at .*; \$25 of work for each strip; .* three seasons; rows/,
    );
    expect(planText(plan, plainTextStyle)).toContain(sentence);
    const given = await planned({ stripCost: 30, seasonsUsed: 2 });
    expect(planAssumedSentence(given, measuresOf(given))).not.toMatch(/strip|seasons/);
    const sown = { ...given, settings: { ...given.settings, rateNowSeedsPerM2: 300 } };
    expect(planAssumedSentence(sown, measuresOf(sown))).not.toContain("today's rate");
  });

  it("is asked for where it is today's rate, and only for the varieties without one", async () => {
    const result = await resultOf(undefined, "variety,rate now (seeds/ac)\nAlder,1300000");
    expect(askRateNow(result, "--rate-now")).toMatch(/It is not known for Birch/);
    expect(askRateNow(await resultOf("rate_now: 1.2 million/ac"), "--rate-now")).toBe("");
  });
});

describe("days of late seeding that are moved", () => {
  const hasDays = async (season: string): Promise<boolean> => {
    const result = await resultOf(season);
    return whatIfFields(result, measuresOf(result)).some(({ key }) => key === "late");
  };

  it("are to be had only where they count for the rate", async () => {
    expect(await hasDays(dates)).toBe(true);
    expect(await hasDays(`${dates}late_per_day: 0%\n`)).toBe(false);
  });
});

describe("a price of seed that is moved", () => {
  const lots =
    "variety,seeds per lb,germination (%),purity (%),rate now (seeds/ac)\nAlder,13000,85,99,1300000";

  it("leaves germination and purity, and so the pounds of a rate, as they are", async () => {
    const result = await resultOf(undefined, lots);
    const fields = whatIfFields(result, measuresOf(result));
    const field = fields.find(({ key }) => key === "seed-1")!;
    const moved = settingsWith(result.settings, fields, new Map([[field.key, field.value! * 1.0001]]));
    expect(moved.lots[0]).toMatchObject({ germination: 0.85, purity: 0.99 });
  });

  it("says that it holds the treatment where the lot is treated", async () => {
    const labelOf = async (lot: string): Promise<string> => {
      const result = await resultOf(undefined, lot);
      return whatIfFields(result, measuresOf(result)).find(({ key }) => key === "seed-1")!.label;
    };
    const head = "variety,seed price ($/lb),seeds per lb,rate now (seeds/ac),treated\n";
    expect(await labelOf(`${head}Alder,0.3,13000,1300000,yes`)).toBe("Seed price with treatment");
    expect(await labelOf(`${head}Alder,0.3,13000,1300000,no`)).toBe("Seed price");
  });

  it.each([
    ["$/lb", "0.3", "$/lb", 0.3],
    ["$/bu", "20", "$/bu", 20],
    ["$/50-lb bag", "16.5", "$ per bag of 50 lb", 16.5],
    ["$/80000 seeds", "1.6", "$ per 80,000 seeds", 1.6],
  ])("is what was paid, in what the seed is sold in: %s", async (unit, price, told, value) => {
    const head = `variety,seed price (${unit}),seeds per lb,rate now (seeds/ac),germination %`;
    const result = await resultOf(undefined, `${head}\nAlder,${price},13000,1300000,96\n`);
    const field = whatIfFields(result, measuresOf(result)).find(({ key }) => key === "seed-1")!;
    expect([field.unit, field.value]).toEqual([told, value]);
  });

  it("stands beside a rate without digits that nobody sets, where that was given by weight", async () => {
    const lot = "variety,seeds per lb,rate now (lb/ac),germination %\nAlder,13000,97.3,96\n";
    const result = await resultOf(undefined, lot);
    const { value, lowest, highest } = whatIfFields(result, measuresOf(result)).find(
      ({ key }) => key === "now-1",
    )!;
    expect([value, lowest, highest]).toEqual([1.214, 0.49, 2.43]);
  });

  it("comes back to where it was, as every other control does", async () => {
    const result = await resultOf(undefined, lots);
    const fields = whatIfFields(result, measuresOf(result));
    for (const field of fields) {
      if (field.value === null) continue;
      const there = settingsWith(result.settings, fields, new Map([[field.key, field.highest]]));
      expect(there, field.key).not.toEqual(result.settings);
      const back = settingsWith(there, fields, new Map([[field.key, field.value]]));
      const pounds = (settings: typeof back): number =>
        settings.lots[0]!.seedsPerKg! * settings.lots[0]!.germination * settings.lots[0]!.purity;
      expect(pounds(back), field.key).toBeCloseTo(pounds(result.settings), 9);
    }
  });
});
