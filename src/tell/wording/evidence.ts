/** Words for how sure the advice is. */
import type { NextRate } from "../../result.ts";

type Evidence = NextRate["evidence"];

/** Word and its meaning; dots show the same without words or colour. */
export const evidenceWords: Record<Evidence, { word: string; dots: number; meaning: string }> = {
  strong: { word: "strong", dots: 3, meaning: "many strips of several seasons point the same way" },
  fair: {
    word: "fair",
    dots: 2,
    meaning: "the strips point one way, and more seasons may still shift the rate",
  },
  weak: { word: "weak", dots: 1, meaning: "the strips leave the best rate wide open" },
  none: { word: "none yet", dots: 0, meaning: "these strips cannot tell one rate from another" },
};

/** "●●○", filled as far as the evidence goes. */
export const evidenceDots = (evidence: Evidence): string =>
  "●".repeat(evidenceWords[evidence].dots) + "○".repeat(3 - evidenceWords[evidence].dots);
