/** Varieties on their farms laid flat, and their needs there spread as varieties on a farm differ: summed one by one. */
import { describe, expect, it } from "vitest";
import { sum } from "simple-statistics";
import { pairsOf, smooth } from "../../../../src/model/region/farm-pairs.ts";
import type { ResponseLikelihood } from "../../../../src/model/region/farm-likelihoods.ts";

const axis = { from: Math.log(250), step: 0.2, count: 3 };
const J = axis.count;
const chance = 0.1;
const response = (rise: number, prior: number, lossesOnFarm: number[]) => ({
  rise,
  logLoss: -2,
  lossOnFarmSdLog: 0.3,
  prior,
  lossesOnFarm,
});
const all = [
  response(0, 0.5, [0.8, 0.2]),
  response(1, 0.3, [0.4, 0.6]),
  response(0, 0.2, [0.1, 0.9]),
] as const;
/** Two rises, two losses, three needs. */
const seen = (variety: string, seed: number): ResponseLikelihood => ({
  variety,
  noResponse: 0.1 * seed,
  values: Float32Array.from({ length: 12 }, (_, i) => 0.5 + 0.45 * Math.sin(seed * (i + 1))),
});
const farms = [[seen("Alder", 2), seen("Birch", 3)], [], [seen("Birch", 5)]];
/** Birch has two believable responses, Alder one. */
const responses = [[all[1]], [all[0], all[2]]];
const pairs = pairsOf(farms, axis, ["Alder", "Birch"], responses);

/** Likelihood of a need with a response on a farm; null: no response. */
const heard = (
  { values, noResponse }: ResponseLikelihood,
  one: (typeof all)[number] | null,
  need: number,
): number => {
  const at = Math.min(Math.max(need, 0), J - 1);
  return one === null
    ? noResponse
    : sum(one.lossesOnFarm.map((weight, l) => weight * values[(2 * one.rise + l) * J + at]!));
};

/** The same at a need, spread by an sd to three sds. */
function spread(of: (need: number) => number, need: number, sd: number): number {
  const reach = Math.ceil((3 * sd) / 0.2);
  const steps = Array.from({ length: 2 * reach + 1 }, (_, i) => i - reach);
  const bells = steps.map((d) => Math.exp(-((0.2 * d) ** 2) / (2 * sd ** 2)));
  return sum(steps.map((d, i) => (bells[i]! / sum(bells)) * of(need + d)));
}

describe("varieties on farms", () => {
  it("are numbered by variety and farm, with a row for each response and one for none", () => {
    expect([...pairs.variety]).toEqual([0, 1, 1]);
    // A farm without strips has no pair.
    expect([...pairs.from]).toEqual([0, 2, 2, 3]);
    expect([...pairs.rows]).toEqual([0, 2, 5, 8]);
    expect(pairs).toMatchObject({ farms, needs: 3, responses });
  });

  it("have their needs spread as varieties differ on a farm, one of twenty far and with any response", () => {
    const grid = { responses: [...all], noResponseChance: chance };
    const { values, width, pad } = smooth(pairs, axis, grid, 0.25);
    const rows = [
      ...[all[1], null].map((one) => ({ farm: farms[0]![0]!, one })),
      ...[all[0], all[2], null].map((one) => ({ farm: farms[0]![1]!, one })),
      ...[all[0], all[2], null].map((one) => ({ farm: farms[2]![0]!, one })),
    ];
    expect(values).toHaveLength(rows.length * width);
    expect(width).toBe(J + 2 * pad);
    // Needs of odd farms are read as far as three sds of 0.35 beyond the axis, and one step more.
    expect(pad).toBeGreaterThanOrEqual(Math.ceil((3 * 0.35) / 0.2) + 1);
    rows.forEach(({ farm, one }, row) => {
      const anyResponse = (need: number): number =>
        chance * farm.noResponse +
        (1 - chance) * sum(all.map((some) => some.prior * heard(farm, some, need)));
      for (let place = 0; place < width; place++) {
        const need = Math.min(Math.max(place - pad, 0), J - 1);
        const usual = spread((there) => heard(farm, one, there), need, 0.25);
        const odd = spread(anyResponse, need, 0.35);
        expect(values[row * width + place]).toBeCloseTo(0.95 * usual + 0.05 * odd, 9);
      }
    });
  });
});
