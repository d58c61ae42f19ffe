/** What is to be said of one variety, sentence by sentence, the weightiest first. */
import type { NextRate, Result } from "../../result.ts";
import { scoreText } from "./lodging.ts";
import type { Measures } from "./measures.ts";
import { gainRange, gainText, moveOf } from "./next.ts";
import { chance } from "./numbers.ts";
import { bareRate, optimumSentence } from "./optimum.ts";

export function varietySentences(result: Result, next: NextRate, measures: Measures): string[] {
  return [
    gainSentence(result, next, measures),
    optimumSentence("Most money", next.economicOptimum, measures),
    optimumSentence("Most grain", next.yieldOptimum, measures),
    flatZoneSentence(result, next, measures),
    lodgingSentence(result, next, measures),
    standSentence(result, next.variety, measures),
  ].filter((sentence) => sentence !== "");
}

function gainSentence(result: Result, next: NextRate, measures: Measures): string {
  if (moveOf(next) === "same") return "";
  const lot = result.settings.lots.find((one) => one.variety === next.variety);
  const onArea =
    lot === undefined || lot.areaHa === null
      ? ""
      : `, about ${measures.money.text(next.gainPerHa.expected * lot.areaHa, (next.gainPerHa.upper - next.gainPerHa.lower) * lot.areaHa)} on ${measures.area.text(lot.areaHa)}`;
  const odds = next.chanceOfGain === null ? "" : ` It pays with a chance of ${chance(next.chanceOfGain)}.`;
  return `Going from ${bareRate(next.rateNowSeedsPerM2, measures)} to ${measures.rate.text(next.rateNextSeedsPerM2)} is expected to bring ${gainText(next, measures)} (likely ${gainRange(next, measures)})${onArea}.${odds}`;
}

function flatZoneSentence(
  result: Result,
  { flatZone, rateNowSeedsPerM2 }: NextRate,
  measures: Measures,
): string {
  const inside = rateNowSeedsPerM2 >= flatZone.lower && rateNowSeedsPerM2 <= flatZone.upper;
  return `Flat zone: any rate from ${measures.rate.range(flatZone.lower, flatZone.upper)} earns within ${measures.moneyPerArea.chosen(result.settings.flatZonePerHa)} of the best${inside ? "; today's rate is one of them" : ""}.`;
}

function lodgingSentence(result: Result, next: NextRate, measures: Measures): string {
  const ceiling = next.lodgingCeilingSeedsPerM2;
  if (ceiling === null) return "";
  const scale = result.lodging.find((row) => row.variety === next.variety)?.scale ?? null;
  const { lodgingLimit, lodgingChance } = result.settings;
  return `Lodging: up to ${measures.rate.text(ceiling)} the chance of more than ${scoreText(lodgingLimit, scale, measures)} stays below ${chance(lodgingChance)}.`;
}

function standSentence(result: Result, variety: string, measures: Measures): string {
  const summary = result.stand.find((row) => row.variety === variety && row.environment === null);
  if (summary === undefined) return "";
  const range =
    summary.lower === null || summary.upper === null
      ? ""
      : ` (likely ${measures.share(summary.lower)} to ${measures.share(summary.upper)})`;
  return `Stand: by ${summary.counts} counts, ${measures.share(summary.standLoss)} of the viable seeds gave no plant${range}.`;
}
