/** A sentence for every reason code of the decision. */
import type { Reason } from "../../result.ts";
import type { Measures } from "./measures.ts";

type Sentence = (numbers: Record<string, number>, measures: Measures) => string;

/** Codes as `decide` gives them; each entry says which numbers it needs. */
export const reasonSentences: Record<string, Sentence> = {
  "step-limited": ({ share }, measures) =>
    `One step of at most ${measures.share(share ?? 0)} a season, then look again.`,
};

/** The sentence of a reason; a code without one gives "" and fails its test. */
export const reasonSentence = (reason: Reason, measures: Measures): string =>
  reasonSentences[reason.code]?.(reason.numbers, measures) ?? "";
