/** Varieties and farms laid flat, and how likely each need of a variety is on each of its farms under each of its responses. */
import { groupBy } from "../../maths/group-by.ts";
import type { LogAxis } from "../../maths/log-axis.ts";
import { normalKernel, smoothedAt } from "../../maths/normal-kernel.ts";
import { oddSdLog, oddVarietyShare } from "../beliefs/lean-on-region.ts";
import { addOverLosses } from "./believable-responses.ts";
import type { ResponseLikelihood } from "./farm-likelihoods.ts";
import type { Response, ResponseGrid } from "./response-grid.ts";

/** A pair is one variety on one farm. */
export interface Pairs {
  farms: readonly (readonly ResponseLikelihood[])[];
  needs: number;
  variety: Int32Array;
  /** Pairs of farm f: from[f] up to from[f + 1]. */
  from: Int32Array;
  /** Of each variety: its believable responses. */
  responses: readonly (readonly Response[])[];
  /** Where the rows of a pair begin, one for each response of its variety and one for none. */
  rows: Int32Array;
}

/** @param responses  of each variety, in the order of `varieties` */
export function pairsOf(
  farms: readonly (readonly ResponseLikelihood[])[],
  axis: LogAxis,
  varieties: readonly string[],
  responses: readonly (readonly Response[])[],
): Pairs {
  const numberOf = new Map(varieties.map((variety, v) => [variety, v]));
  const variety = Int32Array.from(farms.flat(), (one) => numberOf.get(one.variety)!);
  const from = Int32Array.from([0, ...farms.map((farm) => farm.length)]);
  for (let f = 1; f < from.length; f++) from[f]! += from[f - 1]!;
  const rows = new Int32Array(variety.length + 1);
  for (let p = 0; p < variety.length; p++) rows[p + 1] = rows[p]! + responses[variety[p]!]!.length + 1;
  return { farms, needs: axis.count, variety, from, responses, rows };
}

/** Likelihoods of the pairs' needs on their farms as a whole, each row with its last values repeated beyond both ends. */
export interface Smoothed {
  values: Float64Array;
  /** Places of a row, and the first of them that is on the axis. */
  width: number;
  pad: number;
}

/**
 * Likelihood of a variety's need on the farm as a whole, under each of its responses: the farm's own smoothed by how unlike
 * varieties on a farm may be. Where the variety is odd there, any response may be.
 */
export function smooth(
  { farms, needs: J, responses, variety, rows }: Pairs,
  axis: LogAxis,
  { responses: all, noResponseChance }: ResponseGrid,
  varietyOnFarmSdLog: number,
): Smoothed {
  const [usual, odd] = [normalKernel(varietyOnFarmSdLog, axis.step), normalKernel(oddSdLog, axis.step)];
  const pad = odd.length + 1;
  const width = J + 2 * pad;
  const smoothed = new Float64Array(rows.at(-1)! * width);
  const anyResponse = byRise(all);
  const values = new Float64Array(J);
  const oddly = new Float64Array(J);
  const writeRow = (row: number): void => {
    const at = row * width + pad;
    for (let j = 0; j < J; j++)
      smoothed[at + j] = (1 - oddVarietyShare) * smoothedAt(values, j, usual) + oddVarietyShare * oddly[j]!;
    smoothed.fill(smoothed[at]!, at - pad, at);
    smoothed.fill(smoothed[at + J - 1]!, at + J, at + J + pad);
  };
  farms.flat().forEach((farm, p) => {
    values.fill(noResponseChance * farm.noResponse);
    for (const one of anyResponse) addOverLosses(values, farm.values, one, 1 - noResponseChance);
    for (let j = 0; j < J; j++) oddly[j] = smoothedAt(values, j, odd);
    responses[variety[p]!]!.forEach((response, row) => {
      values.fill(0);
      addOverLosses(values, farm.values, response, 1);
      writeRow(rows[p]! + row);
    });
    values.fill(farm.noResponse);
    writeRow(rows[p + 1]! - 1);
  });
  return { values: smoothed, width, pad };
}

/** All responses with one rise as one: losses weighed by the priors of the responses. */
function byRise(responses: readonly Response[]): Pick<Response, "rise" | "lossesOnFarm">[] {
  return groupBy(responses, ({ rise }) => String(rise)).map(([, same]) => ({
    rise: same[0].rise,
    lossesOnFarm: same[0].lossesOnFarm.map((_, l) =>
      same.reduce((sum, { prior, lossesOnFarm }) => sum + prior * lossesOnFarm[l]!, 0),
    ),
  }));
}
