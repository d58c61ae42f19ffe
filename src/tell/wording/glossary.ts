import type { Measures } from "../../numbers/measures.ts";
import { capitalized } from "../../numbers/written-numbers.ts";
import type { Result } from "../../vocabulary/result.ts";
import { rangeName } from "./optimum.ts";

/**
 * The words of the page, explained; ranges are those of the settings.
 *
 * @param answers whether what a lesson asks for is explained, too
 */
export function glossaryTerms(
  { settings }: Pick<Result, "settings">,
  measures: Measures,
  { answers } = { answers: true },
): { term: string; meaning: string }[] {
  const [narrow, wide] = settings.intervalLevels;
  return [
    {
      term: "Strip",
      meaning: "One strip of a field, sown to one variety at one rate and harvested on its own.",
    },
    {
      term: "Block",
      meaning:
        "A group of neighbouring strips that holds each rate once, so that rates are compared on similar ground.",
    },
    { term: "Site-year", meaning: "One field in one season: strips that shared soil and weather." },
    {
      term: "Viable seeds",
      meaning:
        "Seeds that would germinate: seeds sown × germination × purity. Rates on this page are always viable seeds.",
    },
    { term: "Lot", meaning: "One delivery of seed with its own seeds per pound, germination and price." },
    { term: "Stand", meaning: "Plants that came up, counted early in the season." },
    { term: "Highest yield", meaning: "The rate at which the expected yield is highest." },
    {
      term: "Most profitable",
      meaning: `The rate at which the last seed added still pays for itself.${answers ? " It is lower than the rate of highest yield, because seed costs money." : ""}`,
    },
    {
      term: "Flat zone",
      meaning:
        "The rates that earn within a small stated sum of the best. Inside it, the exact rate hardly matters.",
    },
    {
      term: `${capitalized(rangeName(narrow, measures))}, ${rangeName(wide, measures)}`,
      meaning: `Where the true value is, given the strips and the starting assumptions: of a hundred such ranges, about ${Math.round(100 * narrow)} or ${Math.round(100 * wide)} include it.`,
    },
    {
      term: "Evidence",
      meaning: `How well the strips show where the best rate is. Strong: three seasons or more, and the ${rangeName(narrow, measures)} covers at most ${measures.share(0.4)} of the rates tested. Fair: two seasons or more, and at most ${measures.share(0.65)}. Of two rates alone: how surely one earns more, ${measures.share(0.95)} or ${measures.share(0.8)}. None yet: the strips say nothing about the best rate. Weak: everything else, and wherever rate and ground go together; one word less where two ways of reading the strips disagree, or two seasons.`,
    },
    {
      term: "Starting assumptions",
      meaning:
        "What is assumed about response curves before looking at the strips (statisticians call it the prior). The fewer the strips, the more it counts. All of it is listed under the method.",
    },
    {
      term: "Standard error",
      meaning: "How far an estimate is typically off because strips differ by chance.",
    },
    { term: "Lodging", meaning: "Crop that leans or lies flat before harvest; 0 is upright." },
  ];
}
