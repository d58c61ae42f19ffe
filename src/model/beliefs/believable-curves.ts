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
import type { Priors, Settings } from "../../vocabulary/settings.ts";
import { farmStates, lossOdds, wholeGrid } from "./curve-grid.ts";
import { fieldPlaces } from "./field-places.ts";
import { withoutTrends } from "./field-trend.ts";
import { averageOverSeasons } from "../forms/believable-curve.ts";
import { farmGrounds, leanVarieties, type Leaning } from "./lean-varieties.ts";
import { middleLogNeed, priorsOnFarm, regionGrounds } from "./lean-on-region.ts";
import { beliefsOfRegion, shareOfRegion } from "./region-beliefs.ts";
import { pickCurves } from "./pick-curves.ts";
import { ratesEvidence, type CellsOfVariety, type RateEvidence } from "./rate-evidence.ts";
import { rateTable, throughMean, type RateTable } from "./rate-table.ts";
import { recommendedFor } from "./recommended-rate.ts";
import { refineGrid, type RefinedGrid } from "./refine-grid.ts";
import { shareResponse, type SharedResponse } from "./share-response.ts";
import { errorBeliefs, usualErrorShare } from "./strip-error.ts";
import { expecting, gather, gatherLosses, movedBy, type Gathered } from "./weigh-curves.ts";

/** Yields of the tested rates that differ by no more than this share of the mean are no response. */
const levelWithin = 0.01;
/** How far the prior need is moved to show what it matters. */
const movedNeed = 0.8;

/** One variety's strips on the grid that suits them, under the priors that the region leaves to its curves. */
interface OfVariety extends RefinedGrid {
  variety: string;
  mine: RateEvidence[];
  own: Priors;
}

/** What one variety's strips leave of the curves of the grid, under one prior of their losses. */
interface Weighed {
  gathered: Gathered;
  response: SharedResponse;
}

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
  const strips = ofVarieties.map(({ variety, mine, errors }): OfVariety => {
    const own = priorsOnFarm(priors, variety, region);
    return { variety, mine, own, ...refineGrid(mine, errors, wholeGrid(own, need.around, states), own) };
  });
  const recommended = varieties.map((variety) => recommendedFor(variety, settings));
  const notRecommended = varieties.map(() => null);
  const lean = (
    weighed: readonly Weighed[],
    known: RegionNeeds | null,
    flat = priors.flat,
    about = need.prior,
    told = recommended,
  ): Leaning[] =>
    leanVarieties(
      weighed.map(({ gathered, response: { noResponseChance } }, v) => {
        const { variety, grid } = strips[v]!;
        return { variety, needs: grid.needs, ...gathered, noResponseChance, recommended: told[v]! };
      }),
      states,
      whole.needs,
      { ...priors, flat },
      known === null ? farmGrounds(whole.needs, { ...priors, flat }, about) : regionGrounds(known),
    );
  const even = strips.map((one) => weigh(one, true, responseOf(one.own)));
  const alone = priors.flat ? even : strips.map((one) => weigh(one, false, responseOf(one.own)));
  const aloneNeeds = lean(alone, region).map((one) => one.alone);
  const chosen = priors.flat ? even : shareAmong(strips, alone, aloneNeeds, ({ own }) => own);
  const leaning = lean(chosen, region);
  const withoutRegion = (): { weighed: Weighed[]; needs: Float64Array[] } | null => {
    if (region === null) return null;
    const alone = strips.map((one) => weigh(one, priors.flat, responseWithoutRegion(one.own, priors)));
    const aloneNeeds = lean(alone, null).map((one) => one.alone);
    const weighed = priors.flat ? even : shareAmong(strips, alone, aloneNeeds, () => priors);
    return { weighed, needs: leanedOf(lean(weighed, null)) };
  };
  const regionLeftOut = withoutRegion();
  const otherPriors = (): { prior: MovedPrior["prior"]; weighed: Weighed[]; needs: Float64Array[] }[] => [
    { prior: "flat", weighed: even, needs: leanedOf(lean(even, region, true)) },
    { prior: "alone", weighed: alone, needs: aloneNeeds },
    {
      prior: "need-lower",
      weighed: chosen,
      needs: leanedOf(lean(chosen, region, priors.flat, need.prior * movedNeed)),
    },
    {
      prior: "need-higher",
      weighed: chosen,
      needs: leanedOf(lean(chosen, region, priors.flat, need.prior / movedNeed)),
    },
    ...(recommended.every((one) => one === null)
      ? []
      : [
          {
            prior: "without-recommended",
            weighed: chosen,
            needs: leanedOf(lean(chosen, region, priors.flat, need.prior, notRecommended)),
          } as const,
        ]),
    ...(regionLeftOut === null ? [] : [{ prior: "without-region", ...regionLeftOut } as const]),
  ];
  const moved = tryMovedPriors ? otherPriors() : [];
  const errorShare = usualErrorShare(evidence, priors);
  const beliefs = strips.map(({ variety, mine, grid, likelihood }, v): Belief => {
    const table = rateTable(mine);
    const { leaned } = leaning[v]!;
    const { gathered, response } = chosen[v]!;
    const sharesOf = expecting(grid, table.rates);
    const expect = ({ gathered, response: { noResponseChance } }: Weighed, weights: Float64Array): number[] =>
      throughMean(sharesOf(gathered, { weights, noResponseChance }), table);
    const curves = pickCurves(likelihood, gathered, leaned, response, grid);
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
      expectedKgPerHa: expect(chosen[v]!, leaned),
      movedPriors: moved.map(({ prior, weighed, needs }) => ({
        prior,
        expectedKgPerHa: expect(weighed[v]!, needs[v]!),
      })),
      curves,
      stripsAtRates: table.strips,
      fields,
      fieldShifts,
      noResponseChance: chanceOfLevel(curves, fieldShifts, table),
      leaning: movedBy(gathered.byNeed, aloneNeeds[v]!, leaned, grid.needs.count),
      region:
        regionLeftOut &&
        shareOfRegion(variety, region!, gathered.byNeed, leaned, regionLeftOut.needs[v]!, grid.needs),
    };
  });
  const yieldKgPerHa = beliefs.reduce((sum, belief) => sum + belief.meanYieldKgPerHa, 0) / beliefs.length;
  return region === null
    ? beliefs
    : [...beliefs, ...beliefsOfRegion(region, settings, { beliefs, yieldKgPerHa, errorShare })].sort(
        (a, b) => (a.variety < b.variety ? -1 : 1),
      );
}

const leanedOf = (leaning: readonly Leaning[]): Float64Array[] => leaning.map((one) => one.leaned);

const weigh = ({ likelihood, grid }: OfVariety, flat: boolean, response: SharedResponse): Weighed => ({
  gathered: gather(likelihood, grid, flat, response.timesPrior),
  response,
});

/** The response as the priors have it. */
const responseOf = ({ noResponseChance }: Priors): SharedResponse => ({
  noResponseChance,
  timesPrior: () => 1,
});

/** As the stated priors have it, where the grid lies under a region's. */
function responseWithoutRegion(own: Priors, stated: Priors): SharedResponse {
  if (own === stated) return responseOf(stated);
  const times = lossOdds(stated, own);
  return { noResponseChance: stated.noResponseChance, timesPrior: ({ loss }) => times(loss) };
}

/**
 * How strongly yield answers, from the other varieties of the farm as well.
 *
 * @param needs  what is believed beforehand of state and need, for each variety by itself
 */
function shareAmong(
  strips: readonly OfVariety[],
  alone: readonly Weighed[],
  needs: readonly Float64Array[],
  priorsOf: (one: OfVariety) => Priors,
): Weighed[] {
  const marginals = strips.map((one, v) => ({
    ...gatherLosses(one.likelihood, one.grid, needs[v]!, alone[v]!.response.timesPrior),
    priors: priorsOf(one),
  }));
  return shareResponse(marginals).map(({ noResponseChance, timesPrior }, v) => {
    const before = alone[v]!.response.timesPrior;
    return weigh(strips[v]!, false, {
      noResponseChance,
      timesPrior: (ray) => before(ray) * timesPrior(ray),
    });
  });
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
