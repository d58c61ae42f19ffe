/** All seasons together: do the varieties need different rates, and what else moves the best rate? */
import type { Result } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";
import {
  covariateSentence,
  leaningSentence,
  seasonSpreadSentence,
  trendSentence,
  varietiesDiffer,
  varietyByRateTest,
} from "../wording/seasons-together.ts";
import { optimumCell } from "../wording/optimum.ts";
import { modelTerms, scatterTable, slopeScale, supportTable } from "../pooled-model.ts";
import { numberTable } from "./figure.ts";
import { foldedSection } from "./fold.ts";
import { markup, type Markup } from "./markup.ts";

export const seasonsTogether = (result: Result, measures: Measures): Markup | null =>
  result.pooled.length === 0
    ? null
    : foldedSection(
        "differ",
        "Do the varieties need different rates?",
        markup`
        <p>${varietiesDiffer(result)}</p>
        <dl data-part="together">${varietiesTogether(result, measures)}</dl>
        ${
          result.seasonCovariates.length === 0
            ? null
            : markup`<h3>What moves the best rate</h3>
                <ul>
                  ${result.seasonCovariates.map((one) => markup`<li>${covariateSentence(one, result.settings.intervalLevels[1], measures)}</li>`)}
                </ul>
                ${
                  result.seasonCovariates.some(({ supported }) => supported)
                    ? markup`<p class="quiet">
                        In few seasons these move together, so none of them is proven to be the cause. Go by one
                        of them; do not add them up.
                      </p>`
                    : null
                }`
        }
        <details class="closer">
          <summary>The test, and each variety over all its seasons</summary>
          <div data-part="pooled">${pooledTables(result, measures)}</div>
        </details>`,
      );

/** How much the best rate of each variety moves with the seasons, and how far it uses the others' strips. */
export const varietiesTogether = (result: Result, measures: Measures): Markup =>
  markup`${result.varieties.map((variety) => {
    const said = [
      seasonSpreadSentence(result, variety, measures),
      leaningSentence(result, variety, measures),
    ].filter((sentence) => sentence !== "");
    return said.length === 0
      ? null
      : markup`<dt><bdi>${variety}</bdi></dt>
          <dd>${said.join(" ")}</dd>`;
  })}`;

/** The test behind the answer, and what the mixed model says of each variety. */
export const pooledTables = (result: Result, measures: Measures): Markup => {
  const test = varietyByRateTest(result, measures);
  const level = Math.round(result.settings.intervalLevels[1] * 100);
  return markup`${test === "" ? null : markup`<p>${test}</p>`}${numberTable({
    caption: `Quadratic curve over all seasons (mixed model): rates in ${measures.rateAxis} with ${level}% ranges`,
    head: [
      "Variety",
      "Site-years",
      "Strips",
      "Highest yield",
      "Most profitable",
      "Most profitable, using the other varieties' strips too",
    ],
    rows: result.pooled.map((one) => {
      const own = one.forms.find((form) => form.form === "quadratic");
      return [
        one.variety,
        String(one.environments),
        String(one.strips),
        own === undefined ? "–" : optimumCell(own.yieldOptimum, measures),
        own === undefined ? "–" : optimumCell(own.economicOptimum, measures),
        one.leanedEconomicOptimum === null ? "–" : optimumCell(one.leanedEconomicOptimum, measures),
      ];
    }),
  })}
  ${
    result.pooling === null
      ? null
      : markup`${numberTable(supportTable(result.pooling, measures))}
          ${numberTable(scatterTable(result.pooling, measures))}
          <p class="quiet">${slopeScale(result.pooling, measures)}. ${modelTerms} ${trendSentence(result, measures)}</p>`
  }`;
};
