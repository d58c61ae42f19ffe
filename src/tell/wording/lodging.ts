/** Lodging on the scale that the person scored with. */
import { lodgingScales, scoreOfShare } from "../../numbers/lodging-scales.ts";
import type { LodgingScale } from "../../vocabulary/trial.ts";
import type { Measures } from "../../numbers/measures.ts";
import { fixed } from "../../numbers/written-numbers.ts";

/** A share on the scale that the person scored with: "2.7 of 0–9", or as per cent of the worst. */
export function scoreText(share: number, scale: LodgingScale | null, measures: Measures): string {
  if (scale === null || scale === "percent") return measures.share(share);
  const { lowest, highest } = lodgingScales[scale];
  return `${fixed(scoreOfShare(share, scale), 1, measures.style)} of ${lowest}–${highest}`;
}
