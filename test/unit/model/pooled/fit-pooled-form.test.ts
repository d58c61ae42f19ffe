/** Forms over all seasons: joins against fits of the same model at other joins. */
import { describe, expect, it } from "vitest";
import { fitMixedModel } from "../../../../src/model/pooled/fit-mixed-model.ts";
import {
  awayFromZero,
  fitPooledForm,
  startJoinSearch,
} from "../../../../src/model/pooled/fit-pooled-form.ts";
import { buildMixedModel } from "../../../../src/model/pooled/mixed-model.ts";
import { columnsOfForm, unitsOf } from "../../../../src/model/pooled/pooled-forms.ts";
import { layOutTrial, type LaidVariety } from "../../../../src/model/pooled/trial-layout.ts";

/** Yields of one variety in one field by rate, in two blocks; strips scatter by about 10. */
const laid = (variety: string, environment: string, more: number, of: [number, number][]): LaidVariety => ({
  variety,
  environment,
  withinCellSs: 0,
  cells: of.flatMap(([rateSeedsPerM2, yieldKgPerHa], i) =>
    ["1", "2"].map((block, b) => ({
      block,
      rateSeedsPerM2,
      strips: 1,
      meanYieldKgPerHa: yieldKgPerHa + b * more + 15 * Math.sin(7 * i + 3 * b + more),
    })),
  ),
});
const trial = [
  laid("Alder", "2023 Hill", 100, [
    [180, 3400],
    [240, 3700],
    [300, 3950],
    [360, 4000],
    [420, 4010],
  ]),
  laid("Alder", "2024 Flat", -60, [
    [180, 3100],
    [240, 3420],
    [300, 3650],
    [420, 3640],
  ]),
  laid("Birch", "2023 Hill", 100, [
    [200, 3000],
    [270, 3600],
    [320, 3690],
    [400, 3700],
  ]),
  laid("Birch", "2024 Flat", -60, [
    [200, 2900],
    [270, 3450],
    [320, 3540],
    [400, 3550],
  ]),
  // Cedar has two rates: a straight line.
  laid("Cedar", "2024 Flat", -60, [
    [200, 3300],
    [400, 3500],
  ]),
];
const laidOut = () => layOutTrial(trial)!;
const levelOf = (one: LaidVariety): LaidVariety => ({
  ...one,
  cells: one.cells.map((cell) => ({ ...cell, meanYieldKgPerHa: 3000 })),
});

const fitAt = (form: "linear-plateau" | "quadratic-plateau" | "quadratic", joins: readonly number[]) => {
  const layout = laidOut();
  const columns = columnsOfForm(layout, form, unitsOf(layout, "own"), joins);
  return fitMixedModel(buildMixedModel(layout.sums, columns.fixed), "ML");
};

describe("a form without joins", () => {
  it("is one fit of its columns", () => {
    const { joins, fit, parameters, converged, units, columns, ...rest } = fitPooledForm(
      laidOut(),
      "quadratic",
      "own",
      "ML",
    );
    expect([rest.form, rest.sharing, joins, converged]).toEqual([
      "quadratic",
      "own",
      [null, null, null],
      true,
    ]);
    const wanted = fitAt("quadratic", []);
    expect(fit.minusTwoLogLikelihood).toBeCloseTo(wanted.minusTwoLogLikelihood, 8);
    // Levels of three varieties; slope and bend of two, slope of the third; variances; strips.
    expect(parameters).toBe(3 + 5 + rest.model.thetaCount + 1);
    expect(units).toHaveLength(3);
    expect(columns.fixed.count).toBe(8);
  });

  it("is the same from a start, by REML as well", () => {
    const first = fitPooledForm(laidOut(), "quadratic", "common", "REML");
    const again = fitPooledForm(laidOut(), "quadratic", "common", "REML", {
      theta: first.fit.theta.map(() => 0),
    });
    expect(again.fit.minusTwoLogLikelihood).toBeCloseTo(first.fit.minusTwoLogLikelihood, 6);
    expect([first.sharing, first.fit.criterion, first.joins]).toEqual(["common", "REML", [null]]);
  });
});

describe.each(["linear-plateau", "quadratic-plateau"] as const)("a form with joins: %s", (form) => {
  it("has the joins whose likelihood is the highest, each variety its own", () => {
    const { joins, fit, parameters, converged } = fitPooledForm(laidOut(), form, "own", "ML");
    expect(joins[2]).toBeNull();
    expect(converged).toBe(true);
    expect(parameters).toBe(fit.parameters + 2);
    const [alder, birch] = joins as [number, number];
    const best = fitAt(form, [alder, birch, 0]).minusTwoLogLikelihood;
    expect(fit.minusTwoLogLikelihood).toBeCloseTo(best, 6);
    for (const [a, b] of [
      [0.01, 0],
      [-0.01, 0],
      [0, 0.01],
      [0, -0.01],
      [-0.6, 0],
      [0, -0.4],
    ] as const)
      expect(fitAt(form, [alder + a, birch + b, 0]).minusTwoLogLikelihood).toBeGreaterThan(best - 1e-7);
  });

  it("has the same from another start, from joins at hand and from none", () => {
    const first = fitPooledForm(laidOut(), form, "own", "ML");
    const { theta } = first.fit;
    for (const start of [
      { theta: theta.map(() => 0) },
      { theta, joins: first.joins },
      { theta, joins: [0.8, -0.3, null], curve: first.fit.curve },
    ]) {
      const again = fitPooledForm(laidOut(), form, "own", "ML", start);
      expect(again.converged).toBe(true);
      expect(again.fit.minusTwoLogLikelihood).toBeCloseTo(first.fit.minusTwoLogLikelihood, 5);
      first.joins.forEach((join, v) => {
        if (join === null) expect(again.joins[v]).toBeNull();
        else expect(again.joins[v]).toBeCloseTo(join, 3);
      });
    }
  });

  it("is fitted where joins at hand are the best already", () => {
    const layout = laidOut();
    const units = unitsOf(layout, "own");
    const theta = Float64Array.from({ length: layout.sums.thetaCount }, () => 0.5);
    // Joins that are best at these variances: each in turn, until they no longer move.
    const joins = [0.4, 0.1, 0];
    const search = startJoinSearch(layout, form, units, joins, theta);
    for (let turn = 0; turn < 60; turn++)
      for (const unit of [0, 1]) search.moveJoin(unit, (joins[unit] = search.bestJoinOf(unit)!));
    const found = fitPooledForm(layout, form, "own", "ML", { theta, joins });
    const first = fitPooledForm(layout, form, "own", "ML");
    expect(found.converged).toBe(true);
    expect(found.fit.minusTwoLogLikelihood).toBeCloseTo(first.fit.minusTwoLogLikelihood, 5);
  });

  it("has one join where all varieties share it", () => {
    const { joins, parameters, fit } = fitPooledForm(laidOut(), form, "common", "ML");
    expect(joins).toHaveLength(1);
    expect(joins[0]).toBeGreaterThan(-1);
    expect(joins[0]).toBeLessThan(1);
    expect(parameters).toBe(fit.parameters + 1);
  });
});

it("a form whose varieties all have two rates has no join", () => {
  const two = layOutTrial([
    trial[4]!,
    laid("Dora", "2024 Flat", -60, [
      [250, 3000],
      [350, 3300],
    ]),
  ])!;
  const { joins, parameters, fit } = fitPooledForm(two, "linear-plateau", "own", "ML");
  expect(joins).toEqual([null, null]);
  expect(parameters).toBe(fit.parameters);
});

it("a form that goes through every strip has not converged, with joins or without", () => {
  const exact = trial.map((one) => ({
    ...one,
    cells: one.cells.map((cell) => ({
      ...cell,
      meanYieldKgPerHa: 3000 + 5 * Math.min(cell.rateSeedsPerM2, 300),
    })),
  }));
  for (const form of ["none", "linear-plateau"] as const) {
    const layout = layOutTrial(form === "none" ? exact.map(levelOf) : exact)!;
    const { converged, fit } = fitPooledForm(layout, form, "own", "ML");
    expect([converged, fit.residualVariance]).toEqual([false, 0]);
  }
});

it("standard deviations of 0 get a little room to start from", () => {
  expect([...awayFromZero(Float64Array.of(0, 0.02, 0.3, -1))]).toEqual([0.05, 0.05, 0.3, 0.05]);
});
