/**
 * Needs and responses of varieties over many farms: log need = variety + farm + variety on that farm; a variety comes up to its
 * top in one way on all farms, and loses about as much.
 *
 * Crossed random effects on a grid. What a farm's strips say may have any shape, so nothing is taken to be normal but the
 * effects themselves. Sds of the effects, and the share of farms that are unlike all others, are weighed on a grid.
 */
import { groupBy } from "../../maths/group-by.ts";
import { logOn, type LogAxis } from "../../maths/log-axis.ts";
import { normalKernel } from "../../maths/normal-kernel.ts";
import { sumOf, weightedRows } from "../../maths/sums.ts";
import type { FarmsUnlike } from "../../vocabulary/region.ts";
import { oddSdLog } from "../beliefs/lean-on-region.ts";
import { believableResponses } from "./believable-responses.ts";
import type { ResponseLikelihood } from "./farm-likelihoods.ts";
import { noMessages, passMessages, type Offsets } from "./farm-messages.ts";
import { pairsOf, smooth, type Pairs, type Smoothed } from "./farm-pairs.ts";
import type { Response, ResponseGrid } from "./response-grid.ts";

/** Sds of log need looked at, of farms and of varieties on farms, each weighed by a half-normal prior of scale `usualSd`. */
const farmSds = [0.03, 0.07, 0.12, 0.2];
const varietyOnFarmSds = [0.04, 0.08, 0.15, 0.25];
const usualSd = 0.1;
/** Shares of farms that are unlike all others, each believed as much: our choice. */
const oddFarmShares = [0.02, 0.2];
/** Sds less likely than this are not handed on. */
const negligible = 0.01;
/** So many farms tell which sds and responses are worth a look with more: those that are not less likely than this. */
const someFarms = [100, 400];
const negligibleWithSome = 1e-3;
/** Change of a message at which farms and varieties have said all, and at which some farms have said enough. */
const settled = { atLast: 1e-4, withSome: 1e-2 };

/** What is believed of one variety: its need on a middling farm together with its response. */
export interface VarietyOverFarms {
  variety: string;
  responses: readonly Response[];
  /** [response][need], and at last the row of no response; they sum to 1. */
  weights: Float64Array;
}

export interface BetweenFarms {
  varieties: VarietyOverFarms[];
  unlike: FarmsUnlike[];
}

/**
 * @param farms   for each farm what its strips say of its varieties; their order decides last digits only
 * @param prior   centre [log] and sd of the need of a variety beforehand
 */
export function compareFarms(
  farms: readonly (readonly ResponseLikelihood[])[],
  axis: LogAxis,
  grid: ResponseGrid,
  prior: { logNeed: number; sd: number },
): BetweenFarms {
  const logPrior = Float64Array.from(
    { length: axis.count },
    (_, j) => -0.5 * ((logOn(axis, j) - prior.logNeed) / prior.sd) ** 2,
  );
  const byVariety = groupBy(farms.flat(), ({ variety }) => variety);
  const varieties = byVariety.map(([variety]) => variety);
  let responses = byVariety.map(([, own]) => believableResponses(own, axis, grid, logPrior));
  let sds: readonly Sds[] = allSds;
  const weigh = (some: readonly (readonly ResponseLikelihood[])[], until: number): WeighedSds[] => {
    const before = responses.map((kept) => logBefore(kept, grid, logPrior));
    return weighSds(pairsOf(some, axis, varieties, responses), axis, grid, before, sds, until);
  };
  for (const count of someFarms) {
    const weighed = weigh(farms.slice(0, count), settled.withSome);
    sds = weighed.filter(({ weight }) => weight >= negligibleWithSome).map(({ of }) => of);
    responses = responses.map((all, v) => stillBelievable(all, mixed(weighed, v)));
    if (count >= farms.length) break;
  }
  const weighed = weigh(farms, settled.atLast);
  const kept = weighed.filter(({ weight }) => weight >= negligible);
  const keptWeight = kept.reduce((sum, { weight }) => sum + weight, 0);
  return {
    varieties: varieties.map((variety, v) => ({
      variety,
      responses: responses[v]!,
      weights: mixed(weighed, v),
    })),
    unlike: kept.map(({ weight, of }) => ({ weight: weight / keptWeight, ...of })),
  };
}

type Sds = Omit<FarmsUnlike, "weight">;

const allSds: readonly Sds[] = varietyOnFarmSds.flatMap((varietyOnFarmSdLog) =>
  oddFarmShares.flatMap((oddFarmShare) =>
    farmSds.map((farmSdLog) => ({ farmSdLog, varietyOnFarmSdLog, oddFarmShare })),
  ),
);

/** Logarithms of what is believed of one variety before any strip, [response][need]; what was left out has no weight. */
function logBefore(
  kept: readonly Response[],
  { noResponseChance }: ResponseGrid,
  logPrior: Float64Array,
): Float64Array {
  const chances = [...kept.map(({ prior }) => (1 - noResponseChance) * prior), noResponseChance];
  return Float64Array.from(
    chances.flatMap((chance) => Array.from(logPrior, (log) => log + Math.log(chance))),
  );
}

/** Those of a variety's responses that some of the farms leave worth a look with more. */
function stillBelievable(responses: readonly Response[], weights: Float64Array): Response[] {
  const J = weights.length / (responses.length + 1);
  const ofRow = responses.map((_, row) => sumOf(weights.subarray(row * J, (row + 1) * J)));
  const least = negligibleWithSome * Math.max(...ofRow);
  return responses.filter((_, row) => ofRow[row]! >= least);
}

interface WeighedSds {
  of: Sds;
  weight: number;
  /** Of each variety, [response][need]. */
  beliefs: Float64Array[];
}

/** Each pair of sds with its weight, and what is believed of each variety under it; weights sum to 1. */
function weighSds(
  pairs: Pairs,
  axis: LogAxis,
  grid: ResponseGrid,
  before: readonly Float64Array[],
  sds: readonly Sds[],
  until: number,
): WeighedSds[] {
  let last: { of: Sds; smoothed: Smoothed } | null = null;
  // What is said under one pair of sds is nearly what is said under the next.
  const messages = noMessages(pairs);
  const states = sds.map((of) => {
    const { farmSdLog, varietyOnFarmSdLog } = of;
    if (last?.of.varietyOnFarmSdLog !== varietyOnFarmSdLog)
      last = { of, smoothed: smooth(pairs, axis, grid, varietyOnFarmSdLog) };
    const offsets = farmOffsets(of, axis.step);
    const { beliefs, logEvidence } = passMessages(pairs, messages, last.smoothed, offsets, before, until);
    return {
      of,
      beliefs,
      log: logEvidence + logPriorOfSds(farmSdLog, varietyOnFarmSdLog),
    };
  });
  const most = Math.max(...states.map(({ log }) => log));
  const total = states.reduce((sum, { log }) => sum + Math.exp(log - most), 0);
  return states.map(({ log, ...state }) => ({ ...state, weight: Math.exp(log - most) / total }));
}

/** Mostly a little, odd farms far; farther than usual farms are, every third step stands for its neighbours as well. */
function farmOffsets({ farmSdLog, oddFarmShare }: Sds, step: number): Offsets {
  const usual = normalKernel(farmSdLog, step);
  const odd = normalKernel(oddSdLog, step);
  const weightAt = (steps: number): number =>
    oddFarmShare * (odd[steps] ?? 0) + (1 - oddFarmShare) * (usual[steps] ?? 0);
  const near = Array.from({ length: usual.length }, (_, d) => ({ step: d, weight: weightAt(d) }));
  const far = Array.from({ length: Math.ceil(Math.max(odd.length - usual.length, 0) / 3) }, (_, i) => {
    const d = usual.length + 1 + 3 * i;
    return { step: d, weight: weightAt(d - 1) + weightAt(d) + weightAt(d + 1) };
  });
  const upwards = [...near, ...far];
  const all = [...upwards.slice(1).map(({ step: d, weight }) => ({ step: -d, weight })), ...upwards];
  return {
    steps: Int32Array.from(all, (one) => one.step),
    weights: Float64Array.from(all, ({ weight }) => weight),
  };
}

/** What is believed of one variety, whatever the sds. */
const mixed = (weighed: readonly WeighedSds[], v: number): Float64Array =>
  weightedRows(
    weighed.map(({ beliefs }) => beliefs[v]!),
    weighed.map(({ weight }) => weight),
  );

const logPriorOfSds = (farm: number, varietyOnFarm: number): number =>
  -0.5 * ((farm / usualSd) ** 2 + (varietyOnFarm / usualSd) ** 2);
