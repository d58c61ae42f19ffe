/** Everything about one farm: the answer first, then each variety, then what stands behind it. */
import type { Result } from "../../vocabulary/result.ts";
import { charts } from "../charts/index.ts";
import type { ChartDrawer } from "../draw-charts.ts";
import type { PageParts } from "./page-parts.ts";
import type { Measures } from "../../numbers/measures.ts";
import { cautions, glossary, method } from "./background.ts";
import { drillCardsSection } from "./drill-cards.ts";
import { drillSection, lateSection } from "./drill.ts";
import { fold } from "./fold.ts";
import { findingsSection } from "./findings.ts";
import { markup, type Markup } from "./markup.ts";
import { nextTable } from "./next-table.ts";
import { pageDataOf } from "./page-data.ts";
import { pricesSection } from "./prices.ts";
import { seasonsTogether } from "./seasons-together.ts";
import { resultHeading, shell, whatIfScripts } from "./shell.ts";
import { varietiesInOrder } from "../wording/next.ts";
import { sinceSection } from "./since.ts";
import { stripAdviceSection } from "./strip-advice.ts";
import { drawFigure, varietySection } from "./variety.ts";

export async function farmPage(
  result: Result,
  parts: PageParts,
  measures: Measures,
  drawer: ChartDrawer,
): Promise<string> {
  const { live, scripts } = whatIfScripts(pageDataOf(result, measures, drawer), parts);
  const sections: Markup[] = [];
  for (const [index, variety] of varietiesInOrder(result))
    sections.push(
      await varietySection(result, variety, index, measures, drawer, {
        everyCheck: parts.everyCheck ?? false,
        live,
      }),
    );
  const main = markup`${answerTable(result, measures)} ${pricesSection(result, measures, live)}
    ${contents(result, parts.earlier !== undefined)}
    <section id="rates" aria-label="Rates">${await answerFigures(result, measures, drawer)}</section>
    ${sinceSection(result, parts.earlier, measures)}
    <section id="drill" aria-label="At the drill">
      <div data-part="drill">${drillSection(result, measures)}</div>
      ${
        result.next.some(({ late }) => late.rows.length > 0)
          ? fold(
              "Later than planned? Rates by the day",
              markup`<div data-part="late">${lateSection(result, measures)}</div>`,
            )
          : null
      }
    </section>
    ${drillCardsSection(result, measures)}
    <section id="varieties" aria-label="Varieties">${sections}</section>
    ${seasonsTogether(result, measures)} ${stripAdviceSection(result, measures)} ${findingsSection(result)}
    ${method(result, measures)} ${glossary(result, measures)} ${cautions(result)}`;
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

/** What stands further down, in one line. */
function contents(result: Result, since: boolean): Markup {
  const entries: [string, string, boolean][] = [
    ["since", "What changed", since],
    ["drill", "At the drill", result.next.length > 0],
    ["varieties", "Each variety", result.varieties.length > 0],
    ["differ", "Do varieties differ?", result.pooled.length > 0],
    ["strips-next", "Strips to plant next", result.stripAdvice.length > 0],
    ["data", "Data left out", true],
    ["method", "Method and sources", true],
    ["words", "Words", true],
    ["cautions", "Cautions", true],
  ];
  return markup`<nav class="contents" aria-label="Contents">${entries
    .filter(([, , there]) => there)
    .map(([id, text]) => markup`<a href="#${id}">${text}</a> `)}</nav>`;
}

/** The answer: table and picture. */
export async function answer(result: Result, measures: Measures, drawer: ChartDrawer): Promise<Markup> {
  return markup`${answerTable(result, measures)}
    <section id="rates" aria-label="Rates">${await answerFigures(result, measures, drawer)}</section>`;
}

const answerTable = (result: Result, measures: Measures): Markup =>
  markup`<section id="next" aria-label="Next season">
    <div data-part="next">${nextTable(result, measures)}</div>
  </section>`;

async function answerFigures(result: Result, measures: Measures, drawer: ChartDrawer): Promise<Markup> {
  const figures: Markup[] = [];
  for (const chart of charts.filter((one) => one.subjects(result).includes("")))
    figures.push(await drawFigure(chart, result, "", 0, measures, drawer));
  return markup`${figures}`;
}
