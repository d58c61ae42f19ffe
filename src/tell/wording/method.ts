/** How the rates were found, in plain words, and where the method comes from. */
import type { Result } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";

export function methodParagraphs(result: Result, measures: Measures): string[] {
  const { settings } = result;
  return [
    "For each variety, many possible response curves are laid beside the strips of all seasons. Curves that fit well get much weight, curves that fit badly little. No single curve is picked as the winner: the expected yield at a rate is the average over all of them.",
    "Seasons differ, and next year's weather is none of those seen. How much the curve moved from season to season is part of every range shown. Fields of one season shared its weather: they teach less of other years than as many years would.",
    `The best rate is where the grain it brings, less the seed it takes, is worth most. One season's move is at most ${measures.share(settings.largestStep)} of today's rate, and none where less than ${measures.moneyPerArea.chosen(settings.flatZonePerHa)} is to be won.`,
    "Few strips cannot tell a curve by themselves, so there are starting beliefs. They are weak and our own choice, stated below, and strips of a few seasons outweigh them; the section of each variety says what other ones would make of the best rate. Four shapes of the rise were laid beside the strips: straight to a level (a fifth of the belief), bent to a level (three tenths), a parabola (a fifth), and ever slower (three tenths).",
  ];
}

export const sources: string[] = [
  "Choosing by what is to be expected: Berger 1985, Statistical Decision Theory and Bayesian Analysis, 2nd ed.",
  "Weak beliefs on lodging: Gelman 2008, Statistics in Medicine 27:2865; Gelman et al. 2008, Annals of Applied Statistics 2:1360.",
  "Bushel weights and moisture: Iowa Code §210.10; UF/IFAS AG442; wheat at 60 lb: common practice.",
  "More seed when late: common practice, no printed source.",
  "Colours of the charts: Okabe & Ito 2008, Color Universal Design.",
];
