/** What is asked of a seed card, checked against what drills and counts can be. */
import { multiples, rateMultiples, seedCardRanges, within, type Range } from "../check/ranges.ts";
import { holdWish } from "../check/wishes.ts";
import { fillSeedCard, type SeedQuestion } from "../decide/drill/fill-seed-card.ts";
import { rateFollowing } from "../messages/ranges.ts";
import { measuresOf } from "../numbers/measures.ts";
import type { SeedCard } from "../vocabulary/seed-card.ts";
import type { Lot, Settings, UnitChoice } from "../vocabulary/settings.ts";
import { allFinite } from "./finite.ts";

/** What messages call something typed: `--wheel`, or the label of a field. */
export type QuestionNames = Record<
  | Exclude<SeedQuestion["known"]["from"], "lot" | "advice">
  | ("caught" | "plants" | "rowLength" | "hoop" | "daysLate" | "catchLength" | "wheel"),
  string
>;

/**
 * Returns the question.
 *
 * @throws TrialError `value-out-of-range` for a value that no drill or count can have
 */
function heldQuestion(
  question: SeedQuestion,
  settings: Settings,
  units: UnitChoice,
  names: QuestionNames,
): SeedQuestion {
  const measures = measuresOf({ units, settings });
  const hold = (what: string, value: number | null, range: Range, tell?: (value: number) => string): void => {
    if (value !== null) holdWish(what, value, range, tell);
  };
  const { known, counted } = question;
  const possible = multiples(rateMultiples.possible, settings.crop);
  switch (known.from) {
    case "rate":
      hold(names.rate, known.seedsPerM2, possible, measures.rate.text);
      break;
    case "stand":
      hold(names.stand, known.plantsPerM2, possible, measures.stand.text);
      break;
    case "weight":
      hold(names.weight, known.kgPerHa, seedCardRanges.seedKgPerHa, measures.seedWeight.text);
      break;
    case "row":
      hold(names.row, known.seedsPerMetre, seedCardRanges.seedsPerMetre, measures.seedsPerRow.text);
      break;
    case "catch":
      hold(names.catch, known.grams, seedCardRanges.caughtGrams, measures.grams.text);
  }
  const length = measures.groundLength.text;
  hold(names.caught, question.caughtGrams, seedCardRanges.caughtGrams, measures.grams.text);
  hold(names.daysLate, question.daysLate, seedCardRanges.daysLate);
  hold(names.catchLength, question.catchLengthM, seedCardRanges.catchLengthM, length);
  hold(names.wheel, question.wheelDiameterM, seedCardRanges.wheelDiameterM, measures.rowSpacing.text);
  if (counted === null) return question;
  hold(names.plants, counted.plants, seedCardRanges.plants);
  if ("rowLengthM" in counted) hold(names.rowLength, counted.rowLengthM, seedCardRanges.rowLengthM, length);
  else hold(names.hoop, counted.hoopDiameterM, seedCardRanges.hoopDiameterM, measures.rowSpacing.text);
  return question;
}

/**
 * The card of a lot, once what is asked, and the rates that follow from it, are of a drill.
 *
 * @throws TrialError `value-out-of-range` for a value that no drill or count can have, and for a weight, stand or row that
 *   would take a rate that no drill sows
 */
export function heldCard(
  lot: Lot,
  question: SeedQuestion,
  settings: Settings,
  units: UnitChoice,
  names: QuestionNames,
): SeedCard {
  const held = heldQuestion(question, settings, units, names);
  const card = allFinite(fillSeedCard(lot.variety === "" ? null : lot.variety, lot, held, settings));
  const { text } = measuresOf({ units, settings }).rate;
  const possible = multiples(rateMultiples.possible, settings.crop);
  const hold = (what: string, rateSeedsPerM2: number): void => {
    if (!within(rateSeedsPerM2, possible))
      throw rateFollowing(what, text(rateSeedsPerM2), text(possible[0]), text(possible[1]));
  };
  if (card.from !== "lot" && card.from !== "advice") hold(names[card.from], card.rateSeedsPerM2);
  if (card.caught !== null) hold(names.caught, card.caught.rateSeedsPerM2);
  return card;
}
