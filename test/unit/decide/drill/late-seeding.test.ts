import { describe, expect, it } from "vitest";
import { daysBetween } from "../../../../src/numbers/calendar.ts";
import {
  lateLimitsOf,
  lateRate,
  lateTable,
  plannedDaysLate,
  rateOnPlannedDate,
  stopLate,
} from "../../../../src/decide/drill/late-seeding.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";

describe("daysBetween", () => {
  it.each([
    ["2024-02-28", "2024-03-01", 2],
    ["2023-02-28", "2023-03-01", 1],
    ["2100-02-28", "2100-03-01", 1],
    ["2023-12-31", "2024-01-01", 1],
    ["2024-05-01", "2024-04-20", -11],
    ["2000-01-01", "2024-01-01", 8766],
  ])("%s to %s is %i days", (from, to, days) => expect(daysBetween(from, to)).toBe(days));

  it("agrees with the calendar of the platform on every day of 40 years", () => {
    const start = Date.UTC(1990, 0, 1);
    for (let day = 0; day < 40 * 365; day++) {
      const iso = new Date(start + day * 86_400_000).toISOString().slice(0, 10);
      expect(daysBetween("1990-01-01", iso)).toBe(day);
    }
  });
});

describe("lateRate", () => {
  it("never goes below the rate for seeding in time, even where that is above the cap", () => {
    const settings = { latePerDay: 0.01, lateCapSeedsPerM2: 350 };
    expect(lateRate(400, 10, settings)).toBe(400);
    expect(lateRate(340, 10, settings)).toBe(350);
  });
});

describe("what stops a late rate", () => {
  const settings = { latePerDay: 0.01, lateCapSeedsPerM2: 1000 };

  it("is nothing in time, and nothing that is met exactly", () => {
    expect(stopLate(300, 0, settings, { tested: 200 })).toEqual({ rateSeedsPerM2: 300, stoppedBy: null });
    // 300 × 1.1 = 330, to the last digit or not.
    const limits = (tested: number) => stopLate(300, 10, settings, { tested }).stoppedBy;
    expect(limits(330)).toBeNull();
    expect(limits(330 * (1 - 5e-10))).toBeNull();
    expect(limits(329.9)).toBe("tested");
  });

  it("is the lodging ceiling and the highest tested rate of a variety", () => {
    expect(lateLimitsOf({ lodgingCeilingSeedsPerM2: 310 }, { testedSeedsPerM2: [200, 400] })).toEqual({
      lodging: 310,
      tested: 400,
    });
  });
});

describe("the rate on the planned date", () => {
  const dates = (bestSeedingDate: string | null, plannedSeedingDate: string | null) => ({
    ...defaultSettings,
    bestSeedingDate,
    plannedSeedingDate,
  });

  it("is known late or early where both dates are", () => {
    expect(plannedDaysLate(dates("2025-04-20", "2025-04-30"))).toBe(10);
    expect(plannedDaysLate(dates("2025-04-20", "2025-04-10"))).toBe(-10);
    expect(plannedDaysLate(dates(null, "2025-04-30"))).toBeNull();
    expect(plannedDaysLate(dates("2025-04-20", null))).toBeNull();
  });

  it("rises by 1 % a day late, and is the rate itself early or where a date is not known", () => {
    const rate = (best: string | null, planned: string | null) =>
      rateOnPlannedDate(300, dates(best, planned), {});
    expect(rate("2025-04-20", "2025-04-30")).toBeCloseTo(330, 9);
    expect(rate("2025-04-20", "2025-04-10")).toBe(300);
    expect(rate("2025-04-20", null)).toBe(300);
  });
});

describe("lateTable", () => {
  it("has no rows without a rate, and none of its own for an early day", () => {
    const early = { ...defaultSettings, bestSeedingDate: "2025-04-20", plannedSeedingDate: "2025-04-17" };
    expect(lateTable(null, early)).toEqual({ plannedDaysLate: -3, rows: [] });
    expect(lateTable(300, early).rows.map(({ daysLate }) => daysLate)).toEqual([0, 5, 10, 15, 20, 25, 30]);
  });

  it("has a row for the planned day", () => {
    const table = lateTable(300, {
      ...defaultSettings,
      bestSeedingDate: "2025-04-20",
      plannedSeedingDate: "2025-05-02",
    });
    expect(table.plannedDaysLate).toBe(12);
    expect(table.rows.map((row) => row.daysLate)).toEqual([0, 5, 10, 12, 15, 20, 25, 30]);
    expect(table.rows[3]!.rateSeedsPerM2).toBeCloseTo(336, 10);
  });

  it("says which rates the cap sets", () => {
    const { plannedDaysLate, rows } = lateTable(350, defaultSettings);
    expect(plannedDaysLate).toBeNull();
    expect(rows.map((row) => row.stoppedBy)).toEqual([null, null, null, "cap", "cap", "cap", "cap"]);
    expect(lateTable(500, defaultSettings).rows.at(-1)!.rateSeedsPerM2).toBe(500);
  });

  it("stops where it lodges or nothing was tested, and says which", () => {
    const told = (limits: object): [number, string | null] => {
      const { rateSeedsPerM2, stoppedBy } = lateTable(350, defaultSettings, limits).rows.at(-1)!;
      return [rateSeedsPerM2, stoppedBy];
    };
    expect(told({ lodging: 360, tested: 380 })).toEqual([360, "lodging"]);
    expect(told({ lodging: null, tested: 380 })).toEqual([380, "tested"]);
    expect(told({ lodging: 380, tested: 380 })).toEqual([380, "lodging"]);
    // Already above what lodging allows, one step at a time: lateness adds nothing.
    expect(told({ lodging: 340 })).toEqual([350, "lodging"]);
    expect(told({})).toEqual([defaultSettings.lateCapSeedsPerM2, "cap"]);
  });
});
