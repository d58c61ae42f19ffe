/** The likelihood of ten strips in two fields of two blocks, by the whole covariance matrix. */
import { determinant, inverse, Matrix } from "ml-matrix";
import { describe, expect, it } from "vitest";
import { gatherSums } from "../../../../src/model/pooled/gather-sums.ts";
import {
  degreesOfFreedom,
  evaluateAt,
  makeWorkspace,
  type Criterion,
} from "../../../../src/model/pooled/mixed-likelihood.ts";
import { buildMixedModel } from "../../../../src/model/pooled/mixed-model.ts";

const yields = [3, 5, 4, 7, 6, 1, 2, 5, 3, 8];
const rates = [-1, 0, 1, -1, 1, -1, 0, 1, 0, 1];
const fieldOf = [0, 0, 0, 0, 0, 1, 1, 1, 1, 1];
const blockOf = [0, 0, 0, 1, 1, 2, 2, 2, 3, 3];
/** One treatment a rate; a level and a slope. */
const treatmentOf = rates.map((rate) => rate + 1);

const term = (name: string, levelOf: number[], columns: number[][]) => ({
  name,
  levels: Math.max(...levelOf) + 1,
  reach: 1,
  levelOf: Int32Array.from(levelOf),
  columns: columns.map((column) => Float64Array.from(column)),
});
const ones = yields.map(() => 1);
/** Laid out anew in each test. */
const laidOut = () =>
  buildMixedModel(
    gatherSums({
      yields: Float64Array.from(yields),
      counts: Float64Array.from(ones),
      within: new Float64Array(10),
      treatmentOf: Int32Array.from(treatmentOf),
      treatments: 3,
      random: [term("field", fieldOf, [ones, rates]), term("block", blockOf, [ones])],
    }),
    {
      count: 2,
      start: Int32Array.of(0, 2, 4, 6),
      column: Int32Array.of(0, 1, 0, 1, 0, 1),
      value: Float64Array.of(1, -1, 1, 0, 1, 1),
    },
  );

/** Where theta of the field is the triangle [a, b, c] of its level and slope: level a, slope b with it and c by itself. */
function byCovariance([a, b, c, d]: ArrayLike<number> & Iterable<number>, criterion: Criterion) {
  const v = new Matrix(
    rates.map((x, i) =>
      rates.map((y, j) => {
        const fields = fieldOf[i] === fieldOf[j] ? (a! + b! * x) * (a! + b! * y) + c! * x * c! * y : 0;
        const blocks = blockOf[i] === blockOf[j] ? d! ** 2 : 0;
        return fields + blocks + (i === j ? 1 : 0);
      }),
    ),
  );
  const x = new Matrix(rates.map((rate) => [1, rate]));
  const y = Matrix.columnVector(yields);
  const weighted = x.transpose().mmul(inverse(v));
  const information = weighted.mmul(x);
  const estimates = inverse(information).mmul(weighted).mmul(y);
  const left = Matrix.sub(y, x.mmul(estimates));
  const logDetRandom = Math.log(determinant(v));
  const logDetFixed = Math.log(determinant(information));
  const residualSquares = left.transpose().mmul(inverse(v)).mmul(left).get(0, 0);
  return {
    information,
    estimates,
    logDetRandom,
    logDetFixed,
    residualSquares,
    told: logDetRandom + (criterion === "REML" ? logDetFixed : 0),
  };
}

const theta = Float64Array.of(0.8, 0.3, 0.5, 0.6);

describe("the likelihood of a mixed model", () => {
  it.each(["REML", "ML"] as const)("is that of the whole covariance matrix, by %s", (criterion) => {
    const model = laidOut();
    const found = evaluateAt(model, theta, criterion, makeWorkspace(model))!;
    const wanted = byCovariance(theta, criterion);
    expect(found.logDetRandom).toBeCloseTo(wanted.logDetRandom, 10);
    expect(found.logDetFixed).toBeCloseTo(wanted.logDetFixed, 10);
    expect(found.residualSquares).toBeCloseTo(wanted.residualSquares, 10);
    found.shifted.forEach((one, i) =>
      expect(one + model.offset[i]!).toBeCloseTo(wanted.estimates.get(i, 0), 10),
    );
    const factor = Matrix.from1DArray(2, 2, found.fixedFactor);
    factor.set(0, 1, 0);
    const information = factor.mmul(factor.transpose());
    for (let i = 0; i < 2; i++)
      for (let j = 0; j < 2; j++) expect(information.get(i, j)).toBeCloseTo(wanted.information.get(i, j), 10);
  });

  it.each([
    ["REML", undefined],
    ["ML", undefined],
    ["REML", 0.37],
    ["ML", 0.37],
  ] as const)("has its slope in each parameter, by %s with the weight %s", (criterion, weight) => {
    const model = laidOut();
    const { gradient, residualSquares } = evaluateAt(model, theta, criterion, makeWorkspace(model), weight)!;
    // Ten strips, less two fixed effects by REML.
    const used = weight ?? (criterion === "REML" ? 8 : 10) / residualSquares;
    expect(gradient).toHaveLength(4);
    for (let i = 0; i < 4; i++) {
      const at = (step: number): number => {
        const moved = theta.slice();
        moved[i]! += step;
        const { told, residualSquares: squares } = byCovariance(moved, criterion);
        return told + used * squares;
      };
      expect(gradient[i]).toBeCloseTo((at(1e-4) - at(-1e-4)) / 2e-4, 5);
    }
  });

  it("uses its room again without a trace of what was there", () => {
    const model = laidOut();
    const room = makeWorkspace(model);
    const first = evaluateAt(model, theta, "REML", room)!;
    evaluateAt(model, Float64Array.of(2, 0, 0.1, 0), "REML", room);
    const again = evaluateAt(model, theta, "REML", room)!;
    expect(again.residualSquares).toBe(first.residualSquares);
    expect([...again.gradient]).toEqual([...first.gradient]);
  });

  it("is none where a parameter is no number", () => {
    const model = laidOut();
    expect(evaluateAt(model, Float64Array.of(NaN, 0, 0, 0), "REML", makeWorkspace(model))).toBeNull();
    expect(evaluateAt(model, Float64Array.of(0, 0, 0, Infinity), "ML", makeWorkspace(model))).toBeNull();
  });

  it("is divided by strips, less the fixed effects by REML", () => {
    const model = laidOut();
    expect([degreesOfFreedom(model, "REML"), degreesOfFreedom(model, "ML")]).toEqual([8, 10]);
  });
});
