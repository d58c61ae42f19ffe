/** The answer of one variety in words; the page writes it anew when a price moves. */
import type { Result } from "../../vocabulary/result.ts";
import { evidenceDots, evidenceLine, evidenceWords } from "../wording/evidence.ts";
import type { Measures } from "../../numbers/measures.ts";
import { moveOf, moveWords } from "../wording/next.ts";
import { bareRate } from "../wording/optimum.ts";
import { reasonSentence } from "../wording/reasons.ts";
import { flatZoneSentence, varietySentences } from "../wording/variety.ts";
import { markup, type Markup } from "./markup.ts";

export function varietyAnswer(result: Result, variety: string, measures: Measures): Markup {
  const next = result.next.find((row) => row.variety === variety);
  if (next === undefined)
    return markup`<p>These strips give no rate for ${variety}; see what was left out and why.</p>`;
  const move = moveWords[moveOf(next)];
  const reasons = next.reasons
    .map((reason) => reasonSentence(reason, measures))
    .filter((text) => text !== "");
  return markup`<p class="verdict"><span aria-hidden="true">${move.arrow}</span> ${bareRate(next.rateNowSeedsPerM2, measures)} → <b>${measures.rate.text(next.rateNextSeedsPerM2)}</b>
    <span class="quiet">${move.word}; evidence <span class="dots" aria-hidden="true">${evidenceDots(next)}</span> ${evidenceLine(next)} (${evidenceWords(next).meaning})</span></p>
    ${reasons.length === 0 ? null : markup`<p>${reasons.join(" ")}</p>`}
    <ul class="said">${varietySentences(result, next, measures).map((sentence) => markup`<li>${sentence}</li>`)}</ul>`;
}

/** The move and how exact it must be, in few words: the reasons stand on the first of the two pages. */
export function growerVariety(result: Result, variety: string, measures: Measures): Markup {
  const next = result.next.find((row) => row.variety === variety);
  if (next === undefined) return markup`<p>These strips give no rate for ${variety}.</p>`;
  const move = moveOf(next);
  const rate = markup`<b>${measures.rate.text(next.rateNextSeedsPerM2)}</b>`;
  return markup`<p class="verdict"><span aria-hidden="true">${moveWords[move].arrow}</span> ${
    move === "same"
      ? markup`stay at ${rate}`
      : markup`${moveWords[move].word}: ${bareRate(next.rateNowSeedsPerM2, measures)} → ${rate}`
  }</p>
    <p>${flatZoneSentence(result, next, measures)}</p>`;
}
