import { describe, expect, it } from "vitest";
import { analyzeFarm } from "../../../src/farm/analyze-farm.ts";
import { readFarm } from "../../../src/farm/read-farm.ts";
import { leanOnRegion, makeRegion, namedEvidence, shareEvidence } from "../../../src/farm/region.ts";
import { TrialError } from "../../../src/vocabulary/trial.ts";
import { drawNormal, random } from "../../../src/maths/random.ts";

const rates = [0.8, 1.1, 1.4, 1.7, 2];
const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);
const asJson = (value: unknown, name = "evidence.json") => ({ name, bytes: bytes(JSON.stringify(value)) });

/** Strips of an invented farm whose varieties need as many seeds as said, in million/ac. */
function stripsOf(farm: number, needs: Record<string, number>, yieldLevel = 60, field = "North"): string {
  const draw = random(farm, "farm");
  const rows = Object.entries(needs).flatMap(([variety, need]) =>
    [2025, 2026].flatMap((season) =>
      [1, 2, 3].flatMap((block) =>
        rates.map((rate) => {
          const share = 1 - 0.9 * Math.max(0, 1 - rate / need) ** 2 - 0.02 * rate + 0.02 * drawNormal(draw);
          return [variety, season, field, block, rate, (yieldLevel * share).toFixed(4)].join();
        }),
      ),
    ),
  );
  return ["variety,season,field,block,rate (million/ac),yield (bu/ac)", ...rows].join("\n");
}
const farmOf = (text: string, lots?: string) =>
  readFarm([
    { name: "strips.csv", bytes: bytes(text), as: "strips" },
    ...(lots === undefined ? [] : [{ name: "lots.csv", bytes: bytes(lots), as: "lots" as const }]),
  ]);
const sharedBy = async (text: string) => shareEvidence([await farmOf(text)]);
const neighbours = (count: number, needs: Record<string, number>) =>
  Promise.all(
    Array.from({ length: count }, async (_, i) =>
      namedEvidence(asJson(await sharedBy(stripsOf(i + 10, needs)), `farm-${i}.json`)),
    ),
  ).then((all) => all.flat());

describe("what a farm shares", () => {
  it("is the same from a farm of another name, field and yield level", async () => {
    const one = stripsOf(1, { Alder: 1.3 }, 60, "North");
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
    const evidence = await sharedBy(stripsOf(2, { Alder: 1.2, Birch: 1.5 }));
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
    ["a year of no farm", (sums: { season: number }) => (sums.season = 99_999), "season"],
  ])("is refused with %s", async (_, spoil, says) => {
    const evidence = await sharedBy(stripsOf(3, { Alder: 1.2 }));
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

describe("a farm in its region", () => {
  const ofRegion = async () =>
    asJson(makeRegion(await neighbours(8, { Alder: 1.3, Birch: 1.6 })).region, "region.json");

  it("gets a row for a variety of its lots that it has no strips of", async () => {
    const lots = "variety,rate now (seeds/ac),seeds per lb\nBirch,1300000,13000";
    const farm = leanOnRegion(await farmOf(stripsOf(99, { Alder: 1.3 }), lots), await ofRegion());
    const row = analyzeFarm(farm).next.find(({ variety }) => variety === "Birch")!;
    expect(row.economicOptimum.kind).toBe("found");
    expect(row.reasons.map(({ code }) => code)).toContain("region-only");
    const alone = analyzeFarm(await farmOf(stripsOf(99, { Alder: 1.3 }), lots));
    expect(alone.next.map(({ variety }) => variety)).toEqual(["Alder"]);
  });

  it("gets rows though its own strips lie at one rate alone", async () => {
    const lots = "variety,rate now (seeds/ac),seeds per lb\nBirch,1300000,13000";
    const oneRate = stripsOf(93, { Birch: 1.6 })
      .split("\n")
      .filter((line, i) => i === 0 || line.includes(",1.4,"))
      .join("\n");
    const row = analyzeFarm(leanOnRegion(await farmOf(oneRate, lots), await ofRegion())).next[0]!;
    expect(row.variety).toBe("Birch");
    expect(row.economicOptimum.kind).toBe("found");
  });

  it("takes over how strongly a variety answers, not only what it needs", async () => {
    const lots = "variety,rate now (seeds/ac),seeds per lb\nBirch,1300000,13000";
    const farm = await farmOf(stripsOf(92, { Alder: 1.3 }), lots);
    const region = makeRegion(await neighbours(8, { Alder: 1.3, Birch: 1.6 })).region;
    const { lossMedian, lossSdLog, noResponseChance } = region.varieties[1]!;
    // The strips were made with 0.9 × 0.4² = 14 % lost at 0.6 of the need.
    expect(Math.abs(Math.log(lossMedian / 0.144))).toBeLessThan(0.35);
    expect(noResponseChance).toBeLessThan(0.001);
    const earlier = farm.settings.priors;
    const needAlone = {
      ...region,
      varieties: region.varieties.map((one) => ({
        ...one,
        lossMedian: earlier.lossMedian,
        lossSdLog: earlier.lossSdLog,
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
    const strange = await farmOf(stripsOf(98, { Alder: 1 }));
    const rateOf = (farm: Parameters<typeof analyzeFarm>[0]): number => {
      const { economicOptimum } = analyzeFarm(farm).next[0]!;
      return economicOptimum.kind === "none" ? NaN : economicOptimum.rateSeedsPerM2;
    };
    const leaning = rateOf(leanOnRegion(strange, await ofRegion()));
    // By hand: 60 bu/ac at $6 × (−0.9 (1 − r)² − 0.02 r) less $20 r is most where 360 × (1.8 (1 − r) − 0.02) = 20: r = 0.958
    // million/ac. In the region, at a need of 1.3: 360 × (1.8 (1 − r / 1.3) / 1.3 − 0.02) = 20, r = 1.229.
    expect(Math.abs(leaning / 247.105 - 0.958)).toBeLessThan((1.229 - 0.958) / 4);
  });

  it("hears of a variety that the region knows by another spelling", async () => {
    const { region } = makeRegion(await neighbours(5, { "Alder Red": 1.3 }));
    const farm = await farmOf(stripsOf(95, { "Aldder Red": 1.3 }));
    expect(leanOnRegion(farm, asJson(region)).remarks).toEqual([
      expect.stringMatching(/does not know "Aldder Red", but it knows "Alder Red"/),
    ]);
  });

  it("hears that it counts twice where the region was made with it", async () => {
    const text = stripsOf(96, { Alder: 1.3 });
    const own = namedEvidence(asJson(await sharedBy(text)));
    const { region } = makeRegion([...(await neighbours(5, { Alder: 1.3 })), ...own]);
    const { remarks } = leanOnRegion(await farmOf(text), asJson(region));
    expect(remarks.join()).toContain("count twice");
    expect(leanOnRegion(await farmOf(stripsOf(95, { Alder: 1.3 })), asJson(region)).remarks).toEqual([]);
  });

  it("refuses a file that is no region", async () => {
    const farm = await farmOf(stripsOf(94, { Alder: 1.3 }));
    expect(() => leanOnRegion(farm, asJson({ schema: "stripcurve-evidence-1" }))).toThrow("not a region");
    expect(() => leanOnRegion(farm, asJson({ schema: "stripcurve-region-9" }))).toThrow(
      "stripcurve-region-9",
    );
    expect(() => leanOnRegion(farm, { name: "r.json", bytes: bytes('{"schema"') })).toThrow("not a region");
  });
});
