/** What strips at two rates show. */
import { chance, countWord, siteYears } from "../../numbers/written-numbers.ts";
import type { Measures } from "../../numbers/measures.ts";
import type { TwoRates } from "../../vocabulary/result.ts";
import { bareRate } from "./optimum.ts";

/**
 * One or two sentences; "" where more or fewer than two rates were tested.
 *
 * @example Two rates only: 1.50 beat 1.10 in four of four site-years, by 3.6 bu/ac (standard error 0.6) on average: $14/ac after
 *   seed, chance that it pays 99 in 100. Nothing is known between or beyond them.
 */
export function twoRatesSentence(two: TwoRates | null, measures: Measures): string {
  if (two === null) return "";
  const { environments, differenceKgPerHa: difference, standardErrorKgPerHa: error, gainPerHa: gain } = two;
  const higherWon = difference >= 0;
  const rate = (higher: boolean): string =>
    bareRate(higher ? two.higherSeedsPerM2 : two.lowerSeedsPerM2, measures);
  const more = two.environmentsHigherYieldedMore;
  const won = higherWon ? more : environments - more;
  const yields = `Two rates only: ${rate(higherWon)} outyielded ${rate(!higherWon)} in ${environments === 1 ? "the only site-year" : `${countWord(won)} of ${siteYears(environments)}`}, by ${measures.grainYield.text(Math.abs(difference))}${error === null ? "" : ` (standard error ${measures.grainYield.number(error)})`} on average.`;
  const end = "Nothing is known between or beyond them.";
  if (gain === null) return `${yields} ${end}`;
  const dearer = gain >= 0;
  const odds =
    two.chanceHigherPays === null
      ? ""
      : ` Chance that it does: ${chance(dearer ? two.chanceHigherPays : 1 - two.chanceHigherPays)}.`;
  return `${yields} After seed, ${rate(dearer)} earned ${measures.moneyPerArea.text(Math.abs(gain))} more.${odds} ${end}`;
}
