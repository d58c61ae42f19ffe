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
  const found = believedOf({ responses: [response(0, 0.2, 0.3), response(3, 0.1, 0.5)], weights }, axis);

  it("has the mean of its needs, whatever the parts", () => {
    const mean = sum(found.need.map(({ weight, logNeed }) => weight * logNeed));
    // By hand: weights 4, 4, 2, 4, 4 of 18 on the five needs.
    const byHand = sum([4, 4, 2, 4, 4].map((weight, j) => (weight / 18) * logOn(axis, j)));
    expect(sum(found.need.map(({ weight }) => weight))).toBeCloseTo(1, 5);
    expect(mean).toBeCloseTo(byHand, 4);
    expect(found.noResponseChance).toBeCloseTo(0.1, 6);
  });

  it("says with each stretch of the need how yield then answers", () => {
    const [low, high] = [found.need[0]!, found.need.at(-1)!];
    expect(low.rises[0]).toBeCloseTo(1, 6);
    expect(low.lossMedian).toBeCloseTo(0.2, 6);
    expect(low.lossSdLog).toBeCloseTo(0.3, 6);
    expect(high.rises[3]).toBeCloseTo(1, 6);
    expect(high.lossMedian).toBeCloseTo(0.1, 6);
  });

  it("has one loss for all needs, with the spread of what it is made of", () => {
    // Each response holds half: in logarithms half of log 2 either side of the middle, and the mean of both variances.
    expect(found.lossMedian).toBeCloseTo(Math.sqrt(0.02), 5);
    expect(found.lossSdLog).toBeCloseTo(Math.sqrt((Math.log(2) / 2) ** 2 + (0.09 + 0.25) / 2), 5);
  });
});

describe("the responses weighed beforehand", () => {
  const losses = axisBetween(0.01, 0.7, 7);
  const priors = { lossMedian: 0.08, lossSdLog: 0.8, noResponseChance: 0.05, flat: false };
  const { responses } = responseGrid(losses, priors);

  it("give each rise its share, and losses the median and spread that are stated", () => {
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
