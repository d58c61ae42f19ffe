import { expect, it } from "vitest";
import { seasonPlannedOn } from "../../../src/numbers/calendar.ts";

/** A season is told by its year of harvest. */
it.each([
  ["2026-01-01", 2026],
  ["2026-04-28", 2026],
  ["2026-08-31", 2026],
  ["2026-09-01", 2027],
  ["2026-12-01", 2027],
])("a trial planned on %s is for the harvest of %i, which still lies ahead", (day, season) => {
  expect(seasonPlannedOn(day)).toBe(season);
});
