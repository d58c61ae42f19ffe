/**
 * What a region tells of ground that a farm has no strips on: regions of known truth, in which the hill needs more or less
 * than level ground, by as much as the farms differ in it.
 */
import { netReturns, varietyPrices } from "../../../src/decide/rate/net-return.ts";
import { chooseRate } from "../../../src/decide/rate/next-rate.ts";
import { valueAt } from "../../../src/decide/rate/curve-table.ts";
import { ratesElsewhere } from "../../../src/decide/rate/rate-elsewhere.ts";
import { drawNormal, random, type Random } from "../../../src/maths/random.ts";
import { believeCurves } from "../../../src/model/beliefs/believable-curves.ts";
import type { CellsOfVariety } from "../../../src/model/beliefs/rate-evidence.ts";
import { farmEvidence, type Place } from "../../../src/model/region/farm-evidence.ts";
import { regionOf } from "../../../src/model/region/region-of.ts";
import { fromBushelsPerAcre, fromPerAcre, toMoneyPerAcre } from "../../../src/numbers/units.ts";
import type { Interval } from "../../../src/vocabulary/result.ts";
import { defaultSettings } from "../../../src/vocabulary/settings.ts";
import { factsOf, noQuality } from "../score-farm.ts";
import { mean, percent, share } from "../page-of-results.ts";
import { families, type TrueCurve } from "../truths.ts";
import { expectedShare, growCells, seasonSd } from "./simulate-region.ts";

const farms = 15;
const seasons = 3;
/** Sds of log need: of the hill in a region, of the hill between farms, and of farms. */
const [hillSd, hillOnFarmSd, farmSd] = [0.2, 0.08, 0.08];
const farmYield = fromBushelsPerAcre(60, 60);
const settings = { ...defaultSettings, rateNowSeedsPerM2: fromPerAcre(1.3e6) };

interface TrueVariety {
  variety: string;
  logNeed: number;
  curve: TrueCurve;
}

/** One region: whether the shift was held, and for a farm with strips on level ground what its rate for the hill is worth. */
interface GroundScore {
  held: boolean;
  error: number;
  rateHeld: boolean[];
  /** Lost on the hill by the rate told for it, and by the one for level ground [$/ac]. */
  lost: number[];
  lostByLevel: number[];
}

function scoreGround(number: number): GroundScore {
  const draw = random(number, "by ground");
  const shapes = families.filter(({ name }) =>
    ["quadratic", "linear-plateau", "quadratic-plateau", "exponential rise", "reciprocal"].includes(name),
  );
  const centre = Math.log(fromPerAcre((0.9 + draw()) * 1e6));
  const varieties = ["A", "B"].map((variety): TrueVariety => ({
    variety,
    logNeed: centre + 0.15 * drawNormal(draw),
    curve: shapes[Math.floor(draw() * shapes.length)]!.curve(draw),
  }));
  const hill = hillSd * drawNormal(draw);
  const shared = Array.from({ length: farms }, () => {
    const offset = farmSd * drawNormal(draw);
    const onHill = hill + hillOnFarmSd * drawNormal(draw);
    return farmEvidence([
      ...growOn("level", varieties, offset, draw),
      ...growOn("hill", varieties, offset + onHill, draw),
    ]);
  });
  const region = regionOf(shared, settings);
  const shift = region.grounds[0]!;
  const own = farmSd * drawNormal(draw);
  const there = own + hill + hillOnFarmSd * drawNormal(draw);
  const leaning = { ...settings, region };
  const score: GroundScore = {
    held: shift.lower <= hill && hill <= shift.upper,
    error: shift.logShift - hill,
    rateHeld: [],
    lost: [],
    lostByLevel: [],
  };
  for (const belief of believeCurves(growOn("level", varieties, own, draw), leaning)) {
    const prices = varietyPrices(belief, noQuality, leaning);
    const choice = chooseRate(belief, netReturns(belief, prices), factsOf(belief), leaning);
    const [rate] = ratesElsewhere(belief, prices, choice, [{ ground: "level" }], leaning).elsewhere ?? [];
    if (rate === undefined || rate.economicOptimum.kind === "none" || choice.economicOptimum.kind === "none")
      continue;
    const variety = varieties.find((one) => one.variety === belief.variety)!;
    const earned = belief.ratesSeedsPerM2.map(
      (seeds) =>
        leaning.grainPricePerKg * farmYield * expectedShare(variety.curve, variety.logNeed + there, seeds) -
        10 * leaning.seedPricePerThousand * seeds,
    );
    const most = Math.max(...earned);
    const best = belief.ratesSeedsPerM2[earned.indexOf(most)]!;
    const step = belief.ratesSeedsPerM2[1]! - belief.ratesSeedsPerM2[0]!;
    const lostAt = (seeds: number): number =>
      toMoneyPerAcre(most - valueAt(belief.ratesSeedsPerM2, earned, seeds));
    score.rateHeld.push(holds(rate.likely, best, step / 2));
    score.lost.push(lostAt(rate.economicOptimum.rateSeedsPerM2));
    score.lostByLevel.push(lostAt(choice.economicOptimum.rateSeedsPerM2));
  }
  return score;
}

const holds = ({ lower, upper }: Interval, value: number, slack: number): boolean =>
  lower - slack <= value && value <= upper + slack;

function growOn(
  ground: "level" | "hill",
  varieties: readonly TrueVariety[],
  offset: number,
  draw: Random,
): (CellsOfVariety & Place)[] {
  return Array.from({ length: seasons }, (_, s) => 2020 + s).flatMap((season) => {
    const together = seasonSd * drawNormal(draw);
    return varieties.map(({ variety, logNeed, curve }) => {
      const need = Math.exp(logNeed + offset + together + seasonSd * drawNormal(draw));
      const cells = growCells(curve, need, farmYield, 0.05, draw);
      const environment = `${season} ${ground}`;
      return { variety, environment, season, field: ground, groundKind: ground, cells, withinCellSs: 0 };
    });
  });
}

/** What regions tell of ground without strips, in words. */
export function tellGround(regions: number): string {
  const scores = Array.from({ length: regions }, (_, number) => scoreGround(number));
  const lost = (of: "lost" | "lostByLevel"): string => mean(scores.flatMap((one) => one[of])).toFixed(2);
  const rms = Math.sqrt(mean(scores.map(({ error }) => error ** 2)));
  return `## Ground without strips

${regions} regions of ${farms} farms with two varieties on level ground and on the hill for ${seasons} seasons; the hill needs more or less by an sd of 20 %, by 8 % more or less on each farm. The change of the need was found within ${(100 * rms).toFixed(1)} % (root mean square) and without bias (mean ${(100 * mean(scores.map(({ error }) => error))).toFixed(1)} %); its 80 % interval held it in ${percent(share(scores.map(({ held }) => held)))} of the regions. A farm outside the region with strips on level ground alone was told a rate for its hill: the 80 % range held the best rate in ${percent(share(scores.flatMap(({ rateHeld }) => rateHeld)))}, and the rate lost ${lost("lost")} $/ac on the hill, where its rate for level ground lost ${lost("lostByLevel")}.
`;
}
