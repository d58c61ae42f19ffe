import { describe, expect, it } from "vitest";
import { oddVarietyShare } from "../../../../src/model/beliefs/lean-on-region.ts";
import { neverFalls } from "../../../../src/model/region/falls-over-farms.ts";

const priors = { noDeclineChance: 0.4 };

describe("whether yield falls, over farms", () => {
  it("is what is stated where no farm says anything", () => {
    expect(neverFalls([], priors)).toBeCloseTo(0.4, 12);
    expect(neverFalls([{ never: 0.3, falls: 0.3 }], priors)).toBeCloseTo(0.4, 12);
  });

  it("is Bayes' rule by hand for one farm", () => {
    // Odds 0.4 : 0.6 before; an odd variety leaves 0.4 × 0.9 + 0.6 × 0.3 = 0.54 under both.
    const heard = (own: number): number => (1 - oddVarietyShare) * own + oddVarietyShare * 0.54;
    const never = 0.4 * heard(0.9);
    expect(neverFalls([{ never: 0.9, falls: 0.3 }], priors)).toBeCloseTo(
      never / (never + 0.6 * heard(0.3)),
      12,
    );
  });

  it("is surer with every farm that says the same, and not decided by one that is certain", () => {
    const farm = { never: 0.6, falls: 0.4 };
    const many = neverFalls(Array(10).fill(farm), priors);
    expect(many).toBeGreaterThan(neverFalls([farm], priors));
    expect(neverFalls([...Array(10).fill(farm), { never: 0, falls: 1 }], priors)).toBeGreaterThan(0.05);
  });

  it("is not brought beyond numbers by farms that believe in neither", () => {
    expect(neverFalls(Array(400).fill({ never: 0, falls: 0 }), priors)).toBeCloseTo(0.4, 9);
  });
});
