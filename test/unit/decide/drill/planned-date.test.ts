import { describe, expect, it } from "vitest";
import { decideAgain } from "../../../../src/decide/decide.ts";
import { measuresOf } from "../../../../src/numbers/measures.ts";
import { drillSection, lateSection } from "../../../../src/tell/html/drill.ts";
import { fromPerAcre } from "../../../../src/numbers/units.ts";
import { nextTable } from "../../../../src/tell/html/next-table.ts";
import { fitText } from "../../../../src/tell/terminal/fit-text.ts";
import { plainTextStyle } from "../../../../src/tell/terminal/text-table.ts";
import { demoResult } from "../../../fixtures/demo.ts";

describe("the planned date", () => {
  const result = demoResult();
  const measures = measuresOf(result);
  const onTime = decideAgain(result, {
    ...result.settings,
    plannedSeedingDate: result.settings.bestSeedingDate,
  });
  const monthLate = decideAgain(result, { ...result.settings, plannedSeedingDate: "2027-05-20" });

  it("drives rate, pounds, catch test, order and stand, by 1 % a day", () => {
    // The demo plans to seed on April 24, four days past its best date.
    result.next.forEach((next, i) => {
      const before = onTime.next[i]!;
      expect(next.rateNextSeedsPerM2).toBe(before.rateNextSeedsPerM2);
      const { stoppedBy } = next.late.rows.find(({ daysLate }) => daysLate === 4)!;
      const more = next.rateToSowSeedsPerM2! / next.rateNextSeedsPerM2!;
      if (stoppedBy === null) expect(more).toBeCloseTo(1.04, 12);
      expect(more).toBeGreaterThanOrEqual(1);
      for (const number of ["kgPerHa", "catchGrams", "seedsPerMetreOfRow", "orderKg"] as const)
        expect(next.sowing![number]! / before.sowing![number]!).toBeCloseTo(more, 12);
      expect(next.stand!.plantsPerM2).toBeGreaterThan(before.stand!.plantsPerM2);
    });
  });

  it("stops where the late table stops", () => {
    for (const next of monthLate.next) {
      const row = next.late.rows.find(({ daysLate }) => daysLate === 30)!;
      expect(next.rateToSowSeedsPerM2).toBe(row.rateSeedsPerM2);
    }
    expect(monthLate.next.some(({ late }) => late.rows.at(-1)!.stoppedBy !== null)).toBe(true);
  });

  it("is told in the answer, in the drill table and on a terminal, with on time beside", () => {
    const [late] = result.next;
    const pounds = measures.seedWeight.text(late!.sowing!.kgPerHa);
    const before = measures.seedWeight.number(onTime.next[0]!.sowing!.kgPerHa);
    expect(nextTable(result, measures).text).toMatch(
      new RegExp(
        `<b>${pounds}</b> <span class="quiet late-note">four days late, at [\\d.]+; on time ${before}</span>`,
      ),
    );
    const table = drillSection(result, measures)!.text;
    expect(table).toContain("for seeding four days late, as planned");
    expect(table).toContain("On time, lb/ac");
    expect(table).toContain(`<td data-label="On time, lb/ac"><span class="quiet">${before}</span></td>`);
    const text = fitText(result, plainTextStyle);
    expect(text).toContain(`${pounds} (on time ${before})`);
    expect(text).toContain("Seeding is planned four days late. Seed to sow is for that day");
    for (const told of [
      nextTable(onTime, measures).text,
      drillSection(onTime, measures)!.text,
      fitText(onTime, plainTextStyle),
    ])
      expect(told).not.toMatch(/on time|days late/i);
  });

  it("never says that no rate goes above the cap on lateness, since one on time may", () => {
    const low = decideAgain(result, { ...result.settings, lateCapSeedsPerM2: fromPerAcre(1_000_000) });
    const above = low.next.flatMap(({ late }) => late.rows).filter(({ stoppedBy }) => stoppedBy === "cap");
    expect(above.some(({ rateSeedsPerM2 }) => rateSeedsPerM2 > fromPerAcre(1_000_000))).toBe(true);
    const told = lateSection(low, measures)!.text;
    expect(told).toContain("* Lateness adds none beyond 1.00 million seeds/ac.");
    expect(told).not.toContain("Never above");
  });

  it("asks for no more seed of a crop that does not tiller, unless its grower does", () => {
    const corn = { ...result.settings, crop: "corn" as const, plannedSeedingDate: "2027-05-20" };
    const none = decideAgain(result, { ...corn, latePerDay: 0 });
    for (const { rateToSowSeedsPerM2, rateNextSeedsPerM2 } of none.next)
      expect(rateToSowSeedsPerM2).toBe(rateNextSeedsPerM2);
    const told = lateSection(none, measures)!.text;
    expect(told).toContain(
      "No more seed is counted for late seeding: the usual 1% a day is for crops that tiller, which corn does not.",
    );
    expect(told).not.toContain("<table");
    const own = lateSection(decideAgain(result, { ...corn, latePerDay: 0.005 }), measures)!.text;
    expect(own).toContain("About 0.5% more seed for each day past the best date.");
    expect(own).not.toContain("tiller");
  });

  it("orders in what each lot is sold in", () => {
    // 60 lb a bushel.
    const [next] = result.next;
    const { orderKg, sold } = next!.sowing!;
    expect(sold!.order).toBeCloseTo(orderKg! / (60 * 0.45359237), 6);
    const bushels = Math.round(sold!.order!).toLocaleString("en-US");
    expect(drillSection(result, measures)!.text).toContain(`<span class="quiet">${bushels} bu</span>`);
  });
});
