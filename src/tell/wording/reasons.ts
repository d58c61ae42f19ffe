/** A sentence for every reason of the decision. */
import type { Reason, ReasonCode, ReasonNumbers } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";
import { counted, countWord } from "../../numbers/written-numbers.ts";

/** "one season", "two of three seasons". */
const seasonsOf = (lodged: number, scored: number): string =>
  scored === 1 ? "one season" : `${countWord(lodged)} of ${counted(scored, "season")}`;

const reasonSentences: {
  [Code in ReasonCode]: (numbers: ReasonNumbers[Code], measures: Measures) => string;
} = {
  "step-limited": ({ share }, measures) =>
    `Change by at most ${measures.chosenShare(share)} a season, then re-check.`,
  "inside-flat-zone": ({ flatZonePerHa, ceilingSeedsPerM2: ceiling }, { rate, moneyPerArea }) =>
    `${ceiling === undefined ? "A" : `Up to ${rate.number(ceiling)} a`} change would add no more than ${moneyPerArea.chosen(flatZonePerHa)}.`,
  "lodging-ceiling": ({ rateSeedsPerM2, lodged, scored }, { rate }) =>
    lodged !== undefined && scored !== undefined && lodged > 0
      ? `Lodging in ${seasonsOf(lodged, scored)}: no more than ${rate.number(rateSeedsPerM2)}.`
      : `Lodging allows no more than ${rate.number(rateSeedsPerM2)}.`,
  "lowest-rate": ({ rateSeedsPerM2, ceilingSeedsPerM2 }, { rate }) =>
    `No less than ${rate.number(rateSeedsPerM2)}, the lowest rate you accept${ceilingSeedsPerM2 === undefined ? "." : `, though lodging allows no more than ${rate.number(ceilingSeedsPerM2)}: weigh weeds against lodging.`}`,
  "at-highest-tested": ({ testSeedsPerM2 }, { rate }) =>
    `More seed still paid at the highest rate tested: put ${rate.number(testSeedsPerM2)} in a strip.`,
  "at-lowest-tested": ({ testSeedsPerM2 }, { rate }) =>
    `Less seed still paid at the lowest rate tested: put ${rate.number(testSeedsPerM2)} in a strip.`,
  "no-response": ({ testLowerSeedsPerM2, testHigherSeedsPerM2 }, { rate }) =>
    `The strips show no clear response to the rate: keep today's rate, and test a wider range, from ${rate.number(testLowerSeedsPerM2)} to ${rate.number(testHigherSeedsPerM2)}.`,
  "no-response-step": ({ testLowerSeedsPerM2, testHigherSeedsPerM2 }, { rate }) =>
    `The strips show no clear response to the rate; on average a step still pays. Test a wider range, from ${rate.number(testLowerSeedsPerM2)} to ${rate.number(testHigherSeedsPerM2)}.`,
  "better-of-two": () => "Today's rate is the better of the two.",
  "beside-two-rates": () =>
    "The two rates tested do not show what today's rate earns: put it in a strip, too.",
  "two-rates-alike": () => "The strips do not show yet which of the two earns more.",
  "too-few-rates": () => "Fewer than three rates were tested, too few for a curve. Test at least four.",
  "today-outside-tested": ({ rateSeedsPerM2 }, { rate }) =>
    `Today's rate of ${rate.number(rateSeedsPerM2)} was not tested; put it in a strip.`,
  "readings-disagree": ({ rateSeedsPerM2, otherSeedsPerM2, otherIs }, { rate }) =>
    `Two ways of reading your strips disagree: the curves say ${rate.number(rateSeedsPerM2)}, ${otherIs === "tested-means" ? `but of the rates tested ${rate.number(otherSeedsPerM2)} earned most on average` : `but one curve through all seasons says ${rate.number(otherSeedsPerM2)}`}. Put both in strips.`,
  "seasons-contradict": (
    { lowerSeason, lowerSeedsPerM2: low, lowerOrLess, higherSeason, higherSeedsPerM2: high, higherOrMore },
    { rate },
  ) => {
    const lower = lowerOrLess === true ? `at ${rate.number(low)} or less` : `near ${rate.number(low)}`;
    const higher = higherOrMore === true ? `at ${rate.number(high)} or more` : `near ${rate.number(high)}`;
    return `Seasons contradict each other: best ${lower} in ${lowerSeason}, ${higher} in ${higherSeason}.`;
  },
  "rate-follows-ground": () =>
    "In every field and season the rates are in order across the field. Ground that gets better that way would look the same, so no chance is given. Next time use a random order.",
  "region-only": ({ farms }) =>
    `No strips of it yet: the rate is based on ${counted(farms, "farm")} in your region, and on your other varieties where they have strips.`,
  "one-season": () => "One season only: another year may give a different answer.",
};

/** The sentence of a reason. */
export const reasonSentence = ({ code, numbers }: Reason, measures: Measures): string =>
  (reasonSentences[code] as (numbers: Reason["numbers"], measures: Measures) => string)(numbers, measures);
