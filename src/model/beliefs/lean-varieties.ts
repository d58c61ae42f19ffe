/**
 * Varieties lean on each other: their needs have something in common, and they share the unrest of the seasons and the
 * lasting differences between the fields.
 *
 * What the needs have in common is one of several grounds: on a farm alone, a centre about which their logarithms are normal
 * with a common sd; on a farm in a known region, how far the farm lies from its region. Each ground, and each state of the
 * farm, is weighed by what it makes of all the varieties' strips; a variety then gets the mixture that the others speak for,
 * in place of the prior.
 */
import type { NormalPart } from "../../vocabulary/region.ts";
import type { Priors } from "../../vocabulary/settings.ts";
import { placesOn, type LogAxis } from "../../maths/log-axis.ts";
import { bell, normalise } from "../../maths/normal-weights.ts";
import { afterRecommended, type Recommended } from "./recommended-rate.ts";
import type { FarmState } from "./curve-grid.ts";

/** Sds of log need between the varieties of a farm, weighed by a half-normal prior. */
const betweenSds = [0.03, 0.08, 0.15, 0.25, 0.4];

/** What the needs of a farm's varieties may have in common. */
export interface CommonGround {
  /** Weight beforehand; they sum to 1. */
  weight: number;
  /** Where it lets a variety's log need lie. */
  needOf: (variety: string) => readonly NormalPart[];
}

/** Likelihood of one variety: [state][need] on an axis of its own, and of no response. */
export interface VarietyMarginal {
  variety: string;
  needs: LogAxis;
  byNeed: Float64Array;
  noResponse: number;
  /** Believed of no response beforehand. */
  noResponseChance: number;
  recommended: Recommended | null;
}

/** Prior of (state, need) for one variety on its own axis: from the priors alone, and after leaning. */
export interface Leaning {
  alone: Float64Array;
  leaned: Float64Array;
}

/** A state of the farm with a common ground of the varieties' needs. */
interface State {
  farm: number;
  /** Index of the ground. */
  ground: number;
  logPrior: number;
}

/** A farm of which nothing is known but its own strips: a centre about the given need, and an sd about the centre. */
export function farmGrounds(wholeNeeds: LogAxis, priors: Priors, needSeedsPerM2: number): CommonGround[] {
  const centreSd = Math.sqrt(Math.max(priors.needSdLog ** 2 - priors.needBetweenSdLog ** 2, 0.05 ** 2));
  const sdWeights = normalise(betweenSds.map((sd) => bell(sd, priors.needBetweenSdLog)));
  const centres = placesOn(wholeNeeds);
  const centreWeights = normalise(
    centres.map((centre) => (priors.flat ? 1 : bell(centre - Math.log(needSeedsPerM2), centreSd))),
  );
  return betweenSds.flatMap((sd, b) =>
    centres.map((logNeed, c) => {
      const need = [{ weight: 1, logNeed, sd }];
      return { weight: sdWeights[b]! * centreWeights[c]!, needOf: () => need };
    }),
  );
}

/**
 * @param wholeNeeds  axis of all needs that are looked at; those of the varieties lie inside
 * @returns one for each variety; each prior sums to 1 over the whole axis
 */
export function leanVarieties(
  marginals: readonly VarietyMarginal[],
  farms: readonly FarmState[],
  wholeNeeds: LogAxis,
  priors: Priors,
  grounds: readonly CommonGround[],
): Leaning[] {
  const states: State[] = grounds.flatMap(({ weight }, ground) =>
    farms.map(({ logPrior, logFlatPrior }, farm) => ({
      farm,
      ground,
      logPrior: Math.log(weight) + (priors.flat ? logFlatPrior : logPrior),
    })),
  );
  const whole = placesOn(wholeNeeds);
  const known = marginals.map((marginal) => {
    const needs = placesOn(marginal.needs);
    const ofGrounds = grounds.map(({ needOf }) =>
      afterRecommended(needOf(marginal.variety), marginal.recommended),
    );
    const priorsOfNeed = ofGrounds.map(({ parts }) => {
      const total = sum(whole.map((log) => densityAt(parts, log)));
      const perStep = marginal.needs.step / wholeNeeds.step / total;
      return Float64Array.from(needs, (log) => perStep * densityAt(parts, log));
    });
    const told = ofGrounds.map(({ evidence }) => Math.log(Math.max(evidence, unbelievable)));
    return { priorsOfNeed, told, fit: fitOf(marginal, states, priorsOfNeed) };
  });
  const logPrior = Float64Array.from(states, (state) => state.logPrior);
  // What came with a variety speaks for its ground even where its own strips are left aside.
  const afterTold = logPrior.map((log, i) =>
    known.reduce((total, { told }) => total + told[states[i]!.ground]!, log),
  );
  const together = afterTold.map((log, i) => known.reduce((total, { fit }) => total + fit[i]!, log));
  return known.map(({ priorsOfNeed, told, fit }) => {
    const alone = logPrior.map((log, i) => log + told[states[i]!.ground]!);
    const spokenFor = together.map((log, i) => log - fit[i]!);
    return {
      alone: mixture(alone, states, priorsOfNeed, farms.length),
      leaned: mixture(spokenFor, states, priorsOfNeed, farms.length),
    };
  });
}

/** Density of a mixture at a log need, up to a factor that all of its places share. */
const densityAt = (parts: readonly NormalPart[], log: number): number =>
  parts.length === 1
    ? bell(log - parts[0]!.logNeed, parts[0]!.sd)
    : parts.reduce((total, { weight, logNeed, sd }) => total + (weight / sd) * bell(log - logNeed, sd), 0);

/** Nothing explains strips worse, so that what one variety says can be taken off what all say. */
export const unbelievable = 1e-300;

/** Logarithm of how well each state explains the strips of one variety. */
function fitOf(
  { byNeed, noResponse, noResponseChance }: VarietyMarginal,
  states: readonly State[],
  priorsOfNeed: readonly Float64Array[],
): Float64Array {
  return Float64Array.from(states, ({ farm, ground }) => {
    const prior = priorsOfNeed[ground]!;
    const at = farm * prior.length;
    let sum = 0;
    for (let j = 0; j < prior.length; j++) sum += byNeed[at + j]! * prior[j]!;
    return Math.log(Math.max(sum * (1 - noResponseChance) + noResponse * noResponseChance, unbelievable));
  });
}

/** [state][need], the priors of all states by their weights. */
function mixture(
  logWeights: Float64Array,
  states: readonly State[],
  priorsOfNeed: readonly Float64Array[],
  farms: number,
): Float64Array {
  const most = logWeights.reduce((a, b) => Math.max(a, b), -Infinity);
  const needs = priorsOfNeed[0]!.length;
  const mixed = new Float64Array(farms * needs);
  let total = 0;
  states.forEach(({ farm, ground }, i) => {
    const weight = Math.exp(logWeights[i]! - most);
    if (weight < 1e-9) return;
    total += weight;
    const prior = priorsOfNeed[ground]!;
    for (let j = 0; j < needs; j++) mixed[farm * needs + j]! += weight * prior[j]!;
  });
  return mixed.map((value) => value / total);
}

const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);
