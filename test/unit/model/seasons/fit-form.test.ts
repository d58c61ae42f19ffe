/** A straight line through two blocks of three rates, worked by hand. */
import { describe, expect, it } from "vitest";
import { formNamed } from "../../../../src/model/forms/index.ts";
import { fitForm } from "../../../../src/model/seasons/fit-form.ts";
import type { FittedForm } from "../../../../src/vocabulary/result.ts";
import { pointsOf, type Cell } from "../../maths/points-by-hand.ts";

const line = formNamed("linear");
const blocks: Cell[] = [
  [0, 100, 1, 10],
  [0, 200, 1, 14],
  [0, 300, 1, 15],
  [1, 100, 1, 20],
  [1, 200, 1, 23],
  [1, 300, 1, 26],
];

describe("a form fitted to strips in blocks", () => {
  it("has its coefficients, their errors and how well it fits", () => {
    const fit = fitForm(line, pointsOf(blocks)) as FittedForm;
    // About the blocks' means of 13 and 23: −3, 1, 2 and −3, 0, 3, with rates −100, 0, 100: 1100 ÷ 40,000.
    expect(fit.coefficients.linear).toBeCloseTo(0.0275, 12);
    expect(fit.coefficients.intercept).toBeCloseTo(18 - 200 * 0.0275, 10);
    // 32 less 1100² ÷ 40,000, on 6 − 2 − 1 degrees of freedom.
    expect(fit.rss).toBeCloseTo(1.75, 10);
    expect(fit.residualDf).toBe(3);
    const sd = Math.sqrt(1.75 / 3);
    expect(fit.residualSdKgPerHa).toBeCloseTo(sd, 10);
    // One over the root of 40,000; at no seed a block's mean of three strips, two of them, and 200 × the slope.
    expect(fit.standardErrors.linear).toBeCloseTo(sd / 200, 10);
    expect(fit.standardErrors.intercept).toBeCloseTo(sd * Math.sqrt(1 / 6 + 1), 10);
    expect(fit.standardErrors).toMatchObject({ quadratic: null, join: null, plateau: null });
    // The strips differ from 18 by 32 within blocks and 6 × 25 between them.
    expect(fit.rSquared).toBeCloseTo(1 - 1.75 / 182, 10);
    // Four parameters with the error's.
    expect(fit.aicc).toBeCloseTo(6 * (Math.log(2 * Math.PI) + Math.log(1.75 / 6) + 1) + 8 + 40, 8);
    expect([fit.form, fit.weight, fit.converged]).toEqual(["linear", null, true]);
  });

  it("has no scatter where it goes through every strip up to rounding", () => {
    const exact = blocks.map(([block, x, n]): Cell => [block, x, n, 3 + 10 * block + 0.1 * x]);
    const fit = fitForm(line, pointsOf(exact)) as FittedForm;
    expect([fit.rss, fit.residualSdKgPerHa, fit.rSquared]).toEqual([0, 0, 1]);
    expect(fit.standardErrors.linear).toBe(0);
    expect(Number.isFinite(fit.aicc)).toBe(true);
    const level = fitForm(
      line,
      pointsOf(blocks.map(([block, x, n]): Cell => [block, x, n, 7])),
    ) as FittedForm;
    expect(level.rSquared).toBeNull();
  });

  it("has no errors where no degree of freedom is left", () => {
    // Two blocks and a slope of three strips.
    const fit = fitForm(line, pointsOf([blocks[0]!, blocks[1]!, blocks[3]!])) as FittedForm;
    expect([fit.residualDf, fit.residualSdKgPerHa, fit.aicc]).toEqual([0, null, null]);
    expect(fit.standardErrors).toMatchObject({ intercept: null, linear: null });
    expect(fit.coefficients.linear).toBeCloseTo(0.04, 12);
  });

  it("is left out where strips cannot carry it, and why", () => {
    expect(fitForm(line, pointsOf([blocks[0]!, blocks[3]!]))).toEqual({
      form: "linear",
      reason: "too-few-rates",
    });
    // Two blocks, a slope and a bend of three strips.
    const three = [blocks[0]!, blocks[1]!, [1, 300, 1, 26] as Cell];
    expect(fitForm(formNamed("quadratic"), pointsOf(three))).toEqual({
      form: "quadratic",
      reason: "too-few-strips",
    });
    // Each block has one rate alone.
    const tied: Cell[] = [
      [0, 100, 2, 10],
      [1, 200, 1, 14],
      [2, 300, 1, 20],
    ];
    expect(fitForm(line, pointsOf(tied))).toEqual({ form: "linear", reason: "tied-to-blocks" });
  });
});
