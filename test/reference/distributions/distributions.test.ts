import { describe, expect, it } from "vitest";
import {
  chiSquareUpperTail,
  fQuantile,
  fUpperTail,
  normalCdf,
  normalQuantile,
  tCdf,
  tQuantile,
  tTwoSided,
} from "../../../src/maths/distributions.ts";
import reference from "./case.json" with { type: "json" };

/** R prints tails below this as 0. */
const smallest = 1e-300;

/** Each row: the arguments, and last the value of R. */
function compare(rows: number[][], compute: (...args: number[]) => number): void {
  for (const row of rows) {
    const expected = row[row.length - 1]!;
    const actual = compute(...row.slice(0, -1));
    const tolerance = Math.max(1e-10 * Math.abs(expected), smallest);
    expect(Math.abs(actual - expected), row.join(" ")).toBeLessThanOrEqual(tolerance);
  }
}

describe("distributions, against R", () => {
  it("quantiles of Student's t", () => compare(reference.qt, (p, df) => tQuantile(p!, df!)));
  it("lower tail of Student's t", () => compare(reference.pt, (t, df) => tCdf(t!, df!)));
  it("both tails of Student's t", () =>
    compare(
      reference.pt.filter(([t]) => t! < 0).map(([t, df, p]) => [-t!, df!, 2 * p!]),
      (t, df) => tTwoSided(t!, df!),
    ));
  it("quantiles of F", () => compare(reference.qf, (p, df1, df2) => fQuantile(p!, df1!, df2!)));
  it("upper tail of F", () => compare(reference.pf_upper, (f, df1, df2) => fUpperTail(f!, df1!, df2!)));
  it("quantiles of the normal", () => compare(reference.qnorm, (p) => normalQuantile(p!)));
  it("lower tail of the normal", () => compare(reference.pnorm, (z) => normalCdf(z!)));
  it("all of the weight is above no more than 0", () => {
    for (const least of [-1, 0]) {
      expect(fUpperTail(least, 3, 12)).toBe(1);
      expect(chiSquareUpperTail(least, 2)).toBe(1);
    }
  });
  it("upper tail of chi-square", () =>
    compare(reference.pchisq_upper, (x, df) => chiSquareUpperTail(x!, df!)));
});
