/** Messages about a trial that cannot be planned as asked: what is in the way, and what would do. */
import type { UnitChoice } from "../vocabulary/settings.ts";
import { TrialError } from "../vocabulary/trial.ts";
import { metresPerFoot } from "../numbers/units.ts";
import { listed } from "../numbers/written-numbers.ts";

const length = (metres: number, units: UnitChoice): string =>
  units.system === "us" ? `${Math.round(metres / metresPerFoot)} ft` : `${Math.round(metres * 10) / 10} m`;

const counted = (count: number, one: string, many: string): string => `${count} ${count === 1 ? one : many}`;

export const varietyMisspelt = (wish: string, given: string, meant: string): TrialError =>
  new TrialError(
    "plan-variety-unknown",
    `${wish} names "${given}", which has neither strips nor a lot. Is "${meant}" meant? If it is another variety, give it a row in the lots.`,
  );

export const varietyUnnamed = (wish: string): TrialError =>
  new TrialError(
    "plan-variety-unknown",
    `${wish} holds an empty name. Name each variety, or leave ${wish} out.`,
  );

export const rateTwice = (wish: string, rate: string): TrialError =>
  new TrialError(
    "plan-rate-twice",
    `${wish} names ${rate} twice, or two rates within 1% of each other, which count as one. Name each rate once.`,
  );

/** Two wishes of which only one can be had. */
const apart = (message: string): TrialError => new TrialError("plan-wishes-apart", message);

export const ratesNotAsMany = (count: string, asked: number, named: string, given: number): TrialError =>
  apart(
    `${count} asks for ${counted(asked, "rate", "rates")}, and ${named} names ${given}. Give one of the two.`,
  );

export const rateBeyondEnd = (named: string, rate: string, end: string, limit: string): TrialError =>
  apart(`${named} names ${rate}, which ${end}, ${limit}, rules out. Change one of the two.`);

export const endsCrossed = (lowest: string, low: string, highest: string, high: string): TrialError =>
  apart(`${lowest}, ${low}, is not below ${highest}, ${high}: no rates are left. Correct one of the two.`);

export const seasonOver = (wish: string, asked: number, last: number): TrialError =>
  apart(`${wish} is ${asked}, and the strips go on until ${last}. Give the season to come.`);

/** The lesson is to be about a variety that has no strips. */
export const noSuchLesson = (given: string, varieties: readonly string[]): TrialError =>
  new TrialError(
    "lesson-variety-unknown",
    `There are no strips of "${given}". The lesson can be about ${listed([...varieties])}.`,
  );

/** What one row of blocks has room for. */
export interface Room {
  stripsInBlock: number;
  /** Strips side by side across the field, borders taken off. */
  stripsAcross: number;
  stripWidthM: number;
  fieldWidthM: number;
  borderStrips: number;
  /** Sizes of a block that fit: varieties × rates. */
  sizesThatFit: { varieties: number; rates: number }[];
}

export function blockTooWide(room: Room, units: UnitChoice): TrialError {
  const needed = (room.stripsInBlock + 2 * room.borderStrips) * room.stripWidthM;
  const borders =
    room.borderStrips > 0
      ? ` and ${counted(room.borderStrips, "border strip", "border strips")} on each side`
      : "";
  const sizes = room.sizesThatFit
    .map(({ varieties, rates }) => `${counted(varieties, "variety", "varieties")} × ${rates} rates`)
    .join(" or ");
  return new TrialError(
    "plan-block-too-wide",
    `A block of ${room.stripsInBlock} strips of ${length(room.stripWidthM, units)}${borders} needs ` +
      `${length(needed, units)} across; the field is ${length(room.fieldWidthM, units)} wide. ` +
      (sizes === ""
        ? "No block with 3 rates of one variety fits: use a wider field, a narrower strip or fewer borders."
        : `${sizes} would fit.`),
  );
}

export function blocksDoNotFit(
  facts: {
    blocks: number;
    blocksAcross: number;
    tiers: number;
    stripLengthM: number;
    shortestStripM: number;
    blocksThatFit: number;
  },
  units: UnitChoice,
): TrialError {
  const found =
    facts.stripLengthM > 0
      ? `would be ${length(facts.stripLengthM, units)} long; the shortest allowed is ${length(facts.shortestStripM, units)}`
      : "would have no length left";
  return new TrialError(
    "plan-blocks-do-not-fit",
    `${facts.blocks} blocks, ${facts.blocksAcross} side by side, need ${facts.tiers} rows along the field, and a strip ${found}. ` +
      (facts.blocksThatFit === 0
        ? "The field is shorter than one strip may be: allow a shorter strip."
        : `${facts.blocksThatFit} blocks would fit.`),
  );
}

export const stripTooNarrow = (name: string, metres: number, units: UnitChoice): TrialError =>
  new TrialError("plan-length", `${name} is ${length(metres, units)}; it must be more than 0.`);

export const unequalRates = (counts: readonly number[]): TrialError =>
  new TrialError(
    "plan-unequal-rates",
    `Rates in strips need the same number of rates for every variety; there are ${counts.join(", ")}.`,
  );

export const nothingFits = (stripsAcross: number, tiers: number, mostStrips: number | null): TrialError =>
  new TrialError(
    "plan-nothing-fits",
    `No trial of 2 blocks with 3 rates fits: the field has room for ${counted(Math.max(0, stripsAcross), "strip", "strips")} ` +
      `side by side in ${counted(tiers, "row", "rows")}` +
      (mostStrips === null ? "." : `, and ${counted(mostStrips, "strip", "strips")} may be planted.`) +
      " Use more ground, narrower strips, fewer varieties or more strips.",
  );

export const nothingToPlant = (): TrialError =>
  new TrialError(
    "plan-no-variety",
    "No variety to plan for: give files of past strips, seed lots (--lots), or names (--varieties).",
  );

export const expectedYieldUnknown = (): TrialError =>
  new TrialError(
    "plan-expected-yield",
    "No past strips show what this field yields: say what to expect (--expected-yield).",
  );

export const tooFewSettable = (variety: string, rates: number): TrialError =>
  new TrialError(
    "plan-too-few-rates",
    `The drill's steps and the rates that may be tried leave ${counted(rates, "rate", "rates")} for ${variety}, and three that ` +
      "differ enough are needed. Give a finer rate_step in the season file, or a wider --lowest-rate to --highest-rate.",
  );

export const countOutOfRange = (name: string, given: number, least: number, most: number): TrialError =>
  new TrialError(
    "plan-count",
    `${name}: ${given} was asked for, but only ${least} to ${most} can be planned.`,
  );
