/** The prices and limits behind the answer: told in print, and to be moved where scripts run. */
import type { Result } from "../../vocabulary/result.ts";
import { whatIfFields, type WhatIfField } from "../what-if.ts";
import { isAssumed, seedPriceAssumed } from "../wording/assumed.ts";
import { scoreText } from "../wording/lodging.ts";
import type { Measures } from "../../numbers/measures.ts";
import { listed } from "../../numbers/written-numbers.ts";
import { markup, type Markup } from "./markup.ts";

/** One line for the printed page; the page's script writes it anew when a price moves. */
export function pricesUsed(result: Result, measures: Measures): string {
  const { settings } = result;
  const seed = result.next.map(
    (next) =>
      `${measures.seedPrice.number(next.seedPricePerThousand)} (${next.variety}${seedPriceAssumed(settings, next.variety) ? ", assumed" : ""})`,
  );
  const scale = result.lodging[0]?.scale ?? null;
  const assumed = (yes: boolean): string => (yes ? " (assumed)" : "");
  return [
    `Based on grain at ${measures.grainPrice.chosen(settings.grainPricePerKg)}${assumed(isAssumed(settings, "grain_price"))}`,
    seed.length === 0 ? "" : `, seed per million viable seeds at ${listed(seed)}`,
    `, a step of at most ${measures.share(settings.largestStep)} a season`,
    result.lodging.length === 0
      ? ""
      : `, lodging of at most ${scoreText(settings.lodgingLimit, scale, measures)}`,
    ".",
  ].join("");
}

export function pricesSection(result: Result, measures: Measures): Markup {
  const fields = whatIfFields(result, measures);
  return markup`<section id="prices" aria-label="Prices and limits">
    <p class="used" data-part="prices">${pricesUsed(result, measures)}</p>
    <form id="what-if" hidden autocomplete="off">
      <h2>What if…</h2>
      <p class="quiet">Move a price or a limit: the rates, the curves and the flat zone follow.</p>
      <div class="farm-fields">${fields.filter((field) => field.variety === null).map(slider)}</div>
      ${varietyFields(result, fields)}
      <p class="actions">
        <button type="reset">Back to the report's prices</button>
        <output id="what-if-says" aria-live="polite"></output>
      </p>
    </form>
  </section>`;
}

const slider = (field: WhatIfField): Markup => markup`<div class="field">
  <label for="${field.key}">${field.label} <span class="quiet">${field.unit}</span></label>
  <span class="pair">
    <input type="range" data-key="${field.key}" aria-label="${`${field.label}, slider`}" min="${field.lowest}" max="${field.highest}" step="${field.step}" value="${field.value ?? ""}">
    <input type="number" id="${field.key}" data-key="${field.key}" min="${field.lowest}" max="${field.highest}" step="any" value="${field.value ?? ""}" inputmode="decimal">
  </span>
</div>`;

function varietyFields(result: Result, fields: WhatIfField[]): Markup | null {
  if (result.next.length === 0) return null;
  const asked = result.next.some((next) => next.rateNowSeedsPerM2 === null);
  return markup`<details${asked ? markup` open` : null}>
    <summary>Rate now and seed price of each variety</summary>
    <div class="variety-fields">
      ${result.next.map(
        (next) => markup`<fieldset>
          <legend>${next.variety}</legend>
          ${fields
            .filter((field) => field.variety === next.variety)
            .map(
              (field) => markup`<div class="field">
                <label for="${field.key}">${field.label} <span class="quiet">${field.unit}</span></label>
                <input type="number" id="${field.key}" data-key="${field.key}" min="${field.lowest}" max="${field.highest}" step="any" value="${field.value ?? ""}" inputmode="decimal">
              </div>`,
            )}
        </fieldset>`,
      )}
    </div>
  </details>`;
}
