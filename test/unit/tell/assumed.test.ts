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
    const [bare, given] = [await resultOf(), await resultOf("grain_price: 6 $/bu\nseed_price: 20 $/million")];
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
      /^Assumed, because nobody gave it: seed at .* for Birch\./,
    );
  });

  it("is told of lateness, where a rate rests on it", async () => {
    const priced = "grain_price: 6 $/bu\nseed_price: 20 $/million\nrate_now: 1.2 million/ac\n";
    const late = `${priced}best_seeding_date: 2027-04-20\nplanned_seeding_date: 2027-04-30\n`;
    const result = await resultOf(late);
    const sentence = assumedSentence(result, measuresOf(result));
    expect(sentence).toBe("Assumed, because nobody gave it: 1% more seed for each day late.");
    const next = csvTables(result).find(({ name }) => name === "next.csv")!.text;
    expect(next).toContain("late_per_day");
    const given = await resultOf(`${late}late_per_day: 1%\n`);
    expect(assumedSentence(given, measuresOf(given))).toBe("");
    const onTime = await resultOf(priced);
    expect(assumedSentence(onTime, measuresOf(onTime))).not.toContain("late");
  });

  it("is asked for where it is today's rate, and only for the varieties without one", async () => {
    const result = await resultOf(undefined, "variety,rate now (seeds/ac)\nAlder,1300000");
    expect(askRateNow(result, "--rate-now")).toMatch(/For Birch nobody said/);
    expect(askRateNow(await resultOf("rate_now: 1.2 million/ac"), "--rate-now")).toBe("");
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
