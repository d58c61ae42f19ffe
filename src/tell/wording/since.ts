/** What changed since an earlier result, and why: new strips, moved prices and limits, another region, another rate on the farm. */
import type { NextRate, Optimum, Result } from "../../vocabulary/result.ts";
import { rateOr } from "./next.ts";
import { scoreText } from "./lodging.ts";
import type { Measures } from "../../numbers/measures.ts";
import { capitalized, counted, siteYears, listed } from "../../numbers/written-numbers.ts";
import { bareRate, likelyRange, rangeName, widthOf } from "./optimum.ts";
import { placeNames } from "./places.ts";

/** An earlier result, and what the same strips give at today's prices, lots and limits. */
export interface Earlier {
  result: Result;
  atTodaysPrices: Result;
}

/** Above this many, site-years are counted, not named. */
const mostPlacesNamed = 6;

/** What is new as a whole: strips, prices, limits, varieties. */
export const newsSentences = (now: Result, { result: then }: Earlier, measures: Measures): string[] => [
  stripsNews(now, then, measures),
  ...settingsNews(now, then, measures),
  ...seedPriceNews(now, then, measures),
  ...regionNews(now, then),
  ...goneVarieties(now, then),
  ...(then.engineVersion === now.engineVersion
    ? []
    : [
        `The earlier result came from stripcurve ${then.engineVersion}, this one from ${now.engineVersion}: part of the change may come from the program.`,
      ]),
];

function stripsNews(now: Result, then: Result, measures: Measures): string {
  const idsOf = (result: Result): Set<string> => new Set(result.environments.map((place) => place.id));
  const only = (result: Result, other: Result): string[] => {
    const known = idsOf(other);
    const names = placeNames(result);
    return result.environments
      .filter((place) => !known.has(place.id))
      .map((place) => names.get(place.id) ?? place.id);
  };
  const places = (all: string[]): string =>
    all.length > mostPlacesNamed ? siteYears(all.length) : listed(all);
  const added = only(now, then);
  const gone = only(then, now);
  const strips = `${counted(now.rows.used, "strip", measures.style)} now, ${counted(then.rows.used, "strip", measures.style)} then.`;
  return [
    added.length > 0 ? `New: ${places(added)}.` : "No new field or season.",
    gone.length > 0 ? `No longer here: ${places(gone)}.` : "",
    now.rows.used === then.rows.used ? "" : capitalized(strips),
  ]
    .filter((sentence) => sentence !== "")
    .join(" ");
}

function settingsNews(now: Result, then: Result, measures: Measures): string[] {
  const scale = now.lodging[0]?.scale ?? null;
  const told = [
    ["grainPricePerKg", "Grain", measures.grainPrice.chosen],
    ["largestStep", "The largest step", measures.share],
    ["flatZonePerHa", "The sum that defines the flat zone", measures.moneyPerArea.chosen],
    ["lodgingLimit", "The lodging limit", (limit: number) => scoreText(limit, scale, measures)],
  ] as const;
  return told
    .filter(([key]) => differs(then.settings[key], now.settings[key]))
    .map(([key, what, text]) => `${what} was ${text(then.settings[key])}, now ${text(now.settings[key])}.`);
}

const seedPriceNews = (now: Result, then: Result, { seedPrice }: Measures): string[] =>
  now.next.flatMap((next) => {
    const before = rowOf(then, next.variety);
    return before === undefined || !differs(before.seedPricePerThousand, next.seedPricePerThousand)
      ? []
      : [
          `A million viable seeds of ${next.variety} cost ${seedPrice.number(before.seedPricePerThousand)} then, ${seedPrice.number(next.seedPricePerThousand)} now.`,
        ];
  });

function regionNews(now: Result, then: Result): string[] {
  if (sameRegion(now, then)) return [];
  if (then.settings.region === null) return ["A region of other farms now adds to what the strips say."];
  return now.settings.region === null
    ? ["The region of other farms that was used then is no longer used."]
    : ["The region of other farms is not the one used then, or knows more now."];
}

const sameRegion = (now: Pick<Result, "settings">, then: Pick<Result, "settings">): boolean =>
  JSON.stringify(now.settings.region) === JSON.stringify(then.settings.region);

function goneVarieties(now: Result, then: Result): string[] {
  const gone = then.varieties.filter((variety) => !now.varieties.includes(variety));
  return gone.length === 0 ? [] : [`No longer in these strips: ${listed(gone)}.`];
}

/** What changed for one variety, and what changed it. */
export function changeInShort(next: NextRate, now: Result, earlier: Earlier, measures: Measures): string[] {
  const then = rowOf(earlier.result, next.variety);
  const repriced = rowOf(earlier.atTodaysPrices, next.variety);
  if (then === undefined || repriced === undefined)
    return [
      now.varieties.includes(next.variety) ? "New in these strips." : "New here, and without strips so far.",
    ];
  return [
    advised(then, next, measures),
    advisedByField(then, next, measures),
    sowed(then, next, measures),
    movedBest(
      { then: then.economicOptimum, repriced: repriced.economicOptimum, now: next.economicOptimum },
      movedByRegion(repriced, next, now, earlier),
      measures,
    ),
  ].filter((sentence) => sentence !== "");
}

/** The same, and how much surer or less sure it has become. */
export function changeSentences(next: NextRate, now: Result, earlier: Earlier, measures: Measures): string[] {
  const then = rowOf(earlier.result, next.variety);
  const short = changeInShort(next, now, earlier, measures);
  if (then === undefined) return short;
  return [
    ...short,
    then.evidence === next.evidence ? "" : `Evidence was ${then.evidence}, now ${next.evidence}.`,
    movedRange(then, next, measures),
  ].filter((sentence) => sentence !== "");
}

const sameRate = (a: number | null, b: number | null, { rate }: Measures): boolean =>
  a === null || b === null ? a === b : rate.number(a) === rate.number(b);

const advised = (then: NextRate, now: NextRate, measures: Measures): string =>
  sameRate(then.rateNextSeedsPerM2, now.rateNextSeedsPerM2, measures)
    ? `Advised ${rateOr(now.rateNextSeedsPerM2, measures.rate.text, "no rate")}, as then.`
    : `Advised ${rateOr(then.rateNextSeedsPerM2, (rate) => bareRate(rate, measures), "no rate")} then, ${rateOr(now.rateNextSeedsPerM2, measures.rate.text, "no rate")} now.`;

/** Where each field has a rate of its own, then or now. */
function advisedByField({ byField: then }: NextRate, { byField: now }: NextRate, measures: Measures): string {
  if (now?.differ !== true)
    return then?.differ === true
      ? `Each ${then.by} had a rate of its own then; now no ${then.by} is shown to need one.`
      : "";
  const before = then?.differ === true ? then.fields : [];
  const each = now.fields.map(({ field, rateNextSeedsPerM2: rate }) => {
    const was = before.find((one) => one.field === field)?.rateNextSeedsPerM2 ?? null;
    return { told: `${field} ${bareRate(rate, measures)}`, field, rate, was };
  });
  if (before.length === 0)
    return `Each ${now.by} has a rate of its own now: ${each.map(({ told }) => told).join("; ")}.`;
  const isAsThen = ({ was, rate }: (typeof each)[number]): boolean => sameRate(was, rate, measures);
  if (each.every(isAsThen)) return `By ${now.by}: ${listed(each.map(({ told }) => told))}, as then.`;
  const changes = each.map((one) =>
    one.was === null
      ? one.told
      : isAsThen(one)
        ? `${one.told}, as then`
        : `${one.field} ${bareRate(one.was, measures)} then, ${bareRate(one.rate, measures)} now`,
  );
  return `By ${now.by}: ${changes.join("; ")}.`;
}

function sowed(then: NextRate, now: NextRate, measures: Measures): string {
  if (sameRate(then.rateNowSeedsPerM2, now.rateNowSeedsPerM2, measures)) return "";
  const followed = sameRate(then.rateNextSeedsPerM2, now.rateNowSeedsPerM2, measures);
  const sown = ({ rateNowSeedsPerM2 }: NextRate): string =>
    rateOr(rateNowSeedsPerM2, (rate) => bareRate(rate, measures), "a rate not given");
  return `Sown at ${sown(then)} then, ${sown(now)} now${followed ? ", as advised" : ""}.`;
}

/** A width that changes by this share is mentioned. */
const tellingWidth = 0.1;

function movedRange(then: NextRate, now: NextRate, measures: Measures): string {
  const [before] = then.intervals;
  const [likely] = now.intervals;
  if (before === undefined || likely === undefined) return "";
  const [was, is] = [before.upper - before.lower, likely.upper - likely.lower];
  if (!(was > 0) || Math.abs(is / was - 1) < tellingWidth) return "";
  return `${capitalized(rangeName(likely.level, measures))} of the best rate: ${likelyRange(before, measures)} then, ${likelyRange(likely, measures)} now.`;
}

/** By how much more, or less, the region moves the best rate now than it did then [seeds/m²]; 0 with the same region or none. */
function movedByRegion(
  then: NextRate,
  now: NextRate,
  result: Result,
  { result: earlier, atTodaysPrices }: Earlier,
): number {
  if (sameRegion(atTodaysPrices, earlier)) return 0;
  const [before, today] = [then.economicOptimum, now.economicOptimum];
  // The same strips changed nothing: their own answer is only as exact as the steps it is looked for in, and is found again each time.
  return sameStrips(result, earlier) && before.kind === "found" && today.kind === "found"
    ? today.rateSeedsPerM2 - before.rateSeedsPerM2
    : addedByRegion(now) - addedByRegion(then);
}

/** True where both have the same rates and yields of the same varieties in the same places. */
const sameStrips = (now: Result, then: Result): boolean =>
  now.strips.length === then.strips.length && inOneText(now.strips) === inOneText(then.strips);

/** Asked for once for each variety, so the text is kept. */
const textsKnown = new WeakMap<Result["strips"], string>();

/** The same for any order of the strips. */
function inOneText(strips: Result["strips"]): string {
  const text =
    textsKnown.get(strips) ??
    strips
      .map((strip) =>
        JSON.stringify([strip.variety, strip.environment, strip.rateSeedsPerM2, strip.yieldKgPerHa]),
      )
      .sort()
      .join("\n");
  textsKnown.set(strips, text);
  return text;
}

function addedByRegion({ economicOptimum: best, sensitivity }: NextRate): number {
  const without = sensitivity.find(({ prior }) => prior === "without-region");
  return without === undefined || best.kind !== "found" ? 0 : best.rateSeedsPerM2 - without.rateSeedsPerM2;
}

/**
 * How far the best rate moved: first by today's prices and limits, then by the strips, then by another region.
 *
 * @param byRegion  as `movedByRegion` gives it
 */
function movedBest(
  { then, repriced, now }: { then: Optimum; repriced: Optimum; now: Optimum },
  byRegion: number,
  measures: Measures,
): string {
  if (then.kind !== "found" || repriced.kind !== "found" || now.kind !== "found") {
    const [before, today] = [bestText(then, measures), bestText(now, measures)];
    return before === today ? "" : `Best rate: ${before} then, ${today} now.`;
  }
  const width = widthOf(now);
  const told = (rate: number): string => bareRate(rate, measures, width);
  // Between the rates as shown, so that a reader who subtracts them gets the same.
  const asTold = (rate: number): number => measures.rate.rounded(rate, width);
  const moved = (from: number, to: number, cause: string): string[] =>
    told(from) === told(to)
      ? []
      : [`${cause} moved it ${to > from ? "up" : "down"} by ${told(Math.abs(asTold(to) - asTold(from)))}`];
  const causes = [
    ...moved(then.rateSeedsPerM2, repriced.rateSeedsPerM2, "prices and limits"),
    ...moved(repriced.rateSeedsPerM2, now.rateSeedsPerM2 - byRegion, "the strips"),
    ...moved(now.rateSeedsPerM2 - byRegion, now.rateSeedsPerM2, "the region"),
  ];
  const way =
    told(then.rateSeedsPerM2) === told(now.rateSeedsPerM2)
      ? "stays near"
      : `went from ${told(then.rateSeedsPerM2)} to`;
  const why = causes.length === 0 ? "" : `: ${listed(causes)}`;
  return `The best rate ${way} ${measures.rate.number(now.rateSeedsPerM2, width)}${why}.`;
}

function bestText(optimum: Optimum, { rate }: Measures): string {
  switch (optimum.kind) {
    case "found":
      return `near ${rate.number(optimum.rateSeedsPerM2)}`;
    case "at-edge":
      return `at or ${optimum.edge === "highest" ? "above" : "below"} ${rate.number(optimum.rateSeedsPerM2)}`;
    case "none":
      return "none found";
  }
}

const rowOf = (result: Result, variety: string): NextRate | undefined =>
  result.next.find((row) => row.variety === variety);

/** By more than the rounding of a unit conversion. */
const differs = (a: number, b: number): boolean =>
  Math.abs(a - b) > 1e-6 * Math.max(Math.abs(a), Math.abs(b));
