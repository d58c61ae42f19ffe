/** Half a sheet of paper for each variety, to be taped to the drill; and the same as text, to be sent. */
import type { Result } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";
import { capitalized, counted } from "../../numbers/written-numbers.ts";
import {
  catchLength,
  caughtThere,
  drillOrders,
  drillText,
  lotText,
  onTimeText,
  rowsApart,
  startingPoint,
  treatedAtDrill,
  type DrillOrder,
  type DrillSetting,
} from "../wording/drill-settings.ts";
import { nextSeason } from "../wording/next.ts";
import { bareRate } from "../wording/optimum.ts";
import { fold } from "./fold.ts";
import { markup, type Markup } from "./markup.ts";

/** Cards and text, folded on the screen; nothing where no variety has a rate. */
export const drillCardsSection = (result: Result, measures: Measures): Markup | null =>
  drillOrders(result).length === 0
    ? null
    : markup`<section id="cards" aria-label="For whoever runs the drill">
        ${fold(
          "For whoever runs the drill: cards to print, text to send",
          markup`<p class="paper-buttons">
              <button type="button" data-do="copy" hidden>Copy as text</button>
              <button type="button" data-do="print-cards" hidden>Print the cards alone</button>
              <span id="copied" role="status"></span>
            </p>
            <textarea class="drill-text" id="drill-text" rows="10" readonly aria-label="The answer as text" data-part="drill-text">${drillText(result, measures)}</textarea>
            <div class="cards" data-part="cards">${drillCards(result, measures)}</div>`,
        )}
      </section>`;

/** One card a variety; drawn again by the page when a price moves. */
export const drillCards = (result: Result, measures: Measures): Markup =>
  markup`${drillOrders(result).map((order) => card(order, result, measures))}`;

function card(order: DrillOrder, result: Result, measures: Measures): Markup {
  const season = nextSeason(result);
  const { next, lot, settings } = order;
  const [only, other] = settings;
  const notes = [
    onTimeText(order, measures),
    lot === null ? "" : `Lot: ${lotText(order, measures) || "seeds per weight not known"}.`,
  ].filter((text) => text !== "");
  return markup`<article class="drill-card">
    <p class="card-season">${season === null ? "Next season" : season}</p>
    <h3><bdi>${next.variety}</bdi>${lot?.treated === true ? markup` <span class="tag">treated</span>` : null}</h3>
    ${only !== undefined && other === undefined ? oneSetting(only, result, measures) : settingsByField(order, result, measures)}
    ${notes.map((text) => markup`<p class="card-note">${text}</p>`)}
    <p class="card-note moved-note" hidden></p>
    <p class="card-blanks"><span>Date</span> <span>Driver</span> <span>Lot no.</span></p>
    <p class="card-caution">${startingPoint} ${lot?.treated === true ? treatedAtDrill : null}</p>
  </article>`;
}

const caughtOver = (result: Result, measures: Measures): string =>
  `one row over ${catchLength(measures)}, rows ${rowsApart(result, measures)} apart`;

function oneSetting(one: DrillSetting, result: Result, measures: Measures): Markup {
  const rate = `${bareRate(one.rateSeedsPerM2, measures)} ${measures.rateAxis}`;
  const blank = markup`<dt>Setting found</dt>
    <dd class="blank"></dd>`;
  if (one.kgPerHa === null || one.catchGrams === null)
    return markup`<p class="card-rate"><b>${rate}</b></p>
      <p class="card-note">How many seeds a weight of this lot holds is not known, so weigh by its tag.</p>
      <dl class="card-settings">
        <dt>${capitalized(measures.seedWeight.unit)}</dt>
        <dd class="blank"></dd>
        ${blank}
      </dl>`;
  return markup`<p class="card-rate"><b>${measures.seedWeight.text(one.kgPerHa)}</b> ${rate}</p>
    <dl class="card-settings">
      <dt>Catch test: ${caughtOver(result, measures)}</dt>
      <dd><b>${measures.grams.text(caughtThere(one.catchGrams, measures))}</b></dd>
      <dt>${capitalized(measures.seedsPerRow.unit)}</dt>
      <dd>${measures.seedsPerRow.number(one.seedsPerMetreOfRow!)}</dd>
      <dt>Caught</dt>
      <dd class="blank"></dd>
      ${blank}
    </dl>`;
}

/** With more fields than this the rest goes on paper of its own. */
const mostFields = 6;

function settingsByField({ next, settings }: DrillOrder, result: Result, measures: Measures): Markup {
  const by = capitalized(next.byField?.by ?? "field");
  const weighed = settings.every(({ kgPerHa }) => kgPerHa !== null);
  const shown = settings.length <= mostFields ? settings : settings.slice(0, mostFields);
  return markup`<table class="card-fields${settings.length > 3 ? " many" : ""}">
      <caption>${weighed ? `Catch test: ${caughtOver(result, measures)}` : "Weigh by the tag: how many seeds a weight of this lot holds is not known"}</caption>
      <thead>
        <tr>
          <th scope="col">${by}</th>
          <th scope="col">${weighed ? measures.seedWeight.unit : measures.rateAxis}</th>
          ${weighed ? markup`<th scope="col">${measures.rateAxis}</th><th scope="col">Catch, ${measures.grams.unit}</th>` : null}
          <th scope="col">Setting found</th>
        </tr>
      </thead>
      <tbody>
        ${shown.map(
          (one) => markup`<tr>
            <th scope="row"><bdi>${one.place}</bdi></th>
            ${
              weighed
                ? markup`<td><b>${measures.seedWeight.number(one.kgPerHa!)}</b></td><td>${bareRate(one.rateSeedsPerM2, measures)}</td>
                  <td>${measures.grams.number(caughtThere(one.catchGrams!, measures))}</td>`
                : markup`<td><b>${bareRate(one.rateSeedsPerM2, measures)}</b></td>`
            }
            <td class="blank"></td>
          </tr>`,
        )}
      </tbody>
    </table>
    ${settings.length > shown.length ? markup`<p class="card-note">${capitalized(counted(settings.length - shown.length, `more ${by.toLowerCase()}`))}: see the report.</p>` : null}`;
}
