/**
 * Which response curves are believable after the strips, and the yield to expect from them.
 *
 * Nothing is drawn at random and no single curve is picked: every curve of a grid is weighed by how well it explains
 * the strips of all environments, each with a season of its own. Prices play no part. The priors are our own choices,
 * stated in `settings.ts`; deciding by expected value over what is believed is Bayes decision theory (Berger 1985,
 * Statistical Decision Theory and Bayesian Analysis, 2nd ed.).
 */
import { firstAndLast } from "../../maths/first-and-last.ts";
import { crops } from "../../vocabulary/crops.ts";
import type { BelievableCurve, Belief } from "../../vocabulary/result.ts";
import type { RegionNeeds } from "../../vocabulary/region.ts";
import type { Priors, Settings } from "../../vocabulary/settings.ts";
import { farmStates, needAxis, wholeGrid } from "./curve-grid.ts";
import { fieldPlaces, type FieldPlaces, type VarietyEvidence } from "./field-places.ts";
import { fieldStrengths } from "./field-strengths.ts";
import { withoutTrends } from "./field-trend.ts";
import { averageOverSeasons } from "../forms/believable-curve.ts";
import { middleLogNeed, priorsOnFarm } from "./lean-on-region.ts";
import { beliefsOfRegion, shareOfRegion } from "./region-beliefs.ts";
import { pickCurves } from "./pick-curves.ts";
import { ratesEvidence, type CellsOfVariety, type RateEvidence } from "./rate-evidence.ts";
import { rateTable, throughMean, type RateTable } from "./rate-table.ts";
import { believableStates, layGrid, weighGrid } from "./refine-grid.ts";
import { usualErrorShare, withErrors } from "./strip-error.ts";
import { expecting, movedBy } from "./weigh-curves.ts";
import {
  weighFarm,
  type FarmBelief,
  type FarmOnGrids,
  type VarietyOnGrid,
  type WeighedFarm,
} from "./weigh-farm.ts";

/** Yields of the tested rates that differ by no more than this share of the mean are no response. */
const levelWithin = 0.01;

/**
 * What is believed of each variety, sorted by variety.
 *
 * @param cells  one entry per variety and environment, as in `fits`
 * @param tryMovedPriors  whether the answers under other priors are worked out as well
 */
export function believeCurves(
  cells: readonly CellsOfVariety[],
  settings: Settings,
  tryMovedPriors = true,
): Belief[] {
  const { evidence } = withoutTrends(ratesEvidence(cells));
  const varieties = [...new Set(evidence.map((one) => one.variety))].sort();
  const { priors, region } = settings;
  if (varieties.length === 0)
    return region === null
      ? []
      : beliefsOfRegion(region, settings, {
          beliefs: [],
          yieldKgPerHa: meanYieldOf(cells),
          errorShare: usualErrorShare([], priors),
          groundWeights: null,
        });
  const farm = onGrids(evidence, varieties, settings);
  const weighed = weighFarm(farm, settings);
  const moved = tryMovedPriors ? weighed.underOtherPriors() : [];
  const errorShare = usualErrorShare(evidence, priors);
  const ofFarm: OfFarm = {
    places: farm.places,
    region,
    priors,
    errorShare,
    priorNeedSeedsPerM2: farm.priorNeedSeedsPerM2,
  };
  const believed = farm.varieties.map((one, v) => ({
    mine: one.mine,
    belief: beliefOf(one, v, weighed, moved, ofFarm),
  }));
  const strengths = fieldStrengths(believed, priors);
  const beliefs = believed.map(({ belief }) => ({ ...belief, fieldStrengths: strengths }));
  const yieldKgPerHa = beliefs.reduce((sum, belief) => sum + belief.meanYieldKgPerHa, 0) / beliefs.length;
  return region === null
    ? beliefs
    : [
        ...beliefs,
        ...beliefsOfRegion(region, settings, {
          beliefs,
          yieldKgPerHa,
          errorShare,
          groundWeights: weighed.regionGroundWeights,
        }),
      ].sort((a, b) => (a.variety < b.variety ? -1 : 1));
}

/**
 * The strips of the farm, each variety on a grid that suits it, in the states that all varieties together leave
 * believable.
 */
function onGrids(
  evidence: readonly RateEvidence[],
  varieties: readonly string[],
  settings: Settings,
): Omit<FarmOnGrids, "varieties"> & { varieties: (VarietyOnGrid & VarietyEvidence)[] } {
  const { priors, region } = settings;
  const known = withErrors(evidence, priors);
  const need = priorNeed(evidence, settings);
  const ofVarieties = varieties.map((variety) => ({
    variety,
    mine: known.filter((one) => one.variety === variety),
  }));
  const places = fieldPlaces(ofVarieties, need.around, need.prior, priors);
  const allStates = farmStates(priors, places && places.places);
  const laid = ofVarieties.map(({ variety, mine }) => {
    const own = priorsOnFarm(priors, variety, region);
    return { variety, mine, own, ...layGrid(mine, wholeGrid(own, need.around, allStates), own) };
  });
  const states = believableStates(allStates, laid);
  return {
    varieties: laid.map(({ variety, mine, own, ...grid }) => ({
      variety,
      mine,
      own,
      ...weighGrid(mine, grid, states, own),
    })),
    states,
    places,
    needs: needAxis(need.around),
    priorNeedSeedsPerM2: need.prior,
  };
}

/** What the beliefs of all varieties share. */
interface OfFarm {
  places: FieldPlaces | null;
  region: RegionNeeds | null;
  priors: Priors;
  errorShare: number;
  priorNeedSeedsPerM2: number;
}

/** @param v index of the variety among those weighed */
function beliefOf(
  { variety, mine, grid }: VarietyOnGrid & VarietyEvidence,
  v: number,
  { answer, aloneNeeds, withoutRegion }: WeighedFarm,
  moved: ReturnType<WeighedFarm["underOtherPriors"]>,
  { places, region, priors, errorShare, priorNeedSeedsPerM2 }: OfFarm,
): Omit<Belief, "fieldStrengths"> {
  const table = rateTable(mine);
  const [needs, { likelihood, gathered, response }] = [answer.needs[v]!, answer.weighed[v]!];
  const sharesOf = expecting(grid, table.rates);
  const expect = ({ weighed, needs }: FarmBelief): number[] => {
    const { gathered, response } = weighed[v]!;
    return throughMean(
      sharesOf(gathered, { weights: needs[v]!, noResponseChance: response.noResponseChance }),
      table,
    );
  };
  const curves = pickCurves(likelihood, gathered, needs, response, grid);
  const shiftsOfFields = (places?.places ?? []).map(({ shifts }) => shifts);
  const fieldShifts = shiftsOfFields.map((shifts) => [...shifts.values()]);
  return {
    variety,
    meanYieldKgPerHa: table.meanYield,
    testedSeedsPerM2: firstAndLast(table.rates),
    testedRates: table.strips.length,
    environments: mine.length,
    strips: mine.reduce((sum, one) => sum + one.strips, 0),
    priorNeedSeedsPerM2,
    errorShare,
    ratesSeedsPerM2: table.rates,
    expectedKgPerHa: expect(answer),
    movedPriors: moved.map((one) => ({ prior: one.prior, expectedKgPerHa: expect(one) })),
    curves,
    stripsAtRates: table.strips,
    fields: [...(shiftsOfFields[0]?.keys() ?? [])],
    fieldShifts,
    chanceFieldsDiffer: places && places.chanceTheyDiffer,
    noResponseChance: chanceOfLevel(curves, fieldShifts, table),
    leaning: movedBy(gathered.byNeed, aloneNeeds[v]!, needs, grid.needs.count),
    region:
      withoutRegion &&
      shareOfRegion(variety, region!, priors, gathered.byNeed, needs, withoutRegion.needs[v]!, grid.needs),
  };
}

/** Strips at only one rate still have a mean yield: each variety and environment counts equally. */
function meanYieldOf(cells: readonly CellsOfVariety[]): number {
  const means = cells
    .filter((one) => one.cells.length > 0)
    .map(
      (one) => one.cells.reduce((sum, { meanYieldKgPerHa }) => sum + meanYieldKgPerHa, 0) / one.cells.length,
    );
  return means.reduce((sum, mean) => sum + mean, 0) / means.length;
}

/**
 * Where the need is first looked for: the setting, otherwise midway between the crop's usual rate and the middle of
 * those tested.
 */
function priorNeed(
  evidence: readonly RateEvidence[],
  settings: Settings,
): { prior: number; around: [number, number] } {
  const lowest = Math.min(...evidence.map((one) => one.rates[0]!));
  const highest = Math.max(...evidence.map((one) => one.rates[one.rates.length - 1]!));
  const middle = (lowest + highest) / 2;
  const ofRegion = (settings.region?.varieties ?? []).map((one) => Math.exp(middleLogNeed(one)));
  const prior = settings.priors.needSeedsPerM2 ?? Math.sqrt(crops[settings.crop].usualSeedsPerM2 * middle);
  return { prior, around: [Math.min(prior, middle, ...ofRegion), Math.max(prior, middle, ...ofRegion)] };
}

/** Weight of the curves that hardly differ between the tested rates. */
function chanceOfLevel(
  curves: readonly BelievableCurve[],
  fieldShifts: readonly (readonly number[])[],
  { strips }: RateTable,
): number {
  const tested = strips.map((one) => one.rateSeedsPerM2);
  return curves.reduce((sum, curve) => {
    const yields = averageOverSeasons(curve, tested, fieldShifts[curve.place]);
    return Math.max(...yields) - Math.min(...yields) <= levelWithin ? sum + curve.weight : sum;
  }, 0);
}
