/** The answer: one row a variety, now → next. Drawn by the report and again by the page when a price moves. */
import type { NextRate, Result } from "../../vocabulary/result.ts";
import { byFieldLine } from "../wording/by-field.ts";
import { breakEvenOfAll } from "../wording/break-even.ts";
import { assumedSentence, askRateNow } from "../wording/assumed.ts";
import { evidenceDots, evidenceWords } from "../wording/evidence.ts";
import type { Measures } from "../../numbers/measures.ts";
import {
  chanceItPays,
  gainRange,
  gainText,
  inOrderOfGain,
  lateWords,
  moveOf,
  moveWords,
  rateOr,
  weightMove,
} from "../wording/next.ts";
import { capitalized } from "../../numbers/written-numbers.ts";
import { bareRate, optimumShort } from "../wording/optimum.ts";
import { reasonSentence } from "../wording/reasons.ts";
import { recommendedSentence, restsOnRegion } from "../wording/recommended.ts";
import { otherGroundLine, waterLine } from "../wording/elsewhere.ts";
import { twoRatesSentence } from "../wording/two-rates.ts";
import { idOf, markup, type Markup } from "./markup.ts";

/** @param linked whether each name leads to the variety's own part of the page */
export const nextTable = (result: Result, measures: Measures, linked = true): Markup =>
  markup` <table class="next">
    <caption class="spoken">Next season's rate of each variety</caption>
    <thead>
      <tr>
        <th scope="col">Variety</th>
        <th scope="col">Now → next, <span class="unit">${measures.rateAxis}</span></th>
        <th scope="col">In the drill</th>
        <th scope="col">Expected gain</th>
        <th scope="col">Evidence</th>
        <th scope="col">Why</th>
      </tr>
    </thead>
    <tbody>
      ${inOrderOfGain(result).map((row) => nextRow(result, row, measures, linked))}
    </tbody>
  </table>
  ${fieldLine(result, measures)}
  ${breakEven(result, measures)}
  ${[
    assumedSentence(result, measures),
    askRateNow(result, "a rate_now in the season file; here, under What if… below"),
  ]
    .filter((text) => text !== "")
    .map((text) => markup`<p class="assumed">${text}</p>`)}`;

function fieldLine(result: Result, measures: Measures): Markup | null {
  const lines = [
    byFieldLine(result, measures),
    otherGroundLine(result, measures),
    waterLine(result, measures, false),
  ];
  const text = lines.filter((line) => line !== "").join(" ");
  return text === "" ? null : markup`<p class="by-field">${text}</p>`;
}

function breakEven(result: Result, measures: Measures): Markup | null {
  const text = breakEvenOfAll(result, measures);
  return text === "" ? null : markup`<p class="break-even">${text}</p>`;
}

function nextRow(result: Result, next: NextRate, measures: Measures, linked: boolean): Markup {
  const move = moveOf(next);
  const name = markup`<bdi>${next.variety}</bdi>`;
  const evidence = evidenceWords(next);
  const rate = (value: number | null, otherwise?: string): string =>
    rateOr(value, (known) => measures.rate.number(known).replace(" million", ""), otherwise);
  return markup`<tr class="${move}" data-variety="${next.variety}">
    <th scope="row">${linked ? markup`<a href="#${idOf("variety", next.variety, result.varieties.indexOf(next.variety))}">${name}</a>` : name}</th>
    <td class="move" data-label="${capitalized(measures.rateAxis)}">
      <span class="now">${rate(next.rateNowSeedsPerM2)}</span> <span class="arrow" aria-hidden="true">→</span
      ><span class="spoken"> to </span> <b>${rate(next.rateNextSeedsPerM2, "–")}</b>
      <span class="way"
        ><span aria-hidden="true">${moveWords[move].arrow}</span> ${moveWords[move].word}</span
      >
    </td>
    <td class="drill" data-label="In the drill">${drillText(next, measures)}</td>
    <td class="gain" data-label="Expected gain">
      ${
        move === "same"
          ? "–"
          : next.chanceOfGain === null
            ? gainText(next, measures)
            : next.gainPerHa === null
              ? markup`${gainText(next, measures)} <span class="odds">${chanceItPays(next.chanceOfGain)}</span>`
              : markup`<b>${gainText(next, measures)}</b> <span class="quiet">${gainRange(result, next, measures)}</span>
            ${next.evidence === "none" ? null : markup`<span class="odds">${chanceItPays(next.chanceOfGain)}</span>`}`
      }
    </td>
    <td class="evidence" data-label="Evidence">
      <span class="dots" aria-hidden="true">${evidenceDots(next)}</span>
      ${evidence.word}${evidence.says === "" ? null : markup` <span class="says">${evidence.says}</span>`}
    </td>
    <td class="why">${[whyText(next, measures), ...toldWith(result, next, measures)].join(" ")}</td>
  </tr>`;
}

function drillText(next: NextRate, measures: Measures): Markup {
  const weight = weightMove(next, measures);
  if (weight === null) return markup`<span class="quiet">lot not known</span>`;
  if (weight.onTime !== null)
    return markup`<b>${weight.next}</b> <span class="quiet late-note">${lateWords(next)}, at ${bareRate(next.rateToSowSeedsPerM2!, measures)}; on time ${weight.onTime}</span>`;
  return moveOf(next) === "same" || weight.now === null
    ? markup`<b>${weight.next}</b>`
    : markup`<span class="quiet">${weight.now} →</span> <b>${weight.next}</b>`;
}

/** The rate that came with a variety of which nothing more is told below, as the farm has no strips of it. */
const toldWith = (result: Result, next: NextRate, measures: Measures): string[] =>
  [restsOnRegion(next) ? recommendedSentence(result, next, measures) : ""].filter((text) => text !== "");

/** Why this rate, shortest true answer first. */
export function whyText(next: NextRate, measures: Measures): string {
  const reasons = next.reasons
    .map((reason) => reasonSentence(reason, measures))
    .filter((text) => text !== "");
  if (next.twoRates !== null) return [twoRatesSentence(next.twoRates, measures), ...reasons].join(" ");
  return [optimumShort("Most profitable", next.economicOptimum, measures), ...reasons].join(" ");
}
