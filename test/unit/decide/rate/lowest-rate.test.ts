import { describe, expect, it } from "vitest";
import { decideAgain } from "../../../../src/decide/decide.ts";
import { fromPerAcre, toPerAcre } from "../../../../src/numbers/units.ts";
import { measuresOf } from "../../../../src/numbers/measures.ts";
import { whyText } from "../../../../src/tell/html/next-table.ts";
import type { Settings } from "../../../../src/vocabulary/settings.ts";
import { demoResult } from "../../../fixtures/demo.ts";

const result = demoResult();
const measures = measuresOf(result);
const nextOf = (variety: string, change: Partial<Settings>) =>
  decideAgain(result, { ...result.settings, ...change }).next.find((one) => one.variety === variety)!;

describe("the lowest rate that a person accepts", () => {
  // The demo's Ostrindel is sown at 1.60 million seeds/ac, and its strips ask for about 1.1.
  it("is obeyed and named where it binds", () => {
    const next = nextOf("Ostrindel", { lowestRateSeedsPerM2: fromPerAcre(1_500_000) });
    expect(toPerAcre(next.rateNextSeedsPerM2!)).toBeCloseTo(1_500_000, 3);
    expect(next.reasons.map(({ code }) => code)).toContain("lowest-rate");
    expect(whyText(next, measures)).toContain("No less than 1.50 million, the lowest rate you accept.");
    expect(next.gainPerHa!.expected).toBeLessThan(nextOf("Ostrindel", {}).gainPerHa!.expected);
  });

  it("is named as the reason to stay where today's rate is at it already", () => {
    const next = nextOf("Ostrindel", { lowestRateSeedsPerM2: fromPerAcre(1_600_000) });
    expect(next.rateNextSeedsPerM2).toBe(next.rateNowSeedsPerM2);
    expect(next.reasons.map(({ code }) => code)).toContain("lowest-rate");
    expect(next.reasons.map(({ code }) => code)).not.toContain("inside-flat-zone");
  });

  it("goes up to it at once from below, on a rate that the drill can be set to", () => {
    const next = nextOf("Brimsolt", { lowestRateSeedsPerM2: fromPerAcre(1_503_000) });
    expect(toPerAcre(next.rateNextSeedsPerM2!)).toBeCloseTo(1_510_000, 3);
  });

  it("changes nothing where it does not bind, and a lot's own wins", () => {
    const free = nextOf("Ostrindel", {});
    expect(nextOf("Ostrindel", { lowestRateSeedsPerM2: fromPerAcre(800_000) })).toEqual(free);
    const lots = result.settings.lots.map((lot) =>
      lot.variety === "Ostrindel" ? { ...lot, lowestRateSeedsPerM2: fromPerAcre(900_000) } : lot,
    );
    const own = nextOf("Ostrindel", { lots, lowestRateSeedsPerM2: fromPerAcre(1_500_000) });
    expect(own.rateNextSeedsPerM2).toBe(free.rateNextSeedsPerM2);
  });

  it("holds where today's rate is not known", () => {
    const lots = result.settings.lots.map((lot) => ({ ...lot, rateNowSeedsPerM2: null }));
    const next = nextOf("Ostrindel", { lots, lowestRateSeedsPerM2: fromPerAcre(1_300_000) });
    expect(toPerAcre(next.rateNextSeedsPerM2!)).toBeCloseTo(1_300_000, 3);
    expect(next.reasons.map(({ code }) => code)).toContain("lowest-rate");
  });
});
