/**
 * Linear mixed models with normal errors, by REML or maximum likelihood: y = Xβ + Zb + e.
 *
 * Written for trials: random effects are nested in environments, so sums of products are gathered environment by
 * environment, once, and one evaluation of the criterion costs a few thousand multiplications an environment, whatever
 * the number of strips. Groups that share a random effect (crossed sites and years) are found and joined, so other
 * layouts work too, only more slowly.
 */
import { cholesky, solveCholesky } from "../../maths/cholesky.ts";
import { layOutPattern } from "./elimination.ts";
import type { Pattern } from "./elimination.ts";
import type { GroupSums, TermPlace, TrialSums } from "./gather-sums.ts";

/** X without its zeros, one row a treatment: row i has entries start[i] … start[i + 1] − 1. */
export interface FixedColumns {
  count: number;
  start: Int32Array;
  column: Int32Array;
  value: Float64Array;
}

interface Group {
  pattern: Pattern;
  raw: Float64Array;
}

/** A model ready to be fitted, by REML or by ML. */
export interface MixedModel {
  observations: number;
  /** Columns of X that depend on earlier ones; they have no estimate. */
  droppedColumns: number[];
  terms: TermPlace[];
  thetaCount: number;
  groups: Group[];
  /** Columns kept, as columns of X. */
  kept: Int32Array;
  columnCount: number;
  /** [X y]'[X y] of the kept columns, y minus its least-squares fit: lower triangle, row by row. */
  totals: Float64Array;
  /** Least-squares estimates that were subtracted from y. */
  offset: Float64Array;
  /** Σ y², the scale for deciding that there is no scatter. */
  squares: number;
}

/**
 * Puts curves over the treatments of a trial.
 *
 * @param fixed  one row a treatment
 * @throws Error where X has not one row a treatment
 */
export function buildMixedModel(sums: TrialSums, fixed: FixedColumns): MixedModel {
  if (fixed.start.length !== sums.treatments + 1) throw new Error("X must have one row a treatment.");
  const { kept, newColumn, totals, offset, squares } = fitFixedPart(sums, fixed);
  const droppedColumns: number[] = [];
  newColumn.forEach((column, old) => {
    if (column < 0) droppedColumns.push(old);
  });
  const columns = keepColumns(fixed, newColumn, kept.length);
  const planning = { sums, columns, offset, localColumn: new Int32Array(kept.length) };
  const groups = sums.groups.map((group) => layOutGroup(group, planning));
  return {
    observations: sums.observations,
    droppedColumns,
    terms: sums.terms,
    thetaCount: sums.thetaCount,
    groups,
    kept,
    columnCount: fixed.count,
    totals,
    offset,
    squares,
  };
}

/**
 * Least squares with the fixed part alone: finds dependent columns and subtracts the fit from y.
 *
 * The mixed model of the rest differs only by these estimates, and its sums keep their digits.
 */
function fitFixedPart(sums: TrialSums, fixed: FixedColumns) {
  const all = fixed.count;
  const strips = new Float64Array(sums.treatments);
  const yields = new Float64Array(sums.treatments);
  let squares = 0;
  for (const group of sums.groups) {
    group.treatments.forEach((treatment, local) => {
      strips[treatment]! += group.strips[local]!;
      yields[treatment]! += group.yields[local]!;
    });
    squares += group.squares;
  }
  const cross = new Float64Array(all * all);
  const withY = new Float64Array(all);
  for (let treatment = 0; treatment < sums.treatments; treatment++) {
    for (let i = fixed.start[treatment]!; i < fixed.start[treatment + 1]!; i++) {
      const column = fixed.column[i]!;
      const value = fixed.value[i]!;
      withY[column]! += value * yields[treatment]!;
      for (let j = fixed.start[treatment]!; j < fixed.start[treatment + 1]!; j++) {
        cross[column * all + fixed.column[j]!]! += value * fixed.value[j]! * strips[treatment]!;
      }
    }
  }
  const kept = independentColumns(cross, all);
  const order = kept.length;
  const newColumn = new Int32Array(all).fill(-1);
  kept.forEach((old, column) => (newColumn[old] = column));
  const keptCross = new Float64Array(order * order);
  const withKept = Float64Array.from(kept, (old) => withY[old]!);
  for (let i = 0; i < order; i++) {
    for (let j = 0; j < order; j++) keptCross[i * order + j] = cross[kept[i]! * all + kept[j]!]!;
  }
  const factor = cholesky(keptCross, order);
  if (factor === null) throw new Error("Independent columns must have positive definite sums.");
  const offset = solveCholesky(factor, order, withKept);

  const size = order + 1;
  const totals = new Float64Array(size * size);
  let left = squares;
  for (let i = 0; i < order; i++) {
    let unexplained = withKept[i]!;
    for (let j = 0; j < order; j++) unexplained -= keptCross[i * order + j]! * offset[j]!;
    for (let j = 0; j <= i; j++) totals[i * size + j] = keptCross[i * order + j]!;
    totals[order * size + i] = unexplained;
    left -= offset[i]! * (withKept[i]! + unexplained);
  }
  totals[order * size + order] = Math.max(0, left);
  return { kept, newColumn, totals, offset, squares };
}

/** Columns that do not depend on earlier ones, from X'X: a pivot below 1e-10 of its diagonal counts as zero. */
function independentColumns(cross: Float64Array, order: number): Int32Array {
  const kept: number[] = [];
  const factorRows: Float64Array[] = [];
  for (let column = 0; column < order; column++) {
    const row = new Float64Array(kept.length + 1);
    let pivot = cross[column * order + column]!;
    for (let k = 0; k < kept.length; k++) {
      let sum = cross[column * order + kept[k]!]!;
      for (let i = 0; i < k; i++) sum -= row[i]! * factorRows[k]![i]!;
      row[k] = sum / factorRows[k]![k]!;
      pivot -= row[k]! * row[k]!;
    }
    if (!(pivot > 1e-10 * cross[column * order + column]!)) continue;
    row[kept.length] = Math.sqrt(pivot);
    kept.push(column);
    factorRows.push(row);
  }
  return Int32Array.from(kept);
}

/** X with only the kept columns. */
function keepColumns(fixed: FixedColumns, newColumn: Int32Array, count: number): FixedColumns {
  const start = new Int32Array(fixed.start.length);
  const column: number[] = [];
  const value: number[] = [];
  for (let row = 0; row + 1 < fixed.start.length; row++) {
    for (let i = fixed.start[row]!; i < fixed.start[row + 1]!; i++) {
      const kept = newColumn[fixed.column[i]!]!;
      if (kept < 0) continue;
      column.push(kept);
      value.push(fixed.value[i]!);
    }
    start[row + 1] = column.length;
  }
  return { count, start, column: Int32Array.from(column), value: Float64Array.from(value) };
}

/** What laying out one group after another shares. */
interface Planning {
  sums: TrialSums;
  columns: FixedColumns;
  offset: Float64Array;
  localColumn: Int32Array;
}

/** A group's sums with the fixed columns, and with y minus its least-squares fit. */
function layOutGroup(group: GroupSums, { sums, columns, offset, localColumn }: Planning): Group {
  const { withTreatment, random, randomCount, treatments } = group;
  const touched = new Set<number>();
  for (const treatment of treatments) {
    for (let i = columns.start[treatment]!; i < columns.start[treatment + 1]!; i++)
      touched.add(columns.column[i]!);
  }
  const fixedColumns = Int32Array.from(touched).sort();
  const count = fixedColumns.length;
  fixedColumns.forEach((column, local) => (localColumn[column] = local));
  const withY = group.withYield.slice();
  const table = new Float64Array(randomCount * count);
  const bits = new Uint16Array(Math.ceil(table.length / 16));
  for (let e = 0; e < withTreatment.row.length; e++) {
    const treatment = treatments[withTreatment.row[e]!]!;
    const effect = withTreatment.column[e]!;
    const sum = withTreatment.value[e]!;
    for (let i = columns.start[treatment]!; i < columns.start[treatment + 1]!; i++) {
      const column = columns.column[i]!;
      const value = columns.value[i]!;
      const place = localColumn[column]! * randomCount + effect;
      table[place]! += sum * value;
      bits[place >> 4]! |= 1 << (place & 15);
      withY[effect]! -= sum * value * offset[column]!;
    }
  }
  const key = `${group.structure};${fixedColumns.join()};${textOf(bits)}`;
  let known = sums.patterns.get(key);
  if (known === undefined) {
    const filled: number[] = [];
    for (let place = 0; place < table.length; place++)
      if ((bits[place >> 4]! >> (place & 15)) & 1) filled.push(place);
    const places = Int32Array.from(filled);
    const effects = Array.from({ length: randomCount }, (_, effect) => effect);
    const pattern = layOutPattern({
      row: [
        ...random.row,
        ...Array.from(places, (place) => randomCount + Math.floor(place / randomCount)),
        ...effects.map(() => randomCount + count),
      ],
      column: [...random.column, ...Array.from(places, (place) => place % randomCount), ...effects],
      levels: group.levels.map(({ term, first }) => ({ ...term, first })),
      randomCount,
      fixedColumns,
      one: sums.thetaCount,
    });
    known = { pattern, places };
    sums.patterns.set(key, known);
  }
  const { pattern, places } = known;
  const raw = new Float64Array(random.value.length + places.length + randomCount);
  raw.set(random.value);
  for (let i = 0; i < places.length; i++) raw[random.value.length + i] = table[places[i]!]!;
  raw.set(withY, random.value.length + places.length);
  return { pattern, raw };
}

/** One character for sixteen bits. */
function textOf(bits: Uint16Array): string {
  let text = "";
  for (const word of bits) text += String.fromCharCode(word);
  return text;
}
