/** What a farm takes from its region: where the needs of its varieties may be, and how yield answers there. */
import type { NormalPart, RegionNeeds, RegionPart, RegionVariety } from "../../vocabulary/region.ts";
import type { Priors } from "../../vocabulary/settings.ts";
import { bell, normalise } from "../../maths/normal-weights.ts";
import { remembered } from "../../maths/remembered.ts";
import { riseShapes } from "../forms/believable-curve.ts";
import type { CommonGround } from "./common-ground.ts";
import { kindOfFall, lossOdds, type Ray } from "./curve-grid.ts";

/** A variety on a farm is unlike all others this often: our choice. */
export const oddVarietyShare = 0.05;
/** Log needs of farms, and of varieties on a farm, that are unlike all others lie about theirs with this sd: our choice. */
export const oddSdLog = 0.35;

/** How yield answers where a need is: chances of the rises, the loss, and the chance that it never falls. */
export type ResponseAtNeed = Pick<RegionPart, "rises" | "lossMedian" | "lossSdLog"> &
  Pick<RegionVariety, "noDeclineChance">;

/** Where the need of a variety may lie on a farm, and how yield then answers. */
export interface PartOnFarm extends NormalPart {
  response: ResponseAtNeed;
}

/** The priors of a variety that the region knows: its response there, and the stated chance of none where it is unlike all others. */
export function priorsOnFarm(priors: Priors, variety: string, region: RegionNeeds | null): Priors {
  const known = region?.varieties.find((one) => one.variety === variety);
  if (known === undefined) return priors;
  return {
    ...priors,
    lossMedian: known.lossMedian,
    lossSdLog: mostlySpread(known, priors),
    noResponseChance: mostly(known.noResponseChance, priors.noResponseChance),
    noDeclineChance: mostly(known.noDeclineChance, priors.noDeclineChance),
  };
}

/** What is believed where a variety is mostly as in the region, and sometimes unlike all others. */
const mostly = (inRegion: number, stated: number): number =>
  (1 - oddVarietyShare) * inRegion + oddVarietyShare * stated;

/** Sd of the log loss about the region's median: no loss that the stated priors allow is far beyond it. */
const mostlySpread = (
  inRegion: Pick<Priors, "lossMedian" | "lossSdLog">,
  stated: Pick<Priors, "lossMedian" | "lossSdLog">,
): number =>
  Math.sqrt(
    mostly(
      inRegion.lossSdLog ** 2,
      stated.lossSdLog ** 2 + Math.log(stated.lossMedian / inRegion.lossMedian) ** 2,
    ),
  );

/** The response as the priors state it. */
export const statedResponse = remembered(
  ({ lossMedian, lossSdLog, noDeclineChance }: Priors): ResponseAtNeed => ({
    rises: riseShapes.map(({ share }) => share),
    lossMedian,
    lossSdLog,
    noDeclineChance,
  }),
);

/** How many times likelier a ray is under one response than under the priors that its grid was laid with. */
export function responseOdds(
  { rises, noDeclineChance, ...response }: ResponseAtNeed,
  own: Priors,
): (ray: Pick<Ray, "shape" | "loss" | "decline">) => number {
  const ofLoss = lossOdds(response, own);
  const ofFall = {
    never: noDeclineChance / own.noDeclineChance,
    falls: (1 - noDeclineChance) / (1 - own.noDeclineChance),
  };
  const ofRise = riseShapes.map(({ share }, shape) => rises[shape]! / share);
  return (ray) => {
    const kind = kindOfFall(ray);
    return ofRise[ray.shape]! * ofLoss(ray.loss) * (kind === null ? 1 : ofFall[kind]);
  };
}

/** Sds by which a usual farm may lie from its region, and by which an odd one may: closer, as these sds are wide. */
const usualOffsets = normalOffsets(11, 0.5);
const oddOffsets = normalOffsets(17, 0.3);

function normalOffsets(count: number, step: number): { z: number; share: number }[] {
  const offsets = Array.from({ length: count }, (_, i) => (i - (count - 1) / 2) * step);
  const shares = normalise(offsets.map((z) => bell(z, 1)));
  return offsets.map((z, i) => ({ z, share: shares[i]! }));
}

/** A ground, and how much it is believed beforehand. */
export interface RegionGround extends CommonGround {
  weight: number;
  needOf: (variety: string) => readonly PartOnFarm[];
}

/**
 * One ground for each pair of sds and each distance of the farm from its region; their weights sum to 1.
 *
 * A variety that the region does not know lies about its other varieties, as unlike them as they are to each other.
 */
export function regionGrounds(region: RegionNeeds, priors: Priors): RegionGround[] {
  const needOn = needInRegion(region, priors);
  return region.unlike.flatMap(({ weight, farmSdLog, varietyOnFarmSdLog, oddFarmShare }) => {
    const offsets = [
      ...usualOffsets.map(({ z, share }) => ({ offset: z * farmSdLog, share: (1 - oddFarmShare) * share })),
      ...oddOffsets.map(({ z, share }) => ({ offset: z * oddSdLog, share: oddFarmShare * share })),
    ];
    return offsets.map(({ offset, share }) => ({
      weight: weight * share,
      needOf: (variety: string) => onFarm(needOn(variety), offset, 0, varietyOnFarmSdLog, priors),
    }));
  });
}

/** Where the log need of a variety may lie on a farm of which nothing else is known, and how yield then answers. */
export function needOnAnyFarm(variety: string, region: RegionNeeds, priors: Priors): PartOnFarm[] {
  const parts = needInRegion(region, priors)(variety);
  return region.unlike.flatMap(({ weight, farmSdLog, varietyOnFarmSdLog, oddFarmShare }) =>
    [
      { sd: farmSdLog, share: 1 - oddFarmShare },
      { sd: oddSdLog, share: oddFarmShare },
    ].flatMap(({ sd, share }) =>
      onFarm(parts, 0, sd, varietyOnFarmSdLog, priors).map((part) => ({
        ...part,
        weight: weight * share * part.weight,
      })),
    ),
  );
}

/** Each variety's parts on a middling farm. */
function needInRegion(
  { varieties }: RegionNeeds,
  priors: Priors,
): (variety: string) => readonly PartOnFarm[] {
  const known = new Map(varieties.map((one) => [one.variety, partsOf(one)]));
  const unknown = [{ ...needOfUnknown(varieties), response: statedResponse(priors) }];
  return (variety) => known.get(variety) ?? unknown;
}

const partsOf = ({ need, noDeclineChance }: RegionVariety): PartOnFarm[] =>
  need.map(({ weight, logNeed, sd, ...response }) => ({
    weight,
    logNeed,
    sd,
    response: { ...response, noDeclineChance },
  }));

/**
 * A variety on a farm whose offset from the region is normal: about it as varieties on a farm usually are, or oddly, and then
 * it answers as the priors state.
 */
function onFarm(
  parts: readonly PartOnFarm[],
  offset: number,
  offsetSd: number,
  varietyOnFarmSdLog: number,
  priors: Priors,
): PartOnFarm[] {
  return parts.flatMap(({ weight, logNeed, sd, response }) => [
    {
      weight: weight * (1 - oddVarietyShare),
      logNeed: logNeed + offset,
      sd: Math.hypot(sd, offsetSd, varietyOnFarmSdLog),
      response,
    },
    {
      weight: weight * oddVarietyShare,
      logNeed: logNeed + offset,
      sd: Math.hypot(sd, offsetSd, oddSdLog),
      response: statedResponse(priors),
    },
  ]);
}

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
