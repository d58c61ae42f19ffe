/** What `plan` prints: the trial in a few lines; the page has the rest. */
import type { StripPlan } from "../../vocabulary/strip-plan.ts";
import { closedWidth } from "../../vocabulary/tested-rates.ts";
import { measuresOf } from "../../numbers/measures.ts";
import { chance, toStep } from "../../numbers/written-numbers.ts";
import {
  beyondSentence,
  hasWidth,
  leftOutSentence,
  planAssumedSentence,
  planHeadline,
  planTitle,
  planVerdict,
  seedNeededSentence,
  worthSentence,
} from "../wording/plan.ts";
import { likelyRange } from "../wording/optimum.ts";
import { indented, textTable, type TextStyle } from "./text-table.ts";

export function planText(plan: StripPlan, style: TextStyle): string {
  const measures = measuresOf(plan);
  const { rate } = measures;
  const number = (rateSeedsPerM2: number): string =>
    toStep(rate.value(rateSeedsPerM2), rate.finest, measures.style);
  const columns = [
    { heading: "variety" },
    { heading: "rates" },
    { heading: "80% range now" },
    { heading: "width now", align: "right" as const },
    { heading: "after", align: "right" as const },
    { heading: "worth a season", align: "right" as const },
    { heading: `detects ${measures.moneyPerArea.chosen(plan.request.gainPerHa)}`, align: "right" as const },
  ];
  const rows = plan.varieties.map(({ variety, chosen, now }) => {
    const width = now.range && closedWidth(now.range);
    const after = chosen.finds.intervalWidthSeedsPerM2;
    return [
      variety,
      chosen.ratesSeedsPerM2.map(number).join(" "),
      now.range === null ? "–" : likelyRange(now.range, measures),
      width === null || !hasWidth(width, measures) ? "–" : number(width),
      hasWidth(after, measures) ? number(after) : "–",
      measures.worthPerArea.text(chosen.finds.valuePerHa),
      chosen.finds.chanceToSeeGain === null ? "–" : chance(chosen.finds.chanceToSeeGain),
    ];
  });
  const heading = style.heading(`${planTitle(plan)} (${measures.rateAxis})`);
  const sentences = [
    ...plan.varieties.flatMap((variety) => {
      const beyond = beyondSentence(variety, measures);
      return beyond === "" ? [] : [`${variety.variety}: ${beyond}`];
    }),
    worthSentence(plan.chosen, plan, measures),
    leftOutSentence(plan),
    seedNeededSentence(plan, measures),
    planAssumedSentence(plan, measures),
  ];
  const lines = [
    heading,
    planVerdict(plan, measures),
    planHeadline(plan, measures),
    indented(textTable(columns, rows, style)),
    ...sentences.filter((sentence) => sentence !== ""),
  ];
  return `${lines.join("\n")}\n`;
}
