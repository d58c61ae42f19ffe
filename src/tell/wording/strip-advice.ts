/** Sentences on which variety needs strips next. */
import type { StripAdvice } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";
import { capitalized, counted, listed } from "../../numbers/written-numbers.ts";

/**
 * A forecast sum, to two digits: more would be false precision.
 *
 * @example forecast(1267, measures) // "$1,300"
 */
export function forecast(sum: number, { money }: Measures): string {
  const tenth = 10 ** Math.floor(Math.log10(Math.abs(sum)));
  return money.text(sum, sum === 0 ? undefined : tenth);
}

/** What strips are worth and what they cost; in full where two digits would make the sums look equal. */
export function worthAndCost(
  worth: number,
  cost: number,
  measures: Measures,
): { worth: string; cost: string } {
  const told = { worth: forecast(worth, measures), cost: forecast(cost, measures) };
  return told.worth === told.cost
    ? { worth: measures.money.text(worth), cost: measures.money.text(cost) }
    : told;
}

/** The advice in one sentence: "Telluwick needs strips most; Brimsolt and Quavenby need none." */
export function adviceHeadline(advice: readonly StripAdvice[]): string {
  const names = (need: StripAdvice["need"]): string[] =>
    advice.filter((one) => one.need === need).map((one) => one.variety);
  const verb = (count: number, one: string, many: string): string => (count === 1 ? one : many);
  const [most, some, settled] = [names("most"), names("some"), names("settled")];
  const dear = names("dear");
  const parts = [
    most.length > 0 ? `${listed(most)} needs strips most` : "",
    some.length > 0 ? `${listed(some)} ${verb(some.length, "is", "are")} worth strips too` : "",
    dear.length > 0 ? `strips of ${listed(dear)} cost more than they are worth` : "",
    settled.length > 0 ? `${listed(settled)} ${verb(settled.length, "needs", "need")} none` : "",
  ];
  const sentence = parts.filter((part) => part !== "").join("; ");
  return sentence === "" ? "" : `${capitalized(sentence)}.`;
}

/**
 * Whether a trial is expected to narrow the range of the best rate, as it is told. The range after it counts rates beyond those
 * tested so far, so one that is open now is not compared with it.
 */
export const narrows = (after: number, now: number | null, { rate }: Measures): now is number =>
  now !== null && after < 0.97 * now && rate.number(after) !== rate.number(now);

/** Why, for one variety. */
export function adviceSentence(one: StripAdvice, measures: Measures): string {
  const past = `${counted(one.pastStrips, "strip")} in ${counted(one.pastEnvironments, "site-year")}`;
  const now = one.intervalWidthNowSeedsPerM2;
  const narrower = narrows(one.intervalWidthAfterSeedsPerM2, now, measures);
  const wide = narrower ? `the 80% range of the best rate is ${measures.rate.text(now)} wide` : "";
  const after = measures.rate.number(one.intervalWidthAfterSeedsPerM2);
  const worth = measures.worthPerArea.text(one.valueOfTrialPerHa);
  const trial = `${counted(one.blocks, "block")} of ${counted(one.ratesPerVariety, "rate")}`;
  // Strips are called dear only where the area is known.
  if (one.need === "dear" && one.areaHa !== null) {
    const value = one.valueOfTrialPerHa * one.areaHa * one.seasonsUsed;
    const sums = worthAndCost(value, one.costOfTrial, measures);
    return `After ${past} ${narrower ? `${wide}. Strips` : "strips"} (${trial}) do not pay: over ${counted(one.seasonsUsed, "season")} the answer is worth about ${sums.worth}, and they cost about ${sums.cost}.`;
  }
  if (one.need === "settled")
    return `After ${past} another trial (${trial}) would be worth only ${worth} a season.`;
  return narrower
    ? `After ${past} ${wide}. Another trial (${trial}) should narrow it to ${after} and be worth ${worth} a season.`
    : `After ${past} another trial (${trial}) should be worth ${worth} a season.`;
}
