/** Words for how sure the advice is. */
import type { NextRate, Reason } from "../../vocabulary/result.ts";

type Evidence = NextRate["evidence"];

interface EvidenceWords {
  word: string;
  /** What it is evidence for, where that is not a change; else "". */
  says: string;
  meaning: string;
}

const none: EvidenceWords = {
  word: "none yet",
  says: "",
  meaning: "these strips do not show which rate is better",
};

/** Where the strips point to another rate. */
const forMove: Record<Evidence, EvidenceWords> = {
  strong: { word: "strong", says: "", meaning: "many strips of several seasons point the same way" },
  fair: {
    word: "fair",
    says: "",
    meaning: "the strips point one way, and more seasons may still shift the rate",
  },
  weak: {
    word: "weak",
    says: "",
    meaning: "the best rate could still be almost anywhere among those tested",
  },
  none,
};

/** Where today's rate earns within the flat-zone sum of the best: the evidence is for staying. */
const forStay: Record<Evidence, EvidenceWords> = {
  strong: {
    word: "strong",
    says: "staying is right",
    meaning:
      "many strips of several seasons put the best rate so near today's that a change would add almost nothing",
  },
  fair: {
    word: "fair",
    says: "staying looks right",
    meaning: "the strips put the best rate near today's, and more seasons may still shift it",
  },
  weak: {
    word: "weak",
    says: "no reason to change yet",
    meaning: "the best rate could still be almost anywhere, and none is clearly better than today's",
  },
  none,
};

/** Where the best rate differs from today's but earns hardly more. */
const forLittle: Record<Evidence, EvidenceWords> = {
  strong: {
    word: "strong",
    says: "a change adds little",
    meaning:
      "many strips of several seasons put the best rate away from today's, but it would add almost nothing",
  },
  fair: {
    word: "fair",
    says: "a change adds little",
    meaning:
      "the strips put the best rate away from today's, but it would add almost nothing; more seasons may still shift it",
  },
  weak: forStay.weak,
  none,
};

const dots: Record<Evidence, number> = { strong: 3, fair: 2, weak: 1, none: 0 };

/** Where the best rate would earn more, but lodging allows no rate that does. */
const forCeiling: Record<Evidence, EvidenceWords> = {
  strong: {
    word: "strong",
    says: "lodging allows little change",
    meaning:
      "many strips of several seasons put the best rate above what lodging allows, and what is left would add almost nothing",
  },
  fair: {
    word: "fair",
    says: "lodging allows little change",
    meaning:
      "the strips put the best rate above what lodging allows, and what is left would add almost nothing; more seasons may still shift it",
  },
  weak: forStay.weak,
  none,
};

/** Word and its meaning; dots show the same without words or colour. */
export function evidenceWords(next: NextRate): EvidenceWords {
  const has = (code: Reason["code"]): boolean => next.reasons.some((reason) => reason.code === code);
  if (has("better-of-two")) return forStay[next.evidence];
  if (!has("inside-flat-zone")) return forMove[next.evidence];
  if (!bestIsElsewhere(next)) return forStay[next.evidence];
  return (has("lodging-ceiling") ? forCeiling : forLittle)[next.evidence];
}

/** Whether the narrower range of the best rate leaves out today's. */
function bestIsElsewhere({ rateNowSeedsPerM2: now, intervals: [narrow] }: NextRate): boolean {
  return now !== null && narrow !== undefined && (now < narrow.lower || now > narrow.upper);
}

/** Word with what it is evidence for, on one line. */
export function evidenceLine(next: NextRate): string {
  const { word, says } = evidenceWords(next);
  return says === "" ? word : `${word}: ${says}`;
}

/** "●●○", filled as far as the evidence goes. */
export const evidenceDots = ({ evidence }: NextRate): string =>
  "●".repeat(dots[evidence]) + "○".repeat(3 - dots[evidence]);
