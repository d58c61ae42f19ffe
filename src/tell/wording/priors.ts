/** What was believed before the strips, and how much it matters. */
import type { NextRate } from "../../result.ts";
import type { Measures } from "./measures.ts";
import { listed } from "./numbers.ts";
import { bareRate } from "./optimum.ts";

/** From where else one may start. */
export const startingPoints: Record<NextRate["sensitivity"][number]["prior"], string> = {
  flat: "all curves alike",
  alone: "without the other varieties",
  "need-lower": "need a fifth lower",
  "need-higher": "need a quarter higher",
};

/** The rate of most money from other starting beliefs. */
export function sensitivitySentence({ sensitivity }: NextRate, measures: Measures): string {
  if (sensitivity.length === 0) return "";
  const told = sensitivity.map(
    ({ prior, rateSeedsPerM2 }) => `${bareRate(rateSeedsPerM2, measures)} (${startingPoints[prior]})`,
  );
  return `From other starting beliefs, most money would be at ${listed(told)}.`;
}
