/** Sentences on which variety needs strips next. */
import type { StripAdvice } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";
import { capitalized, counted, listed } from "../../numbers/written-numbers.ts";

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

/** Why, for one variety. */
export function adviceSentence(one: StripAdvice, measures: Measures): string {
  const past = `${counted(one.pastStrips, "strip")} in ${counted(one.pastEnvironments, "site-year")}`;
  const now = measures.rate.text(one.intervalWidthNowSeedsPerM2);
  const after = measures.rate.number(one.intervalWidthAfterSeedsPerM2);
  const worth = measures.worthPerArea.text(one.valueOfTrialPerHa);
  const trial = `${counted(one.blocks, "block")} of ${counted(one.ratesPerVariety, "rate")}`;
  if (one.need === "dear") {
    const value = one.valueOfTrialPerHa * (one.areaHa ?? 0) * one.seasonsUsed;
    return `After ${past} the 80% range of the best rate is ${now} wide. Strips (${trial}) do not pay: over ${counted(one.seasonsUsed, "season")} the answer is worth about ${measures.money.text(value)}, and they cost about ${measures.money.text(one.costOfTrial)}.`;
  }
  return one.need === "settled"
    ? `After ${past} another trial (${trial}) would be worth ${worth} a season: strips teach more on another variety.`
    : `After ${past} the 80% range of the best rate is ${now} wide. Another trial (${trial}) should narrow it to ${after} and be worth ${worth} a season.`;
}
