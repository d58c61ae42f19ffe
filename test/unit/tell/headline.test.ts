/** The whole answer in one sentence. */
import { expect, it } from "vitest";
import { measuresOf } from "../../../src/numbers/measures.ts";
import { headline } from "../../../src/tell/wording/next.ts";
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
