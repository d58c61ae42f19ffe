/** The whole answer in one sentence. */
import { expect, it } from "vitest";
import { measuresOf } from "../../../src/numbers/measures.ts";
import { headline } from "../../../src/tell/wording/next.ts";
import type { Reason } from "../../../src/vocabulary/result.ts";
import { demoResult } from "../../fixtures/demo.ts";

const demo = demoResult();
const measures = measuresOf(demo);
const [first] = demo.next;
/** So many varieties, each with today's rate as given, toward 300 seeds/m². */
const told = (rateNowSeedsPerM2: number | null, count: number): string =>
  headline(
    {
      ...demo,
      next: Array.from({ length: count }, (_, i) => ({
        ...first!,
        variety: `Alder ${i}`,
        rateNowSeedsPerM2,
        rateNextSeedsPerM2: 300,
      })),
    },
    measures,
  );

it("speaks of the best rate of one variety, and of the best rates of several", () => {
  expect(told(null, 1)).toMatch(/^Best rate found for Alder 0: say what you sow today/);
  expect(told(null, 2)).toMatch(/^Best rates found for Alder 0 and Alder 1: say/);
});

it("counts in words the varieties that it does not name", () => {
  expect(told(320, 6)).toMatch(/; three more would change\.$/);
  expect(told(320, 5)).not.toContain("more would change");
});

it("says why a change is advised that costs money, and what it costs, not a gain below nothing", () => {
  const area = demo.settings.lots.find(({ variety }) => variety === first!.variety)!.areaHa!;
  const costly = (code: Reason["code"], rateNextSeedsPerM2: number): string => {
    const gainPerHa = { expected: -7.4, lower: -10, upper: 1 };
    const reasons = [{ code, numbers: {} }] as unknown as Reason[];
    const next = {
      ...first!,
      rateNowSeedsPerM2: 300,
      rateNextSeedsPerM2,
      gainPerHa,
      chanceOfGain: 0.1,
      reasons,
    };
    return headline({ ...demo, next: [next] }, measures);
  };
  const cost = `at a cost of about ${measures.money.text(7.4 * area, 11 * area)} on ${measures.area.text(area)}.`;
  expect(costly("lodging-ceiling", 280)).toBe(`Sow less ${first!.variety}, because of lodging, ${cost}`);
  expect(costly("lowest-rate", 320)).toBe(`Sow more ${first!.variety}, no less than you accept, ${cost}`);
});
