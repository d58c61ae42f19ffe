/** Weighted points in groups, each group with a level of its own: what a regression with block effects needs. */

/**
 * Points sorted by x. Each stands for `weight` observations with the mean `mean`; `within` is the sum of squares of
 * all observations about the means of their points.
 */
export interface GroupedPoints {
  points: number;
  groups: number;
  observations: number;
  within: number;
  x: Float64Array;
  weight: Float64Array;
  /** Mean of the point minus the mean of its group. */
  y: Float64Array;
  group: Int32Array;
  groupWeight: Float64Array;
  groupMean: Float64Array;
  /** Index of the first point at each distinct x; one more entry, `points`, closes the last. */
  starts: Int32Array;
  lowest: number;
  highest: number;
  /** Sum of squares of all observations about their group means, and about the mean of all. */
  groupedSs: number;
  totalSs: number;
  mean: number;
  /** Largest |mean|: what a rounding error is measured by. */
  size: number;
}

/**
 * Takes each group's own mean off.
 *
 * @param x       one per point, any order
 * @param weight  observations behind each point, ≥ 1
 * @param mean    their mean
 * @param group   0 … groups − 1, every one of them present
 * @param within  sum of squares of the observations about the means of their points
 */
export function groupPoints(
  x: ArrayLike<number>,
  weight: ArrayLike<number>,
  mean: ArrayLike<number>,
  group: ArrayLike<number>,
  groups: number,
  within: number,
): GroupedPoints {
  const points = x.length;
  const sorted: GroupedPoints = {
    points,
    groups,
    observations: 0,
    within,
    x: new Float64Array(points),
    weight: new Float64Array(points),
    y: new Float64Array(points),
    group: new Int32Array(points),
    groupWeight: new Float64Array(groups),
    groupMean: new Float64Array(groups),
    starts: new Int32Array(0),
    lowest: 0,
    highest: 0,
    groupedSs: 0,
    totalSs: 0,
    mean: 0,
    size: 0,
  };
  const order = orderOf(x, group);
  for (let k = 0; k < points; k++) {
    const i = order[k]!;
    sorted.x[k] = x[i]!;
    sorted.weight[k] = weight[i]!;
    sorted.y[k] = mean[i]!;
    sorted.group[k] = group[i]!;
  }
  sorted.lowest = sorted.x[0]!;
  sorted.highest = sorted.x[points - 1]!;
  sorted.starts = startsOf(sorted.x);
  takeMeansOff(sorted);
  return sorted;
}

function orderOf(x: ArrayLike<number>, group: ArrayLike<number>): Int32Array {
  const order = new Int32Array(x.length);
  let inOrder = true;
  for (let i = 0; i < order.length; i++) {
    order[i] = i;
    if (i > 0 && (x[i]! < x[i - 1]! || (x[i] === x[i - 1] && group[i]! < group[i - 1]!))) inOrder = false;
  }
  return inOrder ? order : order.sort((a, b) => x[a]! - x[b]! || group[a]! - group[b]!);
}

function startsOf(x: Float64Array): Int32Array {
  let distinct = 0;
  for (let i = 0; i < x.length; i++) if (i === 0 || x[i] !== x[i - 1]) distinct++;
  const starts = new Int32Array(distinct + 1);
  let next = 0;
  for (let i = 0; i < x.length; i++) if (i === 0 || x[i] !== x[i - 1]) starts[next++] = i;
  starts[distinct] = x.length;
  return starts;
}

/** Means are taken about a first guess, so that a high level with a small spread keeps its digits. */
function takeMeansOff(p: GroupedPoints): void {
  const { points, groups, weight, y, group, groupWeight, groupMean } = p;
  const guess = y[0]!;
  let sum = 0;
  for (let i = 0; i < points; i++) {
    const g = group[i]!;
    groupWeight[g]! += weight[i]!;
    groupMean[g]! += weight[i]! * (y[i]! - guess);
    sum += weight[i]! * (y[i]! - guess);
    p.observations += weight[i]!;
    p.size = Math.max(p.size, Math.abs(y[i]!));
  }
  const meanAboutGuess = sum / p.observations;
  p.mean = guess + meanAboutGuess;
  let between = 0;
  for (let g = 0; g < groups; g++) {
    groupMean[g]! /= groupWeight[g]!;
    between += groupWeight[g]! * (groupMean[g]! - meanAboutGuess) ** 2;
  }
  let grouped = p.within;
  for (let i = 0; i < points; i++) {
    y[i] = y[i]! - guess - groupMean[group[i]!]!;
    grouped += weight[i]! * y[i]! ** 2;
  }
  for (let g = 0; g < groups; g++) groupMean[g]! += guess;
  p.groupedSs = grouped;
  p.totalSs = grouped + between;
}

/** Means over each group of values that belong to the points. */
export function groupMeans(p: GroupedPoints, values: Float64Array): Float64Array {
  const means = new Float64Array(p.groups);
  for (let i = 0; i < p.points; i++) means[p.group[i]!]! += p.weight[i]! * values[i]!;
  for (let g = 0; g < p.groups; g++) means[g]! /= p.groupWeight[g]!;
  return means;
}

/** The plain mean over groups of one number per group: every group counts the same. */
export function meanOf(values: Float64Array): number {
  let sum = 0;
  for (let g = 0; g < values.length; g++) sum += values[g]!;
  return sum / values.length;
}

/** Weighted sum of products of two values per point. */
export function sumOfProducts(p: GroupedPoints, a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < p.points; i++) sum += p.weight[i]! * a[i]! * b[i]!;
  return sum;
}

/** Values with each group's mean taken off, in place; gives the means back. */
export function takeGroupMeansOff(p: GroupedPoints, values: Float64Array): Float64Array {
  const means = groupMeans(p, values);
  for (let i = 0; i < p.points; i++) values[i]! -= means[p.group[i]!]!;
  return means;
}

/** A sum of squares no larger than this is rounding: the last digits of the means. */
export const roundingSs = (p: GroupedPoints): number =>
  Math.max(p.observations * (4 * Number.EPSILON * p.size) ** 2, 1e-300);
