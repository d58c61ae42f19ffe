import { describe, expect, it } from "vitest";
import { drawStand, expectStand } from "../../../../src/decide/drill/stand-bridge.ts";
import type { FarmStand } from "../../../../src/vocabulary/result.ts";

/** Twelve plants in a hundred seeds are lost at 250 seeds/m², and two more for each hundred seeds more. */
const farmStand: FarmStand = {
  counts: 40,
  environments: 4,
  centreSeedsPerM2: 250,
  standLoss: 0.12,
  lower: 0.06,
  upper: 0.2,
  perHundredSeeds: { estimate: 0.02, standardError: 0.005, t: 4, df: 36, p: 0.0003 },
  suffices: true,
};
const settings = { standLoss: 0.15 };
const nothingOwn = { stand: [], farmStand };

describe("plants to expect of a rate", () => {
  it("loses more where the rate is higher", () => {
    // At 350, one hundred more than the middle: 0.12 + 0.02 = 0.14, so 350 × 0.86 = 301.
    const high = expectStand("Alder", 350, nothingOwn, settings);
    expect(high.from).toBe("farm");
    expect(high.standLoss).toBeCloseTo(0.14, 12);
    expect(high.plantsPerM2).toBeCloseTo(301, 9);
    // At 200: 0.12 − 0.01 = 0.11, so 200 × 0.89 = 178.
    expect(expectStand("Alder", 200, nothingOwn, settings).plantsPerM2).toBeCloseTo(178, 9);
  });

  it("goes by the setting where the counts do not suffice", () => {
    const few = { stand: [], farmStand: { ...farmStand, suffices: false } };
    // 300 × 0.85.
    expect(expectStand("Alder", 300, few, settings)).toEqual({
      from: "setting",
      standLoss: 0.15,
      plantsPerM2: 255,
    });
    expect(expectStand("Alder", 300, { stand: [], farmStand: null }, settings).from).toBe("setting");
  });

  it("never loses more than nineteen in twenty, nor less than nothing", () => {
    const steep = { ...farmStand, perHundredSeeds: { ...farmStand.perHundredSeeds!, estimate: 1 } };
    expect(expectStand("Alder", 400, { stand: [], farmStand: steep }, settings).standLoss).toBe(0.95);
    expect(expectStand("Alder", 150, { stand: [], farmStand: steep }, settings).standLoss).toBe(0);
  });
});

describe("plants to expect of a variety with counts of its own", () => {
  const row = (variety: string, environment: string | null, standLoss: number) => ({
    variety,
    environment,
    counts: 8,
    rateSeedsPerM2: null,
    plantsPerM2: null,
    standLoss,
    lower: standLoss - 0.05,
    upper: standLoss + 0.05,
  });
  const stand = [
    row("Birch", null, 0.3),
    row("Birch", "2024", 0.3),
    row("Birch", "2025", 0.3),
    row("Alder", "2024", 0.1),
    row("Alder", "2025", 0.1),
    row("Alder", null, 0.1),
  ];

  it("loses its own share at the middle rate, and more where the rate is higher", () => {
    // 0.1 + 0.02 = 0.12 at 350: 350 × 0.88 = 308.
    const own = expectStand("Alder", 350, { stand, farmStand }, settings);
    expect(own.from).toBe("variety");
    expect(own.standLoss).toBeCloseTo(0.12, 12);
    expect(own.plantsPerM2).toBeCloseTo(308, 9);
  });

  it("goes by the farm where only other varieties were counted", () => {
    const others = stand.filter(({ variety }) => variety === "Birch");
    expect(expectStand("Alder", 250, { stand: others, farmStand }, settings)).toMatchObject({
      from: "farm",
      standLoss: 0.12,
    });
    expect(drawStand("Alder", [200, 400], { stand: others, farmStand }, settings).points[0]).toMatchObject({
      lower: null,
      upper: null,
    });
  });

  it("is drawn with the band of its own seasons to come, rate by rate", () => {
    const { points } = drawStand("Alder", [200, 400], { stand, farmStand }, settings);
    expect(points).toHaveLength(21);
    // At 300, the eleventh: 0.1 + 0.01 lost of 300 leaves 267, 15 more or less in a season of 5 % less or more loss.
    expect(points[10]).toEqual({
      rateSeedsPerM2: 300,
      value: expect.closeTo(267, 9) as number,
      lower: expect.closeTo(252, 9) as number,
      upper: expect.closeTo(282, 9) as number,
    });
  });

  it("has a band on the side that is known", () => {
    const open = [{ ...row("Alder", null, 0.1), lower: null, upper: 0.15 }];
    expect(drawStand("Alder", [200, 400], { stand: open, farmStand }, settings).points[0]!.upper).toBeNull();
    const other = [{ ...row("Alder", null, 0.1), lower: 0.05, upper: null }];
    expect(drawStand("Alder", [200, 400], { stand: other, farmStand }, settings).points[0]!.lower).toBeNull();
  });
});

describe("the drawn stand", () => {
  const own = (counts: number, environments: number) => {
    const row = {
      variety: "Alder",
      counts,
      rateSeedsPerM2: null,
      plantsPerM2: null,
      standLoss: 0.1,
      lower: 0.05,
      upper: 0.18,
    };
    return {
      stand: [null, ...Array.from({ length: environments }, (_, i) => String(2020 + i))].map(
        (environment) => ({
          ...row,
          environment,
        }),
      ),
      farmStand: { ...farmStand, perHundredSeeds: null },
    };
  };

  it("has fewer plants at the lower edge of its band, which is the season of most loss", () => {
    const { points } = drawStand("Alder", [200, 400], own(12, 3), settings);
    const last = points.at(-1)!;
    // 400 × 0.9 = 360; a season of 18 % loss leaves 328, one of 5 % leaves 380.
    expect(last.rateSeedsPerM2).toBe(400);
    expect(last.value).toBeCloseTo(360, 9);
    expect(last.lower).toBeCloseTo(328, 9);
    expect(last.upper).toBeCloseTo(380, 9);
  });

  it.each([
    ["eight counts in two environments", 8, 2, "variety"],
    ["seven counts", 7, 2, "farm"],
    ["one environment", 8, 1, "farm"],
  ])(
    "rests on the variety's own loss from eight counts in two environments on: %s",
    (_, counts, places, from) => {
      expect(expectStand("Alder", 300, own(counts, places), settings).from).toBe(from);
    },
  );
});
