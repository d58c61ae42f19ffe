/** What there is to say about one variety, sentence by sentence, the most important first. */
import { extent } from "simple-statistics";
import type { LodgingByRate, NextRate, Result } from "../../vocabulary/result.ts";
import { isAssumed } from "../../vocabulary/settings.ts";
import { breakEvenSentence } from "./break-even.ts";
import { scoreText } from "./lodging.ts";
import { plainNumber, type Measures } from "../../numbers/measures.ts";
import { standLossText } from "../../numbers/stand-loss.ts";
import { gainRange, gainText } from "./next.ts";
import { chance } from "../../numbers/written-numbers.ts";
import { bareRate, optimumSentence, rangeName } from "./optimum.ts";
import { sensitivitySentence } from "./priors.ts";
import { recommendedSentence } from "./recommended.ts";
import { regionSentence } from "./region.ts";
import { twoRatesSentence } from "./two-rates.ts";

export function varietySentences(result: Result, next: NextRate, measures: Measures): string[] {
  const [, wide] = result.settings.intervalLevels;
  return [
    twoRatesSentence(next.twoRates, measures),
    gainSentence(result, next, measures),
    optimumSentence("Most profitable", next.economicOptimum, wide, measures, next.intervals[0]),
    optimumSentence("Highest yield", next.yieldOptimum, wide, measures),
    breakEvenSentence(next, measures),
    doubtSentence(next, measures),
    flatZoneSentence(result, next, measures),
    regionSentence(result, next, measures),
    recommendedSentence(result, next, measures),
    lodgingSentence(result, next, measures),
    standSentence(result, next.variety, measures),
    tilleringSentence(result, next.variety, measures),
    proteinSentence(result, next.variety, measures),
    sensitivitySentence(next, measures),
  ].filter((sentence) => sentence !== "");
}

function gainSentence(result: Result, next: NextRate, measures: Measures): string {
  if (next.evidence === "none") return "";
  const { chanceOfGain, gainPerHa, rateNowSeedsPerM2: now, rateNextSeedsPerM2: advised } = next;
  if (chanceOfGain === null || gainPerHa === null || now === null || advised === null) return "";
  const lot = result.settings.lots.find((one) => one.variety === next.variety);
  const onArea =
    lot === undefined || lot.areaHa === null
      ? ""
      : `, about ${measures.money.text(gainPerHa.expected * lot.areaHa, (gainPerHa.upper - gainPerHa.lower) * lot.areaHa)} on ${measures.area.text(lot.areaHa)}`;
  return `Going from ${bareRate(now, measures)} to ${measures.rate.text(advised)} should earn ${gainText(next, measures)} (${gainRange(result, next, measures)})${onArea}. Chance that it pays: ${chance(chanceOfGain)}.`;
}

/** What the best rate, were it known, would earn over next season's, on average over all believable curves: a step falls short of it, too. */
function doubtSentence({ economicOptimum, expectedLossPerHa }: NextRate, measures: Measures): string {
  if (economicOptimum.kind === "none" || expectedLossPerHa === null) return "";
  return `The best rate, if it were known exactly, would earn about ${measures.moneyPerArea.text(expectedLossPerHa, expectedLossPerHa)} more.`;
}

export function flatZoneSentence(
  result: Result,
  { flatZone, rateNowSeedsPerM2, evidence, lodgingCeilingSeedsPerM2: ceiling }: NextRate,
  measures: Measures,
): string {
  if (flatZone === null || evidence === "none") return "";
  const inside =
    rateNowSeedsPerM2 !== null && rateNowSeedsPerM2 >= flatZone.lower && rateNowSeedsPerM2 <= flatZone.upper;
  const lodges =
    ceiling !== null && flatZone.upper > ceiling
      ? ` Lodging allows no more than ${measures.rate.number(ceiling)}.`
      : "";
  return `Flat zone: any rate from ${measures.rate.range(flatZone.lower, flatZone.upper)} earns within ${measures.moneyPerArea.chosen(result.settings.flatZonePerHa)} of the best${inside ? "; today's rate is one of them" : ""}.${lodges}`;
}

function lodgingSentence(result: Result, next: NextRate, measures: Measures): string {
  const ceiling = next.lodgingCeilingSeedsPerM2;
  if (ceiling === null) return "";
  const rows = result.lodging.filter((row) => row.variety === next.variety);
  const scale = rows[0]?.scale ?? null;
  const { lodgingLimit, lodgingChance } = result.settings;
  const limit = `${scoreText(lodgingLimit, scale, measures)}${isAssumed(result.settings, "lodging_limit") ? " (assumed)" : ""}`;
  const lowest = rows.reduce<LodgingByRate | null>(
    (least, row) => (least !== null && least.rateSeedsPerM2 <= row.rateSeedsPerM2 ? least : row),
    null,
  );
  if (lowest !== null && lowest.chanceOverLimit > lodgingChance)
    return `Lodging: even at ${measures.rate.text(lowest.rateSeedsPerM2)}, the lowest rate tested, the chance of lodging above ${limit} is ${chance(lowest.chanceOverLimit)}. Less seed helps, but look at variety and nitrogen too.`;
  return `Lodging: up to ${measures.rate.text(ceiling)} the chance of lodging above ${limit} stays below ${chance(lodgingChance)}.`;
}

/** Stands are given as they would be in four of five coming seasons. */
const seasonsLevel = 0.8;

function standSentence(result: Result, variety: string, measures: Measures): string {
  const summary = result.stand.find((row) => row.variety === variety && row.environment === null);
  if (summary === undefined) return "";
  const range =
    summary.lower === null || summary.upper === null
      ? ""
      : ` (${rangeName(seasonsLevel, measures)} ${measures.share(summary.lower)} to ${measures.share(summary.upper)})`;
  return `Stand: ${standLossText(summary.standLoss, measures.share)}${range}, from ${summary.counts} counts.`;
}

/** Heads per plant at the lowest and highest rates, and what that says about a thin stand. */
function tilleringSentence(result: Result, variety: string, measures: Measures): string {
  const tillering = result.tillering.find((one) => one.variety === variety);
  const counted = tillering?.rates.filter((row) => row.headsPerPlant !== null) ?? [];
  const [thin, thick] = [counted[0], counted.at(-1)];
  if (tillering === undefined || thin === undefined || thick === undefined || thin === thick) return "";
  const heads = (row: typeof thin): string =>
    `${plainNumber(row.headsPerPlant!, 1, measures)} at ${measures.rate.text(row.rateSeedsPerM2)}`;
  const answer =
    tillering.answer === null
      ? ""
      : ` ${measures.share(0.1)} fewer plants means about ${measures.share(1 - 0.9 ** (1 + tillering.answer.estimate))} fewer heads.`;
  return `Heads per plant: ${heads(thin)}, ${heads(thick)}.${answer}`;
}

/** Change of protein from the lowest to the highest rate tested, where the variety's own strips show one. */
function proteinSentence(result: Result, variety: string, measures: Measures): string {
  const protein = result.protein.find((one) => one.variety === variety);
  const rates = testedRates(result, variety);
  if (protein === undefined || protein.ownSlope === null || rates.length < 2) return "";
  const { estimate, standardError } = protein.ownSlope;
  if (Math.abs(estimate) < 2 * standardError) return "Protein: no clear change with the seeding rate.";
  const [lowest, highest] = extent(rates);
  const change = protein.slopePctPerSeedPerM2 * (highest - lowest);
  return `Protein: ${plainNumber(Math.abs(change), 1, measures)} points ${change < 0 ? "less" : "more"} at the highest rate tested than at the lowest.`;
}

const testedRates = (result: Result, variety: string): number[] =>
  result.fits.filter((fit) => fit.variety === variety).flatMap((fit) => fit.ratesSeedsPerM2);
