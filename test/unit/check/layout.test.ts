import { sampleRankCorrelation } from "simple-statistics";
import { describe, expect, it } from "vitest";
import { checkTrial } from "../../../src/check/index.ts";
import { positionCorrelation } from "../../../src/check/positions.ts";
import { defaultSettings, defaultUnits } from "../../../src/vocabulary/settings.ts";
import { toLodgingScore } from "../../../src/numbers/lodging-scales.ts";
import type { Strip } from "../../../src/vocabulary/trial.ts";
import { makeBlocks, makeStrip, makeTrial, soundOrders } from "./make-strips.ts";

const findingsOf = (strips: Strip[]) => checkTrial(makeTrial(strips), defaultSettings, defaultUnits).findings;
const codesOf = (strips: Strip[]): string[] => findingsOf(strips).map(({ code }) => code);
const secondSeason = makeBlocks(soundOrders, { season: 2025 });
const second = (differing: Partial<Strip>): Strip[] =>
  makeBlocks(soundOrders, { season: 2025, ...differing });

describe("a sound layout", () => {
  it("gives no doubt", () => {
    const doubts = findingsOf([...makeBlocks(soundOrders), ...secondSeason]).filter(
      ({ severity }) => severity !== "note",
    );
    expect(doubts).toEqual([]);
  });
});

describe("rates", () => {
  it("one everywhere has no answer", () => {
    const strips = [2024, 2025].flatMap((season) => makeBlocks([[300], [300]], { season }));
    expect(findingsOf(strips)).toContainEqual(
      expect.objectContaining({ code: "one-rate", severity: "stops" }),
    );
  });

  it("the same of many varieties is one line", () => {
    const strips = ["A", "B", "C", "D", "E", "F"].flatMap((variety) =>
      [2024, 2025].flatMap((season) => makeBlocks([[300], [300]], { season, variety })),
    );
    const told = findingsOf(strips).filter(({ code }) => code === "one-rate");
    expect(told.map(({ message }) => message)).toEqual([
      expect.stringMatching(/^A, B, C, D and 2 more were sown at one rate only \(.*\), so their responses/),
    ]);
  });

  it("several times in one block everywhere ask for the numbers of the replicates", () => {
    const one = (block: string): Strip[] =>
      [2024, 2025].flatMap((season) =>
        makeBlocks(
          soundOrders.map((rates) => [...rates]),
          { season, block, position: null },
        ),
      );
    const told = (strips: Strip[]) => findingsOf(strips).find(({ code }) => code === "one-block");
    expect(told(one("1"))?.message).toMatch(
      /^Each rate of Ostrindel occurs three times in block 1 of 2024 North and 2025 North, and there is no other block/,
    );
    expect(told([...makeBlocks(soundOrders), ...secondSeason])).toBeUndefined();
    expect(told(one(""))).toBeUndefined();
  });

  it("one in an environment is told beside others", () => {
    const codes = codesOf([...makeBlocks([[300], [300]]), ...secondSeason]);
    expect(codes).toContain("one-rate-in-environment");
    expect(codes).not.toContain("one-rate");
  });

  it("two are too few for the bent forms, three cannot be checked", () => {
    // Besag & Kempton 1986, Biometrics 42:231–251: triticale at two seeding rates; no curve can be asked of it.
    const two = findingsOf(
      makeBlocks([
        [125, 150],
        [150, 125],
      ]),
    ).find(({ code }) => code === "few-rates");
    expect(two?.message).toContain("quadratic, linear-plateau and quadratic-plateau");
    expect(
      codesOf(
        makeBlocks([
          [200, 300, 400],
          [300, 400, 200],
        ]),
      ),
    ).toContain("three-rates");
  });

  it("within 1 % are one rate", () => {
    const strips = makeBlocks([
      [200, 300, 400, 250],
      [301, 398.5, 252, 201],
    ]);
    expect(codesOf([...strips, ...secondSeason])).not.toContain("unreplicated");
  });

  it("that do not overlap between seasons are pointed at", () => {
    const apart = [
      ...makeBlocks([
        [100, 150, 200, 180],
        [150, 200, 180, 100],
      ]),
      ...second({ rateSeedsPerM2: 300 }),
    ];
    const told = findingsOf([...apart, ...makeBlocks([[300, 400]], { season: 2026 })]).find(
      ({ code }) => code === "rates-do-not-overlap",
    );
    expect(told?.message).toContain("2024 North (0.40 million seeds/ac to 0.81 million seeds/ac)");
    expect(told?.message).toContain("2025 North (1.21 million seeds/ac)");
  });
});

describe("replicates and blocks", () => {
  it("one strip a rate: the error cannot be known, and that is said", () => {
    const told = findingsOf([...makeBlocks([[200, 350, 250, 400]]), ...secondSeason]).find(
      ({ code }) => code === "unreplicated",
    );
    expect(told?.message).toContain("does not show how much strips at the same rate differ");
  });

  it("replicates without blocks", () => {
    expect(codesOf(makeBlocks(soundOrders, { block: "", position: null }))).toContain(
      "replicates-without-blocks",
    );
  });

  it("a missing and a repeated strip are named with block and rate", () => {
    const strips = makeBlocks(soundOrders).filter(
      (strip) => strip.block !== "2" || strip.rateSeedsPerM2 !== 250,
    );
    const repeated = makeStrip({ block: "3", position: 6, rateSeedsPerM2: 400, yieldKgPerHa: 4321 });
    const told = findingsOf([...strips, repeated]).find(({ code }) => code === "unbalanced-blocks");
    expect(told?.message).toContain("block 2 lacks 1.01 million seeds/ac");
    expect(told?.message).toContain("block 3 has more strips of 1.62 million seeds/ac");
  });
});

describe("seasons", () => {
  it("one season is not many", () => {
    expect(codesOf(makeBlocks(soundOrders))).toContain("one-season");
    expect(codesOf([...makeBlocks(soundOrders), ...secondSeason])).not.toContain("one-season");
  });

  it("a variety seen in one environment only", () => {
    const told = findingsOf([
      ...makeBlocks(soundOrders),
      ...secondSeason,
      ...second({ variety: "Quavenby" }),
    ]).find(({ code }) => code === "variety-in-one-environment");
    expect(told?.message).toContain("Quavenby (2025 North)");
    expect(told?.message).not.toContain("Ostrindel");
  });
});

describe("positions", () => {
  const rising = [200, 250, 300, 350, 400];

  it("the rank correlation is Spearman's for one block", () => {
    const rates = [210, 250, 240, 400, 380, 390, 500];
    const strips = rates.map((rateSeedsPerM2, i) => makeStrip({ rateSeedsPerM2, position: 2 * i + 1 }));
    const spearman = sampleRankCorrelation(
      rates.map((_, i) => i),
      rates,
    );
    expect(positionCorrelation([strips])).toBeCloseTo(spearman, 12);
    // By hand: d = 0 1 -1 2 -1 -1 0 gives 1 − 6·8/(7·48) = 6/7.
    expect(positionCorrelation([strips])).toBeCloseTo(6 / 7, 12);
  });

  it("equal rates share their rank", () => {
    const strips = [200, 200, 300, 400].map((rateSeedsPerM2, i) =>
      makeStrip({ rateSeedsPerM2, position: i + 1 }),
    );
    // Ranks 1.5, 1.5, 3, 4 against 1 to 4: 4.5 / √(4.5 · 5).
    expect(positionCorrelation([strips])).toBeCloseTo(4.5 / Math.sqrt(22.5), 12);
  });

  it("one block has no order to repeat", () => {
    expect(codesOf(makeBlocks([[200, 400, 250, 350, 300]]))).not.toContain("rates-in-same-order");
  });

  it("rates in the same order in every block, and rates that rise across the field", () => {
    const codes = codesOf(makeBlocks([rising, rising, rising]));
    expect(codes).toContain("rates-in-same-order");
    expect(codes).toContain("rate-follows-position");
    const there = [200, 400, 250, 350, 300];
    const alike = codesOf(makeBlocks([there, there]));
    expect(alike).toContain("rates-in-same-order");
    expect(alike).not.toContain("rate-follows-position");
  });

  it("up one block and down the next is no direction", () => {
    expect(codesOf(makeBlocks([rising, rising.toReversed()]))).not.toContain("rate-follows-position");
  });

  const side = (variety: string, offset: number, blocks: string[]): Strip[] =>
    makeBlocks(soundOrders).map((strip) => ({
      ...strip,
      variety,
      block: blocks[Number(strip.block) - 1]!,
      position: strip.position! + offset,
    }));

  it("varieties in the same order in every block", () => {
    const fixed = [
      ...side("A", 0, ["1", "2", "3"]),
      ...side("B", 5, ["1", "2", "3"]),
      ...side("C", 10, ["1", "2", "3"]),
    ];
    expect(codesOf(fixed)).toContain("varieties-in-same-order");
    // Two varieties lie alike in two or three blocks by luck often enough.
    expect(codesOf(fixed.filter((strip) => strip.variety !== "C"))).not.toContain("varieties-in-same-order");
    const mixed = fixed.map((strip) =>
      strip.block === "2" && strip.variety !== "C"
        ? { ...strip, position: strip.position! + (strip.variety === "A" ? 5 : -5) }
        : strip,
    );
    expect(codesOf(mixed)).not.toContain("varieties-in-same-order");
  });

  it("each variety on ground of its own", () => {
    const halves = [...makeBlocks([rising]), ...makeBlocks([rising], { variety: "Quavenby" })].map(
      (strip, i) => ({
        ...strip,
        position: i + 1,
      }),
    );
    expect(codesOf(halves)).toContain("varieties-on-own-ground");
  });
});

describe("what was not recorded", () => {
  it("is a note with its consequence", () => {
    const notes = findingsOf(makeBlocks(soundOrders, { position: null })).filter(
      ({ severity }) => severity === "note",
    );
    expect(notes.map(({ code }) => code)).toEqual(
      expect.arrayContaining(["no-position", "no-stand", "no-lodging"]),
    );
    expect(codesOf(makeBlocks(soundOrders))).not.toContain("no-position");
  });

  it("lodging on scales that do not convert is a doubt, on scales that do is none", () => {
    const lodged = (scale: "percent" | "zero-to-nine" | "zero-to-nine-percent", season: number): Strip[] =>
      makeBlocks(soundOrders, { season, lodging: toLodgingScore(scale, 3) });
    expect(codesOf([...lodged("percent", 2024), ...lodged("zero-to-nine", 2025)])).toContain(
      "different-lodging-scales",
    );
    expect(codesOf([...lodged("percent", 2024), ...lodged("zero-to-nine-percent", 2025)])).not.toContain(
      "different-lodging-scales",
    );
  });
});

describe("no strips", () => {
  it("say so and nothing else", () => {
    expect(codesOf([])).toEqual(["no-strips"]);
  });
});
