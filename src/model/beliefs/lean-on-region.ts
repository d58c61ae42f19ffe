/** What a farm takes from its region: where the needs of its varieties may lie, by how far the farm lies from the region. */
import type { NormalPart, RegionNeeds, RegionVariety } from "../../vocabulary/region.ts";
import type { Priors } from "../../vocabulary/settings.ts";
import type { CommonGround } from "./common-ground.ts";

/** A variety on a farm is unlike all others this often, and then by this sd of log need: our choice. */
export const oddShare = 0.15;
export const oddSdLog = 0.35;

/** Sd in log by which the loss of a variety differs between farms: our choice; on simulated regions 0.3 made intervals too short. */
export const lossOnFarmSdLog = 0.45;

/** The priors of a variety that the region knows: its response there, and the stated chance of none where it is unlike all others. */
export function priorsOnFarm(priors: Priors, variety: string, region: RegionNeeds | null): Priors {
  const known = region?.varieties.find((one) => one.variety === variety);
  if (known === undefined) return priors;
  return {
    ...priors,
    lossMedian: known.lossMedian,
    lossSdLog: Math.hypot(known.lossSdLog, lossOnFarmSdLog),
    noResponseChance: (1 - oddShare) * known.noResponseChance + oddShare * priors.noResponseChance,
  };
}

/** Sds by which a farm may lie from its region. */
const farmOffsets = Array.from({ length: 11 }, (_, i) => (i - 5) / 2);

/** A ground, and how much it is believed beforehand. */
export interface RegionGround extends CommonGround {
  weight: number;
}

/**
 * One ground for each pair of sds and each distance of the farm from its region; their weights sum to 1.
 *
 * A variety that the region does not know lies about its other varieties, as unlike them as they are to each other.
 */
export function regionGrounds({ unlike, varieties }: RegionNeeds): RegionGround[] {
  const known = new Map(varieties.map((one) => [one.variety, one.need]));
  const unknown = [needOfUnknown(varieties)];
  const offsetWeights = farmOffsets.map((z) => Math.exp((-z * z) / 2));
  const total = offsetWeights.reduce((sum, weight) => sum + weight, 0);
  return unlike.flatMap(({ weight, farmSdLog, varietyOnFarmSdLog }) => {
    const offsets =
      farmSdLog === 0
        ? [{ z: 0, share: 1 }]
        : farmOffsets.map((z, i) => ({ z, share: offsetWeights[i]! / total }));
    return offsets.map(({ z, share }) => ({
      weight: weight * share,
      needOf: (variety: string) =>
        (known.get(variety) ?? unknown).flatMap((part) => [
          { ...onFarm(part, z * farmSdLog, varietyOnFarmSdLog), weight: part.weight * (1 - oddShare) },
          { ...onFarm(part, z * farmSdLog, oddSdLog), weight: part.weight * oddShare },
        ]),
    }));
  });
}

const onFarm = ({ logNeed, sd }: NormalPart, offset: number, sdLog: number): Omit<NormalPart, "weight"> => ({
  logNeed: logNeed + offset,
  sd: Math.hypot(sd, sdLog),
});

/** Middle and spread of the region's varieties; with one alone, as unlike it as varieties of a farm commonly are. */
function needOfUnknown(varieties: readonly RegionVariety[]): NormalPart {
  const middles = varieties.map(middleLogNeed);
  const logNeed = middles.reduce((sum, one) => sum + one, 0) / middles.length;
  const squares = middles.reduce((sum, one) => sum + (one - logNeed) ** 2, 0);
  // A prior sd of 0.15 counts for two varieties, so that few alike ones do not make the next one certain: our choice.
  const variance = (squares + 2 * 0.15 ** 2) / (middles.length + 1);
  return { weight: 1, logNeed, sd: Math.sqrt(variance) };
}

/** Mean log need of a variety on a middling farm. */
export const middleLogNeed = ({ need }: Pick<RegionVariety, "need">): number =>
  need.reduce((sum, { weight, logNeed }) => sum + weight * logNeed, 0);
