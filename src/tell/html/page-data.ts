/** What the report writes into the page for its script: all that a price acts on, and how to draw and tell it. */
import type { Spec } from "vega";
import type { Result } from "../../vocabulary/result.ts";
import { charts } from "../charts/index.ts";
import type { ChartDrawer } from "../draw-charts.ts";
import type { Measures } from "../../numbers/measures.ts";
import type { NumberStyle } from "../../numbers/written-numbers.ts";
import { thinStrips } from "../thin-strips.ts";
import { pack, unpack } from "./pack.ts";

export interface PageData {
  /** The result without what the script decides anew: rates, curves, lodging under the limit, optima of the fits. */
  modelled: Result;
  numbers: NumberStyle;
  /** Compiled chart specs by the name of the chart, their data empty. */
  specs: Record<string, Spec>;
}

/** With more, the page would be slow to open: each strip takes some 200 bytes. */
const mostStripsInPage = 20_000;

/** Means of the strips at a rate in a block, of all fits together: with more, a page would take minutes to open. */
const mostCellsInPage = 150_000;

/** Null where all that a price acts on is too much for a page; else what writes it. */
export const pageDataOf = (result: Result, measures: Measures, drawer: ChartDrawer): (() => string) | null =>
  result.fits.reduce((sum, { cells }) => sum + cells.length, 0) > mostCellsInPage
    ? null
    : () => pageData(result, measures, drawer);

/** As JSON, for the page to keep: of very many strips some, each with how many it stands for. */
function pageData(result: Result, measures: Measures, drawer: ChartDrawer): string {
  const modelled: Result = {
    ...result,
    findings: [],
    strips: [...thinStrips(result.strips, mostStripsInPage)],
    fits: result.fits.map((fit) => ({
      ...fit,
      forms: fit.forms.map((form) => ({
        ...form,
        yieldOptimum: undecided,
        economicOptimum: undecided,
      })),
    })),
    lodging: [],
    next: [],
    curves: [],
  };
  const shown = charts.filter((chart) => chart.subjects(result).length > 0);
  return JSON.stringify({
    modelled: pack(modelled),
    numbers: measures.style,
    specs: Object.fromEntries(shown.map((chart) => [chart.name, drawer.vegaSpec(chart)])),
  });
}

const undecided = { kind: "none", reason: "level" } as const;

/** @param text what `pageData` gave */
export function readPageData(text: string): PageData {
  const data = JSON.parse(text) as Omit<PageData, "modelled"> & { modelled: unknown };
  return { ...data, modelled: unpack(data.modelled) as Result };
}
