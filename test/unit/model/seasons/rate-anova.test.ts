/**
 * Analysis of variance, worked by hand.
 *
 * Three rates in two blocks: 4,010, 4,050 and 4,060, and 4,030, 4,090 and 4,060 kg/ha. The rates' means are 4,020, 4,070 and 4,060,
 * the blocks' 4,040 and 4,060, that of all 4,050. Blocks: 3 × (10² + 10²) = 600. Rates: 2 × (30² + 20² + 10²) = 2,800. In all 40² +
 * 10² + 20² + 40² + 10² = 3,800, so 400 are error, with 2 degrees of freedom: 200. F is 1,400 ÷ 200 = 7, and with 2 and 2 degrees
 * of freedom a larger one has the chance 1 ÷ (1 + 7).
 *
 * The line has (4,060 − 4,020)² × 2 ÷ 2 = 1,600, the bend the other 1,200: F of 8 and 6, and with 1 and 2 degrees of freedom a larger
 * one has the chance 1 − √(F ÷ (F + 2)).
 */
import { describe, expect, it } from "vitest";
import { ratePoints } from "../../../../src/model/forms/rate-points.ts";
import { rateAnova } from "../../../../src/model/seasons/rate-anova.ts";
import type { FittedForm } from "../../../../src/vocabulary/result.ts";

type Cell = [block: string, rate: number, mean: number, strips?: number];
const anovaOf = (
  cells: readonly Cell[],
  rss: Partial<Record<FittedForm["form"], number>> = {},
  testLevel = 0.05,
  within = 0,
) =>
  rateAnova(
    ratePoints(
      cells.map(([block, rateSeedsPerM2, meanYieldKgPerHa, strips = 1]) => ({
        block,
        rateSeedsPerM2,
        strips,
        meanYieldKgPerHa,
      })),
      within,
    ),
    Object.entries(rss).map(([form, one]) => ({ form, rss: one }) as FittedForm),
    { testLevel },
  );
const six: Cell[] = [
  ["A", 100, 4010],
  ["A", 200, 4050],
  ["A", 300, 4060],
  ["B", 100, 4030],
  ["B", 200, 4090],
  ["B", 300, 4060],
];
const close = (value: number, digits = 6): number => expect.closeTo(value, digits) as number;

describe("three rates in two blocks", () => {
  it("have these sums of squares, F and p", () => {
    expect(anovaOf(six, { none: 3200, linear: 1600, quadratic: 400 })).toEqual({
      blockDf: 1,
      blockSs: close(600),
      rateDf: 2,
      rateSs: close(2800),
      errorDf: 2,
      errorSs: close(400),
      totalSs: close(3800),
      f: close(7),
      p: close(1 / 8),
      linear: { df: 1, ss: close(1600), f: close(8), p: close(1 - Math.sqrt(8 / 10)) },
      quadratic: { df: 1, ss: close(1200), f: close(6), p: close(1 - Math.sqrt(6 / 8)) },
      lackOfFit: null,
      grandMeanKgPerHa: close(4050),
      cvPct: close((100 * Math.sqrt(200)) / 4050),
      lsdKgPerHa: null,
      rates: [
        [100, 4020],
        [200, 4070],
        [300, 4060],
      ].map(([rateSeedsPerM2, mean]) => ({
        rateSeedsPerM2,
        strips: 2,
        meanYieldKgPerHa: close(mean!),
        adjustedMeanKgPerHa: close(mean!),
      })),
    });
  });

  it("have a least significant difference where F is significant", () => {
    // Student's t with 2 degrees of freedom has 0.1 above 1.8856, 0.065 above 2.4 or so: √(2 × 200 ÷ 2) = 14.142.
    expect(anovaOf(six, {}, 0.2)!.lsdKgPerHa).toBeCloseTo(1.885618 * 14.142136, 3);
    expect(anovaOf(six, {}, 0.126)!.lsdKgPerHa).not.toBeNull();
    expect(anovaOf(six, {}, 0.124)!.lsdKgPerHa).toBeNull();
  });

  it("are split as far as line and bend were fitted", () => {
    expect(anovaOf(six)).toMatchObject({ linear: null, quadratic: null, lackOfFit: null });
    expect(anovaOf(six, { linear: 1600 })).toMatchObject({ linear: { ss: close(1600) }, quadratic: null });
    expect(anovaOf(six, { quadratic: 400 })).toMatchObject({ linear: null, quadratic: null });
  });

  it("have the strips within cells in their error", () => {
    // Twice the strips, and 1,200 within: error 2 × 400 + 1,200 = 2,000 with 2 + 6 degrees of freedom.
    const doubled = anovaOf(
      six.map(([block, rate, mean]): Cell => [block, rate, mean, 2]),
      {},
      0.05,
      1200,
    )!;
    expect(doubled).toMatchObject({
      errorDf: 8,
      errorSs: close(2000),
      rateSs: close(5600),
      blockSs: close(1200),
    });
    expect(doubled.f).toBeCloseTo(2800 / 250, 6);
    expect(doubled.rates[0]).toMatchObject({ strips: 4 });
    // Student's t with 8 degrees of freedom has 0.025 above 2.306: √(2 × 250 ÷ 4) = 11.18.
    expect(doubled.lsdKgPerHa).toBeCloseTo(2.306004 * 11.18034, 3);
  });
});

describe("rates that line and bend leave something of", () => {
  it("have it as a lack of fit, from four rates on", () => {
    const eight: Cell[] = [...six, ["A", 400, 4000], ["B", 400, 4020]];
    // Means 4,020, 4,070, 4,060 and 4,010 by rate; by block 4,030 and 4,050; of all 4,040. Rates: 2 × (20² + 30² + 20² + 30²) =
    // 5,200. Blocks: 4 × 2 × 10² = 800. In all 30² + 10² + 20² + 40² + 10² + 50² + 20² + 20² = 6,400: error 400 with 3.
    const anova = anovaOf(eight, { linear: 5000, quadratic: 500 })!;
    expect(anova).toMatchObject({ errorSs: close(400), errorDf: 3, rateDf: 3, rateSs: close(5200) });
    // 500 − 400 over one degree, against 400 ÷ 3.
    expect(anova.lackOfFit).toMatchObject({ df: 1, ss: close(100), f: close(0.75) });
    expect(anova.linear).toMatchObject({ ss: close(600) });
    expect(anova.quadratic).toMatchObject({ ss: close(4500) });
    expect(anovaOf(eight, { linear: 5000 })!.lackOfFit).toBeNull();
    // No sum of squares is below 0, whatever rounding says.
    expect(anovaOf(eight, { linear: 5000, quadratic: 390 })!.lackOfFit).toMatchObject({ ss: 0, f: 0, p: 1 });
  });
});

describe("no analysis of variance", () => {
  it("is made of one rate, or without error", () => {
    expect(
      anovaOf([
        ["A", 100, 4010],
        ["B", 100, 4000],
      ]),
    ).toBeNull();
    expect(anovaOf([["A", 100, 4010, 2]], {}, 0.05, 10)).toBeNull();
    expect(anovaOf(six.slice(0, 3))).toBeNull();
    // Two rates are enough: of four strips, less two blocks and one rate, one degree is left.
    expect(anovaOf(six.filter(([, rate]) => rate !== 300))).toMatchObject({ rateDf: 1, errorDf: 1 });
    // A second strip anywhere is enough.
    expect(anovaOf([...six.slice(0, 2), ["A", 300, 4060, 2]], {}, 0.05, 10)).toMatchObject({ errorDf: 1 });
  });

  it("has an F where nothing scatters", () => {
    const exact = six.map(([block, rate]): Cell => [block, rate, 4000 + rate + (block === "B" ? 50 : 0)]);
    expect(anovaOf(exact)).toMatchObject({ errorSs: 0, f: null, p: null, cvPct: 0, lsdKgPerHa: null });
    // Thirds and sevenths are not exact in floating point: what is left of them is rounding.
    const uneven = [0, 100, 300].flatMap((rate): Cell[] => [
      ["A", 100 + rate, 4000 / 3 + rate / 7],
      ["B", 100 + rate, 4100 / 3 + rate / 7],
      ["C", 100 + rate, 4200 / 11 + rate / 7],
    ]);
    expect(anovaOf(uneven)).toMatchObject({ errorSs: 0, f: null, p: null, cvPct: 0 });
  });

  it("has a coefficient of variation about a mean of nothing", () => {
    expect(anovaOf(six.map(([block, rate, mean]): Cell => [block, rate, mean - 4050]))!.cvPct).toBeNull();
    expect(anovaOf(six.map(([block, rate, mean]): Cell => [block, rate, mean - 5000]))!.cvPct).toBeNull();
  });

  it("compares more than fifty rates", () => {
    const many = (rates: number) =>
      anovaOf(
        Array.from({ length: 2 * rates }, (_, i): Cell => [
          i < rates ? "A" : "B",
          100 + (i % rates),
          4000 + 20 * (i % rates) + (i < rates ? 0.1 : -0.1) * ((i % rates) % 2),
        ]),
      )!;
    expect(many(50).rates).toHaveLength(50);
    expect(many(50).lsdKgPerHa).not.toBeNull();
    expect(many(51)).toMatchObject({ rates: [], lsdKgPerHa: null });
    expect(many(51).p).toBeLessThan(0.001);
  });

  it("compares rates of blocks that have none in common", () => {
    // prettier-ignore
    const apart: Cell[] = [["A", 100, 4000, 2], ["A", 200, 4400, 2], ["B", 300, 4100, 2], ["B", 400, 4700, 2]];
    const anova = anovaOf(apart, {}, 0.05, 40)!;
    expect(anova.p).toBeLessThan(0.05);
    expect(anova.lsdKgPerHa).toBeNull();
    expect(anova.rates.map(({ adjustedMeanKgPerHa }) => adjustedMeanKgPerHa)).toEqual([
      null,
      null,
      null,
      null,
    ]);
    expect(anova.rates.map(({ meanYieldKgPerHa }) => Math.round(meanYieldKgPerHa))).toEqual([
      4000, 4400, 4100, 4700,
    ]);
  });
});
