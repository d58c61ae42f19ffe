/** Where a drawn curve is highest, in words. */
import { expect, it } from "vitest";
import { measuresOf } from "../../../src/numbers/measures.ts";
import { fromPerAcre } from "../../../src/numbers/units.ts";
import { seasons } from "../../../src/tell/charts/seasons.ts";
import { highestPoint, highestRateText } from "../../../src/tell/wording/highest-point.ts";
import type { Curve } from "../../../src/vocabulary/result.ts";
import { demoResult } from "../../fixtures/demo.ts";

const demo = demoResult();
const measures = measuresOf(demo);
/** At 0.8, 1.2 and 1.6 million. */
const curve = (...values: number[]): Curve => ({
  kind: "season",
  variety: "Alder",
  environment: "2026",
  points: values.map((value, i) => ({
    rateSeedsPerM2: fromPerAcre((0.8 + 0.4 * i) * 1e6),
    value,
    lower: null,
    upper: null,
  })),
});
const told = (...values: number[]): string => {
  const one = curve(...values);
  return highestRateText(one, highestPoint(one), measures);
};

it("is a rate, or one that may be farther at an end of those tested, and none where the curve is level", () => {
  expect(told(4000, 4200, 4100)).toBe("1.20");
  expect(told(4200, 4100, 4000)).toBe("0.80 or less");
  expect(told(4000, 4100, 4200)).toBe("1.60 or more");
  // "No response" alone: the mean of all strips at every rate.
  expect(told(4000, 4000, 4000)).toBe("–");
});

it("is said beside the curves to be that of the forms' mean, and of a level one there is only its yield", () => {
  const [variety] = demo.varieties;
  const level = demo.curves.map((one) =>
    one.kind === "season" ? { ...one, points: one.points.map((point) => ({ ...point, value: 4000 })) } : one,
  );
  const drawn = seasons.draw({ ...demo, curves: level }, variety!, measures);
  expect(drawn.key).toContain("mean of the forms");
  expect(drawn.table!.rows.map(([, rate]) => rate)).toEqual(drawn.table!.rows.map(() => "–"));
  expect(drawn.description).not.toContain("highest");
});
