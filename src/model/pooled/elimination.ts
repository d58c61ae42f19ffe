/**
 * The sparse sums of one group of random effects that share strips (usually one environment).
 *
 * With the random effects written b = Λu, u independent, the sums of products of [ZΛ, X, y] of a group form one matrix,
 * Λ'Z'ZΛ + I in its corner. Eliminating u from it, one effect at a time, leaves in the corner of X and y what the
 * generalized least squares of all groups needs; the logarithms of the pivots add up to log|Λ'Z'ZΛ + I|. Effects with
 * the most levels go first, so hardly any zero is filled in. The positions of entries are worked out once and shared by
 * all groups that look alike.
 *
 * Source: Bates, Mächler, Bolker & Walker (2015), J. Stat. Softw. 67(1), §3; derivatives by running the elimination
 * backwards (Smith 1995, J. Comput. Graph. Stat. 4:134).
 */

/** The parts of a group's matrix. */
export interface PatternParts {
  /** Raw sums of products that are not zero by structure: row ≥ column, column random. */
  row: ArrayLike<number>;
  column: ArrayLike<number>;
  /** Random effects by level: `width` coefficients from `first`; the lower triangle of Λ begins at `theta`. */
  levels: { first: number; width: number; theta: number }[];
  randomCount: number;
  /** Fixed columns that the group touches, as columns of the whole X. */
  fixedColumns: Int32Array;
  /** Index in theta of the constant 1. */
  one: number;
}

/** The positions of everything in a group's matrix; shared by groups that look alike. */
export interface Pattern {
  randomCount: number;
  /** Fixed columns that the group touches, as columns of the whole X. */
  fixedColumns: Int32Array;
  /** Column j's pivot is stored at columnStart[j], its other entries after it. */
  columnStart: Int32Array;
  /** For each stored entry its row; rows from `randomCount` on are the fixed columns, the last one is y. */
  rowOf: Int32Array;
  /** Where the dense corner of [X y] begins; it is packed by rows, lower triangle. */
  cornerStart: number;
  size: number;
  /** For each pivot in order and each pair of its rows, the entry that the pair lowers. */
  updates: Int32Array;
  target: Int32Array;
  first: Int32Array;
  second: Int32Array;
  /** Which raw sum each target takes. */
  source: Int32Array;
}

const cornerPlace = (row: number, column: number): number => (row * (row + 1)) / 2 + column;

/** Works out the position of everything. */
export function layOutPattern(parts: PatternParts): Pattern {
  const { randomCount, fixedColumns } = parts;
  const entries = entriesOf(parts);
  const rows = rowsWithFill(entries, randomCount);
  const columnStart = new Int32Array(randomCount + 1);
  for (let j = 0; j < randomCount; j++) columnStart[j + 1] = columnStart[j]! + 1 + rows[j]!.length;
  const cornerStart = columnStart[randomCount]!;
  const rowOf = new Int32Array(cornerStart);
  for (let j = 0; j < randomCount; j++) {
    rowOf[columnStart[j]!] = j;
    rowOf.set(rows[j]!, columnStart[j]! + 1);
  }
  const corner = fixedColumns.length + 1;
  return {
    randomCount,
    fixedColumns,
    columnStart,
    rowOf,
    cornerStart,
    size: cornerStart + (corner * (corner + 1)) / 2,
    updates: updatesOf(rows, columnStart, rowOf),
    target: Int32Array.from(entries, ({ row, column }) => placeOf(row, column, columnStart, rowOf)),
    first: Int32Array.from(entries, (entry) => entry.first),
    second: Int32Array.from(entries, (entry) => entry.second),
    source: Int32Array.from(entries, (entry) => entry.source),
  };
}

/** An entry of the matrix, the raw sum that enters it, and the two parameters that this is multiplied by. */
interface PatternEntry {
  row: number;
  column: number;
  first: number;
  second: number;
  source: number;
}

/** Entries of the matrix that each raw sum enters. */
function entriesOf(parts: PatternParts): PatternEntry[] {
  const { randomCount, one, levels: places } = parts;
  const levelOf = new Int32Array(randomCount);
  places.forEach((place, level) => levelOf.fill(level, place.first, place.first + place.width));
  const entries: PatternEntry[] = [];
  const thetaFor = (place: PatternParts["levels"][number], row: number, column: number): number =>
    place.theta + column * place.width - (column * (column - 1)) / 2 + (row - column);
  const enter = (a: number, b: number, source: number): void => {
    const placeB = places[levelOf[b]!]!;
    const inB = b - placeB.first;
    for (let cb = 0; cb <= inB; cb++) {
      const column = placeB.first + cb;
      const second = thetaFor(placeB, inB, cb);
      if (a >= randomCount) {
        entries.push({ row: a, column, first: second, second: one, source });
        continue;
      }
      const placeA = places[levelOf[a]!]!;
      const inA = a - placeA.first;
      for (let ca = 0; ca <= inA; ca++) {
        const row = placeA.first + ca;
        if (row >= column) entries.push({ row, column, first: thetaFor(placeA, inA, ca), second, source });
      }
    }
  };
  for (let s = 0; s < parts.row.length; s++) {
    enter(parts.row[s]!, parts.column[s]!, s);
    if (parts.row[s]! < randomCount && parts.row[s] !== parts.column[s]!)
      enter(parts.column[s]!, parts.row[s]!, s);
  }
  return entries;
}

/** Rows below the diagonal of each column, with those that elimination fills in. */
function rowsWithFill(entries: readonly PatternEntry[], randomCount: number): number[][] {
  const rows: number[][] = Array.from({ length: randomCount }, () => []);
  for (const { row, column } of entries) if (row > column) rows[column]!.push(row);
  for (let j = 0; j < randomCount; j++) {
    rows[j] = [...new Set(rows[j]!)].sort((a, b) => a - b);
    const parent = rows[j]![0]!;
    if (parent < randomCount) for (let i = 1; i < rows[j]!.length; i++) rows[parent]!.push(rows[j]![i]!);
  }
  return rows;
}

/** For each pivot in order, where each pair of its rows is taken off. */
function updatesOf(rows: readonly number[][], columnStart: Int32Array, rowOf: Int32Array): Int32Array {
  const randomCount = rows.length;
  const cornerStart = columnStart[randomCount]!;
  let pairs = 0;
  for (const list of rows) pairs += (list.length * (list.length + 1)) / 2;
  const updates = new Int32Array(pairs);
  let at = 0;
  for (const list of rows) {
    for (let b = 0; b < list.length; b++) {
      const column = list[b]!;
      if (column >= randomCount) {
        for (let a = b; a < list.length; a++)
          updates[at++] = cornerStart + cornerPlace(list[a]! - randomCount, column - randomCount);
      } else {
        let place = columnStart[column]!;
        for (let a = b; a < list.length; a++) {
          while (rowOf[place] !== list[a]!) place++;
          updates[at++] = place;
        }
      }
    }
  }
  return updates;
}

/** The position of a row in a column, found by bisection. */
function placeOf(row: number, column: number, columnStart: Int32Array, rowOf: Int32Array): number {
  let [low, high] = [columnStart[column]!, columnStart[column + 1]! - 1];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (rowOf[middle]! < row) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Fills `store` with the matrix at `theta` (its last entry 1) and eliminates the random effects; gives log|Λ'Z'ZΛ + I|. */
export function eliminate(
  pattern: Pattern,
  raw: Float64Array,
  theta: Float64Array,
  store: Float64Array,
): number {
  const { target, first, second, source, columnStart, updates, randomCount } = pattern;
  store.fill(0);
  for (let j = 0; j < randomCount; j++) store[columnStart[j]!] = 1;
  for (let i = 0; i < target.length; i++) {
    store[target[i]!]! += raw[source[i]!]! * theta[first[i]!]! * theta[second[i]!]!;
  }
  let logDeterminant = 0;
  let at = 0;
  for (let j = 0; j < randomCount; j++) {
    const start = columnStart[j]!;
    const end = columnStart[j + 1]!;
    const pivot = store[start]!;
    logDeterminant += Math.log(pivot);
    for (let b = start + 1; b < end; b++) {
      const share = store[b]! / pivot;
      if (share === 0) {
        at += end - b;
        continue;
      }
      for (let a = b; a < end; a++) store[updates[at++]!]! -= share * store[a]!;
    }
  }
  return logDeterminant;
}

/** Adds a group's corner of [X y] to the whole farm's, row by row of `order`, lower triangle. */
export function addCorner(pattern: Pattern, store: Float64Array, whole: Float64Array, order: number): void {
  const { fixedColumns, cornerStart } = pattern;
  const count = fixedColumns.length;
  let place = cornerStart;
  for (let i = 0; i <= count; i++) {
    const row = (i < count ? fixedColumns[i]! : order - 1) * order;
    for (let j = 0; j <= i; j++) whole[row + (j < count ? fixedColumns[j]! : order - 1)]! += store[place++]!;
  }
}

/**
 * Runs the elimination backwards: from the slope of the criterion in the corner, the slope in theta.
 *
 * @param store   as `eliminate` left it
 * @param corner  slopes in the entries of the whole corner, lower triangle, each entry counted once
 * @param slopes  room for as many numbers as `store`
 * @param gradient  is added to; log|Λ'Z'ZΛ + I| counts once
 */
export function pullBack(
  pattern: Pattern,
  raw: Float64Array,
  theta: Float64Array,
  store: Float64Array,
  corner: Float64Array,
  order: number,
  slopes: Float64Array,
  gradient: Float64Array,
): void {
  const { target, first, second, source, columnStart, updates, randomCount, fixedColumns, cornerStart } =
    pattern;
  slopes.fill(0, 0, cornerStart);
  const count = fixedColumns.length;
  let place = cornerStart;
  for (let i = 0; i <= count; i++) {
    const row = (i < count ? fixedColumns[i]! : order - 1) * order;
    for (let j = 0; j <= i; j++) slopes[place++] = corner[row + (j < count ? fixedColumns[j]! : order - 1)]!;
  }
  let at = updates.length;
  for (let j = randomCount - 1; j >= 0; j--) {
    const start = columnStart[j]!;
    const end = columnStart[j + 1]!;
    const length = end - start - 1;
    const pivot = store[start]!;
    at -= (length * (length + 1)) / 2;
    let pair = at;
    let crossed = 0;
    for (let b = start + 1; b < end; b++) {
      const valueB = store[b]!;
      let slopeB = 0;
      for (let a = b; a < end; a++) {
        const slope = slopes[updates[pair++]!]!;
        slopeB += slope * store[a]!;
        slopes[a]! -= (slope * valueB) / pivot;
      }
      slopes[b]! -= slopeB / pivot;
      crossed += slopeB * valueB;
    }
    slopes[start]! += (crossed / pivot + 1) / pivot;
  }
  for (let i = 0; i < target.length; i++) {
    const slope = slopes[target[i]!]! * raw[source[i]!]!;
    gradient[first[i]!]! += slope * theta[second[i]!]!;
    gradient[second[i]!]! += slope * theta[first[i]!]!;
  }
}
