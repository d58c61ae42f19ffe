import { beforeAll, describe, expect, it } from "vitest";
import { decideAgain } from "../../../src/decide/decide.ts";
import type { Optimum, Result } from "../../../src/vocabulary/result.ts";
import { measuresOf } from "../../../src/numbers/measures.ts";
import { plainStyle } from "../../../src/numbers/written-numbers.ts";
import { changeSentences, newsSentences } from "../../../src/tell/wording/since.ts";
import { fromPerAcre, fromPricePerBushel } from "../../../src/numbers/units.ts";
import { demoFiles, demoResult } from "../../fixtures/demo.ts";
import { makeResult } from "../../fixtures/result.ts";

const changes = (then: Result, now: Result, variety: string, atTodaysPrices = then): string =>
  changeSentences(
    now.next.find((next) => next.variety === variety)!,
    now,
    { result: then, atTodaysPrices },
    measuresOf(now, plainStyle),
  ).join(" ");

/** A made result whose first variety has its best rate and its advised rates moved [seeds/ac]. */
function withRates(rates: { best?: Optimum; now?: number; next?: number }): Result {
  const made = makeResult();
  const [first, ...rest] = made.next;
  const moved = {
    ...first!,
    economicOptimum: rates.best ?? first!.economicOptimum,
    rateNowSeedsPerM2: rates.now === undefined ? first!.rateNowSeedsPerM2 : fromPerAcre(rates.now),
    rateNextSeedsPerM2: rates.next === undefined ? first!.rateNextSeedsPerM2 : fromPerAcre(rates.next),
  };
  return { ...made, next: [moved, ...rest] };
}
const best = (perAcre: number): Optimum => ({
  kind: "found",
  rateSeedsPerM2: fromPerAcre(perAcre),
  lower: fromPerAcre(perAcre - 50_000),
  upper: fromPerAcre(perAcre + 50_000),
  reason: "interval",
});

describe("what changed for a variety", () => {
  it("is little where nothing did", () => {
    const made = withRates({ best: best(1_200_000) });
    expect(changes(made, made, "Ostrindel")).toBe(
      "Advised 1.44 million seeds/ac, as then. The best rate stays near 1.20 million.",
    );
  });

  describe("where fields differ", () => {
    const byField = (rates: Record<string, number>, differ = true): Result => {
      const made = makeResult();
      const fields = Object.entries(rates).map(([field, perAcre]) => ({
        field,
        economicOptimum: best(perAcre),
        likely: { level: 0.8, lower: 0, upper: 0 },
        rateNextSeedsPerM2: fromPerAcre(perAcre),
        rateToSowSeedsPerM2: fromPerAcre(perAcre),
        gainPerHa: null,
        chanceOfGain: null,
        oneRateCostsPerHa: 0,
        kgPerHa: null,
      }));
      const differing = {
        by: "field",
        chanceTheyDiffer: 0.99,
        mostPaysToo: true,
        differ,
        oneRateCostsPerHa: 10,
        fields,
      } as const;
      return { ...made, next: made.next.map((next) => ({ ...next, byField: differing })) };
    };

    it("tells what is advised for each then and now", () => {
      const then = byField({ Hill: 1_050_000, Bottom: 1_400_000 });
      const now = byField({ Hill: 1_000_000, Bottom: 1_400_000, Creek: 1_500_000 });
      expect(changes(then, now, "Ostrindel")).toContain(
        "By field: Hill 1.05 then, 1.00 now; Bottom 1.40, as then; Creek 1.50.",
      );
    });

    it("tells them once where none changed", () => {
      const then = byField({ Hill: 1_050_000, Bottom: 1_400_000 });
      expect(changes(then, then, "Ostrindel")).toContain("By field: Hill 1.05 and Bottom 1.40, as then.");
    });

    it("says since when they do, and when they no longer do", () => {
      const apart = byField({ Hill: 1_050_000, Bottom: 1_400_000 });
      const alike = byField({ Hill: 1_050_000, Bottom: 1_400_000 }, false);
      expect(changes(alike, apart, "Ostrindel")).toContain(
        "Each field has a rate of its own now: Hill 1.05; Bottom 1.40.",
      );
      expect(changes(apart, alike, "Ostrindel")).toContain(
        "Each field had a rate of its own then; now no field is shown to need one.",
      );
      expect(changes(alike, alike, "Ostrindel")).not.toContain("field");
    });
  });

  it("splits the way of the best rate into what prices and what strips did", () => {
    expect(
      changes(
        withRates({ best: best(1_100_000) }),
        withRates({ best: best(1_180_000) }),
        "Ostrindel",
        withRates({ best: best(1_200_000) }),
      ),
    ).toContain(
      "The best rate went from 1.10 to 1.18 million: prices and limits moved it up by 0.10 and the strips moved it down by 0.02.",
    );
    expect(
      changes(
        withRates({ best: best(1_100_000) }),
        withRates({ best: best(1_100_000) }),
        "Ostrindel",
        withRates({ best: best(1_200_000) }),
      ),
    ).toContain(
      "The best rate stays near 1.10 million: prices and limits moved it up by 0.10 and the strips",
    );
  });

  it("does not put on the strips what a region did that was not there then", () => {
    const then = withRates({ best: best(1_100_000) });
    const region = { unlike: [], varieties: [] } as unknown as Result["settings"]["region"];
    const inRegion = (result: Result, withoutPerAcre?: number): Result => ({
      ...result,
      settings: { ...result.settings, region },
      next: result.next.map((one) => ({
        ...one,
        sensitivity:
          withoutPerAcre === undefined
            ? []
            : [{ prior: "without-region", rateSeedsPerM2: fromPerAcre(withoutPerAcre) } as const],
      })),
    });
    // 1.10 then; these strips alone say 1.06 now, and with the region 1.20.
    const withNewStrips = (made: Result): Result => ({ ...made, strips: made.strips.slice(1) });
    const now = inRegion(withNewStrips(withRates({ best: best(1_200_000) })), 1_060_000);
    expect(changes(then, now, "Ostrindel", inRegion(then))).toContain(
      "The best rate went from 1.10 to 1.20 million: the strips moved it down by 0.04 and the region moved it up by 0.14.",
    );
    const news = (a: Result, b: Result): string =>
      newsSentences(b, { result: a, atTodaysPrices: a }, measuresOf(b, plainStyle)).join(" ");
    expect(news(then, now)).toContain("A region of other farms now adds to what the strips say.");
    expect(news(now, then)).toContain("no longer used");
    expect(news(now, now)).not.toContain("region");
    // The same region then and now: what changes is the strips'.
    expect(changes(inRegion(then, 1_080_000), now, "Ostrindel", inRegion(then, 1_080_000))).toContain(
      "1.10 to 1.20 million: the strips moved it up by 0.10.",
    );
  });

  it("puts all on the region where the strips are the same", () => {
    const then = withRates({ best: best(1_310_000) });
    const sameStrips = withRates({ best: best(1_260_000) });
    const region = { unlike: [], varieties: [] } as unknown as Result["settings"]["region"];
    // What these strips say without the region is found again, and comes out a step away.
    const now: Result = {
      ...sameStrips,
      settings: { ...sameStrips.settings, region },
      next: sameStrips.next.map((one) => ({
        ...one,
        sensitivity: [{ prior: "without-region", rateSeedsPerM2: fromPerAcre(1_320_000) } as const],
      })),
    };
    const repriced = { ...then, settings: { ...then.settings, region } };
    expect(changes(then, now, "Ostrindel", repriced)).toContain(
      "The best rate went from 1.31 to 1.26 million: the region moved it down by 0.05.",
    );
  });

  it("says of a variety that only the region knows that it has no strips", () => {
    const now = makeResult();
    const [first] = now.next;
    const then = { ...now, next: [] };
    const ofRegion: Result = { ...now, varieties: [], next: [first!] };
    expect(changes(then, ofRegion, first!.variety)).toBe("New here, and without strips so far.");
    expect(changes(then, now, first!.variety)).toBe("New in these strips.");
  });

  it("moves by what a reader's own subtraction comes to", () => {
    // 1.154 to 1.206 is 0.052, but 1.15 to 1.21 as told.
    const then = withRates({
      best: { ...best(1_154_000), lower: fromPerAcre(1_050_000), upper: fromPerAcre(1_260_000) } as Optimum,
    });
    const now = withRates({
      best: { ...best(1_206_000), lower: fromPerAcre(1_100_000), upper: fromPerAcre(1_310_000) } as Optimum,
    });
    expect(changes(then, now, "Ostrindel")).toContain(
      "The best rate went from 1.15 to 1.21 million: the strips moved it up by 0.06.",
    );
  });

  it("tells whether the advice was followed", () => {
    const then = withRates({ now: 1_600_000, next: 1_440_000 });
    expect(changes(then, withRates({ now: 1_440_000, next: 1_300_000 }), "Ostrindel")).toMatch(
      /^Advised 1\.44 then, 1\.30 million seeds\/ac now\. Sown at 1\.60 then, 1\.44 now, as advised\./,
    );
    expect(changes(then, withRates({ now: 1_500_000 }), "Ostrindel")).toContain(
      "Sown at 1.60 then, 1.50 now.",
    );
  });

  it("names a best rate that came into the tested rates, or left them", () => {
    const edge: Optimum = {
      kind: "at-edge",
      edge: "highest",
      rateSeedsPerM2: fromPerAcre(1_500_000),
      reason: "still-rising",
    };
    const none: Optimum = { kind: "none", reason: "no-response" };
    expect(changes(withRates({ best: edge }), withRates({ best: best(1_400_000) }), "Ostrindel")).toContain(
      "Best rate: at or above 1.50 million then, near 1.40 million now.",
    );
    expect(changes(withRates({ best: best(1_400_000) }), withRates({ best: none }), "Ostrindel")).toContain(
      "Best rate: near 1.40 million then, none found now.",
    );
    expect(changes(withRates({ best: none }), withRates({ best: none }), "Ostrindel")).not.toContain("Best");
  });
});

describe("what changed since the demo's second season", () => {
  let then: Result;
  let now: Result;
  beforeAll(() => {
    then = demoResult(demoFiles.slice(0, 2));
    now = demoResult();
  });
  const news = (before: Result, today: Result): string =>
    newsSentences(today, { result: before, atTodaysPrices: before }, measuresOf(today, plainStyle)).join(" ");

  it("names the new season, its strips and its new variety", () => {
    expect(news(then, now)).toBe("New: 2026 Hill and 2026 North. 324 strips now, 208 strips then.");
    expect(changes(then, now, "Telluwick")).toBe("New in these strips.");
    expect(news(now, then)).toContain("No longer here: 2026 Hill and 2026 North.");
    expect(news(now, then)).toContain("No longer in these strips: Telluwick.");
  });

  it("names each price and limit that moved", () => {
    const lot = now.settings.lots.find(({ variety }) => variety === "Ostrindel")!;
    const dearer = decideAgain(now, {
      ...now.settings,
      grainPricePerKg: fromPricePerBushel(7, 60),
      largestStep: 0.15,
      lodgingLimit: 0.5,
      lots: [...now.settings.lots.filter((one) => one !== lot), { ...lot, pricePerKg: 2 * lot.pricePerKg! }],
    });
    expect(news(now, now)).toBe("No new field or season.");
    expect(news(now, dearer)).toBe(
      `No new field or season. Grain was $6.25/bu, now $7/bu. The largest step was 10%, now 15%. The lodging limit was 4.0 of 0–9, now 4.5 of 0–9. A million viable seeds of Ostrindel cost $22.25 then, $44.50 now.`,
    );
  });

  it("warns where another version of the program made it", () => {
    expect(news({ ...then, engineVersion: "0.0.9" }, now)).toContain("came from stripcurve 0.0.9");
  });

  it("leaves no price effect where prices did not move", () => {
    for (const { variety } of then.next) {
      const told = changes(then, now, variety, decideAgain(then, now.settings));
      expect(told).not.toContain("prices");
      expect(told).toMatch(/the strips moved it|stays near/);
    }
  });
});
