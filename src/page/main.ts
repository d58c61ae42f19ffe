/** Browser entry of the report: brings prices and charts to life. The page is complete without it. */
import { decideAgainInSteps } from "../decide/decide.ts";
import { readPageData, type PageData } from "../tell/html/page-data.ts";
import type { Result } from "../vocabulary/result.ts";
import { measuresOf } from "../numbers/measures.ts";
import { inflated } from "./inflate.ts";
import { liveCharts } from "./live-charts.ts";
import { openWhatIsLinked } from "./open-linked.ts";
import { startPaper } from "./paper.ts";
import { startWhatIf } from "./what-if.ts";
import { stepWhenIdle } from "./when-idle.ts";

openWhatIsLinked(document);
startPaper(document);

// A page on very many strips holds no data to work anything out with.
if (document.getElementById("page-data") !== null) void comeAlive();

/** In pauses, a piece in each, so that the page can be read and scrolled meanwhile. */
async function comeAlive(): Promise<void> {
  const text = await inflated(document, "page-data");
  const { data, report } = await stepWhenIdle(window, decided(text));
  const measures = measuresOf(report, data.numbers);
  startWhatIf(document, report, measures, liveCharts(document, data, measures, report));
}

function* decided(text: string): Generator<undefined, { data: PageData; report: Result }> {
  const data = readPageData(text);
  yield;
  return { data, report: yield* decideAgainInSteps(data.modelled, data.modelled.settings) };
}
