/** What follows from the model at given prices, worked by hand on the curves of `rate/three-curves.ts`. */
import { describe, expect, it } from "vitest";
import {
  chooseOfVariety,
  decide,
  decideAgain,
  decideAgainInSteps,
  doubtOptima,
  type ChoiceGround,
  type Modelled,
} from "../../../src/decide/decide.ts";
import { fitSeasons } from "../../../src/model/seasons/fit-seasons.ts";
import { finding } from "../../../src/messages/finding.ts";
import type { RegionNeeds } from "../../../src/vocabulary/region.ts";
import type {
  Belief,
  FittedVariety,
  Optimum,
  ProteinResponse,
  Result,
  VarietyFit,
  VarietyLodging,
} from "../../../src/vocabulary/result.ts";
import { unknownLot, type Settings } from "../../../src/vocabulary/settings.ts";
import { makeTrial } from "../../make-trial.ts";
import { nothingSeen, proteinSchedule, seasonOf, settings, thinning, three } from "./rate/three-curves.ts";

const ofSeasons = (...seasons: number[]): FittedVariety[] => seasons.map(seasonOf);
const modelledOf = (changes: Partial<Modelled> = {}): Modelled => ({
  fits: ofSeasons(2023, 2024, 2025),
  beliefs: [three],
  pooled: [],
  environments: [],
  ...nothingSeen,
  ...changes,
});
const nextOf = (changes: Partial<Modelled> = {}, more: Partial<Settings> = {}) =>
  decide(modelledOf(changes), { ...settings, ...more }).next[0]!;
const codesOf = ({ reasons }: { reasons: readonly { code: string }[] }): string[] =>
  reasons.map(({ code }) => code);

/**
 * One belief, certain of level and slope: log odds of −0.8416 at 270 seeds/m², 0.05 more for each seed, and a standard deviation
 * of 1 from season to season. Half of a field lodges with a chance of 0.2 at 270 (normal table: 0.8416), with more above.
 */
const lodging: VarietyLodging = {
  variety: "Alder",
  scale: "zero-to-nine",
  strips: 20,
  testedSeedsPerM2: [200, 400],
  centreSeedsPerM2: 270,
  chanceOfAny: 1,
  beliefs: [
    {
      weight: 1,
      level: -0.8416,
      slope: 0.05,
      levelVariance: 0,
      slopeVariance: 1e-12,
      covariance: 0,
      seasonVariance: 1,
    } as VarietyLodging["beliefs"][number],
  ],
  reason: "",
  seen: [2023, 2024].map((season) => ({
    environment: String(season),
    season,
    rates: [
      { rateSeedsPerM2: 250, strips: 3, share: season === 2023 ? 0.6 : 0.1 },
      { rateSeedsPerM2: 350, strips: 3, share: 0.9 },
    ],
  })),
};
const upright: VarietyLodging = { ...lodging, variety: "Birch", reason: "never-lodged", beliefs: [] };
const limits = { lodgingLimit: 0.5, lodgingChance: 0.2, flatZonePerHa: 0 };

describe("the rate to sow", () => {
  const lots = [
    unknownLot("Birch"),
    { ...unknownLot("Alder"), seedsPerKg: 25_000, germination: 0.95, purity: 1 },
  ];
  const late = { bestSeedingDate: "2027-04-20", plannedSeedingDate: "2027-04-24", lateCapSeedsPerM2: 1000 };

  it("is next season's on time, without a lot nor pounds", () => {
    // A tenth of 260 more is 286. The setting's stand loss of 15 % leaves 243.1 plants.
    const next = nextOf();
    expect(next.rateToSowSeedsPerM2).toBeCloseTo(286, 9);
    expect(next.stand!.plantsPerM2).toBeCloseTo(243.1, 6);
    expect(next.sowing).toBeNull();
    expect(next.twoRates).toBeNull();
  });

  it("is more on a late date, and so are pounds and stand", () => {
    const next = nextOf({}, { lots, ...late, latePerDay: 0.01 });
    // Four days at 1 %: 286 × 1.04 = 297.44, of which 25,000 × 0.95 = 23,750 viable ones make a kilogram; 85 % stand.
    expect(next.rateNextSeedsPerM2).toBeCloseTo(286, 9);
    expect(next.rateToSowSeedsPerM2).toBeCloseTo(297.44, 9);
    expect(next.sowing!.kgPerHa).toBeCloseTo(2_974_400 / 23_750, 6);
    expect(next.stand!.plantsPerM2).toBeCloseTo(252.824, 6);
    expect(next.late.plannedDaysLate).toBe(4);
  });

  it("goes no higher than the rates tested, nor than lodging allows", () => {
    // 30 days at 2 %: 286 × 1.6 = 457.6, but 400 is the highest tested.
    expect(nextOf({}, { ...late, latePerDay: 0.02 }).late.rows.at(-1)).toMatchObject({
      rateSeedsPerM2: 400,
      stoppedBy: "tested",
    });
    const lodged = nextOf(
      { lodgingModels: [{ varieties: [upright, lodging] } as never] },
      { ...late, ...limits },
    );
    expect(lodged.late.rows.at(-1)).toMatchObject({ stoppedBy: "lodging" });
    expect(lodged.rateToSowSeedsPerM2).toBeCloseTo(270, 2);
  });

  it("is not told, nor anything that follows from it, where no rate is", () => {
    // Two rates, and nobody said what is sown today.
    const next = nextOf(
      { beliefs: [{ ...three, testedRates: 2 }] },
      { lots, ...late, rateNowSeedsPerM2: null },
    );
    expect(next).toMatchObject({
      rateNextSeedsPerM2: null,
      rateToSowSeedsPerM2: null,
      sowing: null,
      stand: null,
    });
    expect(next.late.rows).toEqual([]);
  });
});

describe("lodging", () => {
  it("holds a variety to its own ceiling, with the seasons in which it lodged at today's rate", () => {
    const next = nextOf({ lodgingModels: [{ varieties: [upright, lodging] } as never] }, limits);
    expect(next.lodgingCeilingSeedsPerM2).toBeCloseTo(270, 2);
    expect(next.rateNextSeedsPerM2).toBeCloseTo(270, 2);
    // 250 is the scored rate next to today's 260: 0.6 and 0.1 in two seasons, 0.5 is the limit.
    expect(next.reasons.find(({ code }) => code === "lodging-ceiling")!.numbers).toEqual({
      rateSeedsPerM2: next.lodgingCeilingSeedsPerM2,
      lodged: 1,
      scored: 2,
    });
  });

  it("of another variety holds nothing", () => {
    const next = nextOf(
      { lodgingModels: [{ varieties: [{ ...lodging, variety: "Birch" }] } as never] },
      limits,
    );
    expect(next.lodgingCeilingSeedsPerM2).toBeNull();
    expect(next.rateNextSeedsPerM2).toBeCloseTo(286, 9);
  });
});

describe("other fields and places", () => {
  const cellAt = (kgPerHa: number): FittedVariety["cells"] => [
    {
      block: "",
      rateSeedsPerM2: 300,
      strips: 1,
      meanYieldKgPerHa: kgPerHa,
    } as FittedVariety["cells"][number],
  ];
  const elsewhere = (changes: Partial<Modelled>): string[] =>
    (nextOf(changes, { region }).elsewhere ?? []).map(({ where }) =>
      where.kind === "ground" ? where.ground : where.kind,
    );
  const shift = { farms: 7, logShift: 0.2, lower: 0, upper: 0.4, sd: 0.1, betweenFarmsSdLog: 0.1 };
  const region: RegionNeeds = {
    farms: 9,
    unlike: [],
    varieties: [],
    grounds: [{ ground: "bottom", against: "hill", ...shift }],
    water: null,
  };
  const onGround = (variety: string, ground: string): FittedVariety => ({
    ...seasonOf(2024),
    variety,
    ground,
  });

  it("have the yield of the variety's own strips there", () => {
    const belief: Belief = { ...three, fields: ["Hill"], fieldShifts: [[0]], chanceFieldsDiffer: 0.9 };
    const onHill = { ...seasonOf(2024), environment: "2024 Hill" };
    const byField = (fits: FittedVariety[]) => nextOf({ beliefs: [belief], fits }).byField!.fields[0]!;
    const own = byField([{ ...onHill, cells: cellAt(4000) }]);
    const others = byField([
      { ...onHill, variety: "Birch", cells: cellAt(9000) },
      { ...onHill, cells: cellAt(4000) },
    ]);
    // At 9,000 kg/ha more seed would pay.
    expect(others).toEqual(own);
    expect(byField([{ ...onHill, cells: cellAt(9000) }])).not.toEqual(own);
  });

  it("are compared with the ground of the variety's own strips", () => {
    expect(elsewhere({ fits: [onGround("Birch", "bottom"), onGround("Alder", "hill")] })).toEqual(["bottom"]);
  });

  it("are compared with the others' ground where it has no strips", () => {
    const beliefs = [{ ...three, strips: 0 }];
    expect(elsewhere({ beliefs, fits: [onGround("Birch", "hill")] })).toEqual(["bottom"]);
    expect(elsewhere({ fits: [onGround("Birch", "hill")] })).toEqual([]);
  });
});

describe("drawn curves", () => {
  const kinds = (belief: Belief, more: Partial<Settings> = {}): string[] =>
    decide(modelledOf({ beliefs: [belief] }), { ...settings, ...more }).curves.map(({ kind }) => kind);

  it("are of yield and money from three rates on", () => {
    expect(kinds(three)).toEqual(["response", "net-return", "gain"]);
    expect(kinds({ ...three, testedRates: 3 })).toEqual(["response", "net-return", "gain"]);
    expect(kinds({ ...three, testedRates: 2 })).toEqual([]);
  });

  it("are of yield alone where rates are not told apart", () => {
    // No response is likelier than all else, and today's rate is the best one.
    const flat = { ...three, noResponseChance: 0.6 };
    expect(kinds(flat, { rateNowSeedsPerM2: 300 })).toEqual(["response"]);
    expect(nextOf({ beliefs: [flat] }, { rateNowSeedsPerM2: 300 })).toMatchObject({
      evidence: "none",
      flatZone: null,
      economicOptimum: { kind: "none", reason: "no-response" },
    });
  });
});

describe("what a variety's choice is taken from", () => {
  const nothing: ChoiceGround = { protein: [], lodgings: [], fits: [], pooled: [] };
  const chosen = (ground: Partial<ChoiceGround>, more: Partial<Settings> = {}, belief = three) =>
    chooseOfVariety(belief, { ...nothing, ...ground }, { ...settings, ...more });
  const fitOf = (variety: string, season: number, cells: FittedVariety["cells"] = []): VarietyFit =>
    ({
      ...seasonOf(season),
      variety,
      environment: `${season} ${variety}`,
      cells,
      prices: null,
      resistant: null,
    }) as VarietyFit;

  it("are its own seasons, each counted once", () => {
    const own = [fitOf("Alder", 2024), fitOf("Alder", 2024)];
    expect(codesOf(chosen({ fits: [fitOf("Birch", 2023), ...own] }).choice)).toContain("one-season");
    expect(codesOf(chosen({ fits: [fitOf("Alder", 2023), ...own] }).choice)).not.toContain("one-season");
  });

  it("is its own protein", () => {
    const response: ProteinResponse = {
      variety: "Birch",
      strips: 20,
      centreSeedsPerM2: 300,
      slopePctPerSeedPerM2: 0,
      ownSlope: null,
      levels: [{ environment: "2024", proteinPct: 13 }],
    };
    const proteinSchedule = [{ proteinPct: 12, premiumPerKg: 0.05 }];
    const grain = (...protein: ProteinResponse[]): number =>
      chosen({ protein }, { proteinSchedule }).net.prices.grainPerKg[0]!;
    expect(grain(response)).toBe(0.2);
    expect(grain(response, { ...response, variety: "Alder" })).toBeCloseTo(0.25, 12);
  });

  it("is its own lodging, which costs money", () => {
    const cost = (...lodgings: VarietyLodging[]): number =>
      chosen({ lodgings }, { lodgingCostPerHa: 100 }).net.prices.costPerHa[0]!;
    // At 200 seed alone is 60.
    expect(cost({ ...lodging, variety: "Birch" })).toBeCloseTo(60, 9);
    expect(cost(upright, lodging)).toBeGreaterThan(60);
  });

  it("is held against its own pooled quadratic", () => {
    const far: Optimum = { kind: "found", rateSeedsPerM2: 1000, lower: 900, upper: 1100, reason: "interval" };
    const pooled = (variety: string, ...forms: [form: string, economicOptimum: Optimum][]) =>
      ({ variety, forms: forms.map(([form, economicOptimum]) => ({ form, economicOptimum })) }) as never;
    const near: Optimum = { ...far, rateSeedsPerM2: 300, lower: 200, upper: 400 };
    const codes = (...all: ChoiceGround["pooled"]) => codesOf(chosen({ pooled: all }).choice);
    expect(codes(pooled("Alder", ["linear", near], ["quadratic", far]))).toContain("readings-disagree");
    expect(codes(pooled("Birch", ["quadratic", far]))).not.toContain("readings-disagree");
    expect(codes(pooled("Alder", ["linear", far]))).not.toContain("readings-disagree");
    expect(codes(pooled("Alder", ["linear", far], ["quadratic", near]))).not.toContain("readings-disagree");
  });

  it("is not held against it where quality counts in money, of which the pooled curve knows nothing", () => {
    const far: Optimum = { kind: "found", rateSeedsPerM2: 1000, lower: 900, upper: 1100, reason: "interval" };
    const pooled = [{ variety: "Alder", forms: [{ form: "quadratic", economicOptimum: far }] }] as never;
    const protein = ["Alder", "Birch"].map(thinning);
    const disagrees = (ground: Partial<ChoiceGround>, more: Partial<Settings>): boolean =>
      codesOf(chosen({ pooled, ...ground }, more).choice).includes("readings-disagree");
    expect(disagrees({ protein }, { proteinSchedule })).toBe(false);
    expect(disagrees({ protein: [protein[1]!] }, { proteinSchedule })).toBe(true);
    expect(disagrees({ protein }, {})).toBe(true);
    expect(disagrees({ lodgings: [lodging] }, { lodgingCostPerHa: 1 })).toBe(false);
    expect(disagrees({ lodgings: [lodging] }, { lodgingCostPerHa: 0 })).toBe(true);
  });

  describe("at two rates", () => {
    // 300 yields 90 to 110 kg/ha less than 250: with the seed it costs (20 + 15) a hectare, and that surely.
    const pair = (season: number, less: number): VarietyFit =>
      fitOf(
        "Alder",
        season,
        [250, 300].map((rateSeedsPerM2, i) => ({
          block: "1",
          rateSeedsPerM2,
          strips: 1,
          meanYieldKgPerHa: 4000 - i * less,
        })) as FittedVariety["cells"],
      );
    const fits = [pair(2023, 90), pair(2024, 100), pair(2025, 110)];
    const belief = { ...three, testedRates: 2 };
    const ofTwo = (more: Partial<Settings> = {}, of = belief) =>
      chosen({ fits }, { rateNowSeedsPerM2: 300, ...more }, of);
    const held = (lowestRateSeedsPerM2: number) => ofTwo({ lowestRateSeedsPerM2 });

    it("is their difference", () => {
      // A tenth of 300 less.
      const { choice, twoRates } = ofTwo();
      expect(choice.rateNextSeedsPerM2).toBe(270);
      expect(choice.evidence).toBe("strong");
      expect(twoRates).toMatchObject({ lowerSeedsPerM2: 250, higherSeedsPerM2: 300, environments: 3 });
    });

    it("is the curve where other strips had a third rate", () => {
      // 300 is the curve's best.
      const { choice, twoRates } = ofTwo({}, three);
      expect(choice.rateNextSeedsPerM2).toBe(300);
      expect(choice.flatZone).not.toBeNull();
      expect(twoRates).toMatchObject({ gainPerHa: expect.closeTo(-35, 9) as number });
    });

    it("is nothing where the strips hold no pair", () => {
      const { choice, twoRates } = chosen({}, {}, belief);
      expect(twoRates).toBeNull();
      expect(choice).toMatchObject({ evidence: "none", flatZone: null, rateNextSeedsPerM2: 260 });
    });

    it("goes as low as a person accepts, and else stays", () => {
      expect(held(269).choice).toEqual(ofTwo().choice);
      expect(held(270).choice).toEqual(ofTwo().choice);
      const { choice, twoRates } = held(271);
      expect(choice).toMatchObject({
        rateNextSeedsPerM2: 300,
        chanceOfGain: null,
        gainPerHa: null,
        intervals: [],
      });
      expect(choice.reasons.at(-1)).toEqual({ code: "lowest-rate", numbers: { rateSeedsPerM2: 271 } });
      expect(twoRates).toMatchObject({ gainPerHa: expect.closeTo(-35, 9) as number });
    });

    it("goes up to what a person accepts at once", () => {
      // Today's 240 lies below both, where two rates say nothing: it would stay, but for the least that is accepted.
      const { choice } = ofTwo({ rateNowSeedsPerM2: 240, lowestRateSeedsPerM2: 245 });
      expect(choice.rateNextSeedsPerM2).toBe(245);
    });

    it("takes the lowest rate of the variety's own lot", () => {
      const lots = [
        { ...unknownLot("Birch"), lowestRateSeedsPerM2: 290 },
        { ...unknownLot("Alder"), lowestRateSeedsPerM2: 200 },
      ];
      expect(ofTwo({ lots }).choice.rateNextSeedsPerM2).toBe(270);
      const binds = [lots[0]!, { ...lots[1]!, lowestRateSeedsPerM2: 271 }];
      expect(ofTwo({ lots: binds }).choice.rateNextSeedsPerM2).toBe(300);
      expect(ofTwo({ lots: [lots[0]!], lowestRateSeedsPerM2: null }).choice.rateNextSeedsPerM2).toBe(270);
    });

    it("names no rate where they are alike and today's is not known, whatever a person accepts", () => {
      const alike = [pair(2023, 200), pair(2024, -200)];
      const { choice, twoRates } = chosen(
        { fits: alike },
        { rateNowSeedsPerM2: null, lowestRateSeedsPerM2: 280 },
        belief,
      );
      expect(choice.rateNextSeedsPerM2).toBeNull();
      expect(codesOf(choice)).toContain("two-rates-alike");
      expect(twoRates).toMatchObject({ gainPerHa: null });
    });
  });
});

describe("another price", () => {
  // A parabola about 300 in two blocks, but for one strip that yields 600 kg/ha too much at the end.
  const trial = makeTrial(
    ["A", "B"].flatMap((block) =>
      [150, 200, 250, 300, 350, 400, 450].map((rate, i) => ({
        block,
        rateSeedsPerM2: rate,
        yieldKgPerHa:
          5000 -
          0.02 * (rate - 300) ** 2 +
          (block === "A" ? 1 : -1) * [12, -16, 9, 14, -20, 8, -7][i]! +
          (block === "A" && rate === 450 ? 600 : 0),
      })),
    ),
  );
  const { fits, strips } = fitSeasons(trial, settings);
  const modelled = modelledOf({ fits, beliefs: [three, { ...three, variety: "Birch" }] });
  const free = { ...settings, seedPricePerThousand: 0 };
  // The strip pulls the quadratic upward, which the resistant fit does not follow.
  const asIs = {
    ...modelled,
    ...decide(modelled, free),
    settings: free,
    strips,
    varieties: ["Alder", "Birch"],
  };
  const stale = ["strip-moves-optimum", "outliers-drive-optimum"].map((code) =>
    finding("doubt", code, "of an older price"),
  );
  const lasting = [finding("note", "strips-thinned", "a note"), finding("stops", "too-few-rates", "a stop")];
  const result = { ...asIs, findings: [...lasting, ...stale] } as unknown as Result;

  it("is doubted by the strips and fits that it makes doubtful", () => {
    const calm = asIs.fits.map((fit) => ({ ...fit, resistant: null }));
    const codes = (...of: Parameters<typeof doubtOptima>) =>
      doubtOptima(...of).map(({ code, row }) => (row === null ? code : `${code} ${row}`));
    expect(codes(calm, [], free)).toEqual([]);
    expect(codes(calm, strips, free)).toEqual(["strip-moves-optimum 8"]);
    expect(codes(asIs.fits, [], free)).toEqual(["outliers-drive-optimum"]);
    expect(codes(asIs.fits, strips, free)).toEqual(["strip-moves-optimum 8", "outliers-drive-optimum"]);
  });

  it("leaves what was read and checked, and says anew what is doubtful, most serious first", () => {
    const again = decideAgain(result, free);
    expect(again.findings.map(({ severity, code, row }) => [severity, code, row])).toEqual([
      ["stops", "too-few-rates", null],
      ["doubt", "strip-moves-optimum", 8],
      ["doubt", "outliers-drive-optimum", null],
      ["note", "strips-thinned", null],
    ]);
    expect(again.varieties).toEqual(["Alder", "Birch"]);
    expect(again.strips).toBe(strips);
    // A hundred times the price of grain: the optimum is the lowest rate, whatever one strip does.
    const dear = decideAgain(result, { ...free, seedPricePerThousand: 20 });
    expect(dear.settings.seedPricePerThousand).toBe(20);
    expect(dear.findings.map(({ code }) => code)).toEqual(["too-few-rates", "strips-thinned"]);
    expect(dear.next.map(({ economicOptimum }) => economicOptimum.kind)).toEqual(["at-edge", "at-edge"]);
  });

  it("is the same as if it had been there from the start", () => {
    const dear = { ...free, seedPricePerThousand: 0.03 };
    const { next, curves, seasons, fits: priced } = decide(modelled, dear);
    expect(decideAgain(result, dear)).toMatchObject({ next, curves, seasons, fits: priced });
  });

  it("pauses before each variety", () => {
    const steps = decideAgainInSteps(result, free);
    expect([1, 2, 3].map(() => steps.next().done)).toEqual([false, false, true]);
  });
});
