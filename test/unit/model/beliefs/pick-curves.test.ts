/** Curves picked at even steps from a grid of three rays, two needs and two states, whose weights are given in 300ths. */
import { describe, expect, it } from "vitest";
import type { CurveGrid, Ray } from "../../../../src/model/beliefs/curve-grid.ts";
import { pickCurves } from "../../../../src/model/beliefs/pick-curves.ts";
import { gather } from "../../../../src/model/beliefs/weigh-curves.ts";
import { rayOf, stateOf } from "./curves-by-hand.ts";

const ray = (shape: number, loss: number, decline: number, shoulder: number): Ray =>
  rayOf(shape, loss, decline, shoulder, [0.2 + loss, 0.7 - loss]);
/** The second ray is left out, as one that cannot matter. */
const grid: CurveGrid = {
  needs: { from: Math.log(250), step: 0.1, count: 2 },
  states: [stateOf(0, 0), stateOf(0.12, 0.05, { place: 1 })],
  patches: [],
  rays: [ray(0, 0.05, 0, 0), ray(1, 0.3, 0, 0), ray(3, 0.1, 0.2, 0.2)],
};
const seen = [0, 2];
const weights = Float64Array.of(0.1, 0.2, 0.3, 0.4);

interface Wanted {
  none: number;
  /** 300ths of each ray that is seen, [state][need]. */
  rays: number[][];
}

/** Strips that leave each curve so many 300ths, and what is picked of them: shape, need, spread, place and 300ths. */
function picked({ none, rays }: Wanted, flat = false): number[][] {
  const noResponseChance = none === 0 ? 0 : 0.25;
  const timesPrior = ({ loss }: Ray): number => (loss === 0.1 ? 2 : 0.5);
  const likelihood = {
    rays: rays.map((shares, i) => {
      const one = grid.rays[seen[i]!]!;
      const prior = (flat ? 0.7 - one.loss : 0.2 + one.loss) * timesPrior(one) * (1 - noResponseChance);
      const log = 1 - i;
      return {
        ray: one,
        log,
        values: Float64Array.from(shares, (share, c) => share / (prior * Math.exp(log) * weights[c]!)),
      };
    }),
    logNoResponse: none === 0 ? 0 : Math.log(none / noResponseChance),
  };
  const gathered = gather(likelihood, grid, flat, timesPrior);
  return pickCurves(likelihood, gathered, weights, { noResponseChance, timesPrior }, grid).map((curve) => {
    const like = grid.rays.find(({ shape, loss }) => shape === curve.shape && loss === curve.loss);
    if (like !== undefined) expect([curve.decline, curve.shoulder]).toEqual([like.decline, like.shoulder]);
    return [curve.shape, curve.needSeedsPerM2, curve.seasonSpread, curve.place, 300 * curve.weight].map(
      (one) => Number(one.toFixed(9)),
    );
  });
}

const upper = Number((250 * Math.exp(0.1)).toFixed(9));

describe("the curves that stand for the whole grid", () => {
  it.each([false, true])("have their own weight where it is whole 300ths, priors even: %s", (flat) => {
    expect(
      picked(
        {
          none: 60,
          rays: [
            [20, 30, 0, 40],
            [50, 10, 70, 20],
          ],
        },
        flat,
      ),
      // Need by need, ray by ray, state by state; the spread is the root of 0.12² + 0.05².
    ).toEqual([
      [0, 250, 0, 0, 60],
      [0, 250, 0, 0, 20],
      [3, 250, 0, 0, 50],
      [3, 250, 0.13, 1, 70],
      [0, upper, 0, 0, 30],
      [0, upper, 0.13, 1, 40],
      [3, upper, 0, 0, 10],
      [3, upper, 0.13, 1, 20],
    ]);
  });

  it("leave out a flat one that nobody believes in", () => {
    expect(
      picked({
        none: 0,
        rays: [
          [100, 0, 0, 0],
          [0, 0, 0, 200],
        ],
      }),
    ).toEqual([
      [0, 250, 0, 0, 100],
      [3, upper, 0.13, 1, 200],
    ]);
  });

  it("are those at which the sum passes a half, where none has a whole 300th", () => {
    // Sums, in the order of need, ray and state: 0.2, 0.4 of the first ray; 0.7 and 1 of the second; at the higher need 1.2
    // and 1.4, then 1.8 and 300.
    expect(
      picked({
        none: 0,
        rays: [
          [0.2, 0.2, 0.2, 0.2],
          [0.3, 0.4, 0.3, 298.2],
        ],
      }),
    ).toEqual([
      [3, 250, 0, 0, 1],
      [3, upper, 0, 0, 1],
      [3, upper, 0.13, 1, 298],
    ]);
  });
});
