/** The same fits by general-purpose libraries: a polynomial, and Levenberg–Marquardt from five starts. */
import { levenbergMarquardt } from "ml-levenberg-marquardt";
import { PolynomialRegression } from "ml-regression";
import type { StripPoint } from "../../../src/vocabulary/result.ts";

/** The strips of one variety in one environment, block differences taken off beforehand: these libraries know no blocks. */
export interface PlainPoints {
  x: number[];
  y: number[];
}

/** By the order of the strip points: one entry per variety and environment. */
export function plainPoints(strips: readonly StripPoint[]): PlainPoints[] {
  const groups = new Map<string, PlainPoints>();
  for (const strip of strips) {
    const key = `${strip.environment} ${strip.variety}`;
    const group = groups.get(key) ?? { x: [], y: [] };
    group.x.push(strip.rateSeedsPerM2);
    group.y.push(strip.blockAdjustedYieldKgPerHa);
    groups.set(key, group);
  }
  return [...groups.values()];
}

export const fitPolynomials = (groups: readonly PlainPoints[]): void =>
  groups.forEach(({ x, y }) => new PolynomialRegression(x, y, 2));

const hinges = {
  "linear-plateau":
    ([plateau, multiple, join]: number[]) =>
    (x: number): number =>
      plateau! - multiple! * Math.max(join! - x, 0),
  "quadratic-plateau":
    ([plateau, multiple, join]: number[]) =>
    (x: number): number =>
      plateau! - multiple! * Math.max(join! - x, 0) ** 2,
};

/** Least residual sums of squares over five starts, one a group. */
export function fitByLevenbergMarquardt(groups: readonly PlainPoints[], form: keyof typeof hinges): number[] {
  const curve = hinges[form];
  return groups.map(({ x, y }) => {
    const [lowest, second, ...rest] = [...new Set(x)].sort((a, b) => a - b);
    const highest = rest[rest.length - 1]!;
    const [low, high] = [Math.min(...y), Math.max(...y)];
    let best = Infinity;
    for (let start = 0; start < 5; start++) {
      const join = second! + ((highest - second!) * start) / 4;
      const reach = form === "linear-plateau" ? join - lowest! : (join - lowest!) ** 2;
      const { parameterValues } = levenbergMarquardt({ x, y }, curve, {
        initialValues: [high, (high - low) / reach, join],
        minValues: [-Infinity, -Infinity, second!],
        maxValues: [Infinity, Infinity, highest],
        maxIterations: 100,
      });
      const fitted = curve([...parameterValues]);
      best = Math.min(
        best,
        x.reduce((sum, rate, i) => sum + (y[i]! - fitted(rate)) ** 2, 0),
      );
    }
    return best;
  });
}
