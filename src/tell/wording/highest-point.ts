/** Where a drawn curve is highest, and that rate in words. */
import type { Curve } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";
import { bareRate } from "./optimum.ts";

type Point = Curve["points"][number];

export const highestPoint = ({ points }: Curve): Point =>
  points.reduce((top, point) => (point.value > top.value ? point : top));

/** Whether the curve is level, as far as yields are told: then no rate has the highest. */
export const isLevel = (curve: Curve): boolean => {
  const top = highestPoint(curve).value;
  return curve.points.every(({ value }) => top - value < 1e-3 * top);
};

/** Its rate, or that the curve still rose where the tested rates end; "–" where it is level. */
export function highestRateText(curve: Curve, top: Point, measures: Measures): string {
  if (isLevel(curve)) return "–";
  const { points } = curve;
  const rate = bareRate(top.rateSeedsPerM2, measures);
  if (top === points.at(-1)) return `${rate} or more`;
  return top === points[0] ? `${rate} or less` : rate;
}
