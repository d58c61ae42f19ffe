/** One possible outcome of a planned trial: strips as they could be harvested, from a truth that is known. */
import { drawNormal, random } from "../maths/random.ts";
import { relativeYield } from "../model/forms/believable-curve.ts";
import type { BelievableCurve, Result } from "../vocabulary/result.ts";
import type { SimulatedOutcome, StripPlan, VarietyPlan } from "../vocabulary/strip-plan.ts";
import { nothingElse, type Strip } from "../vocabulary/trial.ts";
import { sortOrder } from "../maths/weighted-quantiles.ts";
import { bestRates } from "./outlook.ts";
import type { KnownVariety } from "./candidate.ts";

/** Place of the simulated truth in the belief about the best rate, as the share of weight below it. */
const truthPlaces: Record<SimulatedOutcome["truth"], number> = { low: 0.1, middle: 0.5, high: 0.9 };
export const truths = Object.keys(truthPlaces) as SimulatedOutcome["truth"][];

/** Sd between blocks, as a share of the mean yield; the analysis removes blocks again (our own choice). */
const blockShare = 0.03;

/** Varieties whose outcomes are simulated: with more the page would be long, and each costs three whole analyses. */
const mostOnPaper = 12;

/**
 * The varieties of a simulated outcome: all that are planted, or of many a few, evenly chosen from the one with most to
 * learn to the one with least. Strips of other varieties are analyzed with them only if all are few.
 */
export function varietiesOnPaper(
  planned: readonly Pick<VarietyPlan, "variety" | "now">[],
  past: readonly { variety: string }[],
): Pick<SimulatedOutcome, "simulated" | "alone"> {
  const all = new Set([...planned, ...past].map(({ variety }) => variety));
  const ranked = [...planned].sort((a, b) => b.now.valueOfKnowingAllPerHa - a.now.valueOfKnowingAllPerHa);
  const count = Math.min(planned.length, mostOnPaper);
  const chosen = Array.from(
    { length: count },
    (_, i) => ranked[Math.floor(((i + 0.5) * ranked.length) / count)]!.variety,
  );
  return {
    simulated: planned.map(({ variety }) => variety).filter((variety) => chosen.includes(variety)),
    alone: all.size > mostOnPaper,
  };
}

/** Strips as harvested, and the true best rate of each variety behind them. */
export interface PaperTrial {
  truth: SimulatedOutcome["truth"];
  strips: Strip[];
  bestRateSeedsPerM2: Map<string, number>;
}

/**
 * One simulated harvest of the planned strips.
 *
 * Every variety gets the believable curve whose best rate matches the truth, a season drawn from that curve's spread of
 * seasons, blocks and errors. All draws come from `settings.seed`.
 */
export function growOnPaper(
  plan: Pick<StripPlan, "request" | "settings" | "layout">,
  known: readonly KnownVariety[],
  truth: SimulatedOutcome["truth"],
): PaperTrial {
  const { season, farm, field } = plan.request;
  const draw = random(plan.settings.seed, `paper ${season} ${farm} ${field} ${truth}`);
  const planted = new Set(plan.layout.strips.map((strip) => strip.variety));
  const grown = new Map(
    known
      .filter(({ outlook }) => planted.has(outlook.variety))
      .map((one) => {
        const { curve, best } = curveAt(one, truthPlaces[truth]);
        return [one.outlook.variety, { one, curve, best, shift: curve.seasonSpread * drawNormal(draw) }];
      }),
  );
  const blocks = new Map<string, number>();
  const strips = plan.layout.strips
    .filter((strip) => !strip.border)
    .map((strip, index): Strip => {
      const { one, curve, shift } = grown.get(strip.variety)!;
      if (!blocks.has(strip.block)) blocks.set(strip.block, blockShare * drawNormal(draw));
      const share = 1 + relativeYield(curve, strip.rateSeedsPerM2, shift) + blocks.get(strip.block)!;
      return {
        ...nothingElse,
        place: { file: "simulated", row: index + 2 },
        season,
        farm,
        field,
        block: strip.block,
        position: strip.position,
        variety: strip.variety,
        rateSeedsPerM2: strip.rateSeedsPerM2,
        yieldKgPerHa: one.yieldKgPerHa * share + one.outlook.errorSdKgPerHa * drawNormal(draw),
      };
    });
  return { truth, strips, bestRateSeedsPerM2: new Map([...grown].map(([name, { best }]) => [name, best])) };
}

/** The believable curve with the given share of weight below its best rate. */
function curveAt({ outlook, curves }: KnownVariety, place: number): { curve: BelievableCurve; best: number } {
  const best = bestRates(outlook);
  let sum = 0;
  for (const k of sortOrder(best)) {
    sum += outlook.weights[k]!;
    if (sum >= place) return { curve: curves[k]!, best: best[k]! };
  }
  throw new RangeError("the weights of an outlook sum to 1");
}

/** What the whole analysis makes of past and simulated strips. */
export function readOutcome(
  paper: PaperTrial,
  onPaper: Pick<SimulatedOutcome, "simulated" | "alone">,
  result: Pick<Result, "next">,
): SimulatedOutcome {
  return {
    truth: paper.truth,
    ...onPaper,
    varieties: result.next
      .filter((next) => onPaper.simulated.includes(next.variety))
      .map(
        ({
          variety,
          rateNowSeedsPerM2,
          rateNextSeedsPerM2,
          economicOptimum,
          gainPerHa,
          chanceOfGain,
          evidence,
        }) => ({
          variety,
          trueEconomicOptimumSeedsPerM2: paper.bestRateSeedsPerM2.get(variety)!,
          next: { rateNowSeedsPerM2, rateNextSeedsPerM2, economicOptimum, gainPerHa, chanceOfGain, evidence },
        }),
      ),
  };
}
