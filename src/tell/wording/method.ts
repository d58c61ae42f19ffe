/** How the rates were found, in plain words, and where the method comes from. */
import type { Result } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";

export function methodParagraphs(result: Result, measures: Measures): string[] {
  const { settings } = result;
  return [
    "For each variety, thousands of possible response curves are compared with the strips of all seasons. The better a curve fits, the more it counts. No single curve is picked as the winner: the expected yield at a rate is the weighted average over all of them.",
    "Seasons differ, and next year's weather will not repeat any of them. How much the curve moved from season to season is part of every range shown. Fields of the same season shared its weather, so two fields in one year teach less about other years than two years would.",
    `The best rate is where the value of the grain minus the cost of the seed is highest. A rate changes by at most ${measures.share(settings.largestStep)} a season, and not at all where the gain would be less than ${measures.moneyPerArea.chosen(settings.flatZonePerHa)}.`,
    "A few strips cannot define a curve by themselves, so the analysis starts from assumptions. They are weak, they are our own choice, and all are listed below. Strips of a few seasons outweigh them. The details of each variety show what the best rate would be with other assumptions.",
  ];
}

export const sources: string[] = [
  "Choosing by expected value: Berger 1985, Statistical Decision Theory and Bayesian Analysis, 2nd ed.",
  "Weak assumptions on lodging: Gelman 2008, Statistics in Medicine 27:2865; Gelman et al. 2008, Annals of Applied Statistics 2:1360.",
  "Bushel weights and moisture: Iowa Code §210.10; UF/IFAS AG442; wheat at 60 lb: common practice.",
  "More seed when late: common practice, no printed source.",
  "Colours of the charts: Okabe & Ito 2008, Color Universal Design.",
];
