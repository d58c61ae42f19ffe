import { describe, expect, it } from "vitest";
import { axisBetween, logOn } from "../../../../src/maths/log-axis.ts";
import { riseShapes } from "../../../../src/model/forms/believable-curve.ts";
import { believedOf } from "../../../../src/model/region/region-parts.ts";
import { responseGrid, type Response } from "../../../../src/model/region/response-grid.ts";

const axis = axisBetween(100, 200, 5);
const response = (rise: number, loss: number, lossOnFarmSdLog: number): Response => ({
  rise,
  logLoss: Math.log(loss),
  lossOnFarmSdLog,
  prior: 0.5,
  lossesOnFarm: [],
});
const sum = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0);

describe("what is published of a variety over farms", () => {
  // Low needs with the first rise, high ones with the fourth; a tenth of all weight on no response.
  const weights = Float64Array.from([
    0.2, 0.2, 0.05, 0, 0, 0, 0, 0.05, 0.2, 0.2, 0.02, 0.02, 0.02, 0.02, 0.02,
  ]);
  const believed = () =>
    believedOf({ responses: [response(0, 0.2, 0.3), response(3, 0.1, 0.5)], weights }, axis);

  it("has the mean of its needs, whatever the parts", () => {
    const found = believed();
    const mean = sum(found.need.map(({ weight, logNeed }) => weight * logNeed));
    // By hand: weights 4, 4, 2, 4, 4 of 18 on the five needs.
    const byHand = sum([4, 4, 2, 4, 4].map((weight, j) => (weight / 18) * logOn(axis, j)));
    expect(sum(found.need.map(({ weight }) => weight))).toBeCloseTo(1, 5);
    expect(mean).toBeCloseTo(byHand, 4);
    expect(found.noResponseChance).toBeCloseTo(0.1, 6);
  });

  it("says with each stretch of the need how yield then answers", () => {
    const found = believed();
    const [low, high] = [found.need[0]!, found.need.at(-1)!];
    expect(low.rises[0]).toBeCloseTo(1, 6);
    expect(low.lossMedian).toBeCloseTo(0.2, 6);
    expect(low.lossSdLog).toBeCloseTo(0.3, 6);
    expect(high.rises[3]).toBeCloseTo(1, 6);
    expect(high.lossMedian).toBeCloseTo(0.1, 6);
  });

  it("has one loss for all needs, with the spread of what it is made of", () => {
    const found = believed();
    // Each response holds half: in logarithms half of log 2 either side of the middle, and the mean of both variances.
    expect(found.lossMedian).toBeCloseTo(Math.sqrt(0.02), 5);
    expect(found.lossSdLog).toBeCloseTo(Math.sqrt((Math.log(2) / 2) ** 2 + (0.09 + 0.25) / 2), 5);
  });
});

/** Ten needs of which each has the same weight, so that a part holds two of them whole. */
describe("the five parts of a need", () => {
  const even = { from: Math.log(100), step: 0.2, count: 10 };
  const first = response(0, 0.2, 0.3);
  const fourth = response(3, 0.1, 0.5);
  const digits = (value: number): number => Number(value.toPrecision(6));

  it("hold a fifth each, with the mean and the sd of their needs and of the step", () => {
    // 0.06 with the first rise and 0.02 with the fourth at each need, 0.2 without response.
    const weights = Float64Array.from({ length: 30 }, (_, i) => (i < 10 ? 0.06 : i < 20 ? 0.02 : 0.02));
    const { need, noResponseChance, lossMedian, lossSdLog } = believedOf(
      { responses: [first, fourth], weights },
      even,
    );
    expect(noResponseChance).toBe(0.2);
    expect(need).toHaveLength(5);
    // Three quarters lose 0.2 and one 0.1: by logarithms the mean, and the variance between and within.
    const mean = 0.75 * Math.log(0.2) + 0.25 * Math.log(0.1);
    const between = 0.75 * 0.25 * Math.log(2) ** 2;
    const within = 0.75 * 0.3 ** 2 + 0.25 * 0.5 ** 2;
    need.forEach((part, p) => {
      expect(part.weight).toBeCloseTo(0.2, 6);
      // Needs 0.2 apart: middle of two, a tenth away from each, and the sd of a step, 0.2 ÷ √12.
      expect(part.logNeed).toBeCloseTo(digits(Math.log(100) + 0.1 + 0.4 * p), 5);
      expect(part.sd).toBeCloseTo(Math.sqrt(0.01 + 0.04 / 12), 6);
      expect(part.rises).toEqual(riseShapes.map((_, shape) => (shape === 0 ? 0.75 : shape === 3 ? 0.25 : 0)));
      expect(part.lossMedian).toBeCloseTo(Math.exp(mean), 5);
      expect(part.lossSdLog).toBeCloseTo(Math.sqrt(between + within), 5);
    });
    expect(lossMedian).toBeCloseTo(Math.exp(mean), 5);
    expect(lossSdLog).toBeCloseTo(Math.sqrt(between + within), 5);
  });

  it("weigh responses by their share at each need", () => {
    // Two needs: 0.6 with the first rise and 0.1 with the fourth on the first, 0.3 with the fourth on the second.
    const weights = Float64Array.of(0.6, 0, 0.1, 0.3, 0, 0);
    const { need, lossMedian } = believedOf({ responses: [first, fourth], weights }, { ...even, count: 2 });
    // The first three parts lie on the first need, the fourth half on each: 6/7 of 0.5, and the fifth on the second.
    [6 / 7, 6 / 7, 6 / 7, 3 / 7, 0].forEach((chance, p) => expect(need[p]!.rises[0]).toBeCloseTo(chance, 5));
    expect(lossMedian).toBeCloseTo(Math.exp(0.6 * Math.log(0.2) + 0.4 * Math.log(0.1)), 6);
  });

  it("share out a need that holds more than a fifth, and pass over those that hold nothing", () => {
    // A half on the third need, with the first rise; a half on the ninth, with the fourth.
    const weights = new Float64Array(30);
    weights[2] = 0.5;
    weights[18] = 0.5;
    const { need, noResponseChance, lossMedian } = believedOf({ responses: [first, fourth], weights }, even);
    expect(noResponseChance).toBe(0);
    expect(lossMedian).toBeCloseTo(Math.sqrt(0.02), 6);
    const step = Math.sqrt(0.04 / 12);
    expect(need.map(({ rises }) => rises[0])).toEqual([1, 1, 0.5, 0, 0]);
    expect(need.map(({ sd }) => sd)).toEqual(
      [step, step, Math.sqrt(0.36 + 0.04 / 12), step, step].map(digits),
    );
    const at = (place: number): number => Math.log(100) + 0.2 * place;
    [at(2), at(2), at(5), at(8), at(8)].forEach((logNeed, p) =>
      expect(need[p]!.logNeed).toBeCloseTo(logNeed, 4),
    );
    expect(need[0]!.lossMedian).toBeCloseTo(0.2, 6);
    expect(need[4]!.lossSdLog).toBeCloseTo(0.5, 6);
    expect(need[2]!.lossMedian).toBeCloseTo(Math.sqrt(0.02), 6);
  });
});

describe("the responses weighed beforehand", () => {
  const losses = axisBetween(0.01, 0.7, 7);
  const priors = { lossMedian: 0.08, lossSdLog: 0.8, noResponseChance: 0.05, flat: false };
  const weighed = () => responseGrid(losses, priors).responses;

  it("give each rise its share, and losses the median and spread that are stated", () => {
    const responses = weighed();
    riseShapes.forEach(({ share }, rise) =>
      expect(sum(responses.filter((one) => one.rise === rise).map(({ prior }) => prior))).toBeCloseTo(
        share,
        10,
      ),
    );
    const places = Array.from({ length: 7 }, (_, l) => logOn(losses, l));
    const mean = (of: (log: number) => number): number =>
      sum(
        responses.map(
          ({ prior, lossesOnFarm }) => prior * sum(lossesOnFarm.map((weight, l) => weight * of(places[l]!))),
        ),
      );
    const middle = mean((log) => log);
    expect(Math.abs(middle - Math.log(0.08))).toBeLessThan(0.05);
    // A loss between two places of the axis is shared by both, which spreads it by a step's uniform sd at most.
    const spread = Math.sqrt(mean((log) => (log - middle) ** 2));
    expect(spread).toBeGreaterThan(0.75);
    expect(spread).toBeLessThan(Math.hypot(0.85, losses.step / Math.sqrt(6)));
  });

  it("are as likely with every loss where priors are flat", () => {
    const flat = responseGrid(losses, { ...priors, flat: true }).responses.filter(
      ({ rise, lossOnFarmSdLog }) => rise === 0 && lossOnFarmSdLog === 0.3,
    );
    flat.forEach(({ prior }) => expect(prior).toBeCloseTo(flat[0]!.prior, 12));
  });
});
