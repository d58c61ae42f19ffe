/** The report: one file that holds everything, works from a disk, without a network and with scripts off. */
import type { Result } from "../result.ts";
import { charts } from "./charts/index.ts";
import { chartDrawer } from "./draw-charts.ts";
import { cautions, glossary, method } from "./html/background.ts";
import { drillSection, lateSection } from "./html/drill.ts";
import { findingsSection } from "./html/findings.ts";
import { markup, raw, type Markup } from "./html/markup.ts";
import { nextTable } from "./html/next-table.ts";
import { pageDataMarkup } from "./html/page-data.ts";
import { pricesSection } from "./html/prices.ts";
import { seasonsTogether } from "./html/seasons-together.ts";
import { stripAdviceSection } from "./html/strip-advice.ts";
import { drawFigure, varietySection } from "./html/variety.ts";
import { measuresOf } from "./wording/measures.ts";
import { headline, nextSeason } from "./wording/next.ts";
import { dateInWords, listed, plainStyle, type NumberStyle } from "./wording/numbers.ts";

/** What is not of the trial but of this one run. */
export interface Run {
  /** ISO date of the report. */
  date: string;
  /** Files read, as the person named them. */
  files: string[];
}

export interface PageParts {
  /** Script and style of the page, as text. */
  script: string;
  style: string;
  run: Run;
  /** SHA-256 of a text, in base64: what the page's policy lets run. */
  sha256: (text: string) => string;
  numbers?: NumberStyle;
}

/**
 * The report as HTML text.
 *
 * @param parts script, style and what is said of the run; the page allows no other script or style
 * @returns the whole file
 */
export async function tellPage(result: Result, parts: PageParts): Promise<string> {
  const measures = measuresOf(result, parts.numbers ?? plainStyle);
  const drawer = chartDrawer(measures);
  const farmFigures: Markup[] = [];
  for (const chart of charts.filter((one) => one.subjects(result).includes("")))
    farmFigures.push(await drawFigure(chart, result, "", 0, measures, drawer));
  const sections: Markup[] = [];
  for (const [index, variety] of result.varieties.entries())
    sections.push(await varietySection(result, variety, index, measures, drawer));
  const season = nextSeason(result);
  const farms = [...new Set(result.environments.map((environment) => environment.farm))].filter(
    (farm) => farm !== "",
  );
  const title = season === null ? "Seeding rates" : `Seeding rates for ${season}`;
  const page = markup`<!doctype html>
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta http-equiv="Content-Security-Policy" content="${policy(parts)}" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <meta name="color-scheme" content="light dark" />
        <title>${[title, ...farms].join(" · ")}</title>
        <style>${raw(parts.style)}</style>
      </head>
      <body>
        <a class="skip" href="#varieties">Skip to the varieties</a>
        <header>
          <p class="farm">${[...farms, measures.cropName].join(" · ")}</p>
          <h1>${title}</h1>
          <p class="lede" data-part="headline">${headline(result)}</p>
        </header>
        <main>
          <section id="next" aria-label="Next season">
            <div data-part="next">${nextTable(result, measures)}</div>
            ${farmFigures}
          </section>
          ${pricesSection(result, measures)}
          <section id="drill" aria-label="At the drill">
            <div data-part="drill">${drillSection(result, measures)}</div>
            <div data-part="late">${lateSection(result, measures)}</div>
          </section>
          <section id="varieties" aria-label="Varieties">${sections}</section>
          ${seasonsTogether(result, measures)} ${stripAdviceSection(result, measures)}
          ${findingsSection(result)} ${method(result, measures)} ${glossary()} ${cautions(result)}
        </main>
        <footer>
          <p>
            Made ${dateInWords(parts.run.date, measures.style)} from ${listed(parts.run.files)} with
            stripcurve ${result.engineVersion}.
          </p>
        </footer>
        <script type="application/json" id="page-data">${pageDataMarkup(result, measures, drawer)}</script>
        <script>${raw(parts.script)}</script>
      </body>
    </html>`;
  return page.text;
}

/** Nothing is loaded from anywhere; only this script and this style may run. */
const policy = ({ script, style, sha256 }: PageParts): string =>
  [
    "default-src 'none'",
    `script-src 'sha256-${sha256(script)}'`,
    `style-src 'sha256-${sha256(style)}'`,
    "base-uri 'none'",
    "form-action 'none'",
  ].join("; ");
