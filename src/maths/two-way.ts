/** Two-way layout, groups × levels of x, any numbers in the cells: level differences with group differences taken off. */
import { dot } from "./dot.ts";
import { meanOf, type GroupedPoints } from "./grouped-points.ts";

export interface TwoWay {
  /** Residual sum of squares of groups + levels, observations about the means of their points included. */
  rss: number;
  /** Degrees of freedom of levels after groups, and of the residual. */
  levelDf: number;
  errorDf: number;
  /** Mean of each level, in rising x, as if every group had held it; null where groups and levels fall into separate parts. */
  adjustedMeans: Float64Array | null;
}

/** Most steps of the search for the level effects; it ends after as many as there are groups or levels, the fewer. */
const mostSteps = 1000;

/**
 * A direction of which groups leave less than this share is all levels moved alike, which says nothing: what is left of it is
 * rounding, and a step along it would be as long as it likes.
 */
const leastShare = 1e-12;

/**
 * Least squares by conjugate gradients on the level effects, scaled by their weights.
 *
 * Ends in one step where the layout is balanced, and in about as many as there are groups or levels, the fewer, where it
 * is not; needs no matrix, so strips that each have a rate of their own cost no more than others.
 *
 * Source: Hestenes & Stiefel (1952), J. Research NBS 49:409–436. Reference check: test/reference/rate-anova
 */
export function fitTwoWay(p: GroupedPoints): TwoWay {
  const levels = p.starts.length - 1;
  const effects = solveLevels(p, levelSums(p));
  const offsets = groupOffsets(p, effects);
  let rss = p.within;
  eachPoint(p, (i, level) => {
    rss += p.weight[i]! * (p.y[i]! - effects[level]! + offsets[p.group[i]!]!) ** 2;
  });
  const parts = separateParts(p);
  const levelDf = levels - parts;
  const level = meanOf(p.groupMean) - meanOf(offsets);
  return {
    rss,
    levelDf,
    errorDf: p.observations - p.groups - levelDf,
    adjustedMeans: parts === 1 ? effects.map((effect) => level + effect) : null,
  };
}

/**
 * Variance of the difference between two adjusted level means, averaged over all pairs, per unit of error variance.
 *
 * 2/r where every level has r observations in a balanced layout. Costs one search per level.
 */
export function averageDifferenceVariance(p: GroupedPoints): number {
  const levels = p.starts.length - 1;
  let trace = 0;
  for (let level = 0; level < levels; level++) {
    const contrast = new Float64Array(levels).fill(-1 / levels);
    contrast[level]! += 1;
    const solved = solveLevels(p, contrast);
    let mean = 0;
    for (let k = 0; k < levels; k++) mean += solved[k]! / levels;
    trace += solved[level]! - mean;
  }
  return (2 * trace) / (levels - 1);
}

function eachPoint(p: GroupedPoints, visit: (point: number, level: number) => void): void {
  for (let level = 0; level < p.starts.length - 1; level++)
    for (let i = p.starts[level]!; i < p.starts[level + 1]!; i++) visit(i, level);
}

function levelSums(p: GroupedPoints): Float64Array {
  const sums = new Float64Array(p.starts.length - 1);
  eachPoint(p, (i, level) => (sums[level]! += p.weight[i]! * p.y[i]!));
  return sums;
}

/** Mean of the level effects that each group holds. */
function groupOffsets(p: GroupedPoints, effects: Float64Array): Float64Array {
  const offsets = new Float64Array(p.groups);
  eachPoint(p, (i, level) => (offsets[p.group[i]!]! += p.weight[i]! * effects[level]!));
  for (let g = 0; g < p.groups; g++) offsets[g]! /= p.groupWeight[g]!;
  return offsets;
}

/** Level effects τ with Σ over the level's points of weight·(τ − offset of the point's group) = right side. */
function solveLevels(p: GroupedPoints, rightSide: Float64Array): Float64Array {
  const levels = rightSide.length;
  const weights = new Float64Array(levels);
  eachPoint(p, (i, level) => (weights[level]! += p.weight[i]!));
  const apply = (effects: Float64Array): Float64Array => {
    const offsets = groupOffsets(p, effects);
    const product = new Float64Array(levels);
    eachPoint(p, (i, level) => {
      product[level]! += p.weight[i]! * (effects[level]! - offsets[p.group[i]!]!);
    });
    return product;
  };
  const solution = new Float64Array(levels);
  const residual = Float64Array.from(rightSide);
  let scaled = residual.map((r, k) => r / weights[k]!);
  let direction = Float64Array.from(scaled);
  let size = dot(residual, scaled);
  const enough = 1e-30 * size;
  for (let step = 0; step < mostSteps && size > enough; step++) {
    const product = apply(direction);
    const curvature = dot(direction, product);
    const most = direction.reduce((sum, d, k) => sum + weights[k]! * d * d, 0);
    if (!(curvature > leastShare * most)) break;
    const length = size / curvature;
    for (let k = 0; k < levels; k++) {
      solution[k]! += length * direction[k]!;
      residual[k]! -= length * product[k]!;
    }
    scaled = residual.map((r, k) => r / weights[k]!);
    const next = dot(residual, scaled);
    const keep = next / size;
    direction = direction.map((d, k) => scaled[k]! + keep * d);
    size = next;
  }
  return solution;
}

/** How many parts the layout falls into that share neither a group nor a level. */
function separateParts(p: GroupedPoints): number {
  const parent = Int32Array.from({ length: p.groups + p.starts.length - 1 }, (_, k) => k);
  const root = (k: number): number => {
    while (parent[k] !== k) k = parent[k] = parent[parent[k]!]!;
    return k;
  };
  let parts = parent.length;
  eachPoint(p, (i, level) => {
    const [a, b] = [root(p.group[i]!), root(p.groups + level)];
    if (a === b) return;
    parent[a] = b;
    parts--;
  });
  return parts;
}
