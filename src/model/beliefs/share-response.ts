/**
 * Varieties share how strongly yield responds on their farm: how much a stand that is too thin loses, and how often
 * nothing is lost.
 *
 * The stated prior of the loss is split into two parts, one common to a farm's varieties and one of the variety's own;
 * the stated chance of no response is the mean over farms. Each pair of a common loss and a common chance is weighed by
 * how well it explains the other varieties' strips. A variety by itself keeps the stated priors.
 */
import { bell, normalise } from "../../maths/normal-weights.ts";
import type { Priors } from "../../vocabulary/settings.ts";
import { lossOdds, type Ray } from "./curve-grid.ts";
import { unbelievable } from "./lean-varieties.ts";

type LossPrior = Pick<Priors, "lossMedian" | "lossSdLog">;

/**
 * How well strips of one variety are explained: by the curves of each loss, weighed by the stated priors, and by no
 * response.
 */
export interface ResponseMarginal {
  losses: ReadonlyMap<number, number>;
  noResponse: number;
  /** Prior for this variety. */
  priors: LossPrior & Pick<Priors, "noResponseChance">;
}

/**
 * What the other varieties make believable for one: a factor on the stated prior of its losses, and its chance of no
 * response.
 */
export interface SharedResponse<OfRay = Pick<Ray, "loss">> {
  timesPrior: (ray: OfRay) => number;
  noResponseChance: number;
}

/** Half of the variance of the log loss is the farm's, half the variety's: our choice. */
const farmShareOfSd = Math.SQRT1_2;
/** Where a farm's loss may be around the stated one, in sds. */
const offsets = Array.from({ length: 9 }, (_, i) => (i - 4) / 2);
const offsetWeights = normalise(offsets.map((z) => bell(z, 1)));
/**
 * Factors on the stated odds of no response, with their weights: our choice. On average over farms a chance of 0.05
 * stays 0.05.
 */
const oddsTimes = [
  { times: 0.09, weight: 0.4 },
  { times: 0.45, weight: 0.3 },
  { times: 2, weight: 0.22 },
  { times: 7, weight: 0.08 },
];

/** A common loss with a common chance of no response, and the prior weight of the pair. */
const commons = offsets.flatMap((_, offset) =>
  oddsTimes.map(({ times, weight }) => ({
    offset,
    times,
    logPrior: Math.log(offsetWeights[offset]! * weight),
  })),
);

/** One for each variety, from what the strips of the others support. */
export function shareResponse(varieties: readonly ResponseMarginal[]): SharedResponse[] {
  const [first, ...others] = varieties;
  if (first !== undefined && others.length === 0) {
    const { noResponseChance } = first.priors;
    return [{ noResponseChance, timesPrior: () => 1 }];
  }
  const known = varieties.map(({ losses, noResponse, priors }) => {
    const odds = offsets.map((z) => lossOdds(lossOnFarm(priors, z), priors));
    const respond = odds.map((of) =>
      [...losses].reduce((total, [loss, weight]) => total + of(loss) * weight, 0),
    );
    const chances = commons.map(({ times }) => chanceTimes(priors.noResponseChance, times));
    const fit = commons.map(({ offset }, c) =>
      Math.log(Math.max((1 - chances[c]!) * respond[offset]! + chances[c]! * noResponse, unbelievable)),
    );
    return { odds, chances, fit };
  });
  const together = commons.map(({ logPrior }, c) => known.reduce((log, { fit }) => log + fit[c]!, logPrior));
  return known.map(({ odds, chances, fit }) => {
    const logs = together.map((log, c) => log - fit[c]!);
    const most = Math.max(...logs);
    const weights = normalise(logs.map((log) => Math.exp(log - most)));
    const noResponseChance = weights.reduce((total, weight, c) => total + weight * chances[c]!, 0);
    const responding = offsets.map(() => 0);
    commons.forEach(({ offset }, c) => {
      responding[offset]! += (weights[c]! * (1 - chances[c]!)) / (1 - noResponseChance);
    });
    const timesPrior = (loss: number): number =>
      odds.reduce((total, of, offset) => total + responding[offset]! * of(loss), 0);
    return { noResponseChance, timesPrior: onceEach(timesPrior) };
  });
}

const lossOnFarm = ({ lossMedian, lossSdLog }: LossPrior, z: number): LossPrior => ({
  lossMedian: lossMedian * Math.exp(z * farmShareOfSd * lossSdLog),
  lossSdLog: lossSdLog * Math.sqrt(1 - farmShareOfSd ** 2),
});

const chanceTimes = (chance: number, times: number): number =>
  (times * chance) / (1 - chance + times * chance);

/** Many curves of a grid have the same loss. */
function onceEach(of: (loss: number) => number): (ray: Pick<Ray, "loss">) => number {
  const known = new Map<number, number>();
  return ({ loss }) => {
    const value = known.get(loss) ?? of(loss);
    known.set(loss, value);
    return value;
  };
}
