/** What to set and check at the drill, for every lot; and how much more when seeding is late. */
import { crops } from "../../vocabulary/crops.ts";
import type { LateStop, NextRate, Result, Sowing } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";
import { capitalized, counted, dateInWords } from "../../numbers/written-numbers.ts";
import { catchLength, caughtThere, rowsApart } from "../wording/drill-settings.ts";
import { inOrderOfGain, lateWords, sowsMoreForLate, weightAt } from "../wording/next.ts";
import { bareRate } from "../wording/optimum.ts";
import { soldOrder, soldPerArea } from "../wording/sold.ts";
import { stacking } from "./figure.ts";
import { markup, type Markup } from "./markup.ts";

/** A column of what to set at the drill: its heading, and what stands in it for a lot. */
interface Column {
  head: string;
  cell: (sowing: Sowing, next: NextRate) => Markup;
}

const only = (wanted: boolean, column: Column): Column[] => (wanted ? [column] : []);

/** A longer name of a variety leaves too little room for the columns beside it. */
const longestBeside = 30;

/**
 * The rows of varieties, each named by its first cell. Where a name is long, names are over their rows instead, so that the
 * numbers keep the whole width.
 */
function namedRows(
  rows: readonly NextRate[],
  columns: number,
  nameOf: (next: NextRate) => Markup,
  cellsOf: (next: NextRate) => Markup,
): { corner: Markup | null; bodies: Markup } {
  return rows.some(({ variety }) => [...variety].length > longestBeside)
    ? {
        corner: null,
        bodies: markup`${rows.map(
          (next) => markup`<tbody class="named">
            <tr><th scope="rowgroup" colspan="${columns}">${nameOf(next)}</th></tr>
            <tr>${cellsOf(next)}</tr>
          </tbody>`,
        )}`,
      }
    : {
        corner: markup`<th scope="col">Variety</th>`,
        bodies: markup`<tbody>
          ${rows.map((next) => markup`<tr><th scope="row">${nameOf(next)}</th>${cellsOf(next)}</tr>`)}
        </tbody>`,
      };
}

/** The variety, with a word where its fields ask for rates of their own: those are on its card. */
const named = ({ variety, byField }: NextRate): Markup =>
  markup`<bdi>${variety}</bdi>${byField?.differ === true ? markup` <span class="quiet">one rate for all</span>` : null}`;

/** Table of every lot that is known; nothing where none is. */
export function drillSection(result: Result, measures: Measures): Markup | null {
  const rows = inOrderOfGain(result).filter((next) => next.sowing !== null);
  if (rows.length === 0) return null;
  const treated = new Set(result.settings.lots.filter((lot) => lot.treated).map((lot) => lot.variety));
  const late = rows.some(sowsMoreForLate);
  const columns = columnsFor(rows, measures);
  const { className, label } = stacking(1 + columns.length);
  const { corner, bodies } = namedRows(
    rows,
    columns.length,
    (next) =>
      markup`${named(next)}${treated.has(next.variety) ? markup` <span class="tag">treated</span>` : null}`,
    (next) =>
      markup`${columns.map(({ head, cell }) => markup`<td${label(head)}>${cell(next.sowing!, next)}</td>`)}`,
  );
  return markup`<div class="drill-table scroll" tabindex="0" role="region" aria-label="At the drill">
    <table${className}>
      <caption>
        At the drill, rows ${rowsApart(result, measures)} apart${late ? `, for seeding ${lateWords(rows.find(sowsMoreForLate)!)}, as planned` : ""}
      </caption>
      <thead>
        <tr>
          ${corner} ${columns.map(({ head }) => markup`<th scope="col">${head}</th>`)}
        </tr>
      </thead>
      ${bodies}
    </table>
    ${
      treated.size === 0
        ? null
        : markup`<p class="caution"><b>Treated seed:</b> follow the label, its gloves and protection too. Not for food, feed or oil; keep it out of grain.</p>`
    }
  </div>`;
}

/** What to set, and what to order, as far as the lots say. */
function columnsFor(rows: readonly NextRate[], measures: Measures): Column[] {
  const sold = rows.some((next) => soldPerArea(next.sowing!.sold, measures) !== null);
  const bushels = sold ? null : measures.seedBushels;
  const late = rows.some(sowsMoreForLate);
  const orders = rows.some((next) => (next.sowing?.orderKg ?? null) !== null);
  const seed = measures.seedWeight;
  return [
    { head: `Seed, ${seed.unit}`, cell: ({ kgPerHa }) => markup`<b>${seed.number(kgPerHa)}</b>` },
    ...only(late, {
      head: `On time, ${seed.unit}`,
      cell: (_, next) =>
        markup`<span class="quiet">${seed.number(weightAt(next, next.rateNextSeedsPerM2!)!)}</span>`,
    }),
    ...only(sold, {
      head: "As it is sold",
      cell: (sowing) => markup`${soldPerArea(sowing.sold, measures) ?? "–"}`,
    }),
    ...only(bushels !== null, {
      head: bushels?.unit ?? "",
      cell: ({ kgPerHa }) => markup`${bushels!.number(kgPerHa)}`,
    }),
    {
      head: capitalized(measures.seedsPerRow.unit),
      cell: ({ seedsPerMetreOfRow }) => markup`${measures.seedsPerRow.number(seedsPerMetreOfRow)}`,
    },
    {
      head: `Catch test: ${measures.grams.unit} of one row over ${catchLength(measures)}`,
      cell: ({ catchGrams }) => markup`${measures.grams.number(caughtThere(catchGrams, measures))}`,
    },
    ...only(orders, {
      head: `To order, ${measures.orderWeight.unit}`,
      cell: (sowing) =>
        markup`${sowing.orderKg === null ? "–" : measures.orderWeight.number(sowing.orderKg)}${soldToOrder(sowing, measures)}`,
    }),
  ];
}

/** What lateness asks for; nothing where there is no rate. */
export function lateSection(result: Result, measures: Measures): Markup | null {
  const [first] = result.next;
  if (first === undefined || first.late.rows.length === 0) return null;
  const { crop, latePerDay } = result.settings;
  const { tillers, name } = crops[crop];
  const rule = [
    plannedSentence(result, first, measures),
    latePerDay === 0
      ? `No more seed is counted for late seeding${tillers ? "" : `: the usual 1% a day is for crops that tiller, which ${name} does not. If you have a rule of your own, late_per_day in the season file takes it`}.`
      : `About ${measures.chosenShare(latePerDay)} more seed for each day past the best date${tillers ? ": late-seeded plants tiller less" : ""}.`,
  ].join(" ");
  return markup`<div class="late">
    <h3>If seeding is late</h3>
    ${latePerDay === 0 ? markup`<p>${rule}</p>` : lateTable(result, first, rule, measures)}
  </div>`;
}

/** Rates by days past the best date. */
function lateTable(result: Result, first: NextRate, rule: string, measures: Measures): Markup {
  const days = first.late.rows.map((row) => row.daysLate);
  const planned = first.late.plannedDaysLate;
  const stops = (Object.keys(stopMarks) as LateStop[]).filter((stop) =>
    result.next.some((next) => next.late.rows.some((row) => row.stoppedBy === stop)),
  );
  const weights = result.next.some((next) => next.sowing !== null);
  const headOf = (day: number): string =>
    `${day === 0 ? "on time" : `${day} ${day === 1 ? "day" : "days"}`}${day === planned ? " (planned)" : ""}`;
  const { className, label } = stacking(1 + days.length);
  const { corner, bodies } = namedRows(
    inOrderOfGain(result),
    days.length,
    named,
    (next) =>
      markup`${next.late.rows.map(
        (row) =>
          markup`<td${label(headOf(row.daysLate))}${row.daysLate === planned ? markup` class="planned"` : null}>${bareRate(row.rateSeedsPerM2, measures)}${row.stoppedBy === null ? "" : stopMarks[row.stoppedBy]}${lateWeight(next, row.rateSeedsPerM2, measures)}</td>`,
      )}`,
  );
  return markup`<p>
      ${rule} ${stops.map((stop) => `${stopMarks[stop]} ${stopSentence(stop, result, measures)}`).join(" ")} More seed does not make up for the yield lost to late seeding.
    </p>
    <div class="scroll" tabindex="0" role="region" aria-label="Rates when seeding is late">
      <table${className}>
        <caption>Rate by days past the best date, ${measures.rateAxis}${weights ? `, with ${measures.seedWeight.unit} of the lot` : ""}</caption>
        <thead>
          <tr>
            ${corner} ${days.map(
              (day) =>
                markup`<th scope="col"${day === planned ? markup` class="planned"` : null}>${headOf(day)}</th>`,
            )}
          </tr>
        </thead>
        ${bodies}
      </table>
    </div>`;
}

/** Marks a rate at which lateness stops. */
const stopMarks: Record<LateStop, string> = { lodging: "†", tested: "‡", cap: "*" };

function stopSentence(stop: LateStop, { settings }: Result, measures: Measures): string {
  switch (stop) {
    case "lodging":
      return "No more than this, or it lodges too often.";
    case "tested":
      return "No more than this: nothing higher was tested.";
    case "cap":
      return `Lateness adds none beyond ${measures.rate.text(settings.lateCapSeedsPerM2)}.`;
  }
}

function soldToOrder({ sold }: Sowing, measures: Measures): Markup | null {
  const order = soldOrder(sold, measures);
  return order === null ? null : markup` <span class="quiet">${order}</span>`;
}

/** Pounds of the lot at a later rate: as the rate, so the weight. */
function lateWeight(next: NextRate, rate: number, measures: Measures): Markup | null {
  const weight = weightAt(next, rate);
  return weight === null
    ? null
    : markup` <span class="quiet pounds">${measures.seedWeight.number(weight)}</span>`;
}

function plannedSentence(result: Result, next: NextRate, measures: Measures): string {
  const { bestSeedingDate, plannedSeedingDate } = result.settings;
  const days = next.late.plannedDaysLate;
  if (bestSeedingDate === null) return "";
  const best = `Best date: ${dateInWords(bestSeedingDate, measures.style)}.`;
  if (plannedSeedingDate === null || days === null) return best;
  const plan = dateInWords(plannedSeedingDate, measures.style);
  return days <= 0
    ? `${best} Planned: ${plan}, on time.`
    : `${best} Planned: ${plan}, ${counted(days, "day")} later.`;
}
