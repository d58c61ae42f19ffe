import { describe, expect, it } from "vitest";
import { axisBetween } from "../../../../src/maths/log-axis.ts";
import { riseShapes } from "../../../../src/model/forms/believable-curve.ts";
import { believableResponses } from "../../../../src/model/region/believable-responses.ts";
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
