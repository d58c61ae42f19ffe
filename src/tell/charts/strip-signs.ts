/** The strips of a variety as marks of a picture: one mark a strip, or in a large trial one a rate in each site-year. */
import type { Result, StripPoint } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";
import type { Row } from "./chart.ts";
import type { ShownStrip } from "../thin-strips.ts";
import { round } from "./look.ts";

/** With more strips than this, signs would hide each other. */
const mostStripSigns = 250;
/** With more, a page would be slow to open. */
const mostSigns = 1000;
/** Of rates, in a site-year. */
const fewestClasses = 8;
/** With more seasons than this, their shapes would look alike. */
const mostShapes = 4;
/** With more, a legend has no room but for the years: what a mark is stands above the picture. */
const mostInWords = 3;

/** Strips that share a sign: sums of rates [seeds/m²] and of the value. */
interface Group {
  strip: StripPoint;
  rates: number;
  sum: number;
  strips: number;
}

/** Lowest and highest of however many rates: more than a function can be given as arguments. */
export const endsOf = (rates: readonly number[]): [lowest: number, highest: number] =>
  rates.reduce(([low, high], rate) => [Math.min(low, rate), Math.max(high, rate)], [Infinity, -Infinity]);

export interface StripSigns {
  /** Fields x, y and season. */
  rows: Row[];
  /** What one mark is, to begin a sentence: "Each mark is one strip". */
  meaning: string;
  /** The strip of each mark; null where marks are means. */
  strips: readonly StripPoint[] | null;
}

/** Strips that are a mark each; null where one stands for others, too. */
export const oneMarkEach = (strips: readonly ShownStrip[]): readonly StripPoint[] | null =>
  strips.every(({ standsFor = 1 }) => standsFor === 1) ? strips : null;

/** No price moves a strip: the signs of a result's strips are made once for each person's units. */
const madeBefore = new WeakMap<Result["strips"], WeakMap<Measures, Map<string, StripSigns>>>();

/**
 * Signs of all strips that have a value.
 *
 * @param of    names the value: the signs are made once for each name and variety
 * @param value what is drawn upward, in the person's unit; null where it was not observed
 */
export function stripSigns(
  result: Result,
  variety: string,
  measures: Measures,
  of: string,
  value: (strip: StripPoint) => number | null,
): StripSigns {
  const ofStrips = madeBefore.get(result.strips) ?? new WeakMap<Measures, Map<string, StripSigns>>();
  const made = ofStrips.get(measures) ?? new Map<string, StripSigns>();
  const key = `${of}\n${variety}`;
  const signs = made.get(key) ?? makeSigns(result, variety, measures, value);
  madeBefore.set(result.strips, ofStrips.set(measures, made.set(key, signs)));
  return signs;
}

function makeSigns(
  result: Result,
  variety: string,
  measures: Measures,
  value: (strip: StripPoint) => number | null,
): StripSigns {
  const label = seasonLabel(result);
  const seen = result.strips.flatMap((strip: ShownStrip) => {
    const y = strip.variety === variety ? value(strip) : null;
    return y === null ? [] : [{ strip, y }];
  });
  if (seen.length <= mostStripSigns)
    return {
      rows: seen.map(({ strip, y }) => sign(strip, y)),
      meaning: "Each mark is one strip",
      strips: oneMarkEach(seen.map(({ strip }) => strip)),
    };
  const groups = new Map<string, Group>();
  for (const { strip, y } of seen) {
    add(groups, `${strip.environment}\n${round(strip.rateSeedsPerM2)}`, strip, y);
  }
  if (groups.size <= mostSigns)
    return {
      rows: meansOf(groups),
      meaning: "Each mark is the mean of one rate in one site-year",
      strips: null,
    };
  // Rates that were measured rather than set are each another: classes of like rates instead.
  const classOf = rateClasses(seen.map(({ strip }) => strip));
  const alike = new Map<string, Group>();
  for (const { strip, y } of seen) add(alike, `${strip.environment}\n${classOf(strip)}`, strip, y);
  return {
    rows: meansOf(alike),
    meaning: "Each mark is the mean of like rates in one site-year",
    strips: null,
  };

  function add(to: Map<string, Group>, key: string, strip: ShownStrip, y: number): void {
    const { standsFor = 1 } = strip;
    const group = to.get(key) ?? { strip, rates: 0, sum: 0, strips: 0 };
    to.set(key, {
      strip,
      rates: group.rates + standsFor * strip.rateSeedsPerM2,
      sum: group.sum + standsFor * y,
      strips: group.strips + standsFor,
    });
  }

  function meansOf(some: ReadonlyMap<string, Group>): Row[] {
    return [...some.values()].map(({ strip, rates, sum, strips }) =>
      sign({ ...strip, rateSeedsPerM2: rates / strips }, sum / strips),
    );
  }

  function sign(strip: StripPoint, y: number): Row {
    return { x: round(measures.rate.value(strip.rateSeedsPerM2)), y: round(y), season: label(strip) };
  }
}

/** Which class of like rates a strip is in: so many classes that the site-years together have no more than a chart holds. */
function rateClasses(strips: readonly StripPoint[]): (strip: StripPoint) => number {
  const [lowest, highest] = endsOf(strips.map(({ rateSeedsPerM2 }) => rateSeedsPerM2));
  const places = new Set(strips.map(({ environment }) => environment)).size;
  const classes = Math.max(fewestClasses, Math.floor(mostSigns / places));
  return ({ rateSeedsPerM2 }) =>
    Math.min(classes - 1, Math.floor(((rateSeedsPerM2 - lowest) / (highest - lowest)) * classes));
}

/** What the legend calls the strips of a season; one name for all where there are too many seasons for a shape each. */
export function seasonLabel(result: Result): (strip: Pick<StripPoint, "environment">) => string {
  const season = new Map(result.environments.map((place) => [place.id, place.season]));
  const { size } = new Set(season.values());
  const words = size <= mostInWords ? "strips " : "";
  return ({ environment }) =>
    size <= mostShapes ? `${words}${season.get(environment) ?? ""}` : "strips of all seasons";
}
