/**
 * Varieties learn from each other: their needs have something in common, and they share how seasons vary and how fields
 * differ for good.
 *
 * Each common ground of the needs, with each state of the farm, is weighed by how well it explains all the varieties'
 * strips; a variety then gets the mixture that the others support in place of the prior.
 */
import { placesOn, type LogAxis } from "../../maths/log-axis.ts";
import { bell, normalise } from "../../maths/normal-weights.ts";
import type { NormalPart } from "../../vocabulary/region.ts";
import type { CommonGround } from "./common-ground.ts";
import type { FarmState } from "./curve-grid.ts";
import type { FieldPlaces } from "./field-places.ts";
import { afterRecommended, type Recommended } from "./recommended-rate.ts";

/** Likelihood of one variety: [state][need] on an axis of its own, and of no response. */
export interface VarietyMarginal {
  byNeed: Float64Array;
  noResponse: number;
  /** Prior chance of no response. */
  noResponseChance: number;
}

/** Where each common ground puts the need of one variety, and how well it agrees with the rate that came with it. */
export interface NeedOnGrounds {
  /** [ground][need], each summing to 1 over the axis of all needs. */
  priorsOfNeed: readonly Float64Array[];
  /** Logarithms, [ground]. */
  told: readonly number[];
}

/**
 * @param needs       axis of the variety
 * @param wholeNeeds  axis of all needs considered; the variety's is inside it
 */
export function needOnGrounds(
  variety: string,
  needs: LogAxis,
  wholeNeeds: LogAxis,
  grounds: readonly CommonGround[],
  recommended: Recommended | null,
): NeedOnGrounds {
  const whole = placesOn(wholeNeeds);
  const places = placesOn(needs);
  const ofGrounds = grounds.map(({ needOf }) => afterRecommended(needOf(variety), recommended));
  return {
    priorsOfNeed: ofGrounds.map(({ parts }) => {
      let total = 0;
      for (const density of densitiesAt(parts, whole)) total += density;
      const perStep = needs.step / wholeNeeds.step / total;
      return densitiesAt(parts, places).map((density) => perStep * density);
    }),
    told: ofGrounds.map(({ evidence }) => Math.log(Math.max(evidence, unbelievable))),
  };
}

/** Density of a mixture at log needs, up to a factor common to all places. */
function densitiesAt(parts: readonly NormalPart[], logs: readonly number[]): Float64Array {
  const densities = new Float64Array(logs.length);
  const alone = parts.length === 1;
  for (const { weight, logNeed, sd } of parts) {
    const times = alone ? 1 : weight / sd;
    for (let j = 0; j < logs.length; j++) densities[j]! += times * bell(logs[j]! - logNeed, sd);
  }
  return densities;
}

/** The worst that anything explains strips, so that one variety's part can be subtracted from that of all. */
export const unbelievable = 1e-300;

/** Logarithms of how well each ground with each state of the farm explains one variety's strips, [ground][state]. */
export function explain(
  { byNeed, noResponse, noResponseChance }: VarietyMarginal,
  { priorsOfNeed }: NeedOnGrounds,
  states: number,
): Float64Array {
  const logs = new Float64Array(priorsOfNeed.length * states);
  const none = noResponse * noResponseChance;
  let i = 0;
  for (const prior of priorsOfNeed)
    for (let state = 0, at = 0; state < states; state++, at += prior.length) {
      let sum = 0;
      for (let j = 0; j < prior.length; j++) sum += byNeed[at + j]! * prior[j]!;
      logs[i++] = Math.log(Math.max(sum * (1 - noResponseChance) + none, unbelievable));
    }
  return logs;
}

/** What is known of one variety of the farm. */
export interface VarietyOnGrounds extends NeedOnGrounds {
  /** As `explain` gives it. */
  explained: Float64Array;
}

/** Logarithms of the prior weight of each ground with each state, [ground][state]. */
export const beforeStrips = (
  groundWeights: readonly number[],
  states: readonly FarmState[],
  flat: boolean,
): Float64Array =>
  Float64Array.from(
    groundWeights.flatMap((weight) =>
      states.map(({ logPrior, logFlatPrior }) => Math.log(weight) + (flat ? logFlatPrior : logPrior)),
    ),
  );

/** For each variety the prior of [state][need] from the priors and the rate that came with it, without the others. */
export const standAlone = (varieties: readonly NeedOnGrounds[], before: Float64Array): Float64Array[] =>
  varieties.map((one) => {
    const states = before.length / one.told.length;
    const logs = before.map((log, i) => log + one.told[Math.floor(i / states)]!);
    return mixture(logs, one.priorsOfNeed, states);
  });

/**
 * For each variety the prior of [state][need] after using the others; each sums to 1 over the axis of all needs.
 *
 * @param places  of the fields; null where fields are not distinguished
 */
export function leanOnOthers(
  varieties: readonly VarietyOnGrounds[],
  before: Float64Array,
  farmStates: readonly FarmState[],
  places: FieldPlaces | null,
): Float64Array[] {
  const states = farmStates.length;
  const together = tellTogether(varieties, before, states);
  const lessSure = places === null || places.share === 1 ? null : takenOff(together, farmStates, places);
  return varieties.map(({ priorsOfNeed, explained }) =>
    mixture(
      together.map((log, i) => log - explained[i]! - (lessSure?.[i % states] ?? 0)),
      priorsOfNeed,
      states,
    ),
  );
}

/** Logarithms of the weight of each ground and state after all varieties' strips and the rates that came with them. */
function tellTogether(
  varieties: readonly VarietyOnGrounds[],
  before: Float64Array,
  states: number,
): Float64Array {
  // The rate that came with a variety counts for its ground even when its own strips are set aside.
  const afterTold = before.map((log, i) =>
    varieties.reduce((total, { told }) => total + told[Math.floor(i / states)]!, log),
  );
  return afterTold.map((log, i) => varieties.reduce((total, { explained }) => total + explained[i]!, log));
}

/** How much each ground is believed after all varieties' strips; they sum to 1. */
export function groundsAfter(
  varieties: readonly VarietyOnGrounds[],
  before: Float64Array,
  grounds: number,
): number[] {
  const states = before.length / grounds;
  const together = tellTogether(varieties, before, states);
  const most = together.reduce((a, b) => Math.max(a, b), -Infinity);
  const sums = Array.from({ length: grounds }, () => 0);
  together.forEach((log, i) => (sums[Math.floor(i / states)]! += Math.exp(log - most)));
  return normalise(sums);
}

/**
 * Subtracted from the log weight of each state, so that the strips of all varieties count only in part when places of
 * the fields are compared.
 */
function takenOff(
  together: Float64Array,
  states: readonly FarmState[],
  { places, share }: FieldPlaces,
): number[] {
  const most = together.reduce((a, b) => Math.max(a, b), -Infinity);
  const sums = places.map(() => 0);
  together.forEach((log, i) => (sums[states[i % states.length]!.place]! += Math.exp(log - most)));
  const told = places.map(({ logWeight }, p) => Math.log(Math.max(sums[p]!, unbelievable)) - logWeight);
  return states.map(({ place }) => (1 - share) * told[place]!);
}

/** [state][need]: the priors of all grounds, weighted. */
function mixture(
  logWeights: Float64Array,
  priorsOfNeed: readonly Float64Array[],
  states: number,
): Float64Array {
  const most = logWeights.reduce((a, b) => Math.max(a, b), -Infinity);
  const needs = priorsOfNeed[0]!.length;
  const mixed = new Float64Array(states * needs);
  let total = 0;
  let i = 0;
  for (const prior of priorsOfNeed)
    for (let state = 0; state < states; state++) {
      const weight = Math.exp(logWeights[i++]! - most);
      if (weight < 1e-9) continue;
      total += weight;
      const at = state * needs;
      for (let j = 0; j < needs; j++) mixed[at + j]! += weight * prior[j]!;
    }
  return mixed.map((value) => value / total);
}
