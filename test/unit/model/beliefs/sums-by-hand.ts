/** What cases of strips that are worked by hand share. */
import type { CellsOfVariety, RateEvidence } from "../../../../src/model/beliefs/rate-evidence.ts";

export type Cell = [
  block: string,
  rateSeedsPerM2: number,
  strips: number,
  meanYieldKgPerHa: number,
  position?: number,
];

/** Cells of one variety, Alder on the hill where nothing else is said. */
export const cellsByHand = (
  cells: readonly Cell[],
  some: Partial<Omit<CellsOfVariety, "cells">> = {},
): CellsOfVariety => ({
  variety: "Alder",
  environment: "2024 Hill",
  season: 2024,
  withinCellSs: 0,
  ...some,
  cells: cells.map(([block, rateSeedsPerM2, strips, meanYieldKgPerHa, position]) => ({
    block,
    rateSeedsPerM2,
    strips,
    meanYieldKgPerHa,
    ...(position === undefined ? {} : { position }),
  })),
});

/** Residual sum of squares for a curve at the rates, as `RateEvidence` says it. */
export function residualBySums(
  { total, cross, weight, rates }: RateEvidence,
  curve: (rate: number) => number,
): number {
  const f = [...rates].map(curve);
  let sum = total;
  f.forEach((fk, k) => {
    sum -= 2 * cross[k]! * fk;
    f.forEach((fl, l) => (sum += fk * weight[k * f.length + l]! * fl));
  });
  return sum;
}
