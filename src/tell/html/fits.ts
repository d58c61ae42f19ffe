/** Every fitted curve of a variety, for those who want to check. */
import type { Result, VarietyFit } from "../../vocabulary/result.ts";
import type { NumberTable } from "../charts/chart.ts";
import { formWords } from "../wording/forms.ts";
import type { Measures } from "../../numbers/measures.ts";
import { fixed, pValue } from "../../numbers/written-numbers.ts";
import { optimumCell } from "../wording/optimum.ts";
import { placeNames } from "../wording/places.ts";
import { numberTable } from "./figure.ts";
import { markup, type Markup } from "./markup.ts";

/** Rows of all varieties together. */
const mostRows = 8_000;

export function fitsTable(result: Result, variety: string, measures: Measures): Markup | null {
  const fits = result.fits.filter((fit) => fit.variety === variety);
  if (fits.length === 0) return null;
  const most = Math.max(20, Math.floor(mostRows / result.varieties.length / 2));
  const names = placeNames(result);
  const placeOf = (environment: string): string => names.get(environment) ?? environment;
  return markup`<h3>Every curve that was fitted</h3>
    ${numberTable(
      {
        caption: `${variety}: curves fitted to each field and season on its own, rates in ${measures.rateAxis}, with ${Math.round(result.settings.intervalLevels[1] * 100)}% ranges`,
        ...curveRows(fits, placeOf, measures),
      },
      most,
    )}
    <h3>Do the rates differ at all?</h3>
    ${numberTable(
      {
        caption: `${variety}: analysis of variance by rate in each field and season`,
        ...varianceRows(fits, placeOf, measures),
      },
      most,
    )}
    <p class="quiet">
      Weight: how strongly the strips favour a form over the others, out of 1 (Akaike). SD: standard deviation. df: degrees
      of freedom. CV: SD between strips in percent of the mean. LSD: least significant difference between two rates, given
      only where the F test of the rate is significant.
    </p>`;
}

type PlaceOf = (environment: string) => string;
type HeadAndRows = Pick<NumberTable, "head" | "rows">;

const known = (value: number | null, decimals: number, { style }: Measures): string =>
  value === null ? "–" : fixed(value, decimals, style);

const curveRows = (fits: readonly VarietyFit[], placeOf: PlaceOf, measures: Measures): HeadAndRows => ({
  head: [
    "Season and field",
    "Form",
    "Weight",
    "R²",
    `Error SD, ${measures.grainYield.unit}`,
    "Error df",
    "Highest yield",
    "Most profitable",
  ],
  rows: fits.flatMap((fit) =>
    fit.forms.map((form) => [
      placeOf(fit.environment),
      formWords[form.form],
      known(form.weight, 2, measures),
      known(form.rSquared, 2, measures),
      form.residualSdKgPerHa === null ? "–" : measures.grainYield.number(form.residualSdKgPerHa),
      String(form.residualDf),
      optimumCell(form.yieldOptimum, measures),
      optimumCell(form.economicOptimum, measures),
    ]),
  ),
});

const varianceRows = (fits: readonly VarietyFit[], placeOf: PlaceOf, measures: Measures): HeadAndRows => ({
  head: ["Season and field", `Mean, ${measures.grainYield.unit}`, "F of rate", "df", "p", "CV", "LSD"],
  rows: fits.flatMap(({ environment, anova }) =>
    anova === null
      ? []
      : [
          [
            placeOf(environment),
            measures.grainYield.number(anova.grandMeanKgPerHa),
            known(anova.f, 2, measures),
            `${anova.rateDf}, ${anova.errorDf}`,
            anova.p === null ? "–" : pValue(anova.p, measures.style),
            anova.cvPct === null ? "–" : `${known(anova.cvPct, 1, measures)}%`,
            anova.lsdKgPerHa === null ? "–" : measures.grainYield.text(anova.lsdKgPerHa),
          ],
        ],
  ),
});
