/** Believable curves by their formulas, and averaged over the seasons one by one. */
import { describe, expect, it } from "vitest";
import {
  averageOverSeasons,
  fall,
  relativeYield,
  riseShapes,
  seasonKinds,
  shoulders,
} from "../../../../src/model/forms/believable-curve.ts";
import type { BelievableCurve } from "../../../../src/vocabulary/result.ts";

const curve = (some: Partial<BelievableCurve>): BelievableCurve =>
  ({
    shape: 0,
    loss: 0.1,
    decline: 0,
    shoulder: 0,
    needSeedsPerM2: 300,
    seasonSpread: 0,
    ...some,
  }) as BelievableCurve;

describe("rises and falls", () => {
  it("lose 1 at 0.6 of the need, and are at their top at the need where they have one", () => {
    expect(riseShapes.map(({ name }) => name)).toEqual([
      "linear-plateau",
      "quadratic-plateau",
      "quadratic",
      "exponential",
      "square root",
      "reciprocal",
    ]);
    for (const { rise } of riseShapes) expect(rise(0.6)).toBeCloseTo(-1, 12);
    expect(riseShapes.slice(0, 5).map(({ rise }) => rise(1) + 0)).toEqual([
      0,
      0,
      0,
      expect.closeTo(-Math.exp(-1.28)),
      0,
    ]);
    expect(riseShapes.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 12);
    expect(riseShapes.map(({ falls }) => falls)).toEqual([true, true, false, true, false, true]);
  });

  it("have these values halfway up and beyond the need", () => {
    // At 0.8: half of 0.4, its square, e^−0.64, (√0.8 − 1)² ÷ (√0.6 − 1)², and 0.7 ÷ 0.9.
    const at = (u: number): number[] => riseShapes.map(({ rise }) => rise(u));
    const near = (found: number[], wanted: number[]): void =>
      wanted.forEach((one, i) => expect(found[i]).toBeCloseTo(one, 10));
    const root = (u: number): number => -(((Math.sqrt(u) - 1) / (Math.sqrt(0.6) - 1)) ** 2);
    near(at(0.8), [-0.5, -0.25, -0.25, -Math.exp(-0.64), root(0.8), -7 / 9]);
    near(at(1.4), [0, 0, -1, -Math.exp(-2.56), root(1.4), -0.7 / 1.5]);
  });

  it("fall by 1 half a need beyond the shoulder", () => {
    expect(shoulders).toEqual([0, 0.2, 0.5]);
    for (const shoulder of shoulders) {
      expect(fall(1 + shoulder, shoulder)).toBeCloseTo(0, 12);
      expect(fall(0.7, shoulder)).toBeCloseTo(0, 12);
      expect(fall(1.5 + shoulder, shoulder)).toBeCloseTo(-1, 12);
      expect(fall(1.25 + shoulder, shoulder)).toBeCloseTo(-0.25, 12);
    }
  });
});

describe("seasons that may come", () => {
  it("are seven, three quarters of an sd apart, as often as a normal distribution has them", () => {
    expect(seasonKinds.map(({ shift }) => shift)).toEqual([-2.25, -1.5, -0.75, 0, 0.75, 1.5, 2.25]);
    expect(seasonKinds.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 12);
    expect(seasonKinds[1]!.weight / seasonKinds[3]!.weight).toBeCloseTo(Math.exp(-1.125), 12);
    expect(seasonKinds[5]!.weight).toBeCloseTo(seasonKinds[1]!.weight, 12);
  });
});

describe("the yield of a curve", () => {
  it("is loss and decline at the rate as a share of the season's need", () => {
    const one = curve({ shape: 1, loss: 0.2, decline: 0.3, shoulder: 0.2 });
    // 0.8 of the need: 0.2 × −0.25. 1.7 of it: 0.3 × −1.
    expect(relativeYield(one, 240, 0)).toBeCloseTo(-0.05, 12);
    expect(relativeYield(one, 510, 0)).toBeCloseTo(-0.3, 12);
    expect(relativeYield(curve({ shape: 1, loss: 0.2 }), 510, 0)).toBeCloseTo(0, 12);
    expect(relativeYield(one, 240, Math.log(0.8))).toBeCloseTo(0, 12);
    expect(relativeYield(one, 510, Math.log(2))).toBeCloseTo(0.2 * -(((0.85 - 1) / 0.4) ** 2), 12);
  });

  it("is level without a loss and a decline, and follows either alone", () => {
    expect(relativeYield(curve({ loss: 0 }), 100, 0)).toBe(0);
    expect(relativeYield(curve({ loss: 0, decline: 0.3 }), 450, 0)).toBeCloseTo(-0.3, 12);
    expect([...averageOverSeasons(curve({ loss: 0 }), [100, 200])]).toEqual([0, 0]);
    expect(averageOverSeasons(curve({ loss: 0, decline: 0.3 }), [450])[0]).toBeCloseTo(-0.3, 12);
  });
});

describe("a curve averaged over seasons", () => {
  const rates = [40, 150, 210, 299, 301, 420, 900];
  /** Over all kinds of season, and the fields with their own needs. */
  const direct = (one: BelievableCurve, rate: number, fields: readonly number[] = [0]): number =>
    fields.reduce(
      (sum, field) =>
        sum +
        seasonKinds.reduce(
          (all, { shift, weight }) =>
            all + weight * relativeYield(one, rate, field + shift * one.seasonSpread),
          0,
        ) /
          fields.length,
      0,
    );

  const curves = [
    curve({ shape: 0, loss: 0.1 }),
    curve({ shape: 2, loss: 0.05, seasonSpread: 0.12 }),
    curve({ shape: 3, loss: 0.3, decline: 0.2, shoulder: 0.2, seasonSpread: 0.12 }),
    curve({ shape: 5, loss: 0.1, decline: 0.1, shoulder: 0.5, seasonSpread: 0.2 }),
    curve({ shape: 1, loss: 0.1, decline: 0.1, shoulder: 0, needSeedsPerM2: 250 }),
  ];

  it("is that of each season alone, weighed by how often it comes", () => {
    for (const one of curves)
      for (const fields of [[0], [0.2, -0.3]]) {
        const found = averageOverSeasons(one, rates, fields);
        expect(found).toHaveLength(rates.length);
        rates.forEach((rate, i) => expect(found[i]).toBeCloseTo(direct(one, rate, fields), 4));
        // The second time it is read where it was kept.
        expect([...averageOverSeasons(one, rates, fields)]).toEqual([...found]);
      }
  });

  it("is exact where seasons are alike", () => {
    for (const one of curves.filter(({ seasonSpread }) => seasonSpread === 0))
      averageOverSeasons(one, rates).forEach((share, i) =>
        expect(share).toBeCloseTo(direct(one, rates[i]!), 12),
      );
  });

  it("is exact at every 256th of a log, and straight between", () => {
    const one = curve({ shape: 2, loss: 0.4, decline: 0, seasonSpread: 0.3 });
    const rateAt = (step: number): number => 300 * Math.exp(step / 256 - 4);
    const [low, high] = [1000, 1001].map((step) => direct(one, rateAt(step)));
    const found = averageOverSeasons(one, [1000, 1000.25, 1000.75, 1001].map(rateAt));
    [low!, 0.75 * low! + 0.25 * high!, 0.25 * low! + 0.75 * high!, high!].forEach((share, i) =>
      expect(found[i]).toBeCloseTo(share, 9),
    );
    // A later rate between two steps of which one is kept already.
    const [next] = averageOverSeasons(one, [rateAt(1001.5)]);
    expect(next).toBeCloseTo((high! + direct(one, rateAt(1002))) / 2, 9);
    const [before] = averageOverSeasons(one, [rateAt(999.5)]);
    expect(before).toBeCloseTo((low! + direct(one, rateAt(999))) / 2, 9);
  });

  it("is worked out by the formula more than e⁴ times above or below the need", () => {
    const one = curve({ shape: 4, loss: 0.4, seasonSpread: 0.3 });
    const far = [300 * Math.exp(-4.001), 300 * Math.exp(3.999), 300 * Math.exp(4.001), 300 * Math.exp(5)];
    averageOverSeasons(one, far).forEach((share, i) =>
      expect(share / direct(one, far[i]!)).toBeCloseTo(1, 4),
    );
    expect(averageOverSeasons(one, far)[3]! / direct(one, far[3]!)).toBeCloseTo(1, 12);
    expect(averageOverSeasons(one, far)[0]! / direct(one, far[0]!)).toBeCloseTo(1, 12);
  });

  it("is at the farm's need where no fields are given, and falls beyond its own shoulder", () => {
    const one = curves[2]!;
    expect([...averageOverSeasons(one, rates, [])]).toEqual([...averageOverSeasons(one, rates)]);
    for (const shoulder of shoulders) {
      const other = { ...one, shoulder };
      averageOverSeasons(other, rates).forEach((share, i) =>
        expect(share).toBeCloseTo(direct(other, rates[i]!), 4),
      );
    }
  });
});
