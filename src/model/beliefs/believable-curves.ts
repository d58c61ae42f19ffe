/**
 * Which response curves are believable after the strips, and the yield they lead one to expect.
 *
 * Nothing is drawn at random and no curve wins: every curve of a grid is weighed by how well it explains the strips of
 * all environments, each environment with a season of its own. Prices play no part. The priors are our own choices,
 * stated in `settings.ts`; deciding by expected value over what is believed is Bayes decision theory (Berger 1985,
 * Statistical Decision Theory and Bayesian Analysis, 2nd ed., ch. 4, FROM MEMORY).
 */
import { crops } from "../../vocabulary/crops.ts";
import type { BelievableCurve, Belief, MovedPrior } from "../../vocabulary/result.ts";
import type { RegionNeeds } from "../../vocabulary/region.ts";
import type { Settings } from "../../vocabulary/settings.ts";
import { farmStates, lossOdds, wholeGrid } from "./curve-grid.ts";
import { fieldPlaces } from "./field-places.ts";
import { averageOverSeasons } from "../forms/believable-curve.ts";
import { withFewerRates } from "./fewer-rates.ts";
import { farmGrounds, leanVarieties, type Leaning } from "./lean-varieties.ts";
import { middleLogNeed, priorsOnFarm, regionGrounds } from "./lean-on-region.ts";
import { beliefsOfRegion, shareOfRegion } from "./region-beliefs.ts";
import { pickCurves } from "./pick-curves.ts";
import { rateEvidence, type CellsOfVariety, type RateEvidence } from "./rate-evidence.ts";
import { rateTable, throughMean, type RateTable } from "./rate-table.ts";
import { refineGrid } from "./refine-grid.ts";
import { errorBeliefs, usualErrorShare } from "./strip-error.ts";
import { expecting, gather, movedBy } from "./weigh-curves.ts";

/** Yields of the tested rates that differ by no more than this share of the mean are no response. */
const levelWithin = 0.01;
/** How far the prior need is moved to show what it matters. */
const movedNeed = 0.8;

/** Priors of shape, loss and decline: as stated, which a region may know better; without that; or even. */
type RayPriors = "stated" | "withoutRegion" | "even";

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
  const evidence = withFewerRates(cells)
    .map(rateEvidence)
    .filter((one) => one !== null);
  const varieties = [...new Set(evidence.map((one) => one.variety))].sort();
  const { priors, region } = settings;
  if (varieties.length === 0)
    return region === null
      ? []
      : beliefsOfRegion(region, settings, {
          beliefs: [],
          yieldKgPerHa: meanYieldOf(cells),
          errorShare: usualErrorShare([], priors),
        });
  const errors = errorBeliefs(evidence, priors);
  const need = priorNeed(evidence, settings);
  const ofVarieties = varieties.map((variety) => {
    const at = evidence.flatMap((one, i) => (one.variety === variety ? [i] : []));
    return { variety, mine: at.map((i) => evidence[i]!), errors: at.map((i) => errors[i]!) };
  });
  const places = fieldPlaces(ofVarieties, need.around, need.prior, priors);
  const states = farmStates(priors, places);
  const fields = places === null ? [] : [...places[0]!.shifts.keys()];
  const fieldShifts = (places ?? []).map(({ shifts }) => [...shifts.values()]);
  const whole = wholeGrid(priors, need.around, states);
  const strips = ofVarieties.map(({ variety, mine, errors }) => {
    const own = priorsOnFarm(priors, variety, region);
    const { grid, likelihood } = refineGrid(mine, errors, wholeGrid(own, need.around, states), own);
    const stated = gather(likelihood, grid, false);
    const gathered = {
      stated,
      even: gather(likelihood, grid, true),
      withoutRegion:
        own === priors ? stated : gather(likelihood, grid, false, ({ loss }) => lossOdds(loss, priors, own)),
    };
    return { variety, mine, grid, likelihood, gathered, own };
  });
  const lean = (rays: RayPriors, about: number, known: RegionNeeds | null): Leaning[] => {
    const raysPriors = { ...priors, flat: rays === "even" };
    return leanVarieties(
      strips.map(({ variety, gathered, grid, own }) => ({
        ...{ variety, needs: grid.needs, ...gathered[rays] },
        noResponseChance: (known === null ? priors : own).noResponseChance,
      })),
      states,
      whole.needs,
      raysPriors,
      known === null ? farmGrounds(whole.needs, raysPriors, about) : regionGrounds(known),
    );
  };
  const chosen: RayPriors = priors.flat ? "even" : "stated";
  const leaning = lean(chosen, need.prior, region);
  const leaned = (rays: RayPriors, about: number, known = region): Float64Array[] =>
    lean(rays, about, known).map((one) => one.leaned);
  const alone: RayPriors = priors.flat ? "even" : "withoutRegion";
  const withoutRegion = region === null ? null : leaned(alone, need.prior, null);
  const otherPriors = (): { prior: MovedPrior["prior"]; rays: RayPriors; needs: Float64Array[] }[] => [
    { prior: "flat", rays: "even", needs: leaned("even", need.prior) },
    { prior: "alone", rays: chosen, needs: leaning.map((one) => one.alone) },
    { prior: "need-lower", rays: chosen, needs: leaned(chosen, need.prior * movedNeed) },
    { prior: "need-higher", rays: chosen, needs: leaned(chosen, need.prior / movedNeed) },
    ...(withoutRegion === null
      ? []
      : [{ prior: "without-region", rays: alone, needs: withoutRegion } as const]),
  ];
  const moved = tryMovedPriors ? otherPriors() : [];
  const errorShare = usualErrorShare(evidence, priors);
  const beliefs = strips.map(({ variety, mine, grid, likelihood, gathered, own }, v): Belief => {
    const table = rateTable(mine);
    const { alone, leaned } = leaning[v]!;
    const sharesOf = expecting(grid, table.rates);
    const expect = (rays: RayPriors, weights: Float64Array): number[] => {
      const { noResponseChance } = rays === "withoutRegion" ? priors : own;
      return throughMean(sharesOf(gathered[rays], { weights, noResponseChance }), table);
    };
    const { noResponseChance } = own;
    const curves = pickCurves(likelihood, gathered[chosen], { weights: leaned, noResponseChance }, grid);
    return {
      variety,
      meanYieldKgPerHa: table.meanYield,
      testedSeedsPerM2: [table.rates[0]!, table.rates[table.rates.length - 1]!],
      testedRates: table.strips.length,
      environments: mine.length,
      strips: mine.reduce((sum, one) => sum + one.strips, 0),
      priorNeedSeedsPerM2: need.prior,
      errorShare,
      ratesSeedsPerM2: table.rates,
      expectedKgPerHa: expect(chosen, leaned),
      movedPriors: moved.map(({ prior, rays, needs }) => ({
        prior,
        expectedKgPerHa: expect(rays, needs[v]!),
      })),
      curves,
      stripsAtRates: table.strips,
      fields,
      fieldShifts,
      noResponseChance: chanceOfLevel(curves, fieldShifts, table),
      leaning: movedBy(gathered[chosen].byNeed, alone, leaned, grid.needs.count),
      region:
        withoutRegion &&
        shareOfRegion(variety, region!, gathered[chosen].byNeed, leaned, withoutRegion[v]!, grid.needs),
    };
  });
  const yieldKgPerHa = beliefs.reduce((sum, belief) => sum + belief.meanYieldKgPerHa, 0) / beliefs.length;
  return region === null
    ? beliefs
    : [...beliefs, ...beliefsOfRegion(region, settings, { beliefs, yieldKgPerHa, errorShare })].sort(
        (a, b) => (a.variety < b.variety ? -1 : 1),
      );
}

/** Of strips at one rate alone there is still a mean yield: each variety and environment counts alike. */
function meanYieldOf(cells: readonly CellsOfVariety[]): number {
  const means = cells
    .filter((one) => one.cells.length > 0)
    .map(
      (one) => one.cells.reduce((sum, { meanYieldKgPerHa }) => sum + meanYieldKgPerHa, 0) / one.cells.length,
    );
  return means.reduce((sum, mean) => sum + mean, 0) / means.length;
}

/** Where the need is first looked for: the setting, else midway between the crop's usual rate and the middle of those tested. */
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
