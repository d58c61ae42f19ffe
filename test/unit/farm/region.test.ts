import { describe, expect, it } from "vitest";
import { analyzeFarm } from "../../../src/farm/analyze-farm.ts";
import { readFarm } from "../../../src/farm/read-farm.ts";
import { leanOnRegion, makeRegion, namedEvidence, shareEvidence } from "../../../src/farm/region.ts";
import { measuresOf } from "../../../src/numbers/measures.ts";
import { csvTables } from "../../../src/tell/csv/index.ts";
import { nextTable } from "../../../src/tell/html/next-table.ts";
import { otherGroundLine } from "../../../src/tell/wording/elsewhere.ts";
import { recommendedSentence } from "../../../src/tell/wording/recommended.ts";
import { riseShapes } from "../../../src/model/forms/believable-curve.ts";
import type { Region } from "../../../src/vocabulary/region.ts";
import type { Optimum } from "../../../src/vocabulary/result.ts";
import { TrialError } from "../../../src/vocabulary/trial.ts";
import { stripsOfFarm } from "../../fixtures/region-farms.ts";

const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);
const asJson = (value: unknown, name = "evidence.json") => ({ name, bytes: bytes(JSON.stringify(value)) });

const farmOf = (text: string, lots?: string) =>
  readFarm([
    { name: "strips.csv", bytes: bytes(text), as: "strips" },
    ...(lots === undefined ? [] : [{ name: "lots.csv", bytes: bytes(lots), as: "lots" as const }]),
  ]);
const sharedBy = async (text: string) => shareEvidence([await farmOf(text)]);
const neighbours = (count: number, needs: Record<string, number>) =>
  Promise.all(
    Array.from({ length: count }, async (_, i) =>
      namedEvidence(asJson(await sharedBy(stripsOfFarm(i + 10, needs)), `farm-${i}.json`)),
    ),
  ).then((all) => all.flat());
/** A region made once for all tests that ask for it; each gets a copy to change. */
const madeOnce = (make: () => Promise<Region>): (() => Promise<Region>) => {
  let made: Promise<Region> | null = null;
  return async () => structuredClone(await (made ??= make()));
};

describe("what a farm shares", () => {
  it("is the same from a farm of another name, field and yield level", async () => {
    const one = stripsOfFarm(1, { Alder: 1.3 }, { field: "North" });
    const other = one
      .replaceAll(",North,", ",Where the old mill stood,")
      .split("\n")
      .map((line, i) => (i === 0 ? line : line.replace(/[\d.]+$/, (value) => String(Number(value) * 0.7))))
      .join("\n");
    const [a, b] = [await sharedBy(one), await sharedBy(other)];
    expect(JSON.stringify(b)).not.toContain("mill");
    expect(b.farms[0]!.sums[0]!.cross.map((value) => Number(value.toPrecision(5)))).toEqual(
      a.farms[0]!.sums[0]!.cross.map((value) => Number(value.toPrecision(5))),
    );
  });

  it("comes back from its file as it was", async () => {
    const evidence = await sharedBy(stripsOfFarm(2, { Alder: 1.2, Birch: 1.5 }));
    expect(namedEvidence(asJson(evidence)).map(({ farm }) => farm)).toEqual(evidence.farms);
  });

  it.each([
    ["a rate that falls", (sums: { ratesSeedsPerM2: number[] }) => sums.ratesSeedsPerM2.reverse(), "rise"],
    [
      "a rate that explains too much",
      (sums: { cross: number[] }) => (sums.cross = [9, -9, 0, 0, 0]),
      "explain",
    ],
    ["fewer weights", (sums: { weight: number[] }) => sums.weight.pop(), "There must be 15"],
    ["a text for a number", (sums: { total: unknown }) => (sums.total = "lots"), "must be a number"],
    [
      "no counts",
      (sums: { counts?: unknown }) => delete sums.counts,
      "entry 1, counts: it is missing. It must",
    ],
    ["a year of no farm", (sums: { season: number }) => (sums.season = 99_999), "season"],
  ])("is refused with %s", async (_, spoil, says) => {
    const evidence = await sharedBy(stripsOfFarm(3, { Alder: 1.2 }));
    spoil(evidence.farms[0]!.sums[0]! as never);
    expect(() => namedEvidence(asJson(evidence))).toThrow(TrialError);
    expect(() => namedEvidence(asJson(evidence))).toThrow(says);
  });
});

describe("a region", () => {
  it("has the same bytes for any order and partition of its farms", async () => {
    const farms = await neighbours(6, { Alder: 1.3, Birch: 1.6 });
    const region = JSON.stringify(makeRegion(farms).region);
    expect(JSON.stringify(makeRegion([...farms].reverse()).region)).toBe(region);
    const parts = [farms.slice(0, 2), farms.slice(2)].map((some) =>
      asJson({ schema: "stripcurve-evidence-1", crop: "wheat", farms: some.map(({ farm }) => farm) }),
    );
    expect(JSON.stringify(makeRegion(parts.flatMap(namedEvidence)).region)).toBe(region);
  });

  it("leaves out a variety of few farms, and says so", async () => {
    const farms = [...(await neighbours(5, { Alder: 1.3 })), ...(await neighbours(1, { Birch: 1.3 }))];
    const { region } = makeRegion(farms);
    expect(region.varieties.map(({ variety }) => variety)).toEqual(["Alder"]);
    expect(region.leftOut).toEqual([{ variety: "Birch", farms: 1 }]);
  });

  it("counts strips once that come in two files, and says whose", async () => {
    const farms = await neighbours(5, { Alder: 1.3 });
    const twice = makeRegion([...farms, { ...farms[0]!, name: "again.json" }]);
    expect(twice.region).toEqual(makeRegion(farms).region);
    expect(twice.remarks.join()).toContain("count once");
  });

  it("keeps names apart that are probably one, and says so", async () => {
    const farms = [
      ...(await neighbours(5, { "Alder Red": 1.3 })),
      ...(await neighbours(1, { "Aldder Red": 1.3, Birch: 1.5 })).map((one) => ({
        ...one,
        name: "other.json",
      })),
    ];
    const { region, remarks } = makeRegion(farms);
    expect(region.varieties.map(({ variety, farms: count }) => [variety, count])).toEqual([["Alder Red", 5]]);
    expect(remarks).toEqual([
      expect.stringContaining(
        '"Alder Red" (five farms) and "Aldder Red" (one farm) are probably one variety',
      ),
    ]);
  });

  it("refuses crops mixed", async () => {
    const farms = await neighbours(2, { Alder: 1.3 });
    expect(() => makeRegion([farms[0]!, { ...farms[1]!, crop: "barley" }])).toThrow("barley");
  });
});

/** The same variety on level ground and on the hill, where it needs so much less; water of each season [mm]. */
function onTwoGrounds(
  farm: number,
  { hillNeeds = 0.75, words = ["Level", "hill top"], water = "" } = {},
): string {
  const rowsOn = (word: string, need: number, seed: number): string[] =>
    stripsOfFarm(seed, { Alder: need }, { field: word })
      .split("\n")
      .slice(1)
      .map((line) => `${line},${word}${water === "" ? "" : `,${water}`}`);
  return [
    `variety,season,field,block,rate (million/ac),yield (bu/ac),ground${water === "" ? "" : ",water (mm)"}`,
    ...rowsOn(words[0]!, 1.4, 2 * farm),
    ...(words.length < 2 ? [] : rowsOn(words[1]!, 1.4 * hillNeeds, 2 * farm + 1)),
  ].join("\n");
}
const regionOfGrounds = madeOnce(async () => {
  const farms = await Promise.all(
    Array.from({ length: 6 }, async (_, i) =>
      namedEvidence(asJson(await sharedBy(onTwoGrounds(i + 40)), `farm-${i}.json`)),
    ),
  );
  return makeRegion(farms.flat()).region;
});

describe("the ground", () => {
  it("leaves the farm as a kind that many have, and never as the person's own word", async () => {
    const own = await sharedBy(onTwoGrounds(1, { words: ["Behind the mill", "Hill top"] }));
    expect(new Set(own.farms[0]!.sums.map(({ ground }) => ground))).toEqual(new Set(["hill", undefined]));
    expect(JSON.stringify(own)).not.toContain("mill");
    const wet = await sharedBy(onTwoGrounds(1, { water: "317" }));
    // 317 mm are 12.48 in, so 12 in, which are 304.8 mm.
    expect(new Set(wet.farms[0]!.sums.map(({ waterMm }) => waterMm))).toEqual(new Set([304.8]));
  });

  it("does not keep strips from being known again that were shared before it was noted", async () => {
    const noted = namedEvidence(asJson(await sharedBy(onTwoGrounds(2, { words: ["hill"] }))));
    const unnoted = namedEvidence(
      asJson(await sharedBy(onTwoGrounds(2, { words: ["hill"] }).replaceAll(/,[^,\n]*$/gm, ""))),
    );
    expect(makeRegion([...noted, { ...unnoted[0]!, name: "again" }]).remarks.join()).toContain("count once");
  });

  it("changes the need in a region by what its farms show side by side", async () => {
    const { grounds, water } = await regionOfGrounds();
    expect(grounds).toMatchObject([{ ground: "hill", against: "level", farms: 6 }]);
    // The strips were made with a need of 0.75 of that on level ground.
    const { logShift, sd } = grounds[0]!;
    expect(Math.abs(logShift - Math.log(0.75))).toBeLessThan(2 * sd);
    expect(logShift).toBeLessThan(-sd);
    expect(water).toBeNull();
  });

  it("answers what the hill needs for a farm with strips on level ground alone", async () => {
    const region = asJson(await regionOfGrounds());
    const farm = leanOnRegion(await farmOf(onTwoGrounds(77, { words: ["level"] })), region);
    const result = analyzeFarm(farm);
    const [row] = result.next;
    expect(row!.elsewhere).toMatchObject([
      { where: { kind: "ground", ground: "hill", against: "level" }, farms: 6 },
    ]);
    const [there] = row!.elsewhere!;
    const rateOf = (optimum: Optimum): number =>
      optimum.kind === "none" ? NaN : optimum.rateSeedsPerM2 / 247.105;
    // By hand, as above: 360 × (1.8 (1 − r/n)/n − 0.02) = 20 gives r = n − 0.042 n².
    const byHand = (need: number): number => need - 0.042 * need * need;
    const found = rateOf(there!.economicOptimum) / rateOf(row!.economicOptimum);
    const expected = byHand(1.4 * Math.exp(there!.logShift)) / byHand(1.4);
    expect(Math.abs(found / expected - 1)).toBeLessThan(0.05);
    expect(there!.chance).toBeGreaterThan(0.8);
    const line = otherGroundLine(result, measuresOf(result));
    expect(line).toMatch(
      /^And on other ground\? On the hill about \d\d% less seed than on level ground, according to six farms/,
    );
    expect(csvTables(result).find(({ name }) => name === "next-elsewhere.csv")!.text).toMatch(/hill,level/);
  });

  it("is answered for a variety without strips, by the ground of the others' strips", async () => {
    const region = await regionOfGrounds();
    region.varieties.push({ ...region.varieties[0]!, variety: "Birch" });
    const lots = "variety,rate now (seeds/ac),seeds per lb\nBirch,1300000,13000";
    const farm = await farmOf(onTwoGrounds(80, { words: ["level"] }), lots);
    const birch = analyzeFarm(leanOnRegion(farm, asJson(region))).next.find(
      ({ variety }) => variety === "Birch",
    )!;
    expect(birch.elsewhere).toMatchObject([
      { where: { kind: "ground", ground: "hill", against: "level" }, farms: 6 },
    ]);
  });

  it("is told as the region's farms have it where the strips are on both kinds", async () => {
    const both = analyzeFarm(
      leanOnRegion(await farmOf(onTwoGrounds(81, { hillNeeds: 1 })), asJson(await regionOfGrounds())),
    );
    expect(otherGroundLine(both, measuresOf(both))).toMatch(
      /^And what do the region's farms show\? On the hill a variety needs \d\d% less seed than on level ground \(/,
    );
  });

  it("is plainly not known where the region or the strips do not say", async () => {
    const level = await farmOf(onTwoGrounds(78, { words: ["level"] }));
    const unknowing = analyzeFarm(
      leanOnRegion(level, asJson(makeRegion(await neighbours(6, { Alder: 1.3 })).region)),
    );
    expect(unknowing.next[0]!.elsewhere).toBeUndefined();
    expect(otherGroundLine(unknowing, measuresOf(unknowing))).toContain("The region does not know");
    const unnoted = analyzeFarm(
      leanOnRegion(await farmOf(stripsOfFarm(79, { Alder: 1.3 })), asJson(await regionOfGrounds())),
    );
    expect(unnoted.next[0]!.elsewhere).toBeUndefined();
    expect(otherGroundLine(unnoted, measuresOf(unnoted))).toContain("fill in the column ground");
    expect(otherGroundLine(analyzeFarm(level), measuresOf(unnoted))).toBe("");
  });

  it.each([
    [
      "a kind of ground that is not",
      (region: Region) => (region.grounds[0]!.ground = "moon" as "hill"),
      "is one of",
    ],
    ["a shift of no field", (region: Region) => (region.grounds[0]!.logShift = 7), "logShift"],
    ["water that is not told whole", (region: Region) => (region.water = {} as Region["water"]), "water"],
  ])("is refused with %s", async (_, spoil, says) => {
    const region = await regionOfGrounds();
    spoil(region);
    const farm = await farmOf(stripsOfFarm(94, { Alder: 1.3 }));
    expect(() => leanOnRegion(farm, asJson(region))).toThrow(says);
  });
});

describe("a farm in its region", () => {
  const theRegion = madeOnce(async () => makeRegion(await neighbours(8, { Alder: 1.3, Birch: 1.6 })).region);
  const ofRegion = async () => asJson(await theRegion(), "region.json");

  it("gets a row for a variety of its lots that it has no strips of", async () => {
    const lots = "variety,rate now (seeds/ac),seeds per lb\nBirch,1300000,13000";
    const farm = leanOnRegion(await farmOf(stripsOfFarm(99, { Alder: 1.3 }), lots), await ofRegion());
    const row = analyzeFarm(farm).next.find(({ variety }) => variety === "Birch")!;
    expect(row.economicOptimum.kind).toBe("found");
    expect(row.reasons.map(({ code }) => code)).toContain("region-only");
    const alone = analyzeFarm(await farmOf(stripsOfFarm(99, { Alder: 1.3 }), lots));
    expect(alone.next.map(({ variety }) => variety)).toEqual(["Alder"]);
  });

  it("reads what came with a variety beside what the region says of it", async () => {
    const lots =
      "variety,rate now (seeds/ac),seeds per lb,recommended (seeds/ac)\nAlder,1300000,13000,\nBirch,1300000,13000,1250000";
    const farm = leanOnRegion(await farmOf(stripsOfFarm(99, { Alder: 1.3 }), lots), await ofRegion());
    const result = analyzeFarm(farm);
    const [alder, birch] = result.next;
    expect(recommendedSentence(result, alder!, measuresOf(result))).toBe("");
    expect(nextTable(result, measuresOf(result)).text.replaceAll("&#39;", "'")).toMatch(
      /The rate that came with the variety is 1\.25 million seeds\/ac\. By the region's farms the best rate is 1\.\d\d \(80% range/,
    );
    expect(birch!.variety).toBe("Birch");
  });

  it("gets rows though its own strips lie at one rate alone", async () => {
    const lots = "variety,rate now (seeds/ac),seeds per lb\nBirch,1300000,13000";
    const oneRate = stripsOfFarm(93, { Birch: 1.6 })
      .split("\n")
      .filter((line, i) => i === 0 || line.includes(",1.4,"))
      .join("\n");
    const row = analyzeFarm(leanOnRegion(await farmOf(oneRate, lots), await ofRegion())).next[0]!;
    expect(row.variety).toBe("Birch");
    expect(row.economicOptimum.kind).toBe("found");
  });

  it("takes over how strongly a variety answers, not only what it needs", async () => {
    const lots = "variety,rate now (seeds/ac),seeds per lb\nBirch,1300000,13000";
    const farm = await farmOf(stripsOfFarm(92, { Alder: 1.3 }), lots);
    const region = await theRegion();
    const { lossMedian, lossSdLog, noResponseChance } = region.varieties[1]!;
    // The strips were made with 0.9 × 0.4² = 14 % lost at 0.6 of the need.
    expect(Math.abs(Math.log(lossMedian / 0.144))).toBeLessThan(0.35);
    expect(noResponseChance).toBeLessThan(0.001);
    const earlier = farm.settings.priors;
    const response = { lossMedian: earlier.lossMedian, lossSdLog: earlier.lossSdLog };
    const needAlone = {
      ...region,
      varieties: region.varieties.map((one) => ({
        ...one,
        ...response,
        need: one.need.map((part) => ({ ...part, ...response, rises: riseShapes.map(({ share }) => share) })),
        noResponseChance: earlier.noResponseChance,
      })),
    };
    const gainOf = (leanedOn: typeof region): number => {
      const row = analyzeFarm(leanOnRegion(farm, asJson(leanedOn))).next.find(
        ({ variety }) => variety === "Birch",
      )!;
      return row.gainPerHa?.expected ?? 0;
    };
    expect(lossSdLog).toBeLessThan(earlier.lossSdLog);
    expect(gainOf(region)).toBeGreaterThan(1.3 * gainOf(needAlone));
  });

  it("keeps its own answer where its strips say otherwise", async () => {
    const strange = await farmOf(stripsOfFarm(98, { Alder: 1 }, { seasons: [2023, 2024, 2025, 2026] }));
    const rateOf = (farm: Parameters<typeof analyzeFarm>[0]): number => {
      const { economicOptimum } = analyzeFarm(farm).next[0]!;
      return economicOptimum.kind === "none" ? NaN : economicOptimum.rateSeedsPerM2;
    };
    const alone = rateOf(strange) / 247.105;
    const leaning = rateOf(leanOnRegion(strange, await ofRegion())) / 247.105;
    // By hand: 60 bu/ac at $6 × (−0.9 (1 − r)² − 0.02 r) less $20 r is most where 360 × (1.8 (1 − r) − 0.02) = 20: r = 0.958
    // million/ac. In the region, at a need of 1.3: 360 × (1.8 (1 − r / 1.3) / 1.3 − 0.02) = 20, r = 1.229.
    expect(Math.abs(alone - 0.958)).toBeLessThan((1.229 - 0.958) / 2);
    expect(Math.abs(leaning - alone)).toBeLessThan((1.229 - alone) / 5);
  });

  it("hears of a variety that the region knows by another spelling", async () => {
    const { region } = makeRegion(await neighbours(5, { "Alder Red": 1.3 }));
    const farm = await farmOf(stripsOfFarm(95, { "Aldder Red": 1.3 }));
    expect(leanOnRegion(farm, asJson(region)).remarks).toEqual([
      expect.stringMatching(/does not know "Aldder Red", but it knows "Alder Red"/),
    ]);
  });

  it("hears that it counts twice where the region was made with it", async () => {
    const text = stripsOfFarm(96, { Alder: 1.3 });
    const own = namedEvidence(asJson(await sharedBy(text)));
    const { region } = makeRegion([...(await neighbours(5, { Alder: 1.3 })), ...own]);
    const { remarks } = leanOnRegion(await farmOf(text), asJson(region));
    expect(remarks.join()).toContain("count twice");
    expect(leanOnRegion(await farmOf(stripsOfFarm(95, { Alder: 1.3 })), asJson(region)).remarks).toEqual([]);
  });

  it("leans on it as well where the file lies among its own", async () => {
    const strips = stripsOfFarm(91, { Alder: 1.3 });
    const region = await ofRegion();
    const farm = await readFarm([{ name: "strips.csv", bytes: bytes(strips) }, region]);
    expect(farm.files.map(({ as }) => as)).toEqual(["strips", "region"]);
    expect(farm.settings).toEqual(leanOnRegion(await farmOf(strips), region).settings);
    const twice = readFarm([
      { name: "strips.csv", bytes: bytes(strips) },
      region,
      { ...region, name: "other.json" },
    ]);
    await expect(twice).rejects.toThrow(/region.json.*other.json/);
  });

  it("refuses a file that is no region", async () => {
    const farm = await farmOf(stripsOfFarm(94, { Alder: 1.3 }));
    expect(() => leanOnRegion(farm, asJson({ schema: "stripcurve-evidence-1" }))).toThrow("not a region");
    expect(() => leanOnRegion(farm, asJson({ schema: "stripcurve-region-9" }))).toThrow(
      "stripcurve-region-9",
    );
    expect(() => leanOnRegion(farm, { name: "r.json", bytes: bytes('{"schema"') })).toThrow("not a region");
  });
});
