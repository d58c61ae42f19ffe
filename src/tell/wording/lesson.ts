/** The words of the lesson on rate response, with the numbers of the strips at hand. */
import type { Curve, NextRate, Result, StripPoint, VarietyFit } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";
import { counted, siteYears } from "../../numbers/written-numbers.ts";
import { highestPoint, highestRateText, isLevel } from "./highest-point.ts";
import { bareRate } from "./optimum.ts";

/** What the lesson is about: one variety, its answer, and its strips in one field and season. */
export interface LessonSubject {
  variety: string;
  next: NextRate;
  fit: VarietyFit;
  strips: StripPoint[];
}

/** The same decision at other prices. */
export interface DoubledPrices {
  grain: Result;
  seed: Result;
  both: Result;
}

export interface Question {
  ask: string;
  answer: string;
}

/**
 * A lesson needs a curve with a top. Of the varieties that have one, it takes the one with most strips, in the field and
 * season with most rates, then most strips. Null where no variety has one.
 *
 * @param wanted the only variety to be taken, where somebody chose
 */
export function lessonSubject(result: Result, wanted?: string): LessonSubject | null {
  const fitsOf = (variety: string): VarietyFit[] => result.fits.filter((fit) => fit.variety === variety);
  const stripsOf = (variety: string): number => fitsOf(variety).reduce((sum, fit) => sum + fit.strips, 0);
  const [next] = result.next
    .filter(
      ({ variety, economicOptimum }) =>
        economicOptimum.kind === "found" &&
        stripsOf(variety) > 0 &&
        (wanted === undefined || variety === wanted),
    )
    .sort(
      (a, b) =>
        stripsOf(b.variety) - stripsOf(a.variety) ||
        Number(b.gainPerHa !== null) - Number(a.gainPerHa !== null) ||
        (a.gainPerHa === null || b.gainPerHa === null ? 0 : b.gainPerHa.expected - a.gainPerHa.expected),
    );
  if (next === undefined) return null;
  const { variety } = next;
  const [fit] = fitsOf(variety).sort(
    (a, b) =>
      b.ratesSeedsPerM2.length - a.ratesSeedsPerM2.length ||
      b.strips - a.strips ||
      (a.environment < b.environment ? -1 : 1),
  );
  const strips = result.strips.filter(
    (strip) => strip.variety === variety && strip.environment === fit!.environment,
  );
  return { variety, next, fit: fit!, strips };
}

/** The best single strip, and how far strips of one rate differ. */
export function noiseQuestion({ strips }: LessonSubject, measures: Measures): Question {
  const best = strips.reduce((top, strip) => (strip.yieldKgPerHa > top.yieldKgPerHa ? strip : top));
  const [rate, apart] = [...new Set(strips.map((strip) => strip.rateSeedsPerM2))]
    .map((one) => {
      const yields = strips
        .filter((strip) => strip.rateSeedsPerM2 === one)
        .map((strip) => strip.yieldKgPerHa);
      return [one, Math.max(...yields) - Math.min(...yields)] as const;
    })
    .reduce((most, one) => (one[1] > most[1] ? one : most));
  const scatter =
    apart > 0
      ? `But the strips at ${measures.rate.text(rate)} differ by ${measures.grainYield.text(apart)} among themselves, with the same variety, rate and season. That difference is soil, drill and combine, not the rate. A single strip shows little; repeating each rate in blocks shows how little.`
      : "But here each rate was sown once, so nobody can say how much two strips of the same rate would differ. Repeating each rate in blocks would show it.";
  return {
    ask: "Which rate would you choose from these strips alone? And how much do strips of the same rate differ?",
    answer: `The best single strip had ${measures.rate.text(best.rateSeedsPerM2)}. ${scatter}`,
  };
}

export function curveQuestion({ fit }: LessonSubject, measures: Measures): Question {
  const rates = fit.ratesSeedsPerM2;
  return {
    ask: "Why does the curve rise, flatten, and sometimes fall again?",
    answer: `Too few plants leave light and water unused. More plants fill the row, but each tillers less, so the gain shrinks. Too many plants compete, stand poorly and lodge. That is why ${counted(rates.length, "rate")} were sown, from ${bareRate(rates[0]!, measures)} to ${measures.rate.text(rates.at(-1)!)}: two rates would show only a straight line, never the top.`,
  };
}

/** Whether the yield still rose at the highest rate tested. */
const stillRises = ({ yieldOptimum }: NextRate): boolean =>
  yieldOptimum.kind === "at-edge" && yieldOptimum.edge === "highest";

/** The text of the step on money: which rates its picture marks. */
export function moneyStep({ next }: Pick<LessonSubject, "next">): string {
  const profit = "the rate at which the last seed added still pays for itself";
  const marked =
    next.yieldOptimum.kind === "none"
      ? `One rate is marked: ${profit}.`
      : `Two rates are marked: ${stillRises(next) ? "the highest rate tested, where the yield still rises" : "the top of the curve"}, and ${profit}.`;
  return `All strips together, adjusted to a common level, and the expected curve. ${marked}`;
}

/** What the seed between the most profitable rate and that of highest yield costs, and what it earns. */
export function moneyQuestion(result: Result, { next }: LessonSubject, measures: Measures): Question {
  const ask = "Why is the most profitable rate below the rate of highest yield?";
  const last = stillRises(next)
    ? "Up to the highest rate tested the yield still rises, but by less than the seed costs."
    : "At the top of the yield curve, more seed adds no grain but still costs money.";
  const [money, grain] = [next.economicOptimum, next.yieldOptimum];
  const response = result.curves.find((one) => one.kind === "response" && one.variety === next.variety);
  if (money.kind !== "found" || grain.kind === "none" || response === undefined) return { ask, answer: last };
  const more = grain.rateSeedsPerM2 - money.rateSeedsPerM2;
  const gain = near(response, grain.rateSeedsPerM2) - near(response, money.rateSeedsPerM2);
  if (more <= 0 || gain <= 0) return { ask, answer: last };
  const worth = measures.moneyPerArea.text(gain * result.settings.grainPricePerKg);
  const cost = measures.moneyPerArea.text(more * thousandsPerHa * next.seedPricePerThousand);
  return {
    ask,
    answer: `From ${bareRate(money.rateSeedsPerM2, measures)} to ${measures.rate.text(grain.rateSeedsPerM2)} the crop gains about ${measures.grainYield.text(gain)}, worth ${worth}. The seed for it costs ${cost}. ${last}`,
  };
}

/** Thousands of seeds on a hectare for each seed on a square metre. */
const thousandsPerHa = 10;

/** The drawn point nearest to a rate. */
const near = (curve: Curve, rate: number): number =>
  curve.points.reduce((best, point) =>
    Math.abs(point.rateSeedsPerM2 - rate) < Math.abs(best.rateSeedsPerM2 - rate) ? point : best,
  ).value;

/** Best rates at today's prices and with grain, seed and both doubled. */
export function doubledRows(
  result: Result,
  doubled: DoubledPrices,
  { variety }: LessonSubject,
  measures: Measures,
): string[][] {
  const rate = (at: Result): string => {
    const optimum = at.next.find((row) => row.variety === variety)?.economicOptimum;
    if (optimum === undefined || optimum.kind === "none") return "no rate stands out";
    const edge = optimum.kind === "found" ? "" : optimum.edge === "highest" ? " or more" : " or less";
    return `${measures.rate.text(optimum.rateSeedsPerM2)}${edge}`;
  };
  return [
    ["Today's prices", rate(result)],
    ["Grain price doubled", rate(doubled.grain)],
    ["Seed price doubled", rate(doubled.seed)],
    ["Both doubled", rate(doubled.both)],
  ];
}

export const doubledQuestion: Question = {
  ask: "What happens to the best rate if grain doubles in price? If seed does? If both do?",
  answer:
    "A higher grain price pays for more seed; a higher seed price, for less. When both double, nothing changes: only the ratio of the two prices matters. How far the rate moves for such a large change shows how much next year's price matters on this farm.",
};

/** Seasons and fields that a variety has strips of. */
function seasonsSeen(result: Result, variety: string): { seasons: number; fields: number } {
  const own = new Set(result.fits.filter((fit) => fit.variety === variety).map((fit) => fit.environment));
  const seasons = new Set(result.environments.filter(({ id }) => own.has(id)).map(({ season }) => season));
  return { seasons: seasons.size, fields: own.size };
}

/** Heading and text of the step on seasons; true for one season as well. */
export function seasonsStep(
  result: Result,
  { variety }: Pick<LessonSubject, "variety">,
): { heading: string; text: string } {
  const { seasons, fields } = seasonsSeen(result, variety);
  if (seasons > 1)
    return {
      heading: "Seasons differ",
      text: "The same variety in every field and season, on the same axes.",
    };
  return {
    heading: "One season is one season",
    text:
      fields > 1
        ? "The same variety in each field of this season, on the same axes."
        : "All strips of this variety are from one field in one season.",
  };
}

export function seasonsQuestion(
  result: Result,
  { variety }: Pick<LessonSubject, "variety">,
  measures: Measures,
): Question {
  const { seasons, fields } = seasonsSeen(result, variety);
  if (seasons < 2)
    return {
      ask: "Would another year give the same best rate?",
      answer: `Nobody knows yet: next year's weather will be new.${fields > 1 ? " Fields of one season share its weather, so two of them are not two seasons." : ""} So the range of the best rate is wider than the strips alone would make it. The same strips in another year would teach more than more strips in this one.`,
    };
  const tops = result.curves
    .filter(({ kind, variety: of, points }) => kind === "season" && of === variety && points.length > 0)
    .filter((curve) => !isLevel(curve))
    .map((curve) => ({ curve, top: highestPoint(curve) }))
    .sort((a, b) => a.top.rateSeedsPerM2 - b.top.rateSeedsPerM2);
  const [lowest, ...others] = tops.map(({ curve, top }) => highestRateText(curve, top, measures));
  const highest = others.at(-1);
  const spread =
    lowest === undefined || highest === undefined || lowest === highest
      ? ""
      : `The yield was highest at ${lowest} in one of them, and at ${highest} in another (${measures.rateAxis}). `;
  return {
    ask: "Which of these seasons will next year be like?",
    answer: `${spread}None of them: next year's weather will be new. So the advice is for the average over the seasons that may come, and its range includes how much seasons differ. That is why ${siteYears(fields)} show more than one season with the same number of strips.`,
  };
}

/** What a rate beside the best one would cost. */
export function flatQuestion(result: Result, { next }: LessonSubject, measures: Measures): Question {
  const { lower, upper } = next.flatZone!;
  return {
    ask: "How exactly does the drill have to be set?",
    answer: `Any rate from ${measures.rate.range(lower, upper)} earns within ${measures.moneyPerArea.chosen(result.settings.flatZonePerHa)} of the best. Inside that zone, a finer setting is not worth an hour's work on the drill; far outside it, it is. A flat top does not mean the strips were useless: they showed where the zone is.`,
  };
}

/** The last question: its answer is followed by the table of next season's rates. */
export const nextQuestion: Question = {
  ask: "Which rate would you sow next season: today's, the most profitable one, or one in between?",
  answer:
    "One step toward the most profitable rate, never beyond what the strips support, and none where there is nothing to gain. Then re-check after the next season.",
};
