import { describe, expect, it } from "vitest";
import { meanOfRandom } from "../../../src/maths/random-effects.ts";
import expected from "./case.json" with { type: "json" };

describe("meanOfRandom against R", () => {
  it.each(expected.cases)("$name", ({ y, v, tau2, estimate, standardError }) => {
    const ours = meanOfRandom(y, v);
    expect(ours.mean).toBeCloseTo(estimate, 6);
    expect(Math.abs(ours.mean / estimate - 1)).toBeLessThan(1e-6);
    expect(Math.abs(Math.sqrt(ours.variance) / standardError - 1)).toBeLessThan(1e-6);
    if (tau2 === 0) expect(ours.between).toBe(0);
    else expect(Math.abs(ours.between / tau2 - 1)).toBeLessThan(1e-6);
  });
});
