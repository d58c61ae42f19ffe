import { describe, expect, it } from "vitest";
import { demoResult } from "../../fixtures/demo.ts";
import { measuresOf } from "../../../src/numbers/measures.ts";
import { fromPoundsPerAcre } from "../../../src/numbers/units.ts";
import type { FieldRate, NextRate, Result } from "../../../src/vocabulary/result.ts";
import { drillCards } from "../../../src/tell/html/drill-cards.ts";
import { drillSection, lateSection } from "../../../src/tell/html/drill.ts";
import { growerVariety } from "../../../src/tell/html/variety-answer.ts";
import { drillOrders, drillText, settingsByPlace } from "../../../src/tell/wording/drill-settings.ts";

const demo = demoResult();
const measures = measuresOf(demo);
const changed = (change: (next: NextRate) => Partial<NextRate>): Result => ({
  ...demo,
  next: demo.next.map((next) => ({ ...next, ...change(next) })),
});

/** The demo with every variety at 100 lb/ac in one row of 100 ft at 7.5 in, and its hill at half and its bottom at all of that. */
const byGround = (differ: boolean): Result =>
  changed((next) => {
    const fields = [0.5, 1].map(
      (share, i) =>
        ({
          field: i === 0 ? "Hill" : "Bottom",
          rateToSowSeedsPerM2: next.rateToSowSeedsPerM2! * share,
        }) as FieldRate,
    );
    const byField = {
      by: "ground" as const,
      mostPaysToo: true,
      differ,
      fields,
      chanceTheyDiffer: 0.95,
      oneRateCostsPerHa: 5,
    };
    // 100 lb/ac × 62.5 ft² (100 ft of a 7.5 in row) ÷ 43,560 ft²/ac × 453.6 g/lb = 65.1 g.
    return { byField, sowing: { ...next.sowing!, kgPerHa: fromPoundsPerAcre(100), catchGrams: 65.1 } };
  });

describe("the answer as plain text", () => {
  const text = drillText(demo, measures);

  it("tells each variety's pounds, rate and catch test, as the drill table does", () => {
    for (const { variety, sowing } of demo.next)
      expect(text).toContain(
        `${variety}: ${measures.seedWeight.text(sowing!.kgPerHa)} (${measures.rate.number(sowing!.rateSeedsPerM2).replace(" million", "")} million viable seeds/ac); one row over 100 ft catches ${measures.grams.text(sowing!.catchGrams)}.`,
      );
    expect(text).toContain("purity 98.5%");
    expect(text).toMatch(/Calibrate with this lot, the drill stopped and secured\.$/);
    expect(text).toMatch(/^Treated: .*gloves.*spills/m);
    expect(text).toContain("A starting point: the tag, the label and the law come first.");
  });

  it("has short lines and no markup, for a message on a phone", () => {
    expect(text).not.toMatch(/[<>&\t]| {2}/);
    expect(Math.max(...text.split("\n").map((line) => line.length))).toBeLessThan(160);
  });

  it("gives each field its own setting where fields differ, and one where they do not", () => {
    const apart = drillText(byGround(true), measures);
    expect(apart).toMatch(/^- Hill: 50 lb\/ac .* catches 33 g\.$/m);
    expect(apart).toMatch(/^- Bottom: 100 lb\/ac .* catches 65 g\.$/m);
    expect(apart).toContain("at one rate for all");
    expect(drillText(byGround(false), measures)).not.toContain("Hill");
  });

  it("gives the rate where the lot is not known, and nothing where no variety has a rate", () => {
    expect(
      drillText(
        changed(() => ({ sowing: null })),
        measures,
      ),
    ).toContain("viable (lot not known)");
    const none = changed(() => ({ rateToSowSeedsPerM2: null }));
    expect([drillText(none, measures), drillOrders(none)]).toEqual(["", []]);
  });
});

it("in metric the catch test is over 30 m, as on the seed card, wherever it stands", () => {
  const metric = measuresOf({ units: { system: "metric", currency: "€" }, settings: demo.settings });
  const hundred = changed((next) => ({
    sowing: { ...next.sowing!, kgPerHa: 180, catchGrams: 104.5152 },
    byField: null,
  }));
  // 180 kg/ha is 18 g/m²; a row of 30 m at 19.05 cm covers 5.715 m², so 102.87 g. Over 100 ft it would be 104.5.
  expect(drillText(hundred, metric)).toContain("one row over 30 m catches 103 g.");
  expect(drillCards(hundred, metric).text).toMatch(/one row over 30 m, rows [^<]*<\/dt>\s*<dd><b>103 g<\/b>/);
  expect(drillSection(hundred, metric)!.text).toMatch(/Catch test: g of one row over 30 m">103</);
  expect(drillText(hundred, measures)).toContain("one row over 100 ft catches 105 g.");
});

describe("where fields differ", () => {
  it("the tables for the drill say that theirs is one rate for all, since the cards have others", () => {
    const tables = (result: Result): string =>
      `${drillSection(result, measures)!.text}${lateSection(result, measures)!.text}`;
    expect(tables(byGround(true)).match(/one rate for all/g)).toHaveLength(2 * demo.next.length);
    expect(tables(byGround(false))).not.toContain("one rate for all");
  });

  it("the grower's two pages give each field's rate and pounds, those of the card", () => {
    const { variety, rateToSowSeedsPerM2: rate } = demo.next[0]!;
    const told = (differ: boolean): string => growerVariety(byGround(differ), variety, measures).text;
    expect(told(true)).toContain(
      `By ground: Hill ${measures.rate.text(rate! / 2)}, 50 lb/ac; Bottom ${measures.rate.text(rate!)}, 100 lb/ac.`,
    );
    expect(told(false)).not.toContain("By ground");
    const [first] = byGround(true).next;
    const late = (rateNextSeedsPerM2: number): string => {
      const fields = first!.byField!.fields.map((one) => ({ ...one, rateNextSeedsPerM2 }));
      // One rate for all is not above its own on time, as where lodging stops it; those of the grounds are.
      const next = { ...first!, rateNextSeedsPerM2: rate, byField: { ...first!.byField!, fields } };
      return settingsByPlace({ ...next, late: { plannedDaysLate: 4, rows: [] } }, measures);
    };
    expect(late(rate! / 3)).toMatch(/^By ground, for seeding four days late: Hill /);
    expect(late(rate!)).toMatch(/^By ground: Hill /);
    const unweighed = byGround(true);
    const [next] = unweighed.next;
    expect(settingsByPlace({ ...next!, sowing: null }, measures)).toBe(
      `By ground: Hill ${measures.rate.text(rate! / 2)}; Bottom ${measures.rate.text(rate!)}.`,
    );
  });
});

describe("the cards for the drill", () => {
  const cards = (result: Result): string => drillCards(result, measures).text;

  it("are one a variety, with a blank for the setting found", () => {
    expect(cards(demo).match(/<article class="drill-card">/g)).toHaveLength(demo.next.length);
    expect(cards(demo).match(/Setting found<\/dt>\s*<dd class="blank"><\/dd>/g)).toHaveLength(
      demo.next.length,
    );
  });

  it("have a line for each field where fields differ", () => {
    expect(cards(byGround(true)).match(/<bdi>Hill<\/bdi>/g)).toHaveLength(demo.next.length);
    expect(cards(byGround(true))).toContain('<th scope="col">Ground</th>');
  });

  it("count the fields that find no room as one or more", () => {
    const many = (count: number): Result =>
      changed((next) => ({
        byField: {
          by: "field",
          mostPaysToo: true,
          differ: true,
          chanceTheyDiffer: 0.95,
          oneRateCostsPerHa: 5,
          fields: Array.from(
            { length: count },
            (_, i) => ({ field: `F${i}`, rateToSowSeedsPerM2: next.rateToSowSeedsPerM2! }) as FieldRate,
          ),
        },
      }));
    expect(cards(many(6))).not.toContain("see the report");
    expect(cards(many(7))).toContain("One more field: see the report.");
    expect(cards(many(8))).toContain("Two more fields: see the report.");
  });

  it("leave pounds blank where the lot is not known", () => {
    expect(cards(changed(() => ({ sowing: null })))).toContain("weigh by its tag");
  });
});
