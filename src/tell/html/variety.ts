/** One variety: what to do, why, and the pictures behind it. */
import { charts } from "../charts/index.ts";
import type { Chart } from "../charts/chart.ts";
import type { Result } from "../../result.ts";
import type { ChartDrawer } from "../draw-charts.ts";
import { evidenceDots, evidenceWords } from "../wording/evidence.ts";
import type { Measures } from "../wording/measures.ts";
import { moveOf, moveWords } from "../wording/next.ts";
import { bareRate } from "../wording/optimum.ts";
import { reasonSentence } from "../wording/reasons.ts";
import { varietySentences } from "../wording/variety.ts";
import { figure } from "./figure.ts";
import { fitsTable } from "./fits.ts";
import { idOf, markup, type Markup } from "./markup.ts";

/** Charts that stand open in a section, and those folded away for who wants to look closer. */
const open = ["response", "net-return", "lodging", "stand"];
const folded = ["seasons", "residuals"];

export async function varietySection(
  result: Result,
  variety: string,
  index: number,
  measures: Measures,
  drawer: ChartDrawer,
): Promise<Markup> {
  const draw = async (names: string[]): Promise<Markup[]> => {
    const figures: Markup[] = [];
    for (const chart of charts.filter((one) => names.includes(one.name)))
      if (chart.subjects(result).includes(variety))
        figures.push(await drawFigure(chart, result, variety, index, measures, drawer));
    return figures;
  };
  const closer = await draw(folded);
  const fits = fitsTable(result, variety, measures);
  return markup`<article class="variety" id="${idOf("variety", variety, index)}">
    <h2>${variety}</h2>
    <div data-part="variety" data-subject="${variety}">${varietyAnswer(result, variety, measures)}</div>
    <div class="charts">${await draw(open)}</div>
    ${
      closer.length === 0 && fits === null
        ? null
        : markup`<details class="closer"><summary>A closer look at ${variety}: every field and season, every strip</summary>
      <div class="charts">${closer}</div>${fits}</details>`
    }
  </article>`;
}

/** The answer of one variety in words; the page writes it anew when a price moves. */
export function varietyAnswer(result: Result, variety: string, measures: Measures): Markup {
  const next = result.next.find((row) => row.variety === variety);
  if (next === undefined)
    return markup`<p>These strips give no rate for ${variety}; see what was left out and why.</p>`;
  const move = moveWords[moveOf(next)];
  const reasons = next.reasons
    .map((reason) => reasonSentence(reason, measures))
    .filter((text) => text !== "");
  return markup`<p class="verdict"><span aria-hidden="true">${move.arrow}</span> ${bareRate(next.rateNowSeedsPerM2, measures)} → <b>${measures.rate.text(next.rateNextSeedsPerM2)}</b>
    <span class="quiet">${move.word}; evidence <span class="dots" aria-hidden="true">${evidenceDots(next.evidence)}</span> ${evidenceWords[next.evidence].word}: ${evidenceWords[next.evidence].meaning}</span></p>
    ${reasons.length === 0 ? null : markup`<p>${reasons.join(" ")}</p>`}
    <ul class="said">${varietySentences(result, next, measures).map((sentence) => markup`<li>${sentence}</li>`)}</ul>`;
}

export async function drawFigure(
  chart: Chart,
  result: Result,
  subject: string,
  index: number,
  measures: Measures,
  drawer: ChartDrawer,
): Promise<Markup> {
  const drawing = chart.draw(result, subject, measures);
  const svg = await drawer.drawSvg(chart, drawing.data);
  return figure(chart, subject, drawing, svg, idOf(chart.name, subject, index));
}
