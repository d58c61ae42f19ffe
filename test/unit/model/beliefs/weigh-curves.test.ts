/** Prior times likelihood on a grid of three curves, three needs and two states of the farm, summed here one by one. */
import { describe, expect, it } from "vitest";
import type { CurveGrid } from "../../../../src/model/beliefs/curve-grid.ts";
import type { GridLikelihood } from "../../../../src/model/beliefs/grid-likelihood.ts";
import {
  expecting,
  gather,
  gatherLosses,
  movedBy,
  wholeWeight,
} from "../../../../src/model/beliefs/weigh-curves.ts";
import { rayOf, stateOf } from "./curves-by-hand.ts";

const grid: CurveGrid = {
  needs: { from: Math.log(250), step: 0.1, count: 3 },
  // Seasons and fields all alike; or a spread of hypot(0.12, 0.05) = 0.13, and three fields, one far above the others.
  states: [
    stateOf(0, 0),
    stateOf(0.12, 0.05, {
      shifts: new Map([
        ["Hill", 0.35],
        ["Vale", -0.2],
        ["Flat", -0.15],
      ]),
    }),
  ],
  patches: [],
  rays: [
    rayOf(0, 0.05, 0, 0, [0.4, 0.3]),
    rayOf(1, 0.3, 0, 0, [0.1, 0.1]),
    rayOf(3, 0.1, 0.2, 0.2, [0.3, 0.2]),
    rayOf(0, 0.2, 0.1, 0.5, [0.2, 0.4]),
  ],
};
/** The second ray is left out, as one that cannot matter. */
const likelihood: GridLikelihood = {
  rays: [
    { ray: grid.rays[0]!, log: 1, values: Float64Array.of(0.1, 0.5, 0.2, 0, 0.3, 0.1) },
    { ray: grid.rays[2]!, log: 2, values: Float64Array.of(0.2, 0.1, 0.4, 0.3, 0, 0.2) },
    { ray: grid.rays[3]!, log: -0.5, values: Float64Array.of(0.9, 0.3, 0.2, 0.5, 0.6, 0.7) },
  ],
  logNoResponse: 0.7,
};
/** Prior × likelihood of each ray at each place, as above. */
const weighed = (flat: boolean, timesPrior: (loss: number) => number = () => 1) => {
  const priors = flat ? [0.3, 0.2, 0.4] : [0.4, 0.3, 0.2];
  return [0.05, 0.1, 0.2].map((loss, i) => {
    const { log, values } = likelihood.rays[i]!;
    return [...values].map((value) => priors[i]! * timesPrior(loss) * Math.exp(log) * value);
  });
};
const prior = { weights: Float64Array.of(0.1, 0.2, 0.3, 0.15, 0.05, 0.2), noResponseChance: 0.25 };
const twice = (loss: number): number => (loss === 0.1 ? 2 : 0.5);

const near = (found: ArrayLike<number>, wanted: readonly number[]): void => {
  expect(found).toHaveLength(wanted.length);
  wanted.forEach((one, i) => expect(found[i]).toBeCloseTo(one, 12));
};

describe("the sums over a grid's curves", () => {
  it.each([
    ["as stated", false, () => 1],
    ["evenly", true, () => 1],
    ["by another prior of losses", false, twice],
  ])("hold prior × likelihood, loss by shape and decline by shoulder, weighed %s", (_, flat, times) => {
    const gathered = gather(likelihood, grid, flat, ({ loss }) => times(loss));
    const [first, second, third] = weighed(flat, times) as [number[], number[], number[]];
    const scaled = (sums: Float64Array): Float64Array =>
      sums.map((value) => value * Math.exp(gathered.logScale));
    near(
      scaled(gathered.byNeed),
      first.map((value, c) => value + second[c]! + third[c]!),
    );
    near(
      scaled(gathered.losses[0]!),
      first.map((value, c) => 0.05 * value + 0.2 * third[c]!),
    );
    near(
      scaled(gathered.losses[3]!),
      second.map((value) => 0.1 * value),
    );
    for (const shape of [1, 2, 4, 5]) near(gathered.losses[shape]!, [0, 0, 0, 0, 0, 0]);
    near(gathered.declines[0]!, [0, 0, 0, 0, 0, 0]);
    near(
      scaled(gathered.declines[1]!),
      second.map((value) => 0.2 * value),
    );
    near(
      scaled(gathered.declines[2]!),
      third.map((value) => 0.1 * value),
    );
    expect(gathered.noResponse * Math.exp(gathered.logScale)).toBeCloseTo(Math.exp(0.7), 12);
    expect(gathered.flat).toBe(flat);
  });

  it("stay numbers where strips say very much", () => {
    const sure = {
      rays: likelihood.rays.map((one) => ({ ...one, log: one.log + 2000 })),
      logNoResponse: likelihood.logNoResponse + 2000,
    };
    const [here, there] = [gather(sure, grid, false), gather(likelihood, grid, false)];
    expect(here.logScale - there.logScale).toBeCloseTo(2000, 9);
    here.byNeed.forEach((value, c) => expect(value).toBeCloseTo(there.byNeed[c]!, 9));
    expect(gather({ ...likelihood, logNoResponse: 3000 }, grid, false).noResponse).toBe(1);
  });

  it("hold each loss by itself", () => {
    const { losses, noResponse } = gatherLosses(likelihood, prior.weights, ({ loss }) => twice(loss));
    const sums = weighed(false, twice).map((values) =>
      values.reduce((sum, value, c) => sum + value * prior.weights[c]!, 0),
    );
    const scale = Math.exp(0.7) / noResponse;
    [0.05, 0.1, 0.2].forEach((loss, i) => expect(losses.get(loss)! * scale).toBeCloseTo(sums[i]!, 12));
    expect(losses.size).toBe(3);
    const same = {
      ...likelihood,
      rays: likelihood.rays.map((one) => ({ ...one, ray: { ...one.ray, loss: 0.05 } })),
    };
    const together = gatherLosses(same, prior.weights, ({ loss }) => twice(loss));
    // All at half of their prior.
    const all = weighed(false, () => 0.5)
      .flatMap((values) => values.map((value, c) => value * prior.weights[c]!))
      .reduce((a, b) => a + b, 0);
    expect((together.losses.get(0.05)! * Math.exp(0.7)) / together.noResponse).toBeCloseTo(all, 12);
  });
});

/** Sum of all responding curves times the prior of need and state, and the weight of no response. */
const respond = 0.75 * weighed(false).reduce((sum, values) => sum + dotWithPrior(values), 0);
const none = 0.25 * Math.exp(0.7);
function dotWithPrior(values: readonly number[]): number {
  return values.reduce((sum, value, c) => sum + value * prior.weights[c]!, 0);
}

describe("what is believed after the strips", () => {
  it("shares all weight between curves and no response", () => {
    const gathered = gather(likelihood, grid, false);
    const { factor, noResponse } = wholeWeight(gathered, prior);
    expect(noResponse).toBeCloseTo(none / (respond + none), 12);
    expect(factor * dotWithPrior([...gathered.byNeed])).toBeCloseTo(respond / (respond + none), 12);
  });

  it("expects each curve over the fields and seasons that may come", () => {
    const rates = [150, 240, 290, 500];
    // Rises 0, linear to the need, and 3, exponential; falls half a need past the shoulder.
    const linear = (u: number): number => Math.min(u - 1, 0) / 0.4;
    const exponential = (u: number): number => -Math.exp(-3.2 * (u - 0.6));
    const fall = (u: number, shoulder: number): number => -((Math.max(u - 1 - shoulder, 0) / 0.5) ** 2);
    const curves = [
      (u: number) => 0.05 * linear(u),
      (u: number) => 0.1 * exponential(u) + 0.2 * fall(u, 0.2),
      (u: number) => 0.2 * linear(u) + 0.1 * fall(u, 0.5),
    ];
    // Spread to three sds either side: four steps of 0.1.
    const steps = [-4, -3, -2, -1, 0, 1, 2, 3, 4];
    const bells = steps.map((d) => Math.exp(-0.5 * ((0.1 * d) / 0.13) ** 2));
    const total = bells.reduce((a, b) => a + b, 0);
    // A third of the fields each lies 3.5 steps above, half of it counted at 3 and half at 4, 2 below, and 1.5 below.
    const fields = { [-2]: (1 + 0.5) / 3, [-1]: 0.5 / 3, 3: 0.5 / 3, 4: 0.5 / 3 };
    const spread = steps.flatMap((d, i) =>
      Object.entries(fields).map(([step, share]) => ({
        shift: 0.1 * (d + Number(step)),
        weight: (share * bells[i]!) / total,
      })),
    );
    const coming = [[{ shift: 0, weight: 1 }], spread];
    const expected = rates.map((rate) => {
      let sum = 0;
      weighed(false).forEach((values, i) =>
        values.forEach((value, c) => {
          const need = Math.log(250) + 0.1 * (c % 3);
          for (const { shift, weight } of coming[Math.floor(c / 3)]!)
            sum += value * prior.weights[c]! * weight * curves[i]!(rate / Math.exp(need + shift));
        }),
      );
      return (0.75 * sum) / (respond + none);
    });
    near(expecting(grid, rates)(gather(likelihood, grid, false), prior), expected);
  });

  it("is moved by another prior as far as the shares of the needs differ", () => {
    const byNeed = Float64Array.of(1, 2, 1, 0, 1, 3);
    const even = new Float64Array(6).fill(1);
    // Needs 1, 3 and 4 of 8 in all; with the first state only 1, 2 and 1 of 4: 1/8, 1/8 and 2/8 apart.
    const firstOnly = Float64Array.of(1, 1, 1, 0, 0, 0);
    expect(movedBy(byNeed, even, firstOnly, 3)).toBeCloseTo((1 / 8 + 1 / 8 + 2 / 8) / 2, 12);
    expect(
      movedBy(
        byNeed,
        even,
        even.map(() => 7),
        3,
      ),
    ).toBeCloseTo(0, 12);
  });
});
