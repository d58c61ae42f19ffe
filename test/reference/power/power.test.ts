/** Outside check: the power functions of R (package stats); values and calls in power.R and power.json. */
import { describe, expect, it } from "vitest";
import { nonCentralFUpperTail } from "../../../src/maths/noncentral.ts";
import { leastSignificantDifference } from "../../../src/model/seasons/least-significant-difference.ts";
import { fTestPower, pairPower } from "../../../src/plan/power.ts";
import reference from "./power.json" with { type: "json" };

/** R's own non-central beta stops at an error of about 1e-9. */
const tolerance = 1e-8;

describe("power against R", () => {
  it("agrees with power.t.test(strict = TRUE) for two rates", () => {
    for (const { n, delta, level, power } of reference.twoSample) {
      const ours = pairPower(delta, 1, n, 2 * (n - 1), level)!;
      expect(Math.abs(ours - power), `n ${n} delta ${delta}`).toBeLessThan(tolerance);
    }
  });

  it("agrees with power.anova.test for several rates", () => {
    for (const { groups, n, between, level, power } of reference.anova) {
      const ours = fTestPower(groups - 1, groups * (n - 1), (groups - 1) * n * between, level)!;
      expect(Math.abs(ours - power), `groups ${groups} n ${n} between ${between}`).toBeLessThan(tolerance);
    }
  });

  it("agrees with pf in the tails of the non-central F", () => {
    for (const { f, df1, df2, ncp, upper } of reference.tails) {
      const ours = nonCentralFUpperTail(f, df1, df2, ncp);
      expect(Math.abs(ours - upper), `f ${f} df ${df1}, ${df2} ncp ${ncp}`).toBeLessThan(tolerance);
    }
  });

  it("gives the LSD of the rice seeding-rate trial, Gomez & Gomez 1984, p. 26", () => {
    for (const { level, meanSquare, blocks, df, lsd } of reference.lsd) {
      const ours = leastSignificantDifference((2 * meanSquare) / blocks, df, level);
      expect(ours / lsd).toBeCloseTo(1, 9);
    }
  });

  it("claims nothing without error degrees of freedom", () => {
    expect(pairPower(1, 1, 1, 0, 0.05)).toBeNull();
  });

  it("finds a true difference of 10 % with a CV of 5 % and 5 to 6 blocks, as Ohio State SC 166-99 says", () => {
    // Four treatments in complete blocks; "usually detectable" is taken as four times in five.
    for (const blocks of [5, 6]) {
      expect(pairPower(0.1, 0.05, blocks, 3 * (blocks - 1), 0.05)!).toBeGreaterThan(0.8);
    }
  });

  it("has 80 % power for half a standard deviation with 64 in each group (Cohen 1988, FROM MEMORY)", () => {
    expect(pairPower(0.5, 1, 64, 126, 0.05)!).toBeCloseTo(0.8, 2);
    expect(pairPower(0.5, 1, 63, 124, 0.05)!).toBeLessThan(0.8);
  });
});
