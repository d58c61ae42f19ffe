/** Many clients on one page for their adviser: who stands out, roll-up by variety and by client, every fit and check. */
import type { NeedsMore, NextRate, Result } from "../../vocabulary/result.ts";
import { rateRow, rates } from "../charts/rates.ts";
import type { ChartDrawer } from "../draw-charts.ts";
import type { PageParts } from "./page-parts.ts";
import { bestOf } from "../wording/by-field.ts";
import {
  assumedOfClients,
  grownByOne,
  ownMeasures,
  overClients,
  rowsOf,
  standingApart,
  standingOut,
  type Client,
  type StandingOut,
  type Trouble,
} from "../wording/clients.ts";
import { evidenceDots, evidenceLine } from "../wording/evidence.ts";
import type { Measures } from "../../numbers/measures.ts";
import {
  assumedMark,
  clientRows,
  gainInAllText,
  gainOfAll,
  gainPerAreaText,
  type ClientRow,
} from "../wording/client-rows.ts";
import { moveOf, moveWords, nextSeason, rateOr, type Move } from "../wording/next.ts";
import {
  capitalized,
  chance as chanceWords,
  counted,
  countWord,
  fixed,
  listed,
} from "../../numbers/written-numbers.ts";
import { bareRate, likelyRange, optimumCell, rangeName } from "../wording/optimum.ts";
import { cautions, glossary, method } from "./background.ts";
import { picture, stacking } from "./figure.ts";
import { findingsSection } from "./findings.ts";
import { fitsTable } from "./fits.ts";
import { markup, raw, type Markup } from "./markup.ts";
import { seasonsTogether } from "./seasons-together.ts";
import { shell } from "./shell.ts";
import { sinceSection } from "./since.ts";

/**
 * @param clients each with the result of its own strips
 * @param all     result of all strips together
 * @param needsMore  which of two varieties needs more seed, surest first
 */
export async function clientsPage(
  clients: readonly Client[],
  all: Result,
  needsMore: readonly NeedsMore[],
  troubles: readonly Trouble[],
  parts: PageParts,
  measures: Measures,
  drawer: ChartDrawer,
): Promise<string> {
  const season = nextSeason(all);
  const together = clients.filter(({ result }) => result.settings.crop === all.settings.crop);
  const main = markup`${troublesSection(troubles)} ${everyClient(clients, measures)} ${assumedSection(clients, measures)} ${standOutSection(clients, all, measures)}
    ${sinceSection(all, parts.earlier, measures)} ${overFarms(together, all, needsMore, measures)}
    ${await byVariety(together, all, measures, drawer)} ${checks(clients, measures)}
    ${seasonsTogether(all, measures)} ${everyFit(all, measures)} ${findingsSection(all)} ${method(all, measures)}
    ${glossary(all, measures)} ${cautions(all)}`;
  return shell(
    {
      above: [capitalized(counted(clients.length, "client")), measures.cropName].join(" · "),
      title: season === null ? "Seeding rates of all clients" : `Seeding rates for ${season}, all clients`,
      lede: lede(clients, all, measures),
      main,
      scripts: { markup: markup`<script>${raw(parts.script)}</script>`, allowed: [parts.script] },
      engineVersion: all.engineVersion,
    },
    parts,
    measures,
  );
}

/** How the advice counts, of each kind in its turn. */
const adviceCounts: readonly [Move, (count: string, one: boolean) => string][] = [
  ["less", (count, one) => `${count} ${one ? "goes" : "go"} down`],
  ["more", (count, one) => `${count} ${one ? "goes" : "go"} up`],
  ["same", (count, one) => `${count} ${one ? "stays" : "stay"}`],
  ["best", (count) => `for ${count} today's rate is not known`],
  ["none", (count) => `for ${count} there is no advice yet`],
];

function lede(clients: readonly Client[], all: Result, { style }: Measures): string {
  const moves = clients.flatMap(({ result }) => result.next.map(moveOf));
  const counts = adviceCounts.flatMap(([wanted, words]) => {
    const count = moves.filter((move) => move === wanted).length;
    return count === 0 ? [] : [words(countWord(count, style), count === 1)];
  });
  const read = `${capitalized(counted(all.rows.used, "strip", style))} of ${counted(all.varieties.length, "variety")}.`;
  return counts.length === 0
    ? read
    : `${read} Of ${counted(moves.length, "rate")}, one for each variety of each client, ${listed(counts)}.`;
}

/** What stands in a cell, with what it is sorted by where that is not its text. */
type Cell = Markup | string | number | { shown: Markup | string; sort: string };

/** A table that scrolls by itself, and stands row by row on a phone; the first cell of a row names it. */
function wideTable(
  caption: string,
  head: readonly string[],
  rows: readonly (readonly [Markup, ...Cell[]])[],
  isSortable = false,
): Markup {
  const labels = head.map(stacking(head.length).label);
  const cellOf = (cell: Cell, column: number): Markup =>
    typeof cell === "object" && "shown" in cell
      ? markup`<td${labels[column]} data-sort="${cell.sort}"><span>${cell.shown}</span></td>`
      : markup`<td${labels[column]}><span>${cell}</span></td>`;
  return markup`<div class="scroll wide" tabindex="0" role="region" aria-label="${caption}">
    <table class="stacks${isSortable ? " sortable" : ""}">
      <caption>${caption}</caption>
      <thead><tr>${head.map((cell) => markup`<th scope="col">${cell}</th>`)}</tr></thead>
      <tbody>${rows.map(
        ([name, ...cells]) =>
          markup`<tr><th scope="row">${name}</th>${cells.map((cell, index) => cellOf(cell, index + 1))}</tr>`,
      )}</tbody>
    </table>
  </div>`;
}

/** Who could not be read in full comes first: it is what the adviser can mend today. */
const troublesSection = (troubles: readonly Trouble[]): Markup | null =>
  troubles.length === 0
    ? null
    : markup`<section id="not-read">
        <h2>Not read in full</h2>
        <ul>${troubles.map(({ name, message }) => markup`<li><b>${name}</b>: ${message}</li>`)}</ul>
      </section>`;

function assumedSection(clients: readonly Client[], measures: Measures): Markup | null {
  const told = assumedOfClients(clients, measures);
  if (told.length === 0) return null;
  return markup`<section id="assumed" aria-label="Assumed">
    ${told.map(({ who, sentence }) => markup`<p class="assumed"><b>${who}</b>: ${sentence}</p>`)}
  </section>`;
}

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
    ${found.length === 0 ? markup`<p>Nobody: every rate in use is within the ${rangeName(all.settings.intervalLevels[0], measures)} of the best one.</p>` : list(found.slice(0, mostShown))}
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
      ["Variety", "Clients", "Site-years", "Strips", "Now", "Most profitable", "Flat zone", "Evidence"],
      overClients(clients, all).map((next) => varietyRow(next, clients, all, measures)),
    )}
    ${ofOneAlone(clients, all)}
    ${figures.length === 0 ? null : markup`<p class="quiet">Each client on its own: ○ now, ● next season, thick bar: flat zone, thin line: ${rangeName(all.settings.intervalLevels[0], measures)} of the best rate.</p>`}
    <div class="charts">${figures}</div>
  </section>`;
}

/** What is said under a table of all clients of a variety that one of them alone grows. */
function ofOneAlone(clients: readonly Client[], all: Result): Markup | null {
  const alone = grownByOne(clients, all);
  return alone.length === 0
    ? null
    : markup`<p class="quiet">${listed(alone)} ${alone.length === 1 ? "grows" : "grow"} with one client alone, and ${alone.length === 1 ? "is" : "are"} told from that client's own strips.</p>`;
}

function varietyRow(
  next: NextRate,
  clients: readonly Client[],
  all: Result,
  measures: Measures,
): [Markup, ...Cell[]] {
  const grown = rowsOf(clients, next.variety);
  const now = grown.map((row) => row.next.rateNowSeedsPerM2).filter((rate) => rate !== null);
  const fits = all.fits.filter((fit) => fit.variety === next.variety);
  // All clients together have no one rate to stay at.
  const known = evidence({ ...next, reasons: [] });
  const ends = now.length === 0 ? [] : [Math.min(...now), Math.max(...now)];
  return [
    markup`<bdi>${next.variety}</bdi>`,
    grown.length,
    fits.length,
    fits.reduce((sum, fit) => sum + fit.strips, 0),
    [...new Set(ends.map((rate) => bareRate(rate, measures)))].join(" to "),
    optimumCell(next.economicOptimum, measures),
    next.flatZone === null
      ? "–"
      : `${bareRate(next.flatZone.lower, measures)} to ${bareRate(next.flatZone.upper, measures)}`,
    known,
  ];
}

const evidence = (next: NextRate): Markup =>
  markup`<span class="dots" aria-hidden="true">${evidenceDots(next)}</span> ${evidenceLine(next)}`;

/** The whole answer for the adviser: one row a client and variety; a press on a heading sorts it. */
/** The level of the ranges beside a best rate: clients share it. */
const rangeLevel = (clients: readonly Client[]): number => clients[0]!.result.settings.intervalLevels[1];

function everyClient(clients: readonly Client[], measures: Measures): Markup {
  const rows = clientRows(clients, measures);
  const { money, unknown } = gainOfAll(rows);
  const heads = [
    "Client",
    "Variety",
    "Now → next",
    "Gain per area",
    "Gain in all",
    "Most profitable",
    "Evidence",
  ];
  const caption = `Each client from its own strips, rates in ${measures.rateAxis}, with ${Math.round(100 * rangeLevel(clients))}% ranges of the most profitable`;
  const missing = countWord(unknown, measures.style);
  const rest =
    unknown === 0
      ? ""
      : ` That leaves out ${counted(unknown, "rate", measures.style)}, whose gain or area is not known.`;
  const earned = money === null ? "" : `All changes together are expected to earn ${money} a season.${rest}`;
  return markup`<section id="by-client">
    <h2>Every client</h2>
    <p>${earned !== "" || unknown === 0 ? earned : `What the changes earn is not known: for ${missing} of the rates, today's rate or the area is not given.`}</p>
    ${wideTable(
      caption,
      heads,
      rows.map((row) => clientRow(row, measures)),
      true,
    )}
    ${rows.some(({ assumed }) => assumed) ? markup`<p class="quiet">${assumedMark}</p>` : null}
  </section>`;
}

const sortKey = (value: number | null): string =>
  value === null ? "" : String(Number(value.toPrecision(6)));
const ranks: Record<NextRate["evidence"], number> = { none: 0, weak: 1, fair: 2, strong: 3 };

function clientRow(row: ClientRow, ofAll: Measures): [Markup, ...Cell[]] {
  const { client, next, measures } = row;
  const name = link(client);
  const empty: Cell = { shown: "–", sort: "" };
  if (next === null)
    return [
      name,
      "–",
      { shown: "no rate; its page says why", sort: "" },
      empty,
      empty,
      empty,
      { shown: "–", sort: "0" },
    ];
  const rate = (value: number | null, otherwise?: string): string =>
    rateOr(value, (known) => bareRate(known, measures), otherwise);
  const { rateNowSeedsPerM2: now, rateNextSeedsPerM2: rateNext, economicOptimum: most } = next;
  const variety = markup`<bdi>${next.variety}</bdi>`;
  const other = ownMeasures(measures, ofAll);
  const change = now === null || rateNext === null ? null : rateNext / now - 1;
  return [
    name,
    other === "" ? variety : markup`${variety} <span class="quiet">${other}</span>`,
    {
      shown: markup`<span aria-hidden="true">${moveWords[moveOf(next)].arrow}</span> ${rate(now)} → <b>${rate(rateNext, "–")}</b>`,
      sort: sortKey(change),
    },
    { shown: gainPerAreaText(row), sort: sortKey(row.gainPerHa) },
    { shown: gainInAllText(row), sort: sortKey(row.gainInAll) },
    {
      shown: optimumCell(most, measures),
      sort: sortKey(most.kind === "none" ? null : most.rateSeedsPerM2),
    },
    { shown: evidence(next), sort: String(ranks[next.evidence]) },
  ];
}

/** Chance from which two varieties are told to differ. */
const surelyDiffer = 0.9;

/** What all farms together say of each variety, how far the farms' own best rates lie apart, and who stands apart. */
function overFarms(
  clients: readonly Client[],
  all: Result,
  needsMore: readonly NeedsMore[],
  measures: Measures,
): Markup {
  const apart = standingApart(clients, all, measures);
  const sure = needsMore.filter(({ chance }) => chance >= surelyDiffer);
  return markup`<section id="over-farms">
    <h2>Varieties over all farms</h2>
    ${wideTable(
      `All farms together, rates in ${measures.rateAxis}`,
      [
        "Variety",
        "Farms",
        "Most profitable",
        capitalized(rangeName(all.settings.intervalLevels[0], measures)),
        "Best rates of the farms",
        "Farms that stand apart",
      ],
      overClients(clients, all).map((next): [Markup, ...Cell[]] => {
        const own = rowsOf(clients, next.variety)
          .flatMap(({ next: { economicOptimum: most } }) => (most.kind === "none" ? [] : [most]))
          .sort((a, b) => a.rateSeedsPerM2 - b.rateSeedsPerM2)
          .map((most) => bestOf(most, measures));
        const [likely] = next.intervals;
        return [
          markup`<bdi>${next.variety}</bdi>`,
          rowsOf(clients, next.variety).length,
          bestOf(next.economicOptimum, measures),
          likely === undefined ? "–" : likelyRange(likely, measures),
          [...new Set([own[0], own.at(-1)])].join(" to ") || "–",
          listed(apart.filter(({ variety }) => variety === next.variety).map(({ client }) => client)) || "–",
        ];
      }),
    )}
    ${ofOneAlone(clients, all)}
    <p>${
      sure.length === 0
        ? "Of no two varieties is it clear which one needs more seed."
        : `Varieties that differ where they grow on the same ground: ${sure.map(({ more, less, chance }) => `${more} needs more seed than ${less} (${chanceWords(chance)})`).join("; ")}.`
    }</p>
  </section>`;
}

const link = ({ name, page }: Client): Markup => markup`<a href="${page}">${name}</a>`;

const checks = (clients: readonly Client[], { style }: Measures): Markup =>
  markup`<section id="checks">
    <h2>Strips and checks</h2>
    ${wideTable(
      "Strips used and left out, and how much strips vary",
      ["Client", "Site-years", "Strips used", "Left out", "Doubtful", "Coefficient of variation, median"],
      clients.map((client): [Markup, ...Cell[]] => {
        const { environments, rows, findings, medianCvPct: cv } = client.result;
        return [
          link(client),
          environments.length,
          rows.used,
          rows.leftOut,
          findings.filter((finding) => finding.severity === "doubt").length,
          cv === null ? "–" : `${fixed(cv, 1, style)}%`,
        ];
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
