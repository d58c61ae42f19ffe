import { describe, expect, it } from "vitest";
import { demoResult } from "../../../fixtures/demo.ts";
import { twoFieldsResult } from "../../../fixtures/two-fields.ts";
import { decideAgain } from "../../../../src/decide/decide.ts";
import { fromPerAcre, toMoneyPerAcre, toPerAcre } from "../../../../src/numbers/units.ts";
import { measuresOf } from "../../../../src/numbers/measures.ts";
import { csvTables } from "../../../../src/tell/csv/index.ts";
import { nextTable } from "../../../../src/tell/html/next-table.ts";
import { fitText } from "../../../../src/tell/terminal/fit-text.ts";
import { plainTextStyle } from "../../../../src/tell/terminal/text-table.ts";
import { drillAdvice, drillCard } from "../../../../src/farm/drill-card.ts";
import { drillOrders } from "../../../../src/tell/wording/drill-settings.ts";
import { byFieldLine, byFieldSentence, byFieldTable } from "../../../../src/tell/wording/by-field.ts";
import type { NextRate } from "../../../../src/vocabulary/result.ts";

const result = twoFieldsResult();
const measures = measuresOf(result);
const of = (variety: string): NextRate => result.next.find((next) => next.variety === variety)!;
const million = (seedsPerM2: number): number => toPerAcre(seedsPerM2) / 1e6;

describe("a field's own rate", () => {
  const { byField } = of("Sandor");
  const [hill, bottom] = byField!.fields as [
    NonNullable<typeof byField>["fields"][0],
    NonNullable<typeof byField>["fields"][0],
  ];

  // The strips were made with best rates of 0.96 million on Hill and 1.59 on Bottom: test/fixtures/two-fields/README.md.
  it("is near the truth that the strips were made with, and its likely range holds it", () => {
    expect(byField!.fields.map(({ field }) => field)).toEqual(["Hill", "Bottom"]);
    for (const [one, truth] of [
      [hill, 0.96],
      [bottom, 1.59],
    ] as const) {
      if (one.economicOptimum.kind !== "found") throw new Error("no best rate");
      expect(Math.abs(million(one.economicOptimum.rateSeedsPerM2) / truth - 1)).toBeLessThan(0.08);
      expect(million(one.likely.lower)).toBeLessThan(truth);
      expect(million(one.likely.upper)).toBeGreaterThan(truth);
    }
    expect(byField!.differ).toBe(true);
    expect(byField!.chanceTheyDiffer).toBeGreaterThan(0.99);
  });

  it("is one step away, with seed of the lot and gain of that step, down on Hill and not down on Bottom", () => {
    const now = of("Sandor").rateNowSeedsPerM2!;
    expect(hill.rateNextSeedsPerM2 / now).toBeCloseTo(0.9, 1);
    expect(bottom.rateNextSeedsPerM2).toBeGreaterThanOrEqual(now);
    expect(hill.gainPerHa!.expected).toBeGreaterThan(0);
    for (const one of [hill, bottom]) {
      // Viable seeds of a kilogram: 29,762 × 0.95.
      expect(one.kgPerHa).toBeCloseTo((one.rateNextSeedsPerM2 * 10_000) / (29_762 * 0.95), 6);
    }
  });

  it("costs what one rate for all loses on each field", () => {
    const costs = [hill, bottom].map((one) => toMoneyPerAcre(one.oneRateCostsPerHa));
    for (const cost of costs) expect(cost).toBeGreaterThan(2);
    expect(toMoneyPerAcre(byField!.oneRateCostsPerHa)).toBeCloseTo((costs[0]! + costs[1]!) / 2, 9);
  });

  it("has its pounds under a heading that says for which day they are", () => {
    const head = (days: string): string[] => {
      const dates = { bestSeedingDate: "2027-04-20", plannedSeedingDate: days };
      const { next } = decideAgain(result, { ...result.settings, ...dates });
      return byFieldTable(
        next.find(({ variety }) => variety === "Sandor")!,
        measures,
      )!.head;
    };
    expect(head("2027-04-20")).toContain("Seed, lb/ac");
    expect(head("2027-05-01")).toContain("Seed, lb/ac, eleven days late");
  });

  it("says where lodging, and not the field's own best rate, sets what is compared", () => {
    const { economicOptimum: best } = bottom;
    if (best.kind === "none") expect.unreachable();
    const lodging = (ceiling: number | null): [string, string] => {
      const next = { ...of("Sandor"), lodgingCeilingSeedsPerM2: ceiling };
      return [byFieldSentence(next, measures), byFieldTable(next, measures)!.caption];
    };
    const [sentence, caption] = lodging(fromPerAcre(1_250_000));
    expect(sentence).toMatch(
      /compared with each field at its own, none above 1\.25 million because of lodging\.$/,
    );
    expect(caption).toMatch(/; above 1\.25 it lodges too often$/);
    expect(lodging(best.rateSeedsPerM2).join()).not.toMatch(/lodg/);
    expect(lodging(null).join()).not.toMatch(/lodg/);
  });

  it("is on the seed card with the pounds and the catch of the drill's own cards", () => {
    const wishes = {
      variety: "Sandor",
      rate: "",
      seedSize: { kind: "seedsPerPound" as const, text: "" },
      germination: "",
      daysLate: "",
      area: "",
    };
    const { text } = drillCard(result, wishes, drillAdvice(result, "Sandor"));
    const order = drillOrders(result).find(({ next }) => next.variety === "Sandor")!;
    expect(order.settings.map(({ place }) => place)).toEqual(["Hill", "Bottom"]);
    for (const { place, rateSeedsPerM2, kgPerHa, catchGrams } of order.settings)
      expect(text).toMatch(
        new RegExp(
          `^ +Field +${place} {3}${measures.rate.number(rateSeedsPerM2)}/ac {3}${measures.seedWeight.text(kgPerHa!)} {3}.* {3}${measures.grams.text(catchGrams!)} caught$`,
          "m",
        ),
      );
    // A rate that is typed is for whatever field it is typed for.
    expect(
      drillCard(result, { ...wishes, rate: "1.2 million/ac" }, drillAdvice(result, "Sandor")).text,
    ).not.toContain("Hill");
  });

  it("is told in one line, in the variety's part, in the terminal and as a table", () => {
    const line = byFieldLine(result, measures);
    expect(line).toMatch(/^And by field\? Bottom needs more seed than Hill \(nearly certain\)\./);
    expect(line).toMatch(/Sandor 0\.\d\d on Hill, 1\.\d\d on Bottom/);
    expect(line).toMatch(/One rate for all costs .*\$\d/);
    expect(byFieldSentence(of("Sandor"), measures)).toMatch(
      /Most profitable near 0\.\d\d on Hill and 1\.\d\d on Bottom\./,
    );
    expect(nextTable(result, measures).text).toContain("And by field?");
    const text = fitText(result, plainTextStyle);
    expect(text).toContain("And by field?");
    expect(text).toMatch(/Hill +0\.\d\d +0\.\d\d to 1\.\d\d/);
    const csv = csvTables(result).find(({ name }) => name === "next-by-field.csv")!;
    expect(csv.text.trim().split(/\r?\n/)).toHaveLength(5);
    expect(csv.text).toContain("rate_to_sow (");
  });

  it("follows a price", () => {
    const dear = decideAgain(result, {
      ...result.settings,
      grainPricePerKg: result.settings.grainPricePerKg * 2,
    });
    const moved = dear.next.find(({ variety }) => variety === "Sandor")!.byField!.fields[0]!;
    if (moved.economicOptimum.kind !== "found" || hill.economicOptimum.kind !== "found")
      throw new Error("none");
    expect(moved.economicOptimum.rateSeedsPerM2).toBeGreaterThan(hill.economicOptimum.rateSeedsPerM2);
  });
});

describe("fields that are alike", () => {
  it("are said to be: the demo's fields were made with one need", () => {
    const demo = demoResult();
    const known = demo.next.filter(({ byField }) => byField !== null);
    expect(known.map(({ byField }) => byField!.differ)).toEqual(known.map(() => false));
    expect(known.length).toBeGreaterThan(0);
    expect(byFieldLine(demo, measuresOf(demo))).toMatch(/one rate serves all/);
  });
});

describe("fields that may differ", () => {
  it("are named with their chance, and one rate is kept", () => {
    const next = result.next.map((one) => ({
      ...one,
      byField: one.byField && { ...one.byField, chanceTheyDiffer: 0.84, differ: false },
    }));
    expect(byFieldLine({ ...result, next }, measures)).toBe(
      "And by field? Bottom may need more seed than Hill (8 in 10), but that is not sure enough to act on. One rate serves all until another season of strips on both shows it.",
    );
  });
});
