/** Messages about how the trial is laid out. */
import type { Finding } from "../vocabulary/trial.ts";
import { counted } from "../numbers/written-numbers.ts";
import { finding } from "./finding.ts";
import { firstFew } from "./listing.ts";

/** Varieties that share a sentence: its subject, with the verb. */
const subject = (varieties: readonly string[], one: string, many: string): string =>
  `${firstFew(varieties)} ${varieties.length === 1 ? one : many}`;

/** Names of environments may hold commas. */
const among = (environments: readonly string[]): string => firstFew(environments, 3);

export const noStrips = (): Finding =>
  finding("stops", "no-strips", "No strip can be used, so there is no answer.");

export const oneRateEverywhere = (varieties: readonly string[], rate: string): Finding =>
  finding(
    "stops",
    "one-rate",
    `${subject(varieties, "was", "were")} sown at one rate only (${rate}), so ${varieties.length === 1 ? "its response" : "their responses"} to the rate cannot be known. Sow ${varieties.length === 1 ? "it" : "them"} at 4 or 5 rates next season.`,
    { column: "rate" },
  );

export const oneRateHere = (varieties: readonly string[], environments: readonly string[]): Finding =>
  finding(
    "doubt",
    "one-rate-in-environment",
    `${subject(varieties, "was", "were")} sown at one rate only in ${among(environments)}: no curve there, and ${varieties.length === 1 ? "its answer rests" : "their answers rest"} on the other fields and seasons.`,
    { column: "rate" },
  );

export const fewRates = (
  varieties: readonly string[],
  rates: number,
  forms: readonly string[],
  environments: readonly string[],
): Finding =>
  finding(
    "doubt",
    "few-rates",
    `${subject(varieties, "was", "were")} sown at ${counted(rates, "rate")} in ${among(environments)}, too few for ${firstFew(forms, 9)}. At least 4 rates, better 5, are needed to show where the curve bends.`,
    { column: "rate" },
  );

export const justEnoughRates = (varieties: readonly string[], environments: readonly string[]): Finding =>
  finding(
    "note",
    "three-rates",
    `${subject(varieties, "was", "were")} sown at 3 rates in ${among(environments)}: a curve goes through three points whatever they are, so its shape cannot be checked there. With 4 or 5 rates it can.`,
    { column: "rate" },
  );

export const unreplicated = (varieties: readonly string[], environments: readonly string[]): Finding =>
  finding(
    "doubt",
    "unreplicated",
    `${subject(varieties, "has", "have")} only one strip at each rate in ${among(environments)}. That does not show how much strips at the same rate differ by chance, so the error is estimated from their distance to the curve and from other fields. Repeat each rate in 3 or 4 blocks.`,
    { column: "block" },
  );

export const replicatesWithoutBlocks = (
  varieties: readonly string[],
  environments: readonly string[],
): Finding =>
  finding(
    "note",
    "replicates-without-blocks",
    `${subject(varieties, "has", "have")} several strips at a rate in ${among(environments)} but no blocks to separate them by. Better and poorer ground is then counted as chance. Number the replicates in a column \`block\`.`,
    { column: "block" },
  );

/** `times` is how often each rate occurs in the one block. */
export const oneBlock = (
  varieties: readonly string[],
  block: string,
  times: number,
  environments: readonly string[],
): Finding =>
  finding(
    "doubt",
    "one-block",
    `Each rate of ${firstFew(varieties)} occurs ${counted(times, "time")} in block ${block} of ${among(environments)}, and there is no other block: better and poorer ground is counted as chance. Number the replicates 1, 2, 3 … in column \`block\`.`,
    { column: "block", value: block },
  );

/** One place of `unbalanced`; `gaps` are texts such as "block 2 lacks 1.30 million seeds/ac". */
export const unbalancedPlace = (environment: string, gaps: readonly string[]): string =>
  `${environment} (${firstFew(gaps, 3)})`;

export const unbalanced = (variety: string, places: readonly string[]): Finding =>
  finding(
    "note",
    "unbalanced-blocks",
    `${variety} does not have every rate once in every block of ${firstFew(places, 3)}. Plain means of the rates would mix rates with blocks; the curves take the blocks into account.`,
    { column: "block" },
  );

export const oneSeason = (season: number): Finding =>
  finding(
    "doubt",
    "one-season",
    `All strips are of season ${season}. They cannot show how much the best rate changes from season to season; a usual spread is assumed. Test again before changing much.`,
    { column: "season" },
  );

export const oneEnvironment = (grown: readonly { variety: string; environment: string }[]): Finding =>
  finding(
    "doubt",
    "variety-in-one-environment",
    `Grown in one field and season only: ${firstFew(grown.map(({ variety, environment }) => `${variety} (${environment})`))}. The advice for a variety seen once depends largely on the other varieties' strips.`,
    { column: "variety" },
  );

export const ratesApart = (
  variety: string,
  lower: string,
  higher: string,
  ranges: [string, string],
): Finding =>
  finding(
    "doubt",
    "rates-do-not-overlap",
    `${variety}: the rates of ${lower} (${ranges[0]}) are all below those of ${higher} (${ranges[1]}), so a difference between the two can come from the rate or from the season. Sow at least two rates in common.`,
    { column: "rate" },
  );

export const sameOrder = (variety: string, environments: readonly string[]): Finding =>
  finding(
    "doubt",
    "rates-in-same-order",
    `${variety} has its rates in the same order in every block of ${among(environments)}. Ground that gets better across a block looks like a response to the rate. Use a new random order in each block.`,
    { column: "position" },
  );

export const ratesAlongField = (variety: string, places: readonly string[]): Finding =>
  finding(
    "doubt",
    "rate-follows-position",
    `${variety}: the rate goes up or down with the position across the field in ${firstFew(places, 3)}. Ground that gets better in that direction looks like a response to the rate. Put the rates in random order.`,
    { column: "position" },
  );

export const varietiesInSameOrder = (environments: readonly string[]): Finding =>
  finding(
    "doubt",
    "varieties-in-same-order",
    `The varieties are in the same order in every block of ${among(environments)}. What looks like a difference between varieties may be the ground. Responses to the rate are not affected.`,
    { column: "position" },
  );

export const varietiesOnTheirOwnGround = (environments: readonly string[]): Finding =>
  finding(
    "doubt",
    "varieties-on-own-ground",
    `Each variety has one piece of ground of its own in ${among(environments)}, not repeated. What looks like a difference between varieties may be the ground. Responses to the rate are not affected.`,
    { column: "position" },
  );

/** `scales` are texts such as "percent (2024 North)". */
export const differentLodgingScales = (scales: readonly string[]): Finding =>
  finding(
    "doubt",
    "different-lodging-scales",
    `Lodging was scored on different scales: ${firstFew(scales)}. Scores on different scales compare only roughly; use one scale from now on.`,
    { column: "lodging" },
  );

export const notRecorded = (column: string, consequence: string): Finding =>
  finding("note", `no-${column}`, `No column \`${column}\`: ${consequence}`, { column });
