/** What was known after each season, on the curves of `rate/three-curves.ts`. */
import { describe, expect, it } from "vitest";
import { followLearning } from "../../../src/decide/learning.ts";
import { decide, type Modelled } from "../../../src/decide/decide.ts";
import { nothingSeen, seasonOf, settings, sure, three } from "./rate/three-curves.ts";

const birch = { ...sure, variety: "Birch", strips: 40, environments: 2 };
const modelled: Modelled = {
  fits: [2023, 2025, 2024].map(seasonOf),
  beliefs: [birch, three],
  pooled: [],
  environments: [],
  ...nothingSeen,
};
const decided = decide(modelled, settings);
const untried = { ...three, variety: "Cedar", strips: 0 };
const soFar = [
  { season: 2023, beliefs: [untried, sure] },
  { season: 2024, beliefs: [sure, birch] },
];
const followed = () => followLearning(soFar, modelled, decided, settings);

describe("what was known after each season", () => {
  it("is told of each season in turn, the last as decided now", () => {
    expect(followed().map(({ season }) => season)).toEqual([2023, 2024, 2025]);
    expect(followed().at(-1)!.varieties).toEqual(
      [birch, three].map(({ variety, environments, strips }) => {
        const { yieldOptimum, economicOptimum } = decided.next.find((one) => one.variety === variety)!;
        return { variety, environments, strips, testedSeedsPerM2: [200, 400], yieldOptimum, economicOptimum };
      }),
    );
  });

  it("is the decision on what was believed then, of varieties with strips", () => {
    expect(followed().map(({ varieties }) => varieties.map(({ variety }) => variety))).toEqual([
      ["Alder"],
      ["Alder", "Birch"],
      ["Birch", "Alder"],
    ]);
    // The one curve of `sure` earns most at 300, where a seed less loses 3.3333 × 0.2 − 0.3 = 0.36667 and one more 0.3: by the
    // parabola through the table's neighbours that is 300 + 2.5 × (0.36667 − 0.3) ÷ (0.36667 + 0.3) = 300.25.
    const [alder] = followed()[0]!.varieties;
    expect(alder!.economicOptimum).toMatchObject({
      kind: "found",
      rateSeedsPerM2: expect.closeTo(300.25, 6) as number,
    });
    // Of all three curves it yields most at 400.
    expect(followed().at(-1)!.varieties[1]!.yieldOptimum).toMatchObject({ kind: "at-edge", edge: "highest" });
  });

  it("is nothing yet of a farm without strips", () => {
    const none = followLearning([], { ...modelled, beliefs: [] }, { fits: [], next: [] }, settings);
    expect(none).toEqual([{ season: 0, varieties: [] }]);
  });

  it("is told at today's prices, with all that is known of lodging and protein", () => {
    const protein = [
      {
        variety: "Alder",
        strips: 20,
        centreSeedsPerM2: 300,
        slopePctPerSeedPerM2: 0,
        ownSlope: null,
        levels: [{ environment: "2024", proteinPct: 13 }],
      },
    ];
    // A premium of 0.2 doubles the price: a seed then loses 3.3333 × 0.4 − 0.3 = 1.03333 below 300.
    const [first] = followLearning(soFar, { ...modelled, protein }, decided, {
      ...settings,
      proteinSchedule: [{ proteinPct: 12, premiumPerKg: 0.2 }],
    });
    expect(first!.varieties[0]!.economicOptimum).toMatchObject({
      rateSeedsPerM2: expect.closeTo(300 + (2.5 * (1.0333333 - 0.3)) / 1.3333333, 5) as number,
    });
  });
});
