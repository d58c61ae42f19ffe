import { describe, expect, it } from "vitest";
import { rateClasses } from "../../../../src/model/observed/rate-classes.ts";

describe("rateClasses", () => {
  it("leaves few rates as they are", () => {
    const toldAs = rateClasses([200, 300, 300, 400]);
    expect([200, 300, 400].map(toldAs)).toEqual([200, 300, 400]);
  });

  it("puts many rates into classes told by their mean", () => {
    const rates = Array.from({ length: 120 }, (_, i) => 200 + i);
    const told = [...new Set(rates.map(rateClasses(rates)))];
    expect(told).toHaveLength(12);
    expect(told[0]).toBeCloseTo(204.5, 12);
    expect(rates.map(rateClasses(rates)).reduce((sum, rate) => sum + rate)).toBeCloseTo(
      rates.reduce((sum, rate) => sum + rate),
      6,
    );
  });
});
