import { describe, expect, it } from "vitest";
import { logOn, type LogAxis } from "../../../../src/maths/log-axis.ts";
import { normalKernel } from "../../../../src/maths/normal-kernel.ts";
import { oddSdLog, oddShare } from "../../../../src/model/beliefs/lean-on-region.ts";
import { compareFarms } from "../../../../src/model/region/between-farms.ts";
import type { NeedLikelihood } from "../../../../src/model/region/farm-likelihoods.ts";

const axis: LogAxis = { from: Math.log(200), step: 0.06, count: 15 };
const bell = (variety: string, middle: number, sd: number): NeedLikelihood => ({
  variety,
  values: Float64Array.from({ length: axis.count }, (_, j) => Math.exp(-0.5 * ((j - middle) / sd) ** 2)),
});
const prior = { logNeed: logOn(axis, 7), sd: 0.3 };
const meanPlace = (needs: Float64Array): number => needs.reduce((sum, weight, j) => sum + weight * j, 0);

/**
 * The same model summed directly over every need of both varieties and every offset of every farm: no messages, nothing
 * approximated. Sds and their prior are written out here as `between-farms.ts` states them.
 */
function summedDirectly(farms: readonly (readonly NeedLikelihood[])[]): Float64Array[] {
  const names = [...new Set(farms.flat().map(({ variety }) => variety))].sort();
  const J = axis.count;
  const clamp = (j: number): number => Math.min(Math.max(j, 0), J - 1);
  const sums = names.map(() => new Float64Array(J));
  const places = Array.from({ length: J }, (_, j) => j);
  const priorAt = (j: number): number => Math.exp(-0.5 * ((logOn(axis, j) - prior.logNeed) / prior.sd) ** 2);
  for (const farmSd of [0, 0.06, 0.12, 0.2])
    for (const onFarmSd of [0.03, 0.08, 0.15, 0.25]) {
      const ofSds = Math.exp(-0.5 * ((farmSd / 0.1) ** 2 + (onFarmSd / 0.1) ** 2));
      const offsets = normalKernel(farmSd, axis.step);
      const [usual, odd] = [normalKernel(onFarmSd, axis.step), normalKernel(oddSdLog, axis.step)];
      const onFarm = ({ values }: NeedLikelihood, place: number): number => {
        let sum = 0;
        for (let d = -20; d <= 20; d++)
          sum +=
            values[clamp(place + d)]! *
            ((1 - oddShare) * (usual[Math.abs(d)] ?? 0) + oddShare * (odd[Math.abs(d)] ?? 0));
        return sum;
      };
      const farmAt = (farm: readonly NeedLikelihood[], needs: readonly number[]): number => {
        let sum = 0;
        for (let f = 1 - offsets.length; f < offsets.length; f++)
          sum +=
            offsets[Math.abs(f)]! *
            farm.reduce((all, one) => all * onFarm(one, clamp(needs[names.indexOf(one.variety)]! + f)), 1);
        return sum;
      };
      for (const a of places)
        for (const b of names.length > 1 ? places : [0]) {
          const needs = [a, b];
          const weight = names.reduce(
            (all, _, v) => all * priorAt(needs[v]!),
            ofSds * farms.reduce((all, farm) => all * farmAt(farm, needs), 1),
          );
          names.forEach((_, v) => (sums[v]![needs[v]!]! += weight));
        }
    }
  return sums.map((sum) => {
    const total = sum.reduce((all, one) => all + one, 0);
    return sum.map((value) => value / total);
  });
}

describe("needs over farms", () => {
  it("are those of the direct sum where each farm has one variety", () => {
    const farms = [[bell("A", 4, 1.5)], [bell("A", 6, 1)], [bell("A", 9, 2)]];
    const [direct] = summedDirectly(farms);
    const { needs } = compareFarms(farms, axis, prior);
    needs[0]!.forEach((weight, j) => expect(weight).toBeCloseTo(direct![j]!, 7));
  });

  it("come within a tenth of a step of the direct sum where varieties meet on several farms", () => {
    const farms = [
      [bell("A", 4, 1.5), bell("B", 8, 1)],
      [bell("A", 6, 1), bell("B", 11, 1.5)],
      [bell("A", 5, 2)],
    ];
    const direct = summedDirectly(farms);
    const { needs } = compareFarms(farms, axis, prior);
    needs.forEach((one, v) => expect(Math.abs(meanPlace(one) - meanPlace(direct[v]!))).toBeLessThan(0.1));
  });

  it("lean on each other more where farms are alike than where they are not", () => {
    const spread = (places: number[]): number => {
      const { unlike } = compareFarms(
        places.map((place) => [bell("A", place, 0.5)]),
        axis,
        prior,
      );
      return unlike.reduce((sum, one) => sum + one.weight * (one.farmSdLog + one.varietyOnFarmSdLog), 0);
    };
    expect(spread([7, 7, 7, 7, 7, 7])).toBeLessThan(spread([3, 11, 5, 9, 4, 10]) / 2);
  });

  it("let one farm that is unlike all others move the rest by less than a normal spread would", () => {
    const alike = Array.from({ length: 9 }, () => [bell("A", 7, 0.7)]);
    const { needs } = compareFarms([...alike, [bell("A", 1, 0.7)]], axis, prior);
    // The plain mean of the ten farms lies at 6.4.
    expect(meanPlace(needs[0]!)).toBeGreaterThan(6.7);
  });
});
