/**
 * Groups very many different rates into narrow classes: with an as-applied map, almost every strip has its own rate.
 */
import { firstAndLast } from "../../maths/first-and-last.ts";
import type { RateCell } from "../../vocabulary/result.ts";

/** The time of a model of all seasons grows with the square of the number of rates: a variety with more gets classes. */
const mostRates = 200;
/** A class is a fortieth of the tested range wide: within it a curve is almost straight. */
const classes = 40;

/** What is known of one variety in one environment. */
interface VarietyCells {
  variety: string;
  cells: readonly PlacedCell[];
  withinCellSs: number;
}

/** A cell that may have a place across the field: the mean position of its strips. */
export interface PlacedCell extends RateCell {
  position?: number | null;
}

/**
 * The same strips with no more than a few hundred different rates of a variety.
 *
 * Every strip of a class counts at the mean rate of the variety's strips in it; sums of squares of the yields are kept.
 * Trials with planned rates come back as they are.
 */
export function withFewerRates<T extends VarietyCells>(fits: readonly T[]): readonly T[] {
  const classOf = new Map(
    [...new Set(fits.map(({ variety }) => variety))].map((variety) => [variety, rateClassOf(fits, variety)]),
  );
  return fits.map((fit) => {
    const toRate = classOf.get(fit.variety)!;
    return toRate === null ? fit : merged(fit, toRate);
  });
}

/** For each rate of a variety, the rate of its class; null if there are few enough rates. */
function rateClassOf(fits: readonly VarietyCells[], variety: string): ((rate: number) => number) | null {
  const strips = new Map<number, number>();
  for (const fit of fits)
    if (fit.variety === variety)
      for (const cell of fit.cells)
        strips.set(cell.rateSeedsPerM2, (strips.get(cell.rateSeedsPerM2) ?? 0) + cell.strips);
  if (strips.size <= mostRates) return null;
  const rates = Float64Array.from(strips.keys()).sort();
  const [lowest, highest] = firstAndLast(rates);
  const numberOf = (rate: number): number =>
    Math.min(classes - 1, Math.floor(((rate - lowest) / (highest - lowest)) * classes));
  const sums = new Float64Array(classes);
  const counts = new Float64Array(classes);
  for (const rate of rates) {
    sums[numberOf(rate)]! += strips.get(rate)! * rate;
    counts[numberOf(rate)]! += strips.get(rate)!;
  }
  return (rate) => sums[numberOf(rate)]! / counts[numberOf(rate)]!;
}

const cellOrder = (a: PlacedCell, b: PlacedCell): number =>
  a.rateSeedsPerM2 - b.rateSeedsPerM2 ||
  (a.block < b.block ? -1 : a.block > b.block ? 1 : 0) ||
  (a.position ?? 0) - (b.position ?? 0);

function merged<T extends VarietyCells>(fit: T, toRate: (rate: number) => number): T {
  const cells = new Map<string, PlacedCell>();
  let { withinCellSs } = fit;
  for (const cell of fit.cells) {
    const rateSeedsPerM2 = toRate(cell.rateSeedsPerM2);
    const key = JSON.stringify([rateSeedsPerM2, cell.block, cell.position]);
    const known = cells.get(key);
    if (known === undefined) {
      cells.set(key, { ...cell, rateSeedsPerM2 });
      continue;
    }
    const strips = known.strips + cell.strips;
    const apart = cell.meanYieldKgPerHa - known.meanYieldKgPerHa;
    withinCellSs += ((known.strips * cell.strips) / strips) * apart ** 2;
    known.meanYieldKgPerHa += (cell.strips / strips) * apart;
    known.strips = strips;
  }
  return { ...fit, cells: [...cells.values()].sort(cellOrder), withinCellSs };
}
