import { describe, expect, it } from "vitest";
import { daysBetween } from "../../../../src/numbers/calendar.ts";
import { lateRate, lateTable } from "../../../../src/decide/drill/late-seeding.ts";
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

describe("lateTable", () => {
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
