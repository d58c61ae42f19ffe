import { describe, expect, it } from "vitest";
import { sum } from "simple-statistics";
import { axisBetween } from "../../../../src/maths/log-axis.ts";
import { riseShapes } from "../../../../src/model/forms/believable-curve.ts";
import { addOverLosses, believableResponses } from "../../../../src/model/region/believable-responses.ts";
import { responseGrid } from "../../../../src/model/region/response-grid.ts";

const needs = axisBetween(150, 600, 24);
const losses = axisBetween(0.01, 0.7, 7);
const grid = responseGrid(losses, { lossMedian: 0.08, lossSdLog: 0.8, noResponseChance: 0.05, flat: false });
const logPrior = new Float64Array(needs.count);
/** A farm whose strips are as likely under every need, and under each rise and loss as told. */
const farm = (likelihood: (rise: number, loss: number) => number) => ({
  variety: "A",
  noResponse: 0.1,
  values: Float32Array.from({ length: riseShapes.length * losses.count * needs.count }, (_, i) =>
    likelihood(Math.floor(i / (losses.count * needs.count)), Math.floor(i / needs.count) % losses.count),
  ),
});

describe("the responses that are compared in full", () => {
  it("stand for all rises by their weight where farms say nothing of them", () => {
    const kept = believableResponses([farm(() => 1)], needs, grid, logPrior);
    expect(kept.length).toBeLessThanOrEqual(16);
    // Each of 16 places stands for a sixteenth, so a share is met within half of one at either end.
    riseShapes.forEach(({ share }, rise) => {
      const own = kept.filter((one) => one.rise === rise).reduce((sum, { prior }) => sum + prior, 0);
      expect(Math.abs(own - share)).toBeLessThanOrEqual(1 / 16 + 1e-9);
    });
    expect(kept.reduce((sum, { prior }) => sum + prior, 0)).toBeCloseTo(1, 10);
  });

  it("are those of one rise where strips speak for it, with the priors as they are stated", () => {
    const sure = Array.from({ length: 30 }, () =>
      farm((rise, loss) => (rise === 3 && loss === 4 ? 1 : 1e-6)),
    );
    const kept = believableResponses(sure, needs, grid, logPrior);
    expect(new Set(kept.map(({ rise }) => rise))).toEqual(new Set([3]));
    kept.forEach((one) => expect(grid.responses).toContain(one));
  });
});

/** Farms of two rises and two losses that differ in what they say, on four needs. */
describe("the weights by which responses are picked", () => {
  const few = { from: Math.log(250), step: 0.2, count: 4 };
  const chance = 0.1;
  /** Twenty responses, so that sixteen do not hold all. */
  const many = Array.from({ length: 20 }, (_, i) => ({
    rise: i % 2,
    logLoss: -2,
    lossOnFarmSdLog: 0.3,
    prior: (1 + (i % 5)) / 60,
    lossesOnFarm: [i / 19, 1 - i / 19],
  }));
  const priorOfNeed = [0.5, 1, 0.8, 0.3];
  const logs = Float64Array.from(priorOfNeed, Math.log);
  const farms = [3, 5, 7].map((seed) => ({
    variety: "A",
    noResponse: 0.05 * seed,
    values: Float32Array.from({ length: 16 }, (_, i) => 0.5 + 0.45 * Math.sin(seed * (i + 1))),
  }));
  /** Every response and need one by one: needs of farms 0.14 apart, 15% of farms unlike all others. */
  function weighedDirectly(some: readonly (typeof farms)[number][], responses: typeof many): number[] {
    // A normal distribution to three sds of 0.14: three steps of 0.2 either side.
    const steps = [-3, -2, -1, 0, 1, 2, 3];
    const bells = steps.map((d) => Math.exp(-((0.2 * d) ** 2) / (2 * 0.14 ** 2)));
    const heard = (
      farm: (typeof farms)[number],
      { rise, lossesOnFarm }: (typeof many)[number],
      need: number,
    ): number =>
      sum(
        steps.map((d, i) => {
          const at = Math.min(Math.max(need + d, 0), 3);
          const values = lossesOnFarm.map((weight, l) => weight * farm.values[(2 * rise + l) * 4 + at]!);
          return (bells[i]! / sum(bells)) * sum(values);
        }),
      );
    const weights = responses.map((response) =>
      sum(
        priorOfNeed.map(
          (ofNeed, j) =>
            response.prior *
            ofNeed *
            some.reduce((product, farm) => {
              const anyResponse = sum(
                responses.map((one) => one.prior * sum(priorOfNeed.map((of, n) => of * heard(farm, one, n)))),
              );
              const odd = ((1 - chance) * anyResponse) / sum(priorOfNeed) + chance * farm.noResponse;
              return product * (0.85 * heard(farm, response, j) + 0.15 * odd);
            }, 1),
        ),
      ),
    );
    return weights.map((weight) => weight / sum(weights));
  }

  it("are those of Bayes' rule one by one, some at even steps standing for all", () => {
    const weights = weighedDirectly(farms, many);
    const kept = believableResponses(farms, few, { responses: many, noResponseChance: chance }, logs);
    let before = 0;
    const wanted = many.flatMap((response, r) => {
      const from = Math.round(16 * before);
      before += weights[r]!;
      const times = Math.round(16 * before) - from;
      return times === 0 ? [] : [{ ...response, prior: (response.prior * times) / 16 / weights[r]! }];
    });
    expect(kept.map(({ lossesOnFarm }) => lossesOnFarm)).toEqual(
      wanted.map(({ lossesOnFarm }) => lossesOnFarm),
    );
    // To the last digits: weights of thousands of farms in a product are held as logarithms.
    kept.forEach(({ prior }, i) => expect(prior / wanted[i]!.prior).toBeCloseTo(1, 9));
  });

  it("leave sixteen as they are, in the order of the grid", () => {
    const sixteen = many.slice(0, 16);
    const kept = believableResponses(farms, few, { responses: sixteen, noResponseChance: chance }, logs);
    expect(kept).toEqual(sixteen);
  });

  const gridOfMany = { responses: many, noResponseChance: chance };
  const silent = { variety: "A", noResponse: 1, values: new Float32Array(16).fill(1) };

  it("stay numbers where sixty farms hardly believe in anything, or in nothing at all", () => {
    const scarce = (times: number) =>
      Array.from({ length: 60 }, () => ({
        ...silent,
        noResponse: times,
        values: silent.values.map(() => times),
      }));
    const kept = believableResponses([silent], few, gridOfMany, logs);
    // Farms that find all responses alike leave each with its prior, however poor it is.
    for (const times of [1e-20, 0]) {
      const same = believableResponses(scarce(times), few, gridOfMany, logs);
      expect(same).toHaveLength(kept.length);
      same.forEach(({ prior }, i) => expect(prior).toBeCloseTo(kept[i]!.prior, 9));
    }
  });

  it("come from sixty farms at most", () => {
    const sixty = Array.from({ length: 60 }, () => silent);
    const kept = believableResponses(sixty, few, gridOfMany, logs);
    expect(believableResponses([...sixty, ...farms], few, gridOfMany, logs)).toEqual(kept);
    expect(believableResponses([...sixty.slice(3), ...farms], few, gridOfMany, logs)).not.toEqual(kept);
  });
});

it("losses on a farm are added with their weights, at each need", () => {
  // Two rises, two losses, three needs: the second rise's rows are 7 8 9 and 10 11 12.
  const values = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12];
  const sums = Float64Array.of(100, 200, 300);
  addOverLosses(sums, values, { rise: 1, lossesOnFarm: [0.25, 0.75] }, 2);
  // 2 · (0.25 · 7 + 0.75 · 10) = 18.5, and 2 more for each need.
  expect([...sums]).toEqual([118.5, 220.5, 322.5]);
});
