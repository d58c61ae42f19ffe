/** A sentence for every reason code of the decision. */
import type { Reason } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";
import { counted, countWord } from "../../numbers/written-numbers.ts";

type Numbers = Record<string, number>;
type Sentence = (numbers: Numbers, measures: Measures) => string;

const rate = (numbers: Numbers, name: string, measures: Measures): string =>
  measures.rate.number(numbers[name] ?? 0);

/** "one season", "two of three seasons". */
const seasonsOf = (lodged: number, scored: number): string =>
  scored === 1 ? "one season" : `${countWord(lodged)} of ${counted(scored, "season")}`;

/** Codes as `decide` gives them; a test reads them there and looks for each one here. */
export const reasonSentences: Record<string, Sentence> = {
  "step-limited": (numbers, measures) =>
    `One step of ${measures.share(numbers.share ?? 0)}, then look again.`,
  "inside-flat-zone": (numbers, measures) =>
    `Moving would bring no more than ${measures.moneyPerArea.chosen(numbers.flatZonePerHa ?? 0)}.`,
  "lodging-ceiling": (numbers, measures) =>
    (numbers.lodged ?? 0) > 0
      ? `Lodging in ${seasonsOf(numbers.lodged!, numbers.scored ?? 0)}: no more than ${rate(numbers, "rateSeedsPerM2", measures)}.`
      : `Lodging allows no more than ${rate(numbers, "rateSeedsPerM2", measures)}.`,
  "at-highest-tested": (numbers, measures) =>
    `More seed still paid at the highest rate tested: put ${rate(numbers, "testSeedsPerM2", measures)} in a strip.`,
  "at-lowest-tested": (numbers, measures) =>
    `Less seed still paid at the lowest rate tested: put ${rate(numbers, "testSeedsPerM2", measures)} in a strip.`,
  "no-response": (numbers, measures) =>
    `The strips show no clear answer to the rate: keep today's rate, or test wider, from ${rate(numbers, "testLowerSeedsPerM2", measures)} to ${rate(numbers, "testHigherSeedsPerM2", measures)}.`,
  "too-few-rates": () => "Fewer than three rates were tested: that is no curve. Test at least four.",
  level: () => "The tested rates earn the same.",
  "today-outside-tested": (numbers, measures) =>
    `Today's rate of ${rate(numbers, "rateSeedsPerM2", measures)} was not tested; put it in a strip.`,
  "region-only": (numbers) =>
    `No strips of your own yet: the rate rests on ${counted(numbers.farms ?? 0, "farm")} of your region.`,
  "one-season": () => "One season only: another year may say something else.",
};

/** The sentence of a reason; "" for a code that has none. */
export const reasonSentence = (reason: Reason, measures: Measures): string =>
  reasonSentences[reason.code]?.(reason.numbers, measures) ?? "";
