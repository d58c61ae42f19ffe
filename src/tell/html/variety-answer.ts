/** The answer of one variety in words; the page writes it anew when a price moves. */
import type { NextRate, Result } from "../../vocabulary/result.ts";
import { evidenceDots, evidenceLine, evidenceWords } from "../wording/evidence.ts";
import type { Measures } from "../../numbers/measures.ts";
import { byFieldSentence, byFieldTable } from "../wording/by-field.ts";
import { settingsByPlace } from "../wording/drill-settings.ts";
import { moveOf, moveWords, rateOr } from "../wording/next.ts";
import { bareRate } from "../wording/optimum.ts";
import { withFieldNames } from "../wording/places.ts";
import { reasonSentence } from "../wording/reasons.ts";
import { flatZoneSentence, varietySentences } from "../wording/variety.ts";
import { numberTable } from "./figure.ts";
import { markup, type Markup } from "./markup.ts";

export function varietyAnswer(result: Result, variety: string, measures: Measures): Markup {
  const next = result.next.find((row) => row.variety === variety);
  if (next === undefined)
    return markup`<p>These strips give no rate for ${variety}; see what was left out and why.</p>`;
  const move = moveWords[moveOf(next)];
  const reasons = next.reasons
    .map((reason) => reasonSentence(reason, measures))
    .filter((text) => text !== "");
  return markup`<p class="verdict"><span aria-hidden="true">${move.arrow}</span> ${rateChange(next, measures)}
    <span class="quiet">${move.word}; evidence <span class="dots" aria-hidden="true">${evidenceDots(next)}</span> ${evidenceLine(next)} (${evidenceWords(next).meaning})</span></p>
    ${reasons.length === 0 ? null : markup`<p>${reasons.join(" ")}</p>`}
    ${fieldPart(withFieldNames(next, result), measures)}`;
}

/** Fields that differ; that others do not is said once, under the table of all varieties. */
function fieldPart(next: NextRate, measures: Measures): Markup | null {
  if (next.byField?.differ !== true) return null;
  const table = byFieldTable(next, measures);
  return markup`<p>${byFieldSentence(next, measures)}</p>${table === null ? null : numberTable(table)}`;
}

/** Everything else that is to be said of the variety, the weightiest first. */
export function varietyDetail(result: Result, variety: string, measures: Measures): Markup | null {
  const next = result.next.find((row) => row.variety === variety);
  return next === undefined
    ? null
    : markup`<ul class="said">${varietySentences(result, next, measures).map((sentence) => markup`<li>${sentence}</li>`)}</ul>`;
}

/** "1.60 → 1.44 million/ac", or the best rate alone where today's is not known. */
function rateChange(
  { rateNowSeedsPerM2: now, rateNextSeedsPerM2: next }: NextRate,
  measures: Measures,
): Markup {
  const advised = markup`<b>${rateOr(next, measures.rate.text, "–")}</b>`;
  return now === null ? advised : markup`${bareRate(now, measures)} → ${advised}`;
}

/** The move and how exact it must be, in few words: the reasons are on the first of the two pages. */
export function growerVariety(result: Result, variety: string, measures: Measures): Markup {
  const next = result.next.find((row) => row.variety === variety);
  if (next === undefined) return markup`<p>These strips give no rate for ${variety}.</p>`;
  const move = moveOf(next);
  const byPlace = settingsByPlace(withFieldNames(next, result), measures);
  return markup`<p class="verdict"><span aria-hidden="true">${moveWords[move].arrow}</span> ${
    move === "same" && next.rateNextSeedsPerM2 !== null
      ? markup`stay at <b>${measures.rate.text(next.rateNextSeedsPerM2)}</b>`
      : markup`${moveWords[move].word}: ${rateChange(next, measures)}`
  }</p>
    ${byPlace === "" ? null : markup`<p>${byPlace}</p>`}
    <p>${flatZoneSentence(result, next, measures)}</p>`;
}
