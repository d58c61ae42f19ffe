/** What the region's farms add: rates on other ground, and in a dry or a wet season. */
import type { Measures } from "../../numbers/measures.ts";
import { capitalized, chance, counted, percent } from "../../numbers/written-numbers.ts";
import { groundKindOf, type GroundKind } from "../../vocabulary/ground-words.ts";
import {
  moreWaterMm,
  regionLevel,
  type GroundShift,
  type NeedShift,
  type WaterShift,
} from "../../vocabulary/region.ts";
import type { OtherPlace, RateElsewhere, Result } from "../../vocabulary/result.ts";
import { bestOf } from "./by-field.ts";
import { likelyRange, rangeName } from "./optimum.ts";
import { dryOrWetLine } from "./seasons-together.ts";

/** Where a variety grows: "on the hill". */
const onGround: Record<GroundKind, string> = {
  bottom: "in the bottom",
  dryland: "on dryland",
  heavy: "on heavy soil",
  hill: "on the hill",
  irrigated: "under irrigation",
  level: "on level ground",
  sandy: "on sandy soil",
  slope: "on the slope",
};

/** What the region knows of two kinds of ground: "On the hill 14% less seed is needed than on level ground (80% range …; 12 farms)." */
export const groundShiftText = ({ ground, against, ...shift }: GroundShift, measures: Measures): string =>
  `${capitalized(onGround[ground])} ${needChange(shift, measures)} than ${onGround[against]} (${rangeAndFarms(shift, measures)}).`;

/** Nobody foresees water more closely than this [mm]. */
const waterDoubt = 200;

/** What it knows of water. */
export const waterShiftText = ({ seasons, ...shift }: WaterShift, measures: Measures): string =>
  `With ${measures.water.text(moreWaterMm, waterDoubt)} more water ${needChange(shift, measures)} (${rangeAndFarms(shift, measures)}, ${counted(seasons, "season", measures.style)}).`;

function needChange({ logShift }: NeedShift, measures: Measures): string {
  const change = Math.exp(logShift) - 1;
  return `a variety needs ${measures.share(Math.abs(change))} ${change < 0 ? "less" : "more"} seed`;
}

function rangeAndFarms({ farms, lower, upper, betweenFarmsSdLog }: NeedShift, measures: Measures): string {
  const [least, most] = [lower, upper].map((log) => signed(Math.exp(log) - 1, measures));
  return `${rangeName(regionLevel, measures)} ${least} to ${most}; ${counted(farms, "farm", measures.style)}, which differ by about ${measures.share(betweenFarmsSdLog)} in this`;
}

const signed = (share: number, { style }: Measures): string =>
  Math.abs(share) < 0.005 ? "0%" : `${share < 0 ? "−" : "+"}${percent(Math.abs(share), style)}`;

/** With more varieties than this, a line under the table names none. */
const mostNamed = 4;

/**
 * The line under the table on ground that the strips do not have; "" without a region.
 *
 * @example And on other ground? On the hill about 14% less seed than on level ground, according to 12 farms of the region (19 in 20): Alder 1.05
 *   (80% range 0.92 to 1.18).
 */
export function otherGroundLine(result: Result, measures: Measures): string {
  const { region } = result.settings;
  if (region === null) return "";
  const told = ofKind(result, "ground");
  if (told.length > 0)
    return `And on other ground? ${told.map((one) => `${sentenceOf(one, measures)}.`).join(" ")}`;
  if (region.grounds.length === 0)
    return "And on other ground? The region does not know: too few of its farms have strips of one variety on two kinds of ground.";
  const kinds = new Set(
    result.fits.map(({ ground }) => (ground === undefined ? null : groundKindOf(ground))),
  );
  if (kinds.has(null) || kinds.size === 0)
    return "And on other ground? The region's farms show how some kinds of ground differ, but these strips are not all on one of them: fill in the column ground.";
  const between = region.grounds.filter(({ ground, against }) => kinds.has(ground) && kinds.has(against));
  if (between.length > 0)
    return `And what do the region's farms show? ${between.map((shift) => groundShiftText(shift, measures)).join(" ")}`;
  return "And on other ground? The region's farms do not compare other ground with the ground of these strips.";
}

/**
 * The same for a dry and a wet season: from the region's farms where they show it, otherwise from this farm's seasons.
 *
 * @param unclear  whether to say, too, that the farm's own seasons show no change
 */
export function waterLine(result: Result, measures: Measures, unclear: boolean): string {
  const told = ofKind(result, "water");
  if (told.length > 0)
    return `And in a dry or wet season? ${told.map((one) => `${sentenceOf(one, measures)}.`).join(" ")} You know that before seeding only where you irrigate.`;
  const clear = result.seasonCovariates.some(
    ({ covariate, supported }) => covariate === "water" && supported,
  );
  return clear || unclear ? dryOrWetLine(result, measures) : "";
}

/** One place with the rates there of all varieties. */
interface Told {
  where: OtherPlace;
  rates: [RateThere, ...RateThere[]];
}

interface RateThere {
  variety: string;
  rate: RateElsewhere;
}

function ofKind({ next }: Pick<Result, "next">, kind: OtherPlace["kind"]): Told[] {
  const told = new Map<string, Told>();
  for (const { variety, elsewhere } of next)
    for (const rate of elsewhere ?? []) {
      if (rate.where.kind !== kind) continue;
      const key = JSON.stringify(rate.where);
      const known = told.get(key);
      if (known === undefined) told.set(key, { where: rate.where, rates: [{ variety, rate }] });
      else known.rates.push({ variety, rate });
    }
  return [...told.values()];
}

function sentenceOf({ where, rates }: Told, measures: Measures): string {
  const { farms, logShift, chance: sure } = rates[0].rate;
  const change = Math.exp(logShift) - 1;
  const amount = `about ${measures.share(Math.abs(change))} ${change < 0 ? "less" : "more"} seed`;
  const [place, against] =
    where.kind === "ground"
      ? [onGround[where.ground], ` than ${onGround[where.against]}`]
      : [
          `With ${measures.water.text(Math.abs(where.moreMm), waterDoubt)} ${where.moreMm < 0 ? "less" : "more"} water than usual`,
          "",
        ];
  const named =
    rates.length > mostNamed
      ? ""
      : `: ${rates.map(({ variety, rate }) => `${variety} ${rateText(rate, measures)}`).join(", ")}`;
  return `${capitalized(place)} ${amount}${against}, according to ${counted(farms, "farm", measures.style)} of the region (${chance(sure)})${named}`;
}

const rateText = ({ economicOptimum, likely }: RateElsewhere, measures: Measures): string =>
  `${bestOf(economicOptimum, measures)} (${rangeName(likely.level, measures)} ${likelyRange(likely, measures)})`;
