/** Many clients on one page for their adviser: who stands out, roll-up by variety and by client, every fit and check. */
import type { NextRate, Result } from "../../vocabulary/result.ts";
import { rateRow, rates } from "../charts/rates.ts";
import type { ChartDrawer } from "../draw-charts.ts";
import type { PageParts } from "./page-parts.ts";
import { medianCv, standingOut, type Client, type StandingOut, type Trouble } from "../wording/clients.ts";
import { evidenceDots, evidenceLine } from "../wording/evidence.ts";
import type { Measures } from "../../numbers/measures.ts";
import { gainText, moveOf, moveWords, nextSeason, rateOr } from "../wording/next.ts";
import { capitalized, counted, fixed } from "../../numbers/written-numbers.ts";
import { bareRate, optimumCell } from "../wording/optimum.ts";
import { cautions, glossary, method } from "./background.ts";
import { picture } from "./figure.ts";
import { findingsSection } from "./findings.ts";
import { fitsTable } from "./fits.ts";
import { markup, type Markup } from "./markup.ts";
import { seasonsTogether } from "./seasons-together.ts";
import { noScripts, shell } from "./shell.ts";
import { sinceSection } from "./since.ts";

/**
 * @param clients each with the result of its own strips
 * @param all     result of all strips together
 */
export async function clientsPage(
  clients: readonly Client[],
  all: Result,
  troubles: readonly Trouble[],
  parts: PageParts,
  measures: Measures,
  drawer: ChartDrawer,
): Promise<string> {
  const season = nextSeason(all);
  const main = markup`${troublesSection(troubles)} ${standOutSection(clients, all, measures)} ${sinceSection(all, parts.earlier, measures)}
    ${await byVariety(clients, all, measures, drawer)} ${byClient(clients, measures)} ${checks(clients, measures)}
    ${seasonsTogether(all, measures)} ${everyFit(all, measures)} ${findingsSection(all)} ${method(all, measures)}
    ${glossary()} ${cautions(all)}`;
  return shell(
    {
      above: [capitalized(counted(clients.length, "client")), measures.cropName].join(" · "),
      title: season === null ? "Seeding rates of all clients" : `Seeding rates for ${season}, all clients`,
      lede: lede(clients, all, measures),
      main,
      scripts: noScripts,
      engineVersion: all.engineVersion,
    },
    parts,
    measures,
  );
}

function lede(clients: readonly Client[], all: Result, { style }: Measures): string {
  const moves = clients.flatMap(({ result }) => result.next.map(moveOf));
  const unknown = moves.filter((move) => move === "best").length;
  const count = (wanted: (typeof moves)[number]): string =>
    counted(moves.filter((move) => move === wanted).length, "case", style);
  return `${capitalized(counted(all.rows.used, "strip", style))} of ${counted(all.varieties.length, "variety")}. For a client and a variety: less seed in ${count("less")}, more in ${count("more")}, as now in ${count("same")}${unknown === 0 ? "" : `; today's rate is not given in ${counted(unknown, "case", style)}`}.`;
}

const wideTable = (caption: string, head: string[], rows: Markup[]): Markup =>
  markup`<div class="scroll wide" tabindex="0" role="region" aria-label="${caption}">
    <table>
      <caption>${caption}</caption>
      <thead><tr>${head.map((cell) => markup`<th scope="col">${cell}</th>`)}</tr></thead>
      <tbody>${rows}</tbody>
    </table>
  </div>`;

/** Who could not be read in full comes first: it is what the adviser can mend today. */
const troublesSection = (troubles: readonly Trouble[]): Markup | null =>
  troubles.length === 0
    ? null
    : markup`<section id="not-read">
        <h2>Not read in full</h2>
        <ul>${troubles.map(({ name, message }) => markup`<li><b>${name}</b>: ${message}</li>`)}</ul>
      </section>`;

/** Above this many, the rest is folded away. */
const mostShown = 12;

function standOutSection(clients: readonly Client[], all: Result, measures: Measures): Markup {
  const found = standingOut(clients, all, measures);
  const list = (some: StandingOut[]): Markup =>
    markup`<ul>${some.map(
      ({ client, variety, sentence }) =>
        markup`<li><b>${client}</b>${variety === null ? "" : `, ${variety}`}: ${sentence}</li>`,
    )}</ul>`;
  const rest = found.slice(mostShown);
  return markup`<section id="next">
    <h2>Who stands out</h2>
    ${found.length === 0 ? markup`<p>Nobody: every rate in use lies where the best one likely lies.</p>` : list(found.slice(0, mostShown))}
    ${rest.length === 0 ? null : markup`<details><summary>${`${rest.length} more`}</summary>${list(rest)}</details>`}
  </section>`;
}

async function byVariety(
  clients: readonly Client[],
  all: Result,
  measures: Measures,
  drawer: ChartDrawer,
): Promise<Markup> {
  const figures: Markup[] = [];
  for (const variety of all.varieties) {
    const own = rowsOf(clients, variety);
    if (own.length < 2) continue;
    const rows = own.map(({ client, next }) => ({ ...rateRow(next, measures), variety: client.name }));
    const description = own
      .map(
        ({ client, next }) =>
          `${client.name}: now ${rateOr(next.rateNowSeedsPerM2, measures.rate.text)}${next.flatZone === null ? "" : `, flat zone ${measures.rate.range(next.flatZone.lower, next.flatZone.upper)}`}.`,
      )
      .join(" ");
    figures.push(
      markup`<figure class="chart chart-rates"><figcaption>${variety}</figcaption>${picture(
        await drawer.drawSvg(rates, { rows }),
        { heading: `${variety}: rates of each client`, description },
      )}</figure>`,
    );
  }
  return markup`<section id="by-variety">
    <h2>By variety</h2>
    ${wideTable(
      `All clients together, rates in ${measures.rateAxis}`,
      ["Variety", "Clients", "Field-seasons", "Strips", "Now", "Most money", "Flat zone", "Evidence"],
      all.next.map((next) => varietyRow(next, clients, all, measures)),
    )}
    ${figures.length === 0 ? null : markup`<p class="quiet">Each client on its own: ○ now, ● next season, thick bar: flat zone, thin line: where the best rate likely lies.</p>`}
    <div class="charts">${figures}</div>
  </section>`;
}

const rowsOf = (clients: readonly Client[], variety: string): { client: Client; next: NextRate }[] =>
  clients.flatMap((client) =>
    client.result.next.filter((next) => next.variety === variety).map((next) => ({ client, next })),
  );

function varietyRow(next: NextRate, clients: readonly Client[], all: Result, measures: Measures): Markup {
  const grown = rowsOf(clients, next.variety);
  const now = grown.map((row) => row.next.rateNowSeedsPerM2).filter((rate) => rate !== null);
  const fits = all.fits.filter((fit) => fit.variety === next.variety);
  // All clients together have no one rate to stay at.
  const known = evidence({ ...next, reasons: [] });
  const ends = now.length === 0 ? [] : [Math.min(...now), Math.max(...now)];
  return markup`<tr>
    <th scope="row">${next.variety}</th><td>${grown.length}</td><td>${fits.length}</td>
    <td>${fits.reduce((sum, fit) => sum + fit.strips, 0)}</td>
    <td>${[...new Set(ends.map((rate) => bareRate(rate, measures)))].join(" to ")}</td>
    <td>${optimumCell(next.economicOptimum, measures)}</td>
    <td>${next.flatZone === null ? "–" : `${bareRate(next.flatZone.lower, measures)} to ${bareRate(next.flatZone.upper, measures)}`}</td>
    <td>${known}</td>
  </tr>`;
}

const evidence = (next: NextRate): Markup =>
  markup`<span class="dots" aria-hidden="true">${evidenceDots(next)}</span> ${evidenceLine(next)}`;

const byClient = (clients: readonly Client[], measures: Measures): Markup =>
  markup`<section id="by-client">
    <h2>By client</h2>
    ${wideTable(
      `Each client from its own strips, rates in ${measures.rateAxis}`,
      ["Client", "Variety", "Now → next", "Expected gain", "Most money", "Evidence"],
      clients.flatMap((client) => clientRows(client, measures)),
    )}
  </section>`;

function clientRows(client: Client, measures: Measures): Markup[] {
  const { next: rows } = client.result;
  const name = (span: number): Markup => markup`<th scope="rowgroup" rowspan="${span}">${link(client)}</th>`;
  if (rows.length === 0)
    return [markup`<tr>${name(1)}<td colspan="5">These strips give no rate; its page says why.</td></tr>`];
  return rows.map((next, index) => {
    const move = moveOf(next);
    const rate = (value: number | null, otherwise?: string): string =>
      rateOr(value, (known) => bareRate(known, measures), otherwise);
    return markup`<tr>
      ${index === 0 ? name(rows.length) : null}
      <td>${next.variety}</td>
      <td><span aria-hidden="true">${moveWords[move].arrow}</span> ${rate(next.rateNowSeedsPerM2)} → <b>${rate(next.rateNextSeedsPerM2, "–")}</b></td>
      <td>${move === "same" ? "–" : gainText(next, measures)}</td>
      <td>${optimumCell(next.economicOptimum, measures)}</td>
      <td>${evidence(next)}</td>
    </tr>`;
  });
}

const link = ({ name, page }: Client): Markup => markup`<a href="${page}">${name}</a>`;

const checks = (clients: readonly Client[], { style }: Measures): Markup =>
  markup`<section id="checks">
    <h2>Strips and checks</h2>
    ${wideTable(
      "Strips used and left out, and how far strips scatter",
      ["Client", "Field-seasons", "Strips used", "Left out", "Doubtful", "Coefficient of variation, median"],
      clients.map((client) => {
        const { environments, rows, findings } = client.result;
        const cv = medianCv(client.result);
        return markup`<tr>
          <th scope="row">${link(client)}</th><td>${environments.length}</td>
          <td>${rows.used}</td><td>${rows.leftOut}</td>
          <td>${findings.filter((finding) => finding.severity === "doubt").length}</td>
          <td>${cv === null ? "–" : `${fixed(cv, 1, style)} %`}</td>
        </tr>`;
      }),
    )}
  </section>`;

const everyFit = (all: Result, measures: Measures): Markup =>
  markup`<section id="fits">
    <h2>Every fit</h2>
    ${all.varieties.map((variety) => {
      const table = fitsTable(all, variety, measures);
      return table === null ? null : markup`<details><summary>${variety}</summary>${table}</details>`;
    })}
  </section>`;
