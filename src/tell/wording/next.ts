/** Sentences on next season's rate. */
import type { NextRate, Result } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";
import { listed } from "../../numbers/written-numbers.ts";

/** `best`: today's rate is not known, and the best rate stands alone; `none`: no rate can be named. */
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

/** "126 → 113 lb/ac" of this lot, "now" null where today's rate is not known; null where seeds per weight are not. */
export function weightMove(next: NextRate, measures: Measures): { now: string | null; next: string } | null {
  const { sowing, rateNowSeedsPerM2: today, rateNextSeedsPerM2: rate } = next;
  if (sowing === null || rate === null) return null;
  return {
    now: today === null ? null : measures.seedWeight.number((sowing.kgPerHa * today) / rate),
    next: measures.seedWeight.text(sowing.kgPerHa),
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

/** The whole answer in one sentence. */
export function headline(result: Result): string {
  const names = (move: Move): string[] =>
    result.next.filter((row) => moveOf(row) === move).map((row) => row.variety);
  const parts = [
    names("less").length > 0 ? `less seed for ${listed(names("less"))}` : "",
    names("more").length > 0 ? `more seed for ${listed(names("more"))}` : "",
    names("same").length > 0 ? `keep the rate of ${listed(names("same"))}` : "",
    names("best").length > 0
      ? `best rates found for ${listed(names("best"))}: say what you sow today to see what a change would bring`
      : "",
    names("none").length > 0 ? `no rate yet for ${listed(names("none"))}` : "",
  ].filter((part) => part !== "");
  if (parts.length === 0) return "These strips give no rate for next season; below is why.";
  const sentence = parts.join("; ");
  return `${sentence.charAt(0).toUpperCase()}${sentence.slice(1)}.`;
}

/** What the move is expected to bring: "$4/ac (−$1 to $9)". */
export function gainText(next: NextRate, measures: Measures): string {
  if (moveOf(next) === "same") return "no change";
  if (next.gainPerHa === null) return "not known";
  const { expected, lower, upper } = next.gainPerHa;
  return measures.moneyPerArea.text(expected, upper - lower);
}

export const gainRange = ({ gainPerHa }: NextRate, measures: Measures): string =>
  gainPerHa === null ? "not known" : measures.moneyPerArea.range(gainPerHa.lower, gainPerHa.upper);
