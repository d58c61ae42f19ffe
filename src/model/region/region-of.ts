/** Farms of a region → what is believed of each variety over all of them, and how unlike the farms are. */
import { firstAndLast } from "../../maths/first-and-last.ts";
import { normalCdf } from "../../maths/distributions.ts";
import { gather, groupBy } from "../../maths/group-by.ts";
import {
  regionLevel,
  type NormalPart,
  type Region,
  type RegionVariety,
  type SharedFarm,
} from "../../vocabulary/region.ts";
import { usualNeed, type Settings } from "../../vocabulary/settings.ts";
import { engineVersion } from "../../version.ts";
import { compareFarms } from "./between-farms.ts";
import { neverFalls } from "./falls-over-farms.ts";
import { marksOf } from "./farm-evidence.ts";
import { groundShifts, rounded, waterShift, type CurvesOf } from "./ground-over-farms.ts";
import { curveLikelihoods, farmLikelihoods, regionGrid, type FarmLikelihood } from "./farm-likelihoods.ts";
import { believedOf, type RegionBelief } from "./region-parts.ts";
import { responseGrid } from "./response-grid.ts";

/** A variety told from fewer farms could give one of them away: our choice. */
export const usualFewestFarms = 5;

/**
 * What is published of a region; the same for any order and any partition of the farms.
 *
 * @param known  what farms' strips say of the needs of their varieties, where that is worked out already
 */
export function regionOf(
  given: readonly SharedFarm[],
  settings: Pick<Settings, "crop" | "priors">,
  fewestFarms = usualFewestFarms,
  known: ReadonlyMap<SharedFarm, FarmLikelihood[]> = new Map(),
): Region {
  const farms = sortFarms(given);
  const grid = regionGrid(settings);
  const { crop, priors } = settings;
  const likelihoodsOf = farmLikelihoods(grid, settings);
  const likelihoods = farms.map((farm) => known.get(farm) ?? likelihoodsOf(farm));
  const responses = responseGrid(grid.patches[0]!.losses, priors);
  const found = compareFarms(likelihoods, grid.needs, responses, {
    logNeed: Math.log(usualNeed(crop, priors)),
    sd: priors.needSdLog,
  });
  const byVariety = gather(likelihoods.flat(), ({ variety }) => variety);
  const told = found.varieties.map((one) =>
    tellVariety(one.variety, farms, {
      ...believedOf(one, grid.needs),
      noDeclineChance: rounded(neverFalls(byVariety.get(one.variety)!, priors)),
    }),
  );
  const curvesOf: CurvesOf = (sums) => curveLikelihoods(sums, grid, priors);
  const before = { grid, noResponseChance: priors.noResponseChance };
  return {
    schema: "stripcurve-region-4",
    engineVersion,
    crop,
    farms: farms.length,
    strips: farms.reduce((sum, { sums }) => sum + sums.reduce((all, { strips }) => all + strips, 0), 0),
    fewestFarms,
    leftOut: told
      .filter((one) => one.farms < fewestFarms)
      .map(({ variety, farms: behind }) => ({ variety, farms: behind })),
    unlike: found.unlike.map((one) => ({ ...one, weight: rounded(one.weight) })),
    varieties: told.filter((one) => one.farms >= fewestFarms),
    grounds: groundShifts(farms, before, curvesOf, fewestFarms),
    water: waterShift(farms, before, curvesOf, fewestFarms),
    marks: farms.flatMap(marksOf).sort(),
  };
}

/** By content, so that sums are added in one order whoever read the files. */
const sortFarms = (farms: readonly SharedFarm[]): SharedFarm[] =>
  farms
    .map((farm) => ({ farm, content: JSON.stringify(farm.sums) }))
    .sort((a, b) => (a.content < b.content ? -1 : a.content > b.content ? 1 : 0))
    .map(({ farm }) => farm);

function tellVariety(
  variety: string,
  farms: readonly SharedFarm[],
  { need, ...response }: RegionBelief & Pick<RegionVariety, "noDeclineChance">,
): RegionVariety {
  const own = farms
    .map(({ sums }) => sums.filter((one) => one.variety === variety))
    .filter((sums) => sums.length > 0);
  const sums = own.flat();
  const rates = [...new Set(sums.flatMap(({ ratesSeedsPerM2 }) => ratesSeedsPerM2))].sort((a, b) => a - b);
  return {
    variety,
    farms: own.length,
    seasons: groupBy(sums, ({ season }) => String(season)).length,
    strips: sums.reduce((sum, { strips }) => sum + strips, 0),
    testedSeedsPerM2: firstAndLast(rates),
    testedRates: rates.length,
    needSeedsPerM2: rounded(Math.exp(quantile(need, 0.5))),
    lowerSeedsPerM2: rounded(Math.exp(quantile(need, (1 - regionLevel) / 2))),
    upperSeedsPerM2: rounded(Math.exp(quantile(need, (1 + regionLevel) / 2))),
    need,
    ...response,
  };
}

/** Quantile of a mixture of normal parts, by halving. */
export function quantile(parts: readonly NormalPart[], p: number): number {
  let low = Math.min(...parts.map(({ logNeed, sd }) => logNeed - 8 * sd));
  let high = Math.max(...parts.map(({ logNeed, sd }) => logNeed + 8 * sd));
  const total = parts.reduce((sum, { weight }) => sum + weight, 0);
  while (high - low > 1e-9) {
    const middle = (low + high) / 2;
    const below = parts.reduce(
      (sum, { weight, logNeed, sd }) => sum + weight * normalCdf((middle - logNeed) / sd),
      0,
    );
    if (below < p * total) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
