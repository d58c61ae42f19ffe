import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import Papa from "papaparse";
import { describe, expect, it } from "vitest";
import { demo, oneVariety, run, runHere, scratchFolder, stripsOf } from "./run.ts";

const folder = scratchFolder();
const acre = 4046.8564224;
const pound = 0.45359237;

interface Card {
  variety: string | null;
  rateSeedsPerM2: number;
  kgPerHa: number;
  catchTest: { grams: number };
  seedsSownPerM2: number;
  orderKg: number | null;
  cost: { perHa: number } | null;
  late: { days: number; inTimeSeedsPerM2: number; stoppedBy: string | null } | null;
  from: string;
  seed: { germination: number; seedsPerKg: number | null };
  counted: { standLoss: number } | null;
  stand: { loss: number };
}
async function cardsOf(...args: string[]): Promise<Card[]> {
  const { code, out, err } = await runHere(["seed", ...args, "--json"]);
  expect([code, err]).toEqual([0, ""]);
  return (JSON.parse(out) as { cards: Card[] }).cards;
}

describe("seed", () => {
  // Worked by hand: 108.98 lb/ac.
  it("goes from a stand to pounds", async () => {
    const [card] = await cardsOf(
      "--stand",
      "1.1 million plants/ac",
      "--seeds-per-lb",
      "12500",
      "--germination",
      "95",
    );
    expect(((card!.kgPerHa / pound) * acre) / 10_000).toBeCloseTo(108.978, 2);
  });

  it.each([
    [["--germination", "9"], /^--germination: a germination of 9% is impossible; .* Is 90% meant\?/],
    [["--germination", "196"], /^--germination "196": it cannot be more than 100%\./],
    [["--purity", "4%"], /^--purity: a purity of 4% is impossible/],
    [
      ["--seeds-per-lb", "134000"],
      /a seed count of 134,000 seeds\/lb is impossible; .* Is 13,400 seeds\/lb meant/,
    ],
  ])("refuses %s that no seed has, over a lot of the file as well", async (typed, message) => {
    const ofFile = ["--lots", demo("lots.csv"), "--variety", "Brimsolt"];
    for (const known of [["--rate", "1200000", "--tkw", "35"], ofFile]) {
      const without = typed[0] === "--seeds-per-lb" ? known.filter((word) => !/tkw|^35$/.test(word)) : known;
      const { code, out, err } = await runHere(["seed", ...without, ...typed]);
      expect({ code, out }).toEqual({ code: 2, out: "" });
      expect(err).toMatch(message);
    }
  });

  it("says once what is unusual in the options, and uses it", async () => {
    const { out, err } = await runHere(
      "seed --rate 1200000 --tkw 35 --row-spacing 60 --germination 60".split(" "),
    );
    expect(err).toMatch(
      /^row_spacing: A row spacing of 60\.0 in is unusual .*\n--germination: A germination of 60% is unusual .*\n$/,
    );
    expect(out).toContain("rows 60 in apart");
  });

  // South Dakota State Univ. Extension 2014: printed 1.3 bu/ac, exact 1.3291.
  it("goes from a rate to bushels", async () => {
    const { out } = await runHere(
      "seed --rate 1200000 --seeds-per-lb 16000 --germination 95 --purity 99".split(" "),
    );
    expect(out).toContain("80 lb/ac   1.33 bu/ac");
    expect(out).toContain("1.28 million/ac");
  });

  it("goes back from pounds, from the row and from a catch", async () => {
    const lot = ["--tkw", "35", "--germination", "92"];
    const [card] = await cardsOf("--rate", "1200000", ...lot);
    for (const known of [
      ["--rate", `${card!.kgPerHa} kg/ha`],
      ["--row", `${card!.seedsSownPerM2 * 0.1905} seeds/m`],
      ["--caught", `${card!.catchTest.grams} g`],
    ])
      expect((await cardsOf(...known, ...lot))[0]!.rateSeedsPerM2 * acre).toBeCloseTo(1_200_000, 3);
  });

  it("writes a card for each lot, at its own rate, weight and price", async () => {
    const lots = Papa.parse<Record<string, string>>(readFileSync(demo("lots.csv"), "utf8"), {
      header: true,
      skipEmptyLines: true,
    }).data;
    const cards = await cardsOf("--lots", demo("lots.csv"));
    expect(cards.map((card) => card.variety)).toEqual(lots.map((lot) => lot["variety"]));
    cards.forEach((card, i) => {
      const number = (column: string): number => Number(lots[i]![column]);
      const perAcre = card.rateSeedsPerM2 * acre;
      expect(perAcre).toBeCloseTo(number("rate_now (seeds/ac)"), 3);
      const pounds =
        perAcre / (number("seeds_per_lb") * (number("germination_pct") / 100) * (number("purity_pct") / 100));
      expect(((card.kgPerHa / pound) * acre) / 10_000).toBeCloseTo(pounds, 6);
      const price = number("seed_price ($/bu)") + number("treatment_cost ($/bu)");
      expect((card.cost!.perHa * acre) / 10_000).toBeCloseTo((pounds / 60) * price, 6);
      expect(card.orderKg! / pound).toBeCloseTo(pounds * number("acres"), 3);
    });
  });

  it("obeys what is typed over what the lot says, and keeps of the lot what is not", async () => {
    const lot = ["--lots", demo("lots.csv"), "--variety", "Ostrindel"];
    const [onFile] = await cardsOf(...lot, "--rate", "1.2 million/ac");
    const [typed] = await cardsOf(
      ...lot,
      "--rate",
      "1.2 million/ac",
      "--germination",
      "88",
      "--seeds-per-lb",
      "11800",
      "--area",
      "10 ac",
    );
    // 1.2 million ÷ (11,800 × 0.88 × 0.99) = 116.73 lb/ac; purity 99 % is the lot's.
    const poundsPerAcre = 1_200_000 / (11_800 * 0.88 * 0.99);
    expect(((typed!.kgPerHa / pound) * acre) / 10_000).toBeCloseTo(poundsPerAcre, 6);
    expect(typed!.orderKg! / pound).toBeCloseTo(10 * poundsPerAcre, 5);
    expect(onFile!.orderKg! / onFile!.kgPerHa).toBeCloseTo((420 * acre) / 10_000, 6);
    const [priced] = await cardsOf(...lot, "--rate", "1.2 million/ac", "--seed-price", "20");
    // 1.2 million seeds at $20 a million are $24 an acre, whatever the lot costs.
    expect((priced!.cost!.perHa * acre) / 10_000).toBeCloseTo(24, 6);
  });

  it("is late by the dates of the season file, or as asked", async () => {
    const lots = ["--lots", demo("lots.csv"), "--variety", "Quavenby"];
    const [inTime] = await cardsOf(...lots);
    const [planned] = await cardsOf(...lots, "--season", demo("season.yaml"));
    expect(planned!.late!.days).toBe(4);
    expect(planned!.rateSeedsPerM2 / inTime!.rateSeedsPerM2).toBeCloseTo(1.04, 10);
    const [asked] = await cardsOf(...lots, "--days-late", "10");
    expect(asked!.rateSeedsPerM2 / inTime!.rateSeedsPerM2).toBeCloseTo(1.1, 10);
  });

  it("carries in the advised rate, the lots, dates and assumed marks of a result, and of strips", async () => {
    const strips = [join(folder, "two-varieties.csv")];
    writeFileSync(strips[0]!, stripsOf("Ostrindel", "Quavenby"));
    const farm = ["--lots", demo("lots.csv"), "--season", demo("season.yaml")];
    const file = join(folder, "result.json");
    expect((await runHere(["fit", ...strips, ...farm, "--json", "--quiet", "-o", file])).code).toBe(0);
    const { next, settings, beliefs } = JSON.parse(readFileSync(file, "utf8")) as {
      next: {
        variety: string;
        rateNextSeedsPerM2: number;
        rateNowSeedsPerM2: number;
        stand: { from: string; standLoss: number };
      }[];
      beliefs: { variety: string; testedSeedsPerM2: [number, number] }[];
      settings: { assumed: string[]; lots: { variety: string; germination: number }[] };
    };
    const { out } = await runHere(["seed", "--from", file, "--json"]);
    const { cards, assumed } = JSON.parse(out) as { cards: Card[]; assumed: string[] };
    expect(assumed).toEqual(settings.assumed);
    expect(cards.map(({ variety }) => variety)).toEqual(next.map(({ variety }) => variety));
    cards.forEach((card, i) => {
      expect(card.from).toBe("advice");
      // Four days late by the dates of the season file; 1 % a day.
      expect([card.late!.days, card.late!.inTimeSeedsPerM2]).toEqual([4, next[i]!.rateNextSeedsPerM2]);
      if (card.late!.stoppedBy === null)
        expect(card.rateSeedsPerM2 / next[i]!.rateNextSeedsPerM2).toBeCloseTo(1.04, 10);
      const lot = settings.lots.find(({ variety }) => variety === card.variety)!;
      expect(card.seed.germination).toBe(lot.germination);
      // The demo's plants were counted.
      expect(next[i]!.stand.from).not.toBe("setting");
      expect(card.stand.loss).toBe(next[i]!.stand.standLoss);
    });
    const [asked] = await cardsOf("--from", file, "--stand-loss", "20");
    expect(asked!.stand.loss).toBeCloseTo(0.2, 12);
    expect(await cardsOf("--from", ...strips, ...farm, "--quiet")).toEqual(cards);

    const [first] = next;
    const one = ["--from", file, "--variety", first!.variety];
    const [today] = await cardsOf(...one, "--at-today");
    expect([today!.from, today!.late!.inTimeSeedsPerM2]).toEqual(["lot", first!.rateNowSeedsPerM2]);
    // Two months late: no further than was tested. What is typed of the seed beats the lot.
    const [late] = await cardsOf(...one, "--days-late", "60", "--germination", "80");
    expect(late!.seed.germination).toBe(0.8);
    const tested = beliefs.find(({ variety }) => variety === first!.variety)!.testedSeedsPerM2[1];
    expect(late!.rateSeedsPerM2).toBeLessThanOrEqual(tested);
    expect(late!.late!.stoppedBy).not.toBeNull();
  });

  it("names the lowest rate that a person accepts where it binds, and leaves a typed rate alone", async () => {
    const lots = join(folder, "lowest.csv");
    writeFileSync(
      lots,
      "variety,rate_now (seeds/ac),lowest_rate (seeds/ac),seeds_per_lb,germination_pct\nOstrindel,1600000,1550000,13400,96\n",
    );
    const cards = ["seed", "--variety", "Ostrindel", "--lots", lots, "--quiet"];
    // The demo's strips ask for less than 1.55 million, and 10% less than 1.6 million is less, too.
    const advised = await runHere([...cards, "--from", oneVariety(folder, "Ostrindel")]);
    expect(advised.out).toMatch(
      /Lowest rate +1\.55 million\/ac +35\.6\/ft² +you accept no less; the strips ask for less/,
    );
    expect(advised.out).toMatch(/Viable seeds +1\.55 million\/ac/);
    const typed = await runHere([...cards, "--rate", "1500000"]);
    expect(typed.out).toMatch(/Viable seeds +1\.50 million\/ac/);
    expect(typed.out).toContain(
      "This rate is below 1.55 million seeds/ac, the lowest rate you accept because of weeds. Sow at least that, or change the lowest rate.",
    );
    expect((await runHere([...cards, "--rate", "1560000"])).out).not.toContain("owest rate");
  });

  it("names file, row, column and value of what is wrong in the lots", async () => {
    const lots = join(folder, "wrong-germination.csv");
    writeFileSync(
      lots,
      "variety,rate_now (seeds/ac),seeds_per_lb,germination_pct\nAlder,1100000,13400,96\nQuavenby,1100000,13400,196\n",
    );
    const { err } = await runHere(["seed", "--lots", lots]);
    expect(err).toMatch(
      /wrong-germination\.csv, row 3, column germination_pct, “196”: This has to be above 0 and at most 100%\./,
    );
  });

  it("tells in a card what nobody gave", async () => {
    const { out } = await run("seed --rate 1200000 --seeds-per-lb 12500".split(" "));
    expect(out).toContain(
      "Assumed, because nobody gave it: rows 7.5 in apart; 15% of the viable seeds give no plant.",
    );
    const { out: told } = await runHere(
      "seed --rate 1200000 --seeds-per-lb 12500 --row-spacing 7.5 --stand-loss 15".split(" "),
    );
    expect(told).not.toContain("Assumed");
  });

  it("tells the stand loss of counted plants", async () => {
    const [card] = await cardsOf("--rate", "1200000", "--plants", "115", "--in-hoop", "30 in");
    expect(card!.counted!.standLoss).toBeCloseTo(1 - 115 / (4.908739 * (1_200_000 / 43_560)), 5);
    // 60 plants in 3 ft of rows 7.5 in apart are 32 plants/ft², of 27.5 seeds/ft².
    const { out } = await runHere(["seed", "--rate", "1200000", "--plants", "60", "--in-row", "3 ft"]);
    expect(out).toMatch(/Counted .*: there were 16% more plants than viable seeds\n/);
    expect(out).toContain("No loss at all is outside the 5 to 47% that are usual.");
    expect(out).not.toContain("−");
  });

  it("prices a lot by weight or by count", async () => {
    const args = ["--rate", "1200000", "--seeds-per-lb", "12500"];
    const [byBushel] = await cardsOf(...args, "--seed-price", "15 $/bu");
    const [byMillion] = await cardsOf(...args, "--seed-price", "20");
    expect(byBushel!.cost!.perHa).toBeCloseTo(byMillion!.cost!.perHa, 9);
    expect((byBushel!.cost!.perHa * acre) / 10_000).toBeCloseTo(24, 9);
  });

  it("writes to a file", async () => {
    const path = join(folder, "card.txt");
    const { code, out } = await runHere(["seed", "--rate", "1200000", "-o", path]);
    expect([code, out]).toEqual([0, ""]);
    expect(readFileSync(path, "utf8")).toContain("1.20 million/ac");
  });

  it.each([
    [[], "No rate is given"],
    [["--rate", "1.2"], "in what unit?"],
    [["--rate", "90 lb/ac"], "--seeds-per-lb, --seeds-per-kg or --tkw"],
    [["--rate", "1200000", "--stand", "25"], "Give one of --rate, --stand and --row"],
    [["--rate", "1200000", "--germination", "950 %"], "cannot be more than 100%"],
    [["--rate", "1200000", "--plants", "30"], "--in-row and --in-hoop"],
    [["--rate", "1200000", "--tkw", "35", "--seeds-per-lb", "12000"], "Give one of --seeds-per-lb"],
    [["--lots", demo("lots.csv"), "--variety", "Nobody"], "has no lot of Nobody"],
    [["--from", oneVariety(folder, "Ostrindel"), "--variety", "Nobody", "-q"], "has no strips of Nobody"],
    [["--stand", "1e308 plants/ac"], "--stand: "],
    [["--row", "1e9 seeds/ft"], "--row: "],
    [["--rate", "40 million/ac"], "--rate: 40.00 million seeds/ac is impossible; it must be between "],
    [["--caught", "1e308", "--tkw", "35"], "--caught: "],
    [["--caught", "61 lb", "--tkw", "35"], "--caught: this would be a rate of 550.98 million seeds/ac"],
    [["--rate", "1200000", "--caught", "61 lb", "--tkw", "35"], "--caught: this would be a rate of 550.98"],
    [["--row", "300 seeds/ft", "--row-spacing", "4 in"], "--row: this would be a rate of 39.20 million"],
    [["--rate", "1200000", "--wheel", "1e308"], "--wheel: "],
    [
      ["--rate", "1200000", "--days-late", "1000000"],
      "--days-late: 1000000 is impossible; it must be between 0 and 150.",
    ],
    [["--rate", "1200000", "--catch-length", "1e308"], "--catch-length: "],
    [["--rate", "1200000", "--plants", "1e300", "--in-row", "3 ft"], "--plants: "],
    [["--rate", "1200000", "--plants", "118", "--in-hoop", "1e-200"], "--in-hoop: 0.0 in is impossible"],
  ])("says what is wrong with %s", async (args, message) => {
    const { code, out, err } = await runHere(["seed", ...args]);
    expect([code, out]).toEqual([2, ""]);
    expect(err).toContain(message);
  });
});
