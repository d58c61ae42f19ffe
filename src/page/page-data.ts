/** What the report wrote into the page for its script. */
import type { NumberStyle } from "../tell/wording/numbers.ts";
import type { Spec } from "vega";
import type { Result } from "../result.ts";

export interface PageData {
  result: Result;
  numbers: NumberStyle;
  /** Compiled chart specs by the name of the chart, their data empty. */
  specs: Record<string, Spec>;
}

/** Null on a page that holds none, such as one saved without its data. */
export function readPageData(page: Document): PageData | null {
  const read = (id: string): unknown => {
    const text = page.getElementById(id)?.textContent;
    return text === undefined || text === null ? null : JSON.parse(text);
  };
  const result = read("result");
  const rest = read("page-data");
  return result === null || rest === null ? null : ({ result, ...rest } as PageData);
}
