import { describe, expect, it } from "vitest";
import { defaultSettings } from "../../../src/vocabulary/settings.ts";
import { measuresOf } from "../../../src/numbers/measures.ts";
import { reasonSentence } from "../../../src/tell/wording/reasons.ts";
import { varietySentences } from "../../../src/tell/wording/variety.ts";
import { makeResult } from "../../fixtures/result.ts";

const result = makeResult();
const measures = measuresOf(result);
const next = result.next.find(({ lodgingCeilingSeedsPerM2 }) => lodgingCeilingSeedsPerM2 !== null)!;
const said = (change: Partial<typeof result>): string =>
  varietySentences({ ...result, ...change }, next, measures).join("\n");

describe("what was seen between seeding and harvest, in words", () => {
  it("tells in how many seasons lodging was too much", () => {
    const reason = (lodged: number, scored: number) => ({
      code: "lodging-ceiling" as const,
      numbers: { rateSeedsPerM2: 300, lodged, scored },
    });
    expect(reasonSentence(reason(2, 3), measures)).toBe(
      "Lodging in two of three seasons: no more than 1.21 million.",
    );
    expect(reasonSentence(reason(1, 1), measures)).toContain("Lodging in one season:");
    expect(reasonSentence(reason(0, 3), measures)).toBe("Lodging allows no more than 1.21 million.");
  });

  it("does not call the lowest rate safe where even that lodges too often", () => {
    const often = result.lodging.map((row) => ({ ...row, chanceOverLimit: 0.6 }));
    expect(said({ lodging: often })).toContain("the lowest rate tested, the chance of lodging above");
    const settings = { ...defaultSettings, lodgingChance: 0.7 };
    expect(said({ lodging: often, settings })).toContain("Lodging: up to");
  });

  it("tells heads a plant and what a thin stand costs", () => {
    const rates = [200, 400].map((rateSeedsPerM2, i) => ({
      rateSeedsPerM2,
      strips: 6,
      headsPerM2: 400,
      headsPerPlant: 2.4 - i,
    }));
    // Heads go with plants to the power 1 − 0.7: a tenth fewer plants, 1 − 0.9^0.3 = 3.1 % fewer heads.
    const answer = { estimate: -0.7, standardError: 0.05, df: 20 };
    expect(said({ tillering: [{ variety: next.variety, rates, answer }] })).toMatch(
      /Heads per plant: 2\.4 at 0\.81 million seeds\/ac, 1\.4 at 1\.62 million seeds\/ac\. 10% fewer plants means about 3% fewer heads\./,
    );
  });

  it("tells protein only where the strips show a change", () => {
    const protein = (standardError: number) => [
      {
        variety: next.variety,
        strips: 40,
        centreSeedsPerM2: 300,
        slopePctPerSeedPerM2: -0.002,
        ownSlope: { estimate: -0.002, standardError, df: 30 },
        levels: [],
      },
    ];
    expect(said({ protein: protein(0.0002) })).toMatch(/Protein: 0\.\d points less at the highest rate/);
    expect(said({ protein: protein(0.002) })).toContain("Protein: no clear change with the seeding rate.");
  });
});
