/** Browser entry of the report: brings prices and charts to life. The page is complete without it. */
import type { Result } from "../result.ts";
import { measuresOf } from "../tell/wording/measures.ts";
import { liveCharts } from "./live-charts.ts";
import { readPageData } from "./page-data.ts";
import { startWhatIf } from "./what-if.ts";

const data = readPageData(document);
if (data !== null) {
  const result: Result = data.result;
  const measures = measuresOf(result, data.numbers);
  startWhatIf(document, result, measures, liveCharts(document, data, measures));
}
