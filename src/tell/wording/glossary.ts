import type { Measures } from "../../numbers/measures.ts";
import type { Result } from "../../vocabulary/result.ts";
import { timesIn } from "./optimum.ts";

/** The words of the page, explained; how often a range holds is that of the settings. */
export function glossaryTerms(
  { settings }: Pick<Result, "settings">,
  measures: Measures,
): { term: string; meaning: string }[] {
  const [narrow, wide] = settings.intervalLevels.map((level) => timesIn(level, measures));
  return [
    {
      term: "Strip",
      meaning: "One strip of a field, sown to one variety at one rate and harvested on its own.",
    },
    {
      term: "Block",
      meaning:
        "A group of neighbouring strips that holds each rate once, so that rates are compared on like ground.",
    },
    { term: "Field-season", meaning: "One field in one season: strips that shared soil and weather." },
    {
      term: "Viable seeds",
      meaning:
        "Seeds that would germinate: seeds sown × germination × purity. Rates on this page are always viable seeds.",
    },
    { term: "Lot", meaning: "One delivery of seed with its own seeds per pound, germination and price." },
    { term: "Stand", meaning: "Plants that came up, counted in early season." },
    { term: "Most grain", meaning: "The rate at which the expected yield is highest." },
    {
      term: "Most money",
      meaning:
        "The rate at which one more seed costs just what it brings. It lies below the rate of most grain, because seed costs money.",
    },
    {
      term: "Flat zone",
      meaning:
        "The rates that earn within a small stated sum of the best. Inside it the rate hardly matters.",
    },
    {
      term: "Likely between",
      meaning: `The range that would hold the true value ${narrow}; of averages over the seasons tested, ${wide}.`,
    },
    {
      term: "Evidence",
      meaning: `How well the strips tell where the best rate lies. Strong: three seasons or more, and the rates that are best ${narrow} cover at most 40 % of those tested. Fair: two seasons or more, and at most 65 %. Of two rates alone: how surely one earns more, 95 % or 80 %. None yet: nothing tells rates apart. Weak: the rest, and wherever rate and ground go together; one word less where two ways of reading the strips disagree.`,
    },
    {
      term: "Starting beliefs",
      meaning:
        "What is thought of response curves before the strips are looked at; the fewer the strips, the more it weighs. They are listed under the method.",
    },
    {
      term: "Standard error",
      meaning: "How far a figure would typically be off if the same strips were grown again.",
    },
    { term: "Lodging", meaning: "Crop that leans or lies flat before harvest; 0 is upright." },
  ];
}
