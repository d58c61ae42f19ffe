/** The strips of a variety as signs of a picture: one sign a strip, or in a large trial one a rate in each field-season. */
import type { Result, StripPoint } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";
import type { Row } from "./chart.ts";
import { round } from "./look.ts";

/** With more strips than this, signs would hide each other. */
const mostStripSigns = 250;
/** With more seasons than this, their shapes could not be told apart. */
const mostShapes = 4;

export interface StripSigns {
  /** Fields x, y and season. */
  rows: Row[];
  /** What one sign is, to begin a sentence: "Each sign is a strip". */
  meaning: string;
}

/**
 * Signs of all strips that have a value.
 *
 * @param value what is drawn upward, in the person's unit; null where it was not observed
 */
export function stripSigns(
  result: Result,
  variety: string,
  measures: Measures,
  value: (strip: StripPoint) => number | null,
): StripSigns {
  const label = seasonLabel(result);
  const seen = result.strips.flatMap((strip) => {
    const y = strip.variety === variety ? value(strip) : null;
    return y === null ? [] : [{ strip, y }];
  });
  if (seen.length <= mostStripSigns)
    return { rows: seen.map(({ strip, y }) => sign(strip, y)), meaning: "Each sign is a strip" };
  const groups = new Map<string, { strip: StripPoint; sum: number; strips: number }>();
  for (const { strip, y } of seen) {
    const key = `${strip.environment}\n${round(strip.rateSeedsPerM2)}`;
    const group = groups.get(key) ?? { strip, sum: 0, strips: 0 };
    groups.set(key, { strip, sum: group.sum + y, strips: group.strips + 1 });
  }
  return {
    rows: [...groups.values()].map(({ strip, sum, strips }) => sign(strip, sum / strips)),
    meaning: "Each sign is the mean of one rate in one field-season",
  };

  function sign(strip: StripPoint, y: number): Row {
    return { x: round(measures.rate.value(strip.rateSeedsPerM2)), y: round(y), season: label(strip) };
  }
}

/** What the legend calls the strips of a season; one name for all where there are too many seasons for a shape each. */
export function seasonLabel(result: Result): (strip: Pick<StripPoint, "environment">) => string {
  const season = new Map(result.environments.map((place) => [place.id, place.season]));
  const few = new Set(season.values()).size <= mostShapes;
  return ({ environment }) => (few ? `strips ${season.get(environment) ?? ""}` : "strips of all seasons");
}
