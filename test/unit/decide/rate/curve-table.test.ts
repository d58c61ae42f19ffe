import { describe, expect, it } from "vitest";
import { bestRates, rateOfBest, valueAt } from "../../../../src/decide/rate/curve-table.ts";

describe("the best of a table", () => {
  // −(x − 320)² at 200, 300, 400 is −14,400, −400, −6,400: the parabola through three of its points has its top at 320.
  it("lies at the top of the parabola through it and its neighbours", () => {
    expect(rateOfBest([200, 300, 400], [-14_400, -400, -6400])).toBeCloseTo(320, 9);
    expect(rateOfBest([200, 300, 400], [9, 9, 9, -14_400, -400, -6400], 3)).toBeCloseTo(320, 9);
    expect([...bestRates([200, 300, 400], Float64Array.of(-14_400, -400, -6400, 1, 2, 3))]).toEqual([
      expect.closeTo(320, 9),
      400,
    ]);
  });

  it("is an end of the table where money rises or falls all the way", () => {
    expect(rateOfBest([200, 300, 400], [1, 2, 3])).toBe(400);
    expect(rateOfBest([200, 300, 400], [3, 2, 1])).toBe(200);
    expect(rateOfBest([200, 300, 400], [0, 0, 0, 1, 2, 3], 3)).toBe(400);
  });

  it("is the rate itself where its neighbours are too near to bend", () => {
    // 1 − 2⁻⁵³ is the number next below 1: the second difference rounds to 0.
    expect(rateOfBest([200, 300, 400], [1 - 2 ** -53, 1, 1])).toBe(300);
  });
});

describe("a value between the rates of a table", () => {
  const [rates, values] = [
    [200, 300, 400],
    [10, 20, 50],
  ];

  it("lies straight between them", () => {
    expect(valueAt(rates!, values!, 225)).toBeCloseTo(12.5, 12);
    expect(valueAt(rates!, values!, 300)).toBe(20);
    expect(valueAt(rates!, values!, 390)).toBeCloseTo(47, 12);
    expect(valueAt(rates!, [0, 0, 0, ...values!], 390, 3)).toBeCloseTo(47, 12);
  });

  it("is that of the end beyond them", () => {
    expect(valueAt(rates!, values!, 100)).toBe(10);
    expect(valueAt(rates!, values!, 400)).toBe(50);
    expect(valueAt(rates!, values!, 700)).toBe(50);
  });
});
