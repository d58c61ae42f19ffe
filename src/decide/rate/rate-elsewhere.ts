/**
 * What the farm's rate would be on ground that its strips do not have, and in dry or wet seasons, by the region's farms.
 *
 * The farm's own believable curves decide, each with its need shifted by what farms of the region showed side by side.
 */
import { mean } from "simple-statistics";
import { normalCdf } from "../../maths/distributions.ts";
import { joined } from "../../maths/joined.ts";
import { bell, normalise } from "../../maths/normal-weights.ts";
import { groundKindOf, groundKinds, type GroundKind } from "../../vocabulary/ground-words.ts";
import { moreWaterMm, type NeedShift, type RegionNeeds } from "../../vocabulary/region.ts";
import type { Belief, FittedVariety, NextRate, OtherPlace, RateElsewhere } from "../../vocabulary/result.ts";
import type { Settings } from "../../vocabulary/settings.ts";
import { believedOptimum, intervalsOfBest } from "./believed-optimum.ts";
import { netReturnsOnField, type VarietyPrices } from "./net-return.ts";

/** Points at which an uncertain shift is evaluated, in units of its sd. */
const nodes = [-1.6, -0.8, 0, 0.8, 1.6];
const nodeWeights = normalise(nodes.map((z) => bell(z, 1)));

type FarmChoice = Pick<NextRate, "economicOptimum" | "evidence">;

/**
 * @param fits  of the variety, or of the farm's other varieties where it has none: what ground the strips are on
 * @returns nothing where there is no region, where it says nothing about this farm, or where the farm has no best rate
 *   to shift
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

/** Kinds of ground that the strips do not have, compared with the one that they have. */
function onOtherGround({ grounds }: RegionNeeds, fits: readonly Pick<FittedVariety, "ground">[]): Known[] {
  const own = new Set(fits.map(({ ground }) => (ground === undefined ? null : groundKindOf(ground))));
  const [against] = own;
  // Strips on several grounds, or on unnamed ground, have no single ground to compare with.
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
    : [-moreWaterMm, moreWaterMm].map((moreMm) => ({
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
  const shifted = withNeedsShifted(
    belief,
    nodes.map((z) => logShift + z * spread),
  );
  const nets = nodes.map((_, node) => netReturnsOnField(shifted, prices, node, belief.meanYieldKgPerHa));
  const best = joined(nets.map((net) => net.bestRates));
  const weights = joined(nets.map((net, i) => net.weights.map((weight) => weight * nodeWeights[i]!)));
  const expected = belief.ratesSeedsPerM2.map((_, x) =>
    nets.reduce((sum, net, i) => sum + nodeWeights[i]! * net.expected[x]!, 0),
  );
  const [narrow, wide] = settings.intervalLevels;
  const interval = intervalsOfBest(best, weights, belief);
  return {
    where,
    farms,
    logShift,
    chance: normalCdf(Math.abs(logShift) / spread),
    economicOptimum: believedOptimum(belief, expected, interval(wide)),
    likely: interval(narrow),
  };
}

/** It depends on no price, so it is kept for each belief, and its yields with it. */
const known = new WeakMap<Belief, Map<string, Belief>>();

/** The same curves on fields of their own, one for each shift of the need. */
function withNeedsShifted(belief: Belief, logShifts: readonly number[]): Belief {
  const ofBelief = known.get(belief) ?? new Map<string, Belief>();
  known.set(belief, ofBelief);
  const key = logShifts.join();
  const places = belief.fieldShifts.length === 0 ? [[0]] : belief.fieldShifts;
  const shifted = ofBelief.get(key) ?? {
    ...belief,
    fields: logShifts.map((_, i) => `shift ${i + 1}`),
    fieldShifts: places.map((shifts) => logShifts.map((shift) => mean(shifts) + shift)),
    fieldStrengths: [],
  };
  ofBelief.set(key, shifted);
  return shifted;
}
