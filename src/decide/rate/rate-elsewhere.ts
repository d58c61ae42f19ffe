/**
 * What the farm's rate would be on ground that its strips do not have, and in dry or wet seasons, by the region's farms.
 *
 * The farm's own believable curves decide, each with its need changed by what farms of the region showed side by side.
 */
import { normalCdf } from "../../maths/distributions.ts";
import { bell, normalise } from "../../maths/normal-weights.ts";
import { groundKindOf, groundKinds, type GroundKind } from "../../vocabulary/ground-words.ts";
import type { NeedShift, RegionNeeds } from "../../vocabulary/region.ts";
import type { Belief, FittedVariety, NextRate, OtherPlace, RateElsewhere } from "../../vocabulary/result.ts";
import type { Settings } from "../../vocabulary/settings.ts";
import { believedOptimum, withinTested } from "./believed-optimum.ts";
import { bestRates, weightedInterval } from "./curve-table.ts";
import { netReturnsOfFields, type NetReturns, type VarietyPrices } from "./net-return.ts";

/** A dry and a wet season: so much water below and above what the strips had, as the region's shift is told for. */
const unlikeMm = 100;
/** Places at which a shift that is not surely known is looked at, in its sd. */
const nodes = [-1.6, -0.8, 0, 0.8, 1.6];
const nodeWeights = normalise(nodes.map((z) => bell(z, 1)));

type FarmChoice = Pick<NextRate, "economicOptimum" | "evidence">;

/**
 * @param fits  of the variety: what ground its strips are on
 * @returns no member where there is no region, where it tells nothing here, or where the farm has no best rate to change
 */
export function ratesElsewhere(
  belief: Belief,
  prices: VarietyPrices,
  { economicOptimum, evidence }: FarmChoice,
  fits: readonly Pick<FittedVariety, "ground">[],
  settings: Settings,
): Pick<NextRate, "elsewhere"> {
  const { region } = settings;
  if (region === null || economicOptimum.kind === "none" || evidence === "none") return {};
  const elsewhere = [...onOtherGround(region, fits), ...withOtherWater(region)].map(({ where, shift }) =>
    rateAt(where, shift, belief, prices, settings),
  );
  return elsewhere.length === 0 ? {} : { elsewhere };
}

interface Known {
  where: OtherPlace;
  /** From the ground or the water of the farm's strips to the other. */
  shift: NeedShift;
}

/** Kinds of ground that the strips do not have, against the one that they have. */
function onOtherGround({ grounds }: RegionNeeds, fits: readonly Pick<FittedVariety, "ground">[]): Known[] {
  const own = new Set(fits.map(({ ground }) => (ground === undefined ? null : groundKindOf(ground))));
  const [against] = own;
  // Strips on several grounds, or on some that nobody named, have no one ground to change from.
  if (own.size !== 1 || against === null || against === undefined) return [];
  return groundKinds.flatMap((ground) => {
    const shift = shiftBetween(grounds, ground, against);
    return shift === null ? [] : [{ where: { kind: "ground", ground, against }, shift }];
  });
}

function shiftBetween(
  grounds: RegionNeeds["grounds"],
  ground: GroundKind,
  against: GroundKind,
): NeedShift | null {
  const there = grounds.find((one) => one.ground === ground && one.against === against);
  if (there !== undefined) return there;
  const back = grounds.find((one) => one.ground === against && one.against === ground);
  return back === undefined ? null : opposite(back);
}

const opposite = (shift: NeedShift): NeedShift => ({
  ...shift,
  logShift: -shift.logShift,
  lower: -shift.upper,
  upper: -shift.lower,
});

const withOtherWater = ({ water }: RegionNeeds): Known[] =>
  water === null
    ? []
    : [-unlikeMm, unlikeMm].map((moreMm) => ({
        where: { kind: "water", moreMm },
        shift: moreMm < 0 ? opposite(water) : water,
      }));

function rateAt(
  where: OtherPlace,
  { farms, logShift, sd, betweenFarmsSdLog }: NeedShift,
  belief: Belief,
  prices: VarietyPrices,
  settings: Settings,
): RateElsewhere {
  const spread = Math.hypot(sd, betweenFarmsSdLog);
  const net = netElsewhere(
    belief,
    prices,
    nodes.map((z) => logShift + z * spread),
  );
  const [narrow, wide] = settings.intervalLevels;
  const best = bestRates(net.rates, net.byCurve);
  const interval = (level: number): RateElsewhere["likely"] =>
    withinTested({ level, ...weightedInterval(best, net.weights, level) }, belief);
  return {
    where,
    farms,
    logShift,
    chance: normalCdf(Math.abs(logShift) / spread),
    economicOptimum: believedOptimum(belief, net.expected, interval(wide)),
    likely: interval(narrow),
  };
}

/** Net returns of all curves at each of the shifts, at the farm's own level of yield. */
function netElsewhere(
  belief: Belief,
  prices: VarietyPrices,
  logShifts: readonly number[],
): Pick<NetReturns, "rates" | "weights" | "expected" | "byCurve"> {
  const places = belief.fieldShifts.length === 0 ? [[0]] : belief.fieldShifts;
  const shifted: Belief = {
    ...belief,
    fields: logShifts.map((_, i) => `shift ${i + 1}`),
    fieldShifts: places.map((shifts) => logShifts.map((shift) => mean(shifts) + shift)),
  };
  const nets = netReturnsOfFields(
    shifted,
    prices,
    logShifts.map(() => belief.meanYieldKgPerHa),
  );
  const rates = belief.ratesSeedsPerM2;
  return {
    rates,
    weights: Float64Array.from(
      nets.flatMap(({ weights }, i) => Array.from(weights, (w) => w * nodeWeights[i]!)),
    ),
    expected: Float64Array.from(rates, (_, x) =>
      nets.reduce((sum, { expected }, i) => sum + nodeWeights[i]! * expected[x]!, 0),
    ),
    byCurve: Float64Array.from(nets.flatMap(({ byCurve }) => Array.from(byCurve))),
  };
}

const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;
