/** How the rates were found, in plain words, and where the method comes from. */
import type { Result } from "../../result.ts";
import type { Measures } from "./measures.ts";

export function methodParagraphs(result: Result, measures: Measures): string[] {
  const { settings } = result;
  return [
    "For each variety, many possible response curves are laid beside the strips of all seasons. Curves that fit well get much weight, curves that fit badly little. No single curve is picked as the winner: the expected yield at a rate is the average over all of them.",
    "Seasons differ, and next year's weather is none of those seen. How much the curve moved between fields and seasons is part of every range shown.",
    `The best rate is where the grain it brings, less the seed it takes, is worth most. One season's move is at most ${measures.share(settings.largestStep)} of today's rate, and none where less than ${measures.moneyPerArea.chosen(settings.flatZonePerHa)} is to be won.`,
  ];
}

export const sources: string[] = [
  "Bushel weights and moisture: Iowa Code §210.10; NDSU Extension AE-1144; UF/IFAS AG442.",
  "More seed when late: NDSU Extension, Optimal Seeding Rates.",
  "Colours of the charts: Okabe & Ito 2008, Color Universal Design.",
];
