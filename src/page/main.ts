/** Browser entry of the report: brings prices and charts to life. The page is complete without it. */
import { decideAgain } from "../decide/decide.ts";
import { readPageData } from "../tell/html/page-data.ts";
import { measuresOf } from "../numbers/measures.ts";
import { inflated } from "./inflate.ts";
import { liveCharts } from "./live-charts.ts";
import { openWhatIsLinked } from "./open-linked.ts";
import { startPaper } from "./paper.ts";
import { startWhatIf } from "./what-if.ts";
import { whenIdle } from "./when-idle.ts";

openWhatIsLinked(document);
startPaper(document);

// A page on very many strips holds no data to work anything out with.
if (document.getElementById("page-data") !== null)
  void inflated(document, "page-data").then((text) =>
    whenIdle(window, () => {
      const data = readPageData(text);
      const report = decideAgain(data.modelled, data.modelled.settings);
      const measures = measuresOf(report, data.numbers);
      startWhatIf(document, report, measures, liveCharts(document, data, measures, report));
    }),
  );
