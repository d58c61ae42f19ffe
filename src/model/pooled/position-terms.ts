/** Trends across the field as random terms: each environment, or block, has its own. */
import type { PositionTerm } from "../../vocabulary/pooled-result.ts";
import type { RandomTerm } from "./gather-sums.ts";

/** Strips to one knot of a smooth trend, and how many knots an environment may have. */
const stripsPerKnot = 6;
const [leastKnots, mostKnots] = [4, 16];

/**
 * A straight trend is a slope in the strip's place, from −1 at one edge of the field to 1 at the other (from the middle
 * of the block by block); a smooth one runs straight between evenly spaced knots whose heights are independent, so
 * strips nearer than a knot's distance share most of it. Both have mean zero over fields, which need not slope the same
 * way.
 *
 * @param environments  environment of each row
 * @param blocks        block of each row, numbered over all environments
 * @param positions     place of each row's strip, NaN where not known: then no trend reaches it
 */
export function trendTerm(
  name: PositionTerm,
  environments: Int32Array,
  blocks: Int32Array,
  positions: Float64Array,
): RandomTerm {
  const fields = rangesOf(environments, positions);
  const place = (row: number): number => {
    const { lowest, highest } = fields[environments[row]!]!;
    return highest > lowest ? (positions[row]! - lowest) / (highest - lowest) : 0.5;
  };
  if (name === "smooth-trend-by-environment") return smoothTerm(name, environments, positions, fields, place);
  const levelOf = name === "straight-trend-by-block" ? blocks : environments;
  const slopes = new Float64Array(positions.length);
  const levels = levelOf.reduce((most, level) => Math.max(most, level), -1) + 1;
  const [sum, count] = [new Float64Array(levels), new Float64Array(levels)];
  positions.forEach((position, row) => {
    if (Number.isNaN(position)) return;
    slopes[row] = 2 * place(row) - 1;
    sum[levelOf[row]!]! += slopes[row];
    count[levelOf[row]!]!++;
  });
  if (name === "straight-trend-by-block") {
    positions.forEach((position, row) => {
      if (!Number.isNaN(position)) slopes[row]! -= sum[levelOf[row]!]! / count[levelOf[row]!]!;
    });
  }
  return { name, levels, reach: 1, levelOf, columns: [slopes] };
}

interface Range {
  lowest: number;
  highest: number;
  strips: number;
}

function rangesOf(environments: Int32Array, positions: Float64Array): Range[] {
  const ranges: Range[] = [];
  environments.forEach((environment, row) => {
    const range = (ranges[environment] ??= { lowest: Infinity, highest: -Infinity, strips: 0 });
    if (Number.isNaN(positions[row]!)) return;
    range.lowest = Math.min(range.lowest, positions[row]!);
    range.highest = Math.max(range.highest, positions[row]!);
    range.strips++;
  });
  return ranges;
}

function smoothTerm(
  name: PositionTerm,
  environments: Int32Array,
  positions: Float64Array,
  fields: Range[],
  place: (row: number) => number,
): RandomTerm {
  const first: number[] = [];
  let levels = 0;
  const knots = fields.map(({ strips }) =>
    Math.min(mostKnots, Math.max(leastKnots, Math.round(strips / stripsPerKnot))),
  );
  for (const count of knots) {
    first.push(levels);
    levels += count;
  }
  const levelOf = new Int32Array(2 * positions.length);
  const weights = new Float64Array(2 * positions.length);
  positions.forEach((position, row) => {
    const environment = environments[row]!;
    const known = !Number.isNaN(position);
    const along = known ? place(row) * (knots[environment]! - 1) : 0;
    const left = Math.min(knots[environment]! - 2, Math.floor(along));
    levelOf[2 * row] = first[environment]! + left;
    levelOf[2 * row + 1] = first[environment]! + left + 1;
    weights[2 * row] = known ? 1 - (along - left) : 0;
    weights[2 * row + 1] = known ? along - left : 0;
  });
  return { name, levels, reach: 2, levelOf, columns: [weights] };
}
