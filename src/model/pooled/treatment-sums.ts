/**
 * What generalized least squares sees of each treatment, once the variances are known.
 *
 * With V the covariance of the strips (relative to the residual variance) and C the columns that mark the treatments,
 * C'V⁻¹C and C'V⁻¹y of each group. Every curve X = CF over the treatments then has X'V⁻¹X = F'(C'V⁻¹C)F: trying another
 * curve, or another join, needs no strip.
 */
import type { GroupSums, TrialSums } from "./gather-sums.ts";
import { eliminate, layOutPattern } from "./elimination.ts";
import type { Pattern } from "./elimination.ts";

export interface WeightedGroup {
  /** Treatments of the group, in ascending order. */
  treatments: Int32Array;
  /** C'V⁻¹C, full, row by row. */
  products: Float64Array;
  /** C'V⁻¹y. */
  withYield: Float64Array;
}

export interface WeightedSums {
  groups: WeightedGroup[];
  /** y'V⁻¹y. */
  squares: number;
  /** Strips by treatment of the whole trial. */
  strips: Float64Array;
}

/** Eliminates the random effects of every group at `theta`, along with treatments and y. */
export function weighTreatments(sums: TrialSums, theta: Float64Array): WeightedSums {
  const withOne = Float64Array.from([...theta, 1]);
  const strips = new Float64Array(sums.treatments);
  let squares = 0;
  const groups = sums.groups.map((group): WeightedGroup => {
    const pattern = effectsPattern(group, sums);
    const carried = carryTreatments(group, withOne);
    const weighted = eliminateCarried(group, pattern, withOne, carried);
    group.treatments.forEach((treatment, local) => (strips[treatment]! += group.strips[local]!));
    squares += weighted.squares;
    return weighted;
  });
  return { groups, squares, strips };
}

/** The positions of the random effects of a group, with nothing else. */
function effectsPattern(group: GroupSums, sums: TrialSums): Pattern {
  const key = `${group.structure}`;
  let known = sums.patterns.get(key);
  if (known === undefined) {
    const pattern = layOutPattern({
      row: group.random.row,
      column: group.random.column,
      levels: group.levels.map(({ term, first }) => ({ ...term, first })),
      randomCount: group.randomCount,
      fixedColumns: new Int32Array(0),
      one: sums.thetaCount,
    });
    known = { pattern, places: new Int32Array(0) };
    sums.patterns.set(key, known);
  }
  return known.pattern;
}

/** Λ'Z'[C y], one row a random effect. */
function carryTreatments(group: GroupSums, theta: Float64Array): Float64Array {
  const { withTreatment, withYield, treatments, randomCount, levels } = group;
  const width = treatments.length + 1;
  const raw = new Float64Array(randomCount * width);
  for (let e = 0; e < withTreatment.row.length; e++)
    raw[withTreatment.column[e]! * width + withTreatment.row[e]!] = withTreatment.value[e]!;
  for (let effect = 0; effect < randomCount; effect++)
    raw[effect * width + treatments.length] = withYield[effect]!;
  // In place: row c uses only rows from c on, which are still unchanged.
  for (const { term, first } of levels) {
    const coefficients = term.width;
    let at = term.theta;
    for (let c = 0; c < coefficients; c++) {
      const own = theta[at++]!;
      for (let k = 0; k < width; k++) raw[(first + c) * width + k]! *= own;
      for (let i = c + 1; i < coefficients; i++, at++) {
        for (let k = 0; k < width; k++)
          raw[(first + c) * width + k]! += theta[at]! * raw[(first + i) * width + k]!;
      }
    }
  }
  return raw;
}

function eliminateCarried(
  group: GroupSums,
  pattern: Pattern,
  theta: Float64Array,
  carried: Float64Array,
): WeightedGroup & { squares: number } {
  const { columnStart, rowOf, randomCount } = pattern;
  const { treatments } = group;
  const count = treatments.length;
  const width = count + 1;
  const store = new Float64Array(pattern.size);
  eliminate(pattern, group.random.value, theta, store);
  const corner = new Float64Array(width * width);
  for (let k = 0; k < count; k++) {
    corner[k * width + k] = group.strips[k]!;
    corner[count * width + k] = group.yields[k]!;
  }
  corner[count * width + count] = group.squares;
  const touched = new Int32Array(width);
  for (let j = 0; j < randomCount; j++) {
    const start = columnStart[j]!;
    const end = columnStart[j + 1]!;
    const pivot = store[start]!;
    let filled = 0;
    for (let k = 0; k < width; k++) if (carried[j * width + k] !== 0) touched[filled++] = k;
    for (let b = start + 1; b < end; b++) {
      const share = store[b]! / pivot;
      const row = rowOf[b]! * width;
      for (let t = 0; t < filled; t++)
        carried[row + touched[t]!]! -= share * carried[j * width + touched[t]!]!;
    }
    for (let t = 0; t < filled; t++) {
      const share = carried[j * width + touched[t]!]! / pivot;
      const row = touched[t]! * width;
      for (let s = 0; s <= t; s++) corner[row + touched[s]!]! -= share * carried[j * width + touched[s]!]!;
    }
  }
  const products = new Float64Array(count * count);
  for (let k = 0; k < count; k++) {
    for (let l = 0; l <= k; l++) {
      products[k * count + l] = corner[k * width + l]!;
      products[l * count + k] = corner[k * width + l]!;
    }
  }
  return {
    treatments,
    products,
    withYield: corner.slice(count * width, count * width + count),
    squares: corner[count * width + count]!,
  };
}
