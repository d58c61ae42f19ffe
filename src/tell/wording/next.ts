/** Sentences on next season's rate. */
import type { NextRate, Result } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";
import { listed } from "../../numbers/written-numbers.ts";

export type Move = "more" | "less" | "same";

export const moveOf = (next: NextRate): Move =>
  next.rateNextSeedsPerM2 > next.rateNowSeedsPerM2
    ? "more"
    : next.rateNextSeedsPerM2 < next.rateNowSeedsPerM2
      ? "less"
      : "same";

export const moveWords: Record<Move, { word: string; arrow: string }> = {
  more: { word: "more seed", arrow: "▲" },
  less: { word: "less seed", arrow: "▼" },
  same: { word: "stay", arrow: "■" },
};

/** "126 → 113 lb/ac" of this lot; null where the lot's seeds per weight are not known. */
export function weightMove(next: NextRate, measures: Measures): { now: string; next: string } | null {
  if (next.sowing === null) return null;
  const now = (next.sowing.kgPerHa * next.rateNowSeedsPerM2) / next.rateNextSeedsPerM2;
  return { now: measures.seedWeight.number(now), next: measures.seedWeight.text(next.sowing.kgPerHa) };
}

/** The season that the advice is for: the one after the last harvested. */
export const nextSeason = (result: Result): number | null =>
  result.environments.length === 0
    ? null
    : Math.max(...result.environments.map((environment) => environment.season)) + 1;

/** The whole answer in one sentence. */
export function headline(result: Result): string {
  const names = (move: Move): string[] =>
    result.next.filter((row) => moveOf(row) === move).map((row) => row.variety);
  const parts = [
    names("less").length > 0 ? `less seed for ${listed(names("less"))}` : "",
    names("more").length > 0 ? `more seed for ${listed(names("more"))}` : "",
    names("same").length > 0 ? `keep the rate of ${listed(names("same"))}` : "",
  ].filter((part) => part !== "");
  if (parts.length === 0) return "These strips give no rate for next season; below is why.";
  const sentence = parts.join("; ");
  return `${sentence.charAt(0).toUpperCase()}${sentence.slice(1)}.`;
}

/** What the move is expected to bring: "$4/ac (−$1 to $9)". */
export function gainText(next: NextRate, measures: Measures): string {
  if (moveOf(next) === "same") return "no change";
  // From one untested rate to another.
  if (next.chanceOfGain === null) return "not known";
  const { expected, lower, upper } = next.gainPerHa;
  return measures.moneyPerArea.text(expected, upper - lower);
}

export const gainRange = (next: NextRate, measures: Measures): string =>
  measures.moneyPerArea.range(next.gainPerHa.lower, next.gainPerHa.upper);
