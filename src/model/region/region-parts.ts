/** What farms leave believable of a variety, in a few stated parts that can be published. */
import { logOn, type LogAxis } from "../../maths/log-axis.ts";
import { sumOf } from "../../maths/sums.ts";
import type { RegionPart, RegionVariety } from "../../vocabulary/region.ts";
import { riseShapes } from "../forms/believable-curve.ts";
import type { VarietyOverFarms } from "./between-farms.ts";
import { rounded } from "./ground-over-farms.ts";
import type { Response } from "./response-grid.ts";

export type RegionBelief = Pick<RegionVariety, "need" | "lossMedian" | "lossSdLog" | "noResponseChance">;

/** Parts that stand for a variety: each holds an equal share of its need, from low to high. */
const parts = 5;

/** @param axis  of the needs */
export function believedOf(
  { responses, weights }: Omit<VarietyOverFarms, "variety">,
  axis: LogAxis,
): RegionBelief {
  const J = axis.count;
  const noResponseChance = sumOf(weights.subarray(responses.length * J));
  const byNeed = Array.from({ length: J }, (_, j) =>
    responses.reduce((sum, _, row) => sum + weights[row * J + j]!, 0),
  );
  const respond = 1 - noResponseChance;
  const shareAt = (row: number, { j, share }: Stretch): number =>
    share === 0 ? 0 : (share * weights[row * J + j]!) / byNeed[j]!;
  const responseIn = (stretches: readonly Stretch[]): ReturnType<typeof responseOf> =>
    responseOf(
      responses.map((response, row) => ({
        response,
        weight: stretches.reduce((sum, stretch) => sum + shareAt(row, stretch), 0),
      })),
    );
  const whole = byNeed.map((weight, j) => ({ j, share: weight / respond }));
  const { lossMedian, lossSdLog } = responseIn(whole);
  return {
    need: inEqualShares(whole).map((stretches) => ({
      ...needIn(stretches, axis),
      ...responseIn(stretches),
    })),
    lossMedian,
    lossSdLog,
    noResponseChance: rounded(noResponseChance),
  };
}

/** How much of one place of the axis of need belongs to a part. */
interface Stretch {
  j: number;
  share: number;
}

function inEqualShares(whole: readonly Stretch[]): Stretch[][] {
  const found: Stretch[][] = [];
  let place = 0;
  let left = whole[0]!.share;
  for (let part = 0; part < parts; part++) {
    const stretches: Stretch[] = [];
    let weight = 0;
    while (weight < 1 / parts - 1e-12 && place < whole.length) {
      const share = Math.min(left, 1 / parts - weight);
      if (share > 0) stretches.push({ j: whole[place]!.j, share });
      weight += share;
      left -= share;
      if (left <= 1e-15) left = whole[++place]?.share ?? 0;
    }
    if (weight > 0) found.push(stretches);
  }
  return found;
}

/** A normal distribution with the mean and the sd of the stretches. */
function needIn(stretches: readonly Stretch[], axis: LogAxis): Pick<RegionPart, "weight" | "logNeed" | "sd"> {
  const weight = stretches.reduce((sum, { share }) => sum + share, 0);
  const mean = stretches.reduce((sum, { j, share }) => sum + share * logOn(axis, j), 0) / weight;
  const square = stretches.reduce((sum, { j, share }) => sum + share * (logOn(axis, j) - mean) ** 2, 0);
  return {
    weight: rounded(weight),
    logNeed: rounded(mean),
    sd: rounded(Math.sqrt(square / weight + axis.step ** 2 / 12)),
  };
}

/** Chances of the rises, and a log-normal loss on a farm with the mean and the sd of what is believed. */
function responseOf(
  believed: readonly { response: Response; weight: number }[],
): Pick<RegionPart, "rises" | "lossMedian" | "lossSdLog"> {
  const total = believed.reduce((sum, { weight }) => sum + weight, 0);
  const average = (of: (response: Response) => number): number =>
    believed.reduce((sum, { response, weight }) => sum + (weight / total) * of(response), 0);
  const mean = average(({ logLoss }) => logLoss);
  const variance = average(({ logLoss, lossOnFarmSdLog }) => (logLoss - mean) ** 2 + lossOnFarmSdLog ** 2);
  return {
    rises: riseShapes.map((_, shape) => rounded(average(({ rise }) => (rise === shape ? 1 : 0)))),
    lossMedian: rounded(Math.exp(mean)),
    lossSdLog: rounded(Math.sqrt(variance)),
  };
}
