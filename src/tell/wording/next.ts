/** Sentences on next season's rate. */
import type { NextRate, Reason, Result } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";
import { rangeName } from "./optimum.ts";
import { chance, counted, countWord, listed } from "../../numbers/written-numbers.ts";

/** `best`: today's rate is not known, so only the best rate is given; `none`: no rate can be named. */
export type Move = "more" | "less" | "same" | "best" | "none";

export function moveOf({ rateNowSeedsPerM2: now, rateNextSeedsPerM2: next }: NextRate): Move {
  if (next === null) return "none";
  if (now === null) return "best";
  return next > now ? "more" : next < now ? "less" : "same";
}

export const moveWords: Record<Move, { word: string; arrow: string }> = {
  more: { word: "more seed", arrow: "▲" },
  less: { word: "less seed", arrow: "▼" },
  same: { word: "stay", arrow: "■" },
  best: { word: "best rate", arrow: "•" },
  none: { word: "no rate", arrow: "–" },
};

/** Weight of the lot's seed at any rate [kg/ha]; null where its seeds per weight are not known. */
export const weightAt = ({ sowing }: Pick<NextRate, "sowing">, rateSeedsPerM2: number): number | null =>
  sowing && (sowing.kgPerHa * rateSeedsPerM2) / sowing.rateSeedsPerM2;

/** Days that seeding is planned past the best date; 0 on time, or while a date is not known. */
export const daysPlannedLate = ({ late }: Pick<NextRate, "late">): number =>
  Math.max(0, late.plannedDaysLate ?? 0);

/** Whether the planned date asks for more seed than next season's rate. */
export const sowsMoreForLate = ({ rateNextSeedsPerM2, rateToSowSeedsPerM2 }: NextRate): boolean =>
  rateNextSeedsPerM2 !== null && rateToSowSeedsPerM2 !== null && rateToSowSeedsPerM2 > rateNextSeedsPerM2;

/** The same of the rates of single fields, where they have their own. */
export const fieldsSowMoreForLate = ({ byField }: Pick<NextRate, "byField">): boolean =>
  (byField?.fields ?? []).some((one) => one.rateToSowSeedsPerM2 > one.rateNextSeedsPerM2);

/** "4 days late"; "" on time. */
export function lateWords(next: NextRate): string {
  const days = daysPlannedLate(next);
  return days === 0 ? "" : `${counted(days, "day")} late`;
}

/**
 * Pounds of this lot: "126 → 113 lb/ac", or those of the planned date with those on time beside: "118 lb/ac", "113". "now"
 * is null where today's rate is not known; all is null where seeds per weight are not.
 */
export function weightMove(
  next: NextRate,
  measures: Measures,
): { now: string | null; next: string; onTime: string | null } | null {
  const { sowing, rateNowSeedsPerM2: today, rateNextSeedsPerM2: onTime } = next;
  if (sowing === null || onTime === null) return null;
  const { number, text } = measures.seedWeight;
  return {
    now: today === null ? null : number(weightAt(next, today)!),
    next: text(sowing.kgPerHa),
    onTime: sowsMoreForLate(next) ? number(weightAt(next, onTime)!) : null,
  };
}

/** A rate that may not be known. */
export const rateOr = (
  rate: number | null,
  text: (rate: number) => string,
  otherwise = "not given",
): string => (rate === null ? otherwise : text(rate));

/** The season that the advice is for: the one after the last harvested. */
export const nextSeason = (result: Result): number | null =>
  result.environments.length === 0
    ? null
    : Math.max(...result.environments.map((environment) => environment.season)) + 1;

/** Area of the variety's lot [ha]; null where it was not given. */
const areaOf = ({ settings }: Result, variety: string): number | null =>
  settings.lots.find((lot) => lot.variety === variety)?.areaHa ?? null;

/** Expected gain of the move on the whole area, or on one hectare where no area is known. */
const gainAtStake = (result: Result, next: NextRate): number =>
  moveOf(next) === "same" || next.chanceOfGain === null || next.gainPerHa === null
    ? 0
    : next.gainPerHa.expected * (areaOf(result, next.variety) ?? 1);

/** The varieties in the order of the answer: those with the most money at stake first, then by name. */
export const inOrderOfGain = (result: Result): NextRate[] =>
  result.next
    .map((next) => ({ next, gain: gainAtStake(result, next) }))
    .sort((one, other) => other.gain - one.gain || (one.next.variety < other.next.variety ? -1 : 1))
    .map(({ next }) => next);

/** The varieties with strips in the same order, each with its place in the result, which names its part of a page. */
export function varietiesInOrder(result: Result): [place: number, variety: string][] {
  const rank = new Map(inOrderOfGain(result).map(({ variety }, place) => [variety, place]));
  const rankOf = (variety: string): number => rank.get(variety) ?? rank.size;
  return [...result.varieties.entries()].sort(([, one], [, other]) => rankOf(one) - rankOf(other));
}

/**
 * ": about $3,400 on 420 acres": the gain on the lot's area, or per area where that is not known; "" where it is not known. A
 * change that costs money is one that lodging or the lowest rate asks for: ", because of lodging, at a cost of about $450 on 160 acres".
 */
function gainOnArea(result: Result, next: NextRate, measures: Measures): string {
  if (moveOf(next) === "same" || next.chanceOfGain === null || next.gainPerHa === null) return "";
  const { expected, lower, upper } = next.gainPerHa;
  const area = areaOf(result, next.variety);
  const gain = Math.abs(expected);
  const about =
    area === null
      ? `about ${measures.moneyPerArea.text(gain, upper - lower)}`
      : `about ${measures.money.text(gain * area, (upper - lower) * area)} on ${measures.area.text(area)}`;
  if (expected >= 0) return `: ${about}`;
  const asked = (code: Reason["code"]): boolean => next.reasons.some((reason) => reason.code === code);
  const why = asked("lowest-rate")
    ? ", no less than you accept"
    : asked("lodging-ceiling")
      ? ", because of lodging"
      : "";
  return `${why}, at a cost of ${about}`;
}

/** With more varieties than this, the first sentence names only those that matter most. */
const mostNamed = 5;
const namedOfMany = 3;

/** The whole answer in one sentence, with the money. */
export function headline(result: Result, measures: Measures): string {
  if (result.next.length === 0) return "These strips give no rate for next season; the reason is below.";
  const rows = inOrderOfGain(result);
  const rowsOf = (...moves: Move[]): NextRate[] => rows.filter((next) => moves.includes(moveOf(next)));
  const names = (move: Move): string => {
    const all = rowsOf(move).map(({ variety }) => variety);
    return all.length > mostNamed ? counted(all.length, "variety") : listed(all);
  };
  const moving = rowsOf("more", "less");
  const staying = rowsOf("same");
  const many = rows.length > mostNamed;
  const told = many ? moving.slice(0, namedOfMany) : moving;
  const parts = told.map((next) => {
    return `sow ${moveOf(next)} ${next.variety}${gainOnArea(result, next, measures)}`;
  });
  if (moving.length > told.length) parts.push(`${countWord(moving.length - told.length)} more would change`);
  if (staying.length > 0)
    parts.push(
      many
        ? `${counted(staying.length, "variety")} ${staying.length === 1 ? "stays" : "stay"}`
        : `keep the rate of ${listed(staying.map(({ variety }) => variety))}`,
    );
  const best = rowsOf("best").length;
  if (best > 0)
    parts.push(
      `best ${best === 1 ? "rate" : "rates"} found for ${names("best")}: say what you sow today to see what a change would earn`,
    );
  if (rowsOf("none").length > 0) parts.push(`no rate yet for ${names("none")}`);
  const sentence = parts.join("; ");
  return `${sentence.charAt(0).toUpperCase()}${sentence.slice(1)}.`;
}

/** What the change is expected to earn: "$4/ac (−$1 to $9)". */
export function gainText(next: NextRate, measures: Measures): string {
  if (moveOf(next) === "same") return "no change";
  if (next.gainPerHa === null) return "not known";
  const { expected, lower, upper } = next.gainPerHa;
  return measures.moneyPerArea.text(expected, upper - lower);
}

/** "19-in-20 chance it pays", "nearly certain to pay". */
export function chanceItPays(probability: number): string {
  const words = chance(probability);
  if (/^\d/.test(words)) return `${words.replaceAll(" ", "-")} chance it pays`;
  return words === "next to none" ? "next to no chance it pays" : `${words} to pay`;
}

/** "80% range $5 to $11/ac". */
export const gainRange = (
  { settings }: Pick<Result, "settings">,
  { gainPerHa }: NextRate,
  measures: Measures,
): string =>
  gainPerHa === null
    ? "not known"
    : `${rangeName(settings.intervalLevels[0], measures)} ${measures.moneyPerArea.range(gainPerHa.lower, gainPerHa.upper)}`;
