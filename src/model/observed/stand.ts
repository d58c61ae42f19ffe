/**
 * The share of viable seeds that gave no plant on this farm: by environment, by variety, and whether the share grows
 * with the rate.
 */
import { median } from "simple-statistics";
import { sdPerMedianDeviation } from "../../maths/robust.ts";
import { standLossUnusual, standOutOfLine } from "../../messages/field.ts";
import { environmentId } from "../../vocabulary/environments.ts";
import { normalQuantile, tQuantile } from "../../maths/distributions.ts";
import { meanOfRandom } from "../../maths/random-effects.ts";
import { fitWithinGroups } from "../../maths/within-groups.ts";
import type { StandLoss } from "../../vocabulary/crops.ts";
import type { FarmStand, StandSummary } from "../../vocabulary/result.ts";
import type { Finding, Strip } from "../../vocabulary/trial.ts";
import { groupBy } from "../../maths/group-by.ts";

/** The farm's figure replaces the handbook's from this many counts in this many environments; our choice, no source. */
const enoughCounts = 12;
const enoughEnvironments = 2;
/**
 * A count this many robust spreads away is taken for a slip of the pen, but never with a smaller difference in loss
 * than this.
 */
const slipSpreads = 6;
const slipDifference = 0.25;
/** Sd of one strip's loss if no two counts are comparable: about a tenth, as for 100 plants counted. */
const sdOfOneCount = 0.1;

interface Counted {
  strip: Strip;
  environment: string;
  loss: number;
}

/**
 * Stand loss = 1 − plants ÷ viable seeds sown, for all strips whose stand was counted.
 *
 * Within a variety in an environment the loss may run straight against the rate. The environments' means, and the
 * varieties' differences from the mean of the environments they grew in, are drawn toward the farm's mean by the share
 * of their error (`maths/random-effects.ts`). Next season is a new environment, so the ranges hold the spread between
 * them.
 *
 * @param usualLoss an environment that lost less or more gets a warning
 * @returns the farm, null when nothing was counted; each variety in a season to come and in each environment
 */
export function modelStand(
  strips: readonly Strip[],
  [leastUsual, mostUsual]: StandLoss["usual"],
): {
  farmStand: FarmStand | null;
  stand: StandSummary[];
  findings: Finding[];
  /** Strips whose count is probably a slip of the pen. */
  slips: Strip[];
} {
  const all = countedOf(strips);
  if (all.length === 0) return { farmStand: null, stand: [], findings: [], slips: [] };
  const { counted, findings, slips } = leaveOutSlips(all);
  const { levels, centre, slope, variance } = lossesAtOneRate(counted);
  const { environments, farm, ...parts } = partsOfLoss(levels, variance);
  const range = (loss: number, error: number): Pick<FarmStand, "lower" | "upper"> =>
    environments.length < 2
      ? { lower: null, upper: null }
      : bandAround(loss, farm.between + farm.variance + error, tQuantile(0.9, environments.length - 1));
  const ofSeasonToCome = parts.varieties.map(({ variety, counts, shrunk }): StandSummary => {
    const standLoss = farm.mean + shrunk;
    return { variety, environment: null, counts, standLoss, ...range(standLoss, variance / counts) };
  });
  const shrunkEnvironment = new Map(environments.map(({ id, shrunk }) => [id, shrunk]));
  const shrunkVariety = new Map(parts.varieties.map(({ variety, shrunk }) => [variety, shrunk]));
  const ofEnvironments = levels.map(({ environment, variety, counts }): StandSummary => {
    const standLoss = shrunkEnvironment.get(environment)! + shrunkVariety.get(variety)!;
    const band = bandAround(standLoss, variance / counts, normalQuantile(0.9));
    return { variety, environment, counts, standLoss, ...band };
  });
  return {
    farmStand: {
      counts: counted.length,
      environments: environments.length,
      centreSeedsPerM2: centre,
      standLoss: farm.mean,
      ...range(farm.mean, 0),
      perHundredSeeds: slope && {
        ...slope,
        estimate: 100 * slope.estimate,
        standardError: 100 * slope.standardError,
      },
      suffices: counted.length >= enoughCounts && environments.length >= enoughEnvironments,
    },
    stand: [...ofSeasonToCome, ...ofEnvironments],
    findings: [
      ...findings,
      ...environments
        .filter(({ loss }) => loss < leastUsual || loss > mostUsual)
        .map(({ id, loss }) => standLossUnusual(id, loss, [leastUsual, mostUsual])),
    ],
    slips,
  };
}

/**
 * Environments drawn toward the farm's mean, and varieties' differences from their environments toward none.
 *
 * @param variance of one count
 */
function partsOfLoss(levels: readonly Level[], variance: number) {
  const environments = groupBy(levels, (level) => level.environment).map(([id, inside]) => ({
    id,
    ...weightedMean(inside),
  }));
  const farm = meanOfRandom(
    environments.map(({ loss }) => loss),
    environments.map(({ counts }) => variance / counts),
  );
  const lossOfEnvironment = new Map(environments.map(({ id, loss }) => [id, loss]));
  const differences = groupBy(levels, (level) => level.variety).map(([variety, inside]) => ({
    variety,
    ...weightedMean(
      inside.map((level) => ({ ...level, loss: level.loss - lossOfEnvironment.get(level.environment)! })),
    ),
  }));
  const ofVarieties = meanOfRandom(
    differences.map(({ loss }) => loss),
    differences.map(({ counts }) => variance / counts),
  );
  return {
    farm,
    environments: environments.map((one, i) => ({ ...one, shrunk: farm.shrunk[i]! })),
    varieties: differences.map((one, i) => ({ ...one, shrunk: ofVarieties.shrunk[i]! })),
  };
}

const countedOf = (strips: readonly Strip[]): Counted[] =>
  strips.flatMap((strip): Counted[] => {
    const { standPlantsPerM2: plants, rateSeedsPerM2: seeds } = strip;
    return plants === null ? [] : [{ strip, environment: environmentId(strip), loss: 1 - plants / seeds }];
  });

/** Loss of one variety in one environment, at the mean rate of all counts. */
interface Level {
  environment: string;
  variety: string;
  counts: number;
  loss: number;
}

/** Losses adjusted to one rate, along their line against the rate within a variety in an environment. */
function lossesAtOneRate(counted: readonly Counted[]): {
  levels: Level[];
  centre: number;
  slope: ReturnType<typeof fitWithinGroups>["slope"];
  /** Of one count. */
  variance: number;
} {
  const centre = counted.reduce((sum, { strip }) => sum + strip.rateSeedsPerM2, 0) / counted.length;
  const cells = groupBy(counted, ({ environment, strip }) => JSON.stringify([environment, strip.variety]));
  const { slope, groups, residualVariance } = fitWithinGroups(
    cells.flatMap(([, inside], i) => inside.map(() => i)),
    cells.flatMap(([, inside]) => inside.map(({ strip }) => strip.rateSeedsPerM2)),
    cells.flatMap(([, inside]) => inside.map(({ loss }) => loss)),
    cells.length,
  );
  const perSeed = slope?.estimate ?? 0;
  const levels = cells.map(([, inside], i) => {
    const [{ environment, strip }] = inside;
    const { meanX, meanY } = groups[i]!;
    return {
      environment,
      variety: strip.variety,
      counts: inside.length,
      loss: meanY + perSeed * (centre - meanX),
    };
  });
  return { levels, centre, slope, variance: Math.max(residualVariance ?? sdOfOneCount ** 2, 1e-8) };
}

function weightedMean(levels: readonly { counts: number; loss: number }[]): { counts: number; loss: number } {
  const counts = levels.reduce((sum, level) => sum + level.counts, 0);
  return { counts, loss: levels.reduce((sum, level) => sum + level.counts * level.loss, 0) / counts };
}

/** Four in five are inside: a tenth is on each side. */
function bandAround(loss: number, variance: number, tenth: number): { lower: number; upper: number } {
  const half = tenth * Math.sqrt(variance);
  return { lower: Math.max(Math.min(0, loss), loss - half), upper: Math.min(1, loss + half) };
}

/** Counts far from the median of their variety in their environment, by the median absolute deviation of all. */
function leaveOutSlips(all: readonly Counted[]): {
  counted: Counted[];
  findings: Finding[];
  slips: Strip[];
} {
  const middles = new Map(
    groupBy(all, ({ environment, strip }) => JSON.stringify([environment, strip.variety])).map(
      ([key, inside]) => [key, median(inside.map(({ loss }) => loss))],
    ),
  );
  const middleOf = ({ environment, strip }: Counted): number =>
    middles.get(JSON.stringify([environment, strip.variety]))!;
  const spread = sdPerMedianDeviation * median(all.map((one) => Math.abs(one.loss - middleOf(one))));
  const farthest = Math.max(slipDifference, slipSpreads * spread);
  const isSlip = (one: Counted): boolean => Math.abs(one.loss - middleOf(one)) > farthest;
  return {
    counted: all.filter((one) => !isSlip(one)),
    slips: all.filter(isSlip).map(({ strip }) => strip),
    findings: all.filter(isSlip).map((one) => standOutOfLine(one.strip, one.loss, middleOf(one))),
  };
}
