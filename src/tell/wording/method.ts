/** How the rates were found, in plain words, and where the method comes from. */
import type { Result } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";

export function methodParagraphs(result: Result, measures: Measures): string[] {
  const { settings } = result;
  return [
    "For each variety, thousands of possible response curves are compared with the strips of all seasons. The better a curve fits, the more it counts. No single curve is picked as the winner: the expected yield at a rate is the weighted average over all of them.",
    "Seasons differ, and next year's weather will not repeat any of them. How much the curve moved from season to season is part of every range shown. Fields of the same season shared its weather, so two fields in one year teach less about other years than two years would.",
    `The best rate is where the value of the grain minus the cost of the seed is highest. A rate changes by at most ${measures.chosenShare(settings.largestStep)} a season, and not at all where the gain would be less than ${measures.moneyPerArea.chosen(settings.flatZonePerHa)}.`,
    "A few strips cannot define a curve by themselves, so the analysis starts from assumptions. They are weak, they are our own choice, and all are listed below. Strips of a few seasons outweigh them. The details of each variety show what the best rate would be with other assumptions.",
  ];
}

export const sources: string[] = [
  "Choosing by expected value: Berger 1985, Statistical Decision Theory and Bayesian Analysis, 2nd ed.",
  "Curves of each field and season: Engelstad & Parks 1971, Agronomy Journal 63:21 (plateau forms); Hurvich & Tsai 1989, Biometrika 76:297, and Burnham & Anderson 2002, Model Selection and Multimodel Inference, 2nd ed. (AICc and weights).",
  "Ranges of a fitted best rate: Fieller 1954, J. Royal Statistical Society B 16:175; Bachmaier 2009, Statistical Papers 50:649.",
  "Strips far from their curve: Belsley, Kuh & Welsch 1980, Regression Diagnostics. Analysis of variance and LSD: Gomez & Gomez 1984, Statistical Procedures for Agricultural Research, 2nd ed.",
  "All seasons together: Bates, Mächler, Bolker & Walker 2015, J. Statistical Software 67(1); Satterthwaite 1946, Biometrics Bulletin 2:110.",
  "Viable seed and catch test: University of Maryland Extension 2019; secondary, as the farm press printed them: South Dakota State University Extension 2014 (spring-wheat seeding rates 2010–13), University of Kentucky (table of catches over 150 ft).",
  "Weak assumptions on lodging: Gelman 2008, Statistics in Medicine 27:2865; Gelman et al. 2008, Annals of Applied Statistics 2:1360.",
  "Bushel weights and moisture: Iowa Code §210.10; Mulvaney & Devkota 2020, University of Florida IFAS Extension AG442; wheat at 60 lb: common practice.",
  "More seed when late: common practice, no printed source.",
  "Lodging scored 0 to 9, 9 flat: common practice, no printed source.",
  "Treated seed: Minnesota Department of Agriculture, treated seed; North Dakota Century Code 4.1-53-14. Late seeding and insurance in the US: University of Nebraska–Lincoln, CropWatch 2015; US Department of Agriculture, Risk Management Agency, frequently asked questions.",
  "Colours of the charts: Okabe & Ito 2008, Color Universal Design.",
];
