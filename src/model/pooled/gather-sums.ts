/**
 * Sums of products of a trial, gathered in one sweep over the strips: every mixed model of the trial starts from them.
 *
 * A *treatment* is what the fixed part of a model can distinguish, usually variety × rate. Strips are swept once into
 * sums by random effect and treatment; a model with any curves over the treatments needs only these sums, so the cost
 * of trying another curve, or another join, does not grow with the number of strips.
 */

import type { Pattern } from "./elimination.ts";
import { ProductSums } from "./product-sums.ts";
import type { SparseSums } from "./product-sums.ts";

/** A random term: each level draws its own coefficients, normal about zero, correlated when there are several. */
export interface RandomTerm {
  name: string;
  /** How many levels there are, numbered from 0. */
  levels: number;
  /** How many levels one row touches: 1, or 2 where a row is between two knots. */
  reach: number;
  /** For each row its `reach` levels. */
  levelOf: Int32Array;
  /** One array a coefficient, as long as `levelOf`: what the coefficient is multiplied by. */
  columns: Float64Array[];
}

/** Rows of a trial: one a strip, or one a mean of strips that are alike in all that the models see. */
export interface TrialRows {
  yields: Float64Array;
  /** Strips behind each row. */
  counts: Float64Array;
  /** Sum of squares of the strips around the mean that is their row. */
  within: Float64Array;
  treatmentOf: Int32Array;
  treatments: number;
  random: RandomTerm[];
}

/** A term in the parameter vector: `theta` is where its lower triangle begins, column by column. */
export interface TermPlace {
  name: string;
  levels: number;
  width: number;
  theta: number;
}

/** A level of a term inside a group; its coefficients begin at `first`. */
export interface LevelPlace {
  term: TermPlace;
  level: number;
  first: number;
}

/** Rows that share random effects, usually one environment. Random effects are numbered in order of elimination. */
export interface GroupSums {
  levels: LevelPlace[];
  randomCount: number;
  /** Treatments that occur in the group, in ascending order. */
  treatments: Int32Array;
  /** Products of random effects, row ≥ column, that are not zero by structure. */
  random: SparseSums;
  /** Products of a random effect (column) with a treatment (row, counted within the group). */
  withTreatment: SparseSums;
  /** Random effects with y. */
  withYield: Float64Array;
  /** Strips and total yield by treatment. */
  strips: Float64Array;
  yields: Float64Array;
  /** Σ y² over the strips. */
  squares: number;
  /** Groups with the same number have alike random effects: the same products are not zero. */
  structure: number;
}

export interface TrialSums {
  observations: number;
  treatments: number;
  terms: TermPlace[];
  thetaCount: number;
  groups: GroupSums[];
  /** Patterns of groups laid out so far, and the positions of their sums with fixed columns. */
  patterns: Map<string, { pattern: Pattern; places: Int32Array }>;
}

/**
 * Sweeps the rows once.
 *
 * @throws Error where the arrays do not fit together
 */
export function gatherSums(trial: TrialRows): TrialSums {
  const { yields, counts, treatmentOf, random } = trial;
  const rows = yields.length;
  if (counts.length !== rows || treatmentOf.length !== rows)
    throw new Error("One count and treatment a row.");
  for (const { name, levelOf, reach, columns } of random) {
    if (levelOf.length !== rows * reach) throw new Error(`Term ${name}: ${reach} levels a row.`);
    if (columns.some((column) => column.length !== levelOf.length))
      throw new Error(`Term ${name}: one value a level and row.`);
  }
  let thetaCount = 0;
  const terms = random.map((term): SweptTerm => {
    const { name, levels, columns } = term;
    const width = columns.length;
    const theta = thetaCount;
    thetaCount += (width * (width + 1)) / 2;
    return { ...term, place: { name, levels, width, theta }, firstOf: new Int32Array(levels).fill(-1) };
  });
  const entries = random.reduce((sum, term) => sum + term.reach * term.columns.length, 0) + 2;
  const sweep: Sweep = {
    trial,
    terms,

    localOf: new Int32Array(trial.treatments).fill(-1),
    where: new Int32Array(entries),
    value: new Float64Array(entries),
    sums: new ProductSums(),
    structures: new Map(),
  };
  return {
    observations: counts.reduce((sum, count) => sum + count, 0),
    treatments: trial.treatments,
    terms: terms.map(({ place }) => place),
    thetaCount,
    groups: groupRows(rows, random).map((members) => sweepGroup(members, sweep)),
    patterns: new Map(),
  };
}

/** Rows that share a random effect, directly or through others: lists of row numbers, in order of their first row. */
function groupRows(rows: number, random: RandomTerm[]): Int32Array[] {
  let nodes = 0;
  const terms = random.map(({ levels, reach, levelOf }) => {
    const start = nodes;
    nodes += levels;
    return { start, reach, levelOf };
  });
  const [first] = terms;
  if (first === undefined) return [Int32Array.from({ length: rows }, (_, row) => row)];
  const parent = Int32Array.from({ length: nodes }, (_, node) => node);
  const rootOf = (node: number): number => {
    while (parent[node] !== node) {
      parent[node] = parent[parent[node]!]!;
      node = parent[node]!;
    }
    return node;
  };
  const firstRoot = (row: number): number => rootOf(first.start + first.levelOf[row * first.reach]!);
  for (let row = 0; row < rows; row++) {
    const root = firstRoot(row);
    for (const { start, reach, levelOf } of terms)
      for (let i = 0; i < reach; i++) parent[rootOf(start + levelOf[row * reach + i]!)] = root;
  }
  const groupOfRoot = new Int32Array(nodes).fill(-1);
  const sizes: number[] = [];
  const groupOf = new Int32Array(rows);
  for (let row = 0; row < rows; row++) {
    const root = firstRoot(row);
    if (groupOfRoot[root]! < 0) groupOfRoot[root] = sizes.push(0) - 1;
    groupOf[row] = groupOfRoot[root]!;
    sizes[groupOf[row]!]!++;
  }
  const members = sizes.map((size) => new Int32Array(size));
  const filled = new Int32Array(sizes.length);
  for (let row = 0; row < rows; row++) {
    const group = groupOf[row]!;
    members[group]![filled[group]!++] = row;
  }
  return members;
}

/** A random term while rows are swept. */
interface SweptTerm extends RandomTerm {
  place: TermPlace;
  /** First coefficient of each level in its group. */
  firstOf: Int32Array;
}

/** What sweeping one group after another shares. */
interface Sweep {
  trial: TrialRows;
  terms: SweptTerm[];
  /** Place of each treatment in the group at hand. */
  localOf: Int32Array;
  /** The random effects, treatment and y of one row. */
  where: Int32Array;
  value: Float64Array;
  sums: ProductSums;
  structures: Map<string, number>;
}

function sweepGroup(members: Int32Array, sweep: Sweep): GroupSums {
  const { localOf, where, value, sums } = sweep;
  const { yields, counts, within, treatmentOf } = sweep.trial;
  const { levels, randomCount } = placeLevels(members, sweep);
  const treatments = placeTreatments(members, sweep);

  const strips = new Float64Array(treatments.length);
  const totals = new Float64Array(treatments.length);
  const withYield = new Float64Array(randomCount);
  let squares = 0;
  sums.begin(randomCount + treatments.length);
  for (const row of members) {
    const effects = effectsOfRow(row, sweep);
    const count = counts[row]!;
    const y = yields[row]!;
    const local = localOf[treatmentOf[row]!]!;
    for (let b = 0; b < effects; b++) {
      const weighted = count * value[b]!;
      const column = where[b]!;
      withYield[column]! += weighted * y;
      sums.add(randomCount + local, column, weighted);
      for (let a = b; a < effects; a++) sums.add(where[a]!, column, weighted * value[a]!);
    }
    strips[local]! += count;
    totals[local]! += count * y;
    squares += count * y * y + within[row]!;
  }
  for (const treatment of treatments) localOf[treatment] = -1;
  const { random, withTreatment } = partSums(sums.take(), randomCount);
  return {
    levels,
    randomCount,
    treatments,
    random,
    withTreatment,
    withYield,
    strips,
    yields: totals,
    squares,
    structure: structureOf(levels, random, sweep.structures),
  };
}

/** Numbers the treatments of a group in `localOf`, in ascending order. */
function placeTreatments(members: Int32Array, { localOf, trial: { treatmentOf } }: Sweep): Int32Array {
  const present: number[] = [];
  for (const row of members) {
    const treatment = treatmentOf[row]!;
    if (localOf[treatment]! >= 0) continue;
    localOf[treatment] = 0;
    present.push(treatment);
  }
  const treatments = Int32Array.from(present).sort();
  treatments.forEach((treatment, local) => (localOf[treatment] = local));
  return treatments;
}

/** Writes the random effects of a row and their multipliers into `where` and `value`; returns how many. */
function effectsOfRow(row: number, { terms, where, value }: Sweep): number {
  let effects = 0;
  for (const { reach, levelOf, columns, firstOf } of terms) {
    for (let i = 0; i < reach; i++) {
      const entry = row * reach + i;
      const first = firstOf[levelOf[entry]!]!;
      for (let c = 0; c < columns.length; c++) {
        where[effects] = first + c;
        value[effects++] = columns[c]![entry]!;
      }
    }
  }
  return effects;
}

/** Separates the products of random effects from those with treatments, whose rows come after. */
function partSums(
  { row, column, value }: SparseSums,
  randomCount: number,
): Pick<GroupSums, "random" | "withTreatment"> {
  const split = row.findIndex((place) => place >= randomCount);
  const cut = split < 0 ? row.length : split;
  return {
    random: { row: row.slice(0, cut), column: column.slice(0, cut), value: value.slice(0, cut) },
    withTreatment: {
      row: row.slice(cut).map((place) => place - randomCount),
      column: column.slice(cut),
      value: value.slice(cut),
    },
  };
}

/** The number of the structure: the same where the same products are not zero. */
function structureOf(
  levels: readonly LevelPlace[],
  { row, column }: SparseSums,
  structures: Map<string, number>,
): number {
  const key = `${levels.map(({ term }) => term.theta).join()};${row.join()};${column.join()}`;
  let structure = structures.get(key);
  if (structure === undefined) structures.set(key, (structure = structures.size));
  return structure;
}

/** Numbers the random effects of a group: the term with the most levels there comes first, so little is filled in. */
function placeLevels(members: Int32Array, { terms }: Sweep): { levels: LevelPlace[]; randomCount: number } {
  const present = terms.map(({ reach, levelOf, firstOf, place }) => {
    const found: number[] = [];
    for (const row of members) {
      for (let i = 0; i < reach; i++) {
        const level = levelOf[row * reach + i]!;
        if (firstOf[level]! < 0) firstOf[level] = found.push(level);
      }
    }
    return { found, firstOf, place };
  });
  const levels: LevelPlace[] = [];
  let randomCount = 0;
  for (const { found, firstOf, place } of present.sort((a, b) => b.found.length - a.found.length)) {
    for (const level of found) {
      firstOf[level] = randomCount;
      levels.push({ term: place, level, first: randomCount });
      randomCount += place.width;
    }
  }
  return { levels, randomCount };
}
