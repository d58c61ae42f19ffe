import { describe, expect, it } from "vitest";
import { drawStand, expectStand } from "../../../../src/decide/drill/stand-bridge.ts";
import type { FarmStand } from "../../../../src/vocabulary/result.ts";

/** Twelve plants in a hundred seeds are lost at 250 seeds/m², and two more for each hundred seeds more. */
const farmStand: FarmStand = {
  ...{ counts: 40, environments: 4, centreSeedsPerM2: 250, standLoss: 0.12, lower: 0.06, upper: 0.2 },
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

describe("the drawn stand", () => {
  const own = (counts: number, environments: number) => {
    const row = {
      ...{ variety: "Alder", counts, rateSeedsPerM2: null, plantsPerM2: null },
      ...{ standLoss: 0.1, lower: 0.05, upper: 0.18 },
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
