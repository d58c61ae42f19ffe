/** The prices and limits behind the answer: told in print, and to be moved where scripts run. */
import type { Result } from "../../vocabulary/result.ts";
import { inField, whatIfFields, type WhatIfField } from "../what-if.ts";
import { seedPriceAssumed } from "../wording/assumed.ts";
import { isAssumed } from "../../vocabulary/settings.ts";
import { boundsText } from "../wording/what-if.ts";
import { scoreText } from "../wording/lodging.ts";
import type { Measures } from "../../numbers/measures.ts";
import { listed } from "../../numbers/written-numbers.ts";
import { markup, type Markup } from "./markup.ts";

/** One line for the printed page; the page's script writes it again when a price moves. */
export function pricesUsed(result: Result, measures: Measures): string {
  const { settings } = result;
  const scale = result.lodging[0]?.scale ?? null;
  return [
    `Based on grain at ${measures.grainPrice.chosen(settings.grainPricePerKg)}${assumed(isAssumed(settings, "grain_price"))}`,
    result.protein.length > 0 && settings.proteinSchedule.length > 0 ? " with its premium for protein" : "",
    seedUsed(result, measures),
    `, a step of at most ${measures.chosenShare(settings.largestStep)} a season${assumed(isAssumed(settings, "largest_step"))}`,
    result.lodging.length === 0
      ? ""
      : `, lodging of at most ${scoreText(settings.lodgingLimit, scale, measures)}${assumed(isAssumed(settings, "lodging_limit"))}`,
    result.lodging.length === 0 || settings.lodgingCostPerHa === 0
      ? ""
      : ` and ${measures.moneyPerArea.chosen(settings.lodgingCostPerHa)} lost where the crop lies flat`,
    ".",
  ].join("");
}

/** One price where all varieties have the same; nothing where none has an answer. */
function seedUsed({ settings, next }: Result, { seedPrice }: Measures): string {
  const told = next.map(({ variety, seedPricePerThousand: price }) => ({
    variety,
    price,
    isAssumed: seedPriceAssumed(settings, variety),
  }));
  const [first, ...others] = told;
  if (first === undefined) return "";
  if (others.every(({ price, isAssumed }) => price === first.price && isAssumed === first.isAssumed))
    return `, seed at ${seedPrice.text(first.price)}${assumed(first.isAssumed)}`;
  const each = told.map(
    ({ variety, price, isAssumed }) =>
      `${seedPrice.number(price)} (${variety}${isAssumed ? ", assumed" : ""})`,
  );
  return `, seed per million viable seeds at ${listed(each)}`;
}

const assumed = (isSo: boolean): string => (isSo ? " (assumed)" : "");

/** @param live whether the page can work out again what a price does */
export function pricesSection(result: Result, measures: Measures, live: boolean): Markup {
  if (!live)
    return markup`<section id="prices" aria-label="Prices and limits">
      <p class="used" data-part="prices">${pricesUsed(result, measures)}</p>
      <p class="quiet">So large a trial is not worked out anew in the page: for other prices, make the report again, as with <code>stripcurve report --grain-price</code>.</p>
    </section>`;
  const fields = whatIfFields(result, measures);
  return markup`<section id="prices" aria-label="Prices and limits">
    <p class="used" data-part="prices">${pricesUsed(result, measures)}</p>
    <form id="what-if" hidden autocomplete="off">
      <h2>What if…</h2>
      <p class="quiet">Move a price or a limit: the whole page follows.</p>
      <div class="farm-fields">${fields.filter((field) => field.variety === null).map((field) => slider(field, measures))}</div>
      ${varietyFields(result, fields, measures)}
    </form>
    <div id="what-if-bar" role="region" aria-label="Effect of what you moved" hidden>
      <p id="what-if-says" role="status"></p>
      <p class="undo"></p>
    </div>
    <p id="moved-note" hidden></p>
  </section>`;
}

const slider = (field: WhatIfField, measures: Measures): Markup => markup`<div class="field">
  <label for="${field.key}">${field.label} <span class="quiet">${field.unit}</span></label>
  <span class="pair">
    <input type="range" data-key="${field.key}" aria-label="${`${field.label}, slider`}" min="${field.lowest}" max="${field.highest}" step="${field.step}" value="${field.value ?? ""}">
    ${typed(field, measures)}
  </span>
  ${bounds(field, measures)}
</div>`;

/** A field to type in, with the keys for decimals on a phone; point and comma are both taken. */
const typed = (field: WhatIfField, measures: Measures): Markup =>
  markup`<input type="text" inputmode="decimal" id="${field.key}" data-key="${field.key}" value="${field.value === null ? "" : inField(field.value, measures.style)}" aria-describedby="${field.key}-bounds ${field.key}-wrong">`;

const bounds = (field: WhatIfField, measures: Measures): Markup =>
  markup`<span class="bounds quiet" id="${field.key}-bounds">${boundsText(field, measures)}</span>
  <span class="wrong" id="${field.key}-wrong" role="alert"></span>`;

function varietyFields(result: Result, fields: WhatIfField[], measures: Measures): Markup | null {
  if (result.next.length === 0) return null;
  const asked = result.next.some((next) => next.rateNowSeedsPerM2 === null);
  return markup`<details${asked ? markup` open` : null}>
    <summary>Rate now, seed price and seed lot of each variety</summary>
    <div class="variety-fields">
      ${result.next.map(
        (next) => markup`<fieldset>
          <legend><bdi>${next.variety}</bdi></legend>
          ${fields
            .filter((field) => field.variety === next.variety)
            .map(
              (field) => markup`<div class="field">
                <label for="${field.key}">${field.label} <span class="quiet">${field.unit}</span></label>
                ${typed(field, measures)} ${bounds(field, measures)}
              </div>`,
            )}
        </fieldset>`,
      )}
    </div>
  </details>`;
}
