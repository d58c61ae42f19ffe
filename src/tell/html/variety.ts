/** One variety: what to do, why, and the pictures behind it. */
import { charts } from "../charts/index.ts";
import type { Chart } from "../charts/chart.ts";
import type { Result } from "../../vocabulary/result.ts";
import type { ChartDrawer } from "../draw-charts.ts";
import type { Measures } from "../../numbers/measures.ts";
import { fold } from "./fold.ts";
import { figure } from "./figure.ts";
import { fitsTable } from "./fits.ts";
import { idOf, markup, type Markup } from "./markup.ts";
import { varietyAnswer, varietyDetail } from "./variety-answer.ts";

/** Charts that stand open in a section, and those folded away for who wants to look closer. */
const open = ["response", "net-return"];
const inDetail = ["lodging", "stand"];
const folded = ["season-optima", "learning", "seasons", "residuals", "influence"];

/** In a trial of more strips, the folded pictures are left to the page's script: drawn for all, they would be megabytes. */
const mostStripsDrawn = 2000;

/** The page's script draws this chart when its part is opened; until then, and without scripts, its numbers stand there. */
export const drawnWhenOpened = (chart: Chart, result: Result): boolean =>
  folded.includes(chart.name) && result.strips.length > mostStripsDrawn;

/**
 * @param everyCheck nothing is folded away
 * @param live whether the page's script has the data to draw
 */
export async function varietySection(
  result: Result,
  variety: string,
  index: number,
  measures: Measures,
  drawer: ChartDrawer,
  { everyCheck, live }: { everyCheck: boolean; live: boolean },
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
    ${fold(
      `${variety} in detail: how sure, stand, lodging`,
      markup`<div data-part="variety-detail" data-subject="${variety}">${varietyDetail(result, variety, measures)}</div>
      <div class="charts">${await draw(inDetail)}</div>`,
      everyCheck,
    )}
    ${
      closer.length === 0 && fits === null
        ? null
        : markup`<details class="closer"${everyCheck ? markup` open` : null}><summary>A closer look at ${variety}: every field and season, every strip</summary>
      ${result.strips.length > mostStripsDrawn ? markup`<p class="quiet when-opened">${live ? "So large a trial is not drawn beforehand: where scripts run, pictures appear here once this part is opened; without them, the tables say the same." : "So large a trial is not drawn here: the tables say the same, and stripcurve report --charts draws the pictures."}</p>` : null}
      <div class="charts">${closer}</div>
      ${fits === null ? null : markup`<div data-part="fits" data-subject="${variety}">${fits}</div>`}</details>`
    }
  </article>`;
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
  const svg = drawnWhenOpened(chart, result) ? null : await drawer.drawSvg(chart, drawing.data);
  return figure(chart, subject, drawing, svg, idOf(chart.name, subject, index));
}
