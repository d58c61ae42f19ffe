/** Two printed pages for the one who sets the drill, in plain words: the answer and the drill, then every variety. */
import type { Result } from "../../vocabulary/result.ts";
import { netReturn } from "../charts/net-return.ts";
import { response } from "../charts/response.ts";
import type { ChartDrawer } from "../draw-charts.ts";
import type { PageParts } from "./page-parts.ts";
import { cautionTexts } from "../wording/cautions.ts";
import type { Measures } from "../../numbers/measures.ts";
import { counted } from "../../numbers/written-numbers.ts";
import { varietiesInOrder } from "../wording/next.ts";
import { changeInShort, newsSentences, type Earlier } from "../wording/since.ts";
import { answer } from "./farm-page.ts";
import { drillCardsSection } from "./drill-cards.ts";
import { drillSection, lateSection } from "./drill.ts";
import { idOf, markup, type Markup } from "./markup.ts";
import { pageDataOf } from "./page-data.ts";
import { pricesSection } from "./prices.ts";
import { resultHeading, shell, whatIfScripts } from "./shell.ts";
import { drawFigure } from "./variety.ts";
import { growerVariety } from "./variety-answer.ts";

/** With more varieties than this, each has one picture instead of two, so that they fit on a page. */
const mostWithTwoPictures = 4;

export async function growerPage(
  result: Result,
  parts: PageParts,
  measures: Measures,
  drawer: ChartDrawer,
): Promise<string> {
  const { live, scripts } = whatIfScripts(pageDataOf(result, measures, drawer), parts);
  const sinceThen = (sentences: (earlier: Earlier) => string[]): Markup | null =>
    parts.earlier === undefined
      ? null
      : markup`<p class="since"><b>Since last time:</b> ${sentences(parts.earlier).join(" ")}</p>`;
  const two = result.varieties.length <= mostWithTwoPictures;
  const varieties: Markup[] = [];
  for (const [index, variety] of varietiesInOrder(result)) {
    const figures: Markup[] = [];
    for (const chart of two ? [response, netReturn] : [netReturn])
      if (chart.subjects(result).includes(variety))
        figures.push(await drawFigure(chart, result, variety, index, measures, drawer));
    varieties.push(
      markup`<article class="variety" id="${idOf("variety", variety, index)}">
        <h2>${variety}</h2>
        <div>
          <div data-part="grower-variety" data-subject="${variety}">${growerVariety(result, variety, measures)}</div>
          ${sinceThen((earlier) =>
            result.next
              .filter((next) => next.variety === variety)
              .flatMap((next) => changeInShort(next, result, earlier, measures)),
          )}
        </div>
        <div class="charts">${figures}</div>
      </article>`,
    );
  }
  const main = markup`${await answer(result, measures, drawer)} ${pricesSection(result, measures, live)}
    ${sinceThen((earlier) => newsSentences(result, earlier, measures))}
    <section id="drill" aria-label="At the drill">
      <div data-part="drill">${drillSection(result, measures)}</div>
      <div data-part="late">${lateSection(result, measures)}</div>
    </section>
    ${drillCardsSection(result, measures)}
    <section id="data" aria-label="Before seeding">
      <p>${stripsUsed(result, measures)}</p>
      <ul class="cautions">${cautionTexts(result).map((text) => markup`<li>${text}</li>`)}</ul>
    </section>
    <section id="varieties" aria-label="Varieties" class="${two ? "two-pictures" : "one-picture"}">${varieties}</section>`;
  return shell(
    {
      ...resultHeading(result, measures),
      main,
      scripts,
      engineVersion: result.engineVersion,
    },
    parts,
    measures,
  );
}

function stripsUsed({ rows, environments }: Result, { style }: Measures): string {
  const seasons = counted(new Set(environments.map((place) => place.season)).size, "season");
  const leftOut =
    rows.leftOut === 0
      ? "none was left out"
      : `${counted(rows.leftOut, "row")} left out: the whole report says why`;
  return `From ${counted(rows.used, "strip", style)} of ${seasons}; ${leftOut}.`;
}
