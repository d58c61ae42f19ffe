/** All seasons together, as tables: curves of each variety, whether varieties differ, how much each source varies. */
import type { Result } from "../../vocabulary/result.ts";
import type { NumberTable } from "../charts/chart.ts";
import { modelTerms, scatterTable, slopeScale, supportTable } from "../pooled-model.ts";
import { formWords } from "../wording/forms.ts";
import type { Measures } from "../../numbers/measures.ts";
import { optimumCell, wideRange } from "../wording/optimum.ts";
import { trendSentence, varietiesDiffer, varietyByRateTest } from "../wording/seasons-together.ts";
import { indented, textTable, type TextColumn, type TextStyle } from "./text-table.ts";

const left = (heading: string): TextColumn => ({ heading });
const right = (heading: string): TextColumn => ({ heading, align: "right" });

function curvesText(result: Result, measures: Measures, style: TextStyle): string {
  const range = wideRange(result, measures);
  const columns = [
    left("variety"),
    right("site-years"),
    right("strips"),
    left("form"),
    left(`highest yield (${range})`),
    left(`most profitable (${range})`),
  ];
  const rows = result.pooled.flatMap(({ variety, environments, strips, forms, ...leaned }) => [
    ...forms.map((form, i) => [
      ...(i === 0 ? [variety, String(environments), String(strips)] : ["", "", ""]),
      formWords[form.form],
      optimumCell(form.yieldOptimum, measures),
      optimumCell(form.economicOptimum, measures),
    ]),
    ...(leaned.leanedYieldOptimum === null || leaned.leanedEconomicOptimum === null
      ? []
      : [
          [
            "",
            "",
            "",
            `${formWords.quadratic}, using the other varieties' strips`,
            optimumCell(leaned.leanedYieldOptimum, measures),
            optimumCell(leaned.leanedEconomicOptimum, measures),
          ],
        ]),
  ]);
  return textTable(columns, rows, style);
}

/** A table of the page as the terminal shows it: words to the left, numbers to the right. */
const plainTable = ({ head, rows }: NumberTable, words: number, style: TextStyle): string =>
  textTable(
    head.map((heading, c) => (c < words ? left : right)(heading)),
    rows,
    style,
  );

/** Sections on all seasons together; none where nothing could be pooled. */
export function pooledSections(result: Result, measures: Measures, style: TextStyle): string[] {
  const { pooling } = result;
  if (pooling === null) return [];
  const section = (heading: string, ...texts: string[]): string =>
    [style.heading(heading), ...texts.filter((text) => text !== "").map((text) => indented(text))].join("\n");
  return [
    section(
      `All seasons together: response curves, rates in ${measures.rateAxis}`,
      curvesText(result, measures, style),
    ),
    section("How well each curve shape fits", plainTable(supportTable(pooling, measures), 2, style)),
    section("Do varieties differ?", varietiesDiffer(result), varietyByRateTest(result, measures)),
    section(
      "Sources of variation",
      plainTable(scatterTable(pooling, measures), 1, style),
      slopeScale(pooling, measures),
      modelTerms,
      trendSentence(result, measures),
    ),
  ];
}
