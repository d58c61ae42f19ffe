/** Holds one fitted variety against the values computed elsewhere; the tolerances are those of case.json. */
import { readFileSync } from "node:fs";
import { expect } from "vitest";
import { findOptimum } from "../../../src/decide/optima/optimum.ts";
import { fiellerSet } from "../../../src/maths/fieller.ts";
import { tQuantile } from "../../../src/maths/distributions.ts";
import { hingeStretches, joinsWithin } from "../../../src/maths/hinge.ts";
import { fitParabola } from "../../../src/maths/parabola.ts";
import { fitSeasons } from "../../../src/model/seasons/fit-seasons.ts";
import { ratePoints } from "../../../src/model/forms/rate-points.ts";
import type { FittedForm, FittedVariety, Optimum } from "../../../src/vocabulary/result.ts";
import { defaultSettings, type FormName } from "../../../src/vocabulary/settings.ts";
import { makeTrial } from "../../make-trial.ts";

export interface ReferenceGroup {
  name: string;
  strips: [block: string, rate: number, grain: number][];
  expected: Record<"none" | "linear", Closed> & {
    quadratic: Closed & { optimum: QuadraticOptimum[] };
    "linear-plateau": Plateau;
    "quadratic-plateau": Plateau;
    weights: Record<FormName, number | null>;
    tests: Record<string, number>;
    anova: Record<string, number | null> | null;
  };
}

export interface ReferenceCase {
  sets: { name: string; source: string; groups: ReferenceGroup[] }[];
}

interface Closed {
  intercept: number;
  linear?: number;
  quadratic?: number;
  seIntercept: number;
  seLinear?: number;
  seQuadratic?: number;
  rss: number;
  df: number;
  rSquared?: number;
  aicc: number | null;
}

interface QuadraticOptimum {
  ratio: number;
  best: number;
  isMaximum: boolean;
  fieller: {
    type: "finite" | "exclusive" | "whole_line";
    lower?: number;
    upper?: number;
    excluded_from?: number;
    excluded_to?: number;
  };
}

interface Plateau {
  intercept: number;
  linear: number;
  join: number;
  plateau: number;
  rss: number;
  df: number;
  aicc: number | null;
  seIntercept: number | null;
  seLinear: number | null;
  seJoin: number | null;
  profile: { limit: number; segments: [number, number, boolean, boolean][] } | null;
  best: [ratio: number, best: number][];
}

export const readCase = (file: string): ReferenceCase =>
  JSON.parse(readFileSync(new URL(file, import.meta.url), "utf8")) as ReferenceCase;

const closedForm = 1e-8;
const joinTolerance = 1e-6;

export function near(actual: number | null | undefined, expected: number | null, tolerance: number): void {
  if (expected === null) expect(actual).toBeNull();
  else expect(Math.abs(actual! - expected)).toBeLessThanOrEqual(tolerance * Math.abs(expected));
}

export function fitGroup(group: ReferenceGroup): FittedVariety {
  const trial = makeTrial(
    group.strips.map(([block, rateSeedsPerM2, yieldKgPerHa]) => ({ block, rateSeedsPerM2, yieldKgPerHa })),
  );
  return fitSeasons(trial, defaultSettings).fits[0]!;
}

export const formOf = (fit: FittedVariety, name: FormName): FittedForm =>
  fit.forms.find((form) => form.form === name)!;

const rateOf = (optimum: Optimum): number | null =>
  optimum.kind === "none" ? null : optimum.rateSeedsPerM2;

function compareClosed(fit: FittedForm, expected: Closed): void {
  const { coefficients, standardErrors } = fit;
  near(coefficients.intercept, expected.intercept, closedForm);
  near(coefficients.linear, expected.linear ?? null, closedForm);
  near(coefficients.quadratic, expected.quadratic ?? null, closedForm);
  near(standardErrors.intercept, expected.seIntercept, closedForm);
  near(standardErrors.linear, expected.seLinear ?? null, closedForm);
  near(standardErrors.quadratic, expected.seQuadratic ?? null, closedForm);
  near(fit.rss, expected.rss, closedForm);
  near(fit.aicc, expected.aicc, closedForm);
  near(fit.residualSdKgPerHa, Math.sqrt(expected.rss / expected.df), closedForm);
  if (expected.rSquared !== undefined) near(fit.rSquared, expected.rSquared, closedForm);
  expect(fit.residualDf).toBe(expected.df);
}

function compareOptima(fit: FittedVariety, expected: QuadraticOptimum[]): void {
  const points = ratePoints(fit.cells, fit.withinCellSs);
  const quadratic = formOf(fit, "quadratic");
  const t = tQuantile(0.975, quadratic.residualDf);
  for (const { ratio, best, fieller } of expected) {
    near(rateOf(findOptimum(quadratic, points, ratio, 0.95)), best, closedForm);
    const set = fiellerSet(fitParabola(points)!, quadratic.rss / quadratic.residualDf, t, ratio);
    if (set.kind === "between") {
      expect(fieller.type).toBe("finite");
      near(set.lower, fieller.lower!, closedForm);
      near(set.upper, fieller.upper!, closedForm);
    } else if (set.kind === "outside") {
      expect(fieller.type).toBe("exclusive");
      near(set.from, fieller.excluded_from!, closedForm);
      near(set.to, fieller.excluded_to!, closedForm);
    } else expect(fieller.type).toBe("whole_line");
  }
}

/** `join` where the listed one is known to be less exact than its tolerance. */
function comparePlateau(fit: FittedVariety, name: FormName, expected: Plateau, join: number): void {
  const form = formOf(fit, name);
  const points = ratePoints(fit.cells, fit.withinCellSs);
  const exact = join === expected.join;
  const { coefficients, standardErrors } = form;
  near(coefficients.join, join, joinTolerance);
  near(form.rss, expected.rss, closedForm);
  near(form.aicc, expected.aicc, closedForm);
  expect(form.residualDf).toBe(expected.df);
  for (const [ratio, best] of expected.best)
    if (exact) near(rateOf(findOptimum(form, points, ratio, 0.95)), best, joinTolerance);
  if (exact) {
    near(coefficients.intercept, expected.intercept, joinTolerance);
    near(coefficients.linear, expected.linear, joinTolerance);
    near(coefficients.plateau, expected.plateau, joinTolerance);
    near(standardErrors.intercept, expected.seIntercept, joinTolerance);
    near(standardErrors.linear, expected.seLinear, joinTolerance);
    near(standardErrors.join, expected.seJoin, joinTolerance);
  }
  if (expected.profile === null) return;
  const range = points.highest - points.lowest;
  const stretches = hingeStretches(points, name === "linear-plateau" ? 1 : 2)!;
  const found = joinsWithin(stretches, expected.profile.limit, (coefficients.join! - points.lowest) / range);
  expect(found.map((part) => [part.fromOpen, part.toOpen])).toEqual(
    expected.profile.segments.map((segment) => segment.slice(2)),
  );
  found.forEach((part, i) => {
    near(points.lowest + range * part.from, expected.profile!.segments[i]![0], joinTolerance);
    near(points.lowest + range * part.to, expected.profile!.segments[i]![1], joinTolerance);
  });
}

/** @param sharperJoin  join of the quadratic-plateau worked out to more digits than the listed one */
export function compareGroup(group: ReferenceGroup, sharperJoin?: number): void {
  const fit = fitGroup(group);
  const { expected } = group;
  expect(fit.strips).toBe(group.strips.length);
  compareClosed(formOf(fit, "none"), expected.none);
  compareClosed(formOf(fit, "linear"), expected.linear);
  compareClosed(formOf(fit, "quadratic"), expected.quadratic);
  compareOptima(fit, expected.quadratic.optimum);
  comparePlateau(fit, "linear-plateau", expected["linear-plateau"], expected["linear-plateau"].join);
  comparePlateau(
    fit,
    "quadratic-plateau",
    expected["quadratic-plateau"],
    sharperJoin ?? expected["quadratic-plateau"].join,
  );
  for (const form of fit.forms) near(form.weight, expected.weights[form.form], closedForm);
}
