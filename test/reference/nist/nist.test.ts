/** Numerical hardness: NIST's certified values, and exact arithmetic where the numbers as stored cannot hold them. */
import { describe, expect, it } from "vitest";
import { anovaOf, exactVariance, regressionDigits, varianceDigits, varianceSets } from "./nist.ts";

describe("NIST linear regression", () => {
  for (const { name, fewest } of regressionDigits())
    it(`${name}: every certified value to 12 digits or more`, () =>
      expect(fewest).toBeGreaterThanOrEqual(12));
});

describe("NIST analysis of variance", () => {
  // From SmLs04 on, and in AtmWtAg, the constant leading digits leave a double fewer digits than the certified values have.
  for (const set of varianceSets()) {
    const possible = varianceDigits(exactVariance(set), set);
    // One less, because the means by block and rate, from which all is fitted, are themselves rounded to doubles.
    const held = Math.min(12, possible - 1);
    it(`${set.name}: ${held.toFixed(1)} of the ${possible.toFixed(1)} certified digits that the stored numbers hold`, () =>
      expect(varianceDigits(anovaOf(set), set)).toBeGreaterThanOrEqual(held));
  }
});
