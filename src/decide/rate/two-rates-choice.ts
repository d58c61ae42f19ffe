/**
 * Next season's rate where only two rates were tested: the paired difference alone drives step and evidence.
 *
 * From the lower of the two or below it, more seed pays where the higher earned more, and from the higher or above it
 * less seed pays where the lower did: that far, a curve that bends downward cannot turn. Anywhere else two rates say
 * nothing.
 */
import { tQuantile } from "../../maths/distributions.ts";
import type { NextRate, Reason, TwoRates } from "../../vocabulary/result.ts";
import type { Settings } from "../../vocabulary/settings.ts";
import { isSameRate } from "../../numbers/same-rate.ts";
import { untold, type RateChoice } from "./next-rate.ts";
import { bestStep, chooseStep } from "./step.ts";
import type { ComparedRates } from "./two-rates.ts";

/** The two are distinguished from this chance on that the better one pays; evidence is strong from the other. Our own choice. */
const tellsApart = 0.8;
const tellsWell = 0.95;

/**
 * The choice where only two rates were compared: the better one, or no change where chance alone could make them differ
 * that much.
 *
 * @param two      the comparison, see `compareTwoRates`
 * @param seasons  in which the two were compared
 */
export function chooseOfTwoRates(
  choice: RateChoice,
  two: ComparedRates,
  seasons: number,
  settings: Settings,
): { choice: RateChoice; twoRates: TwoRates } {
  const { lowerSeedsPerM2: lower, higherSeedsPerM2: higher, gainPerHa: gain, chanceHigherPays } = two;
  const chance = chanceHigherPays === null ? 0 : Math.max(chanceHigherPays, 1 - chanceHigherPays);
  if (chance < tellsApart) return { choice: stayWhereAlike(choice, settings), twoRates: withoutOdds(two) };
  // Two rates show no curve.
  const told = { ...choice, ...untold, evidence: evidenceOf(seasons, chance) };
  const [better, other] = gain > 0 ? [higher, lower] : [lower, higher];
  const { rateNowSeedsPerM2: now, lodgingCeilingSeedsPerM2: ceiling } = choice;
  if (now === null) {
    const step = bestStep(better, ceiling, settings);
    return { choice: withStep(told, step.rate, step.reasons), twoRates: two };
  }
  const paysFrom = isSameRate(now, other) || (better > other ? now < other : now > other);
  const step = paysFrom
    ? chooseStep(
        { rateNowSeedsPerM2: now, target: better, wholeGainPerHa: Math.abs(gain), ceiling },
        settings,
      )
    : stay(now, ceiling, settings);
  const follows = paysFrom && step.rate !== now;
  const whole = follows && isSameRate(now, other) && isSameRate(step.rate, better);
  const whyNot: Reason[] = paysFrom
    ? []
    : [{ code: isSameRate(now, better) ? "better-of-two" : "beside-two-rates", numbers: {} }];
  return {
    choice: {
      ...withStep(told, step.rate, [...whyNot, ...step.reasons]),
      chanceOfGain: follows ? chance : null,
      gainPerHa: whole ? gainOf(two, settings) : null,
    },
    twoRates: two,
  };
}

/** The choice with its rate, and those of the curve's reasons that hold without a curve. */
const withStep = (choice: RateChoice, rate: number | null, reasons: readonly Reason[]): RateChoice => ({
  ...choice,
  rateNextSeedsPerM2: rate,
  reasons: [...choice.reasons.filter(({ code }) => keptCodes.has(code)), ...reasons],
});

/** Chance alone could make the two differ that much: no change. */
function stayWhereAlike(choice: RateChoice, settings: Settings): RateChoice {
  const { rateNowSeedsPerM2: now, lodgingCeilingSeedsPerM2: ceiling } = choice;
  const step = now === null ? { rate: null, reasons: [] } : stay(now, ceiling, settings);
  return {
    ...withStep(choice, step.rate, [{ code: "two-rates-alike", numbers: {} }, ...step.reasons]),
    evidence: "none",
  };
}

const withoutOdds = (two: ComparedRates): TwoRates => ({ ...two, gainPerHa: null, chanceHigherPays: null });

const keptCodes: ReadonlySet<Reason["code"]> = new Set([
  "too-few-rates",
  "one-season",
  "region-only",
  "seasons-contradict",
]);

const stay = (now: number, ceiling: number | null, settings: Settings): { rate: number; reasons: Reason[] } =>
  chooseStep({ rateNowSeedsPerM2: now, target: null, wholeGainPerHa: 0, ceiling }, settings);

function evidenceOf(seasons: number, chance: number): NextRate["evidence"] {
  if (seasons >= 3 && chance >= tellsWell) return "strong";
  return seasons >= 2 ? "fair" : "weak";
}

/** The difference in money, with Student's interval over the site-years. */
function gainOf(
  { gainPerHa, standardErrorKgPerHa, environments }: ComparedRates,
  { grainPricePerKg, intervalLevels: [level] }: Settings,
): NextRate["gainPerHa"] {
  const half =
    standardErrorKgPerHa === null
      ? 0
      : tQuantile((1 + level) / 2, environments - 1) * standardErrorKgPerHa * grainPricePerKg;
  const expected = Math.abs(gainPerHa);
  return { expected, lower: expected - half, upper: expected + half };
}
