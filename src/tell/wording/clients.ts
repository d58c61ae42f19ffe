/** What an adviser wants to see of many clients at once: who stands out, and why. */
import { median } from "simple-statistics";
import type { Interval, NextRate, Result } from "../../vocabulary/result.ts";
import { measuresOf, type Measures } from "../../numbers/measures.ts";
import { assumedSentence } from "./assumed.ts";
import { gainText, moveOf } from "./next.ts";
import { fixed, listed } from "../../numbers/written-numbers.ts";
import { bareRate, likelyRates, rangeName } from "./optimum.ts";

/** What the summary needs of a client's own result: little, because thousands of clients are held at once. */
export interface ClientResult extends Pick<
  Result,
  "units" | "settings" | "next" | "environments" | "rows" | "findings"
> {
  /** Coefficient of variation, the median over the client's trials; null where none is known [%]. */
  medianCvPct: number | null;
}

/** One client with what is shown of the result of its own strips. */
export interface Client {
  name: string;
  result: ClientResult;
  /** File name of the client's own page, beside the summary. */
  page: string;
}

/** A client that is shown in part, separately from the others, or not at all, and what to do. */
export interface Trouble {
  name: string;
  message: string;
}

/** Something about a client that is worth a call. */
export interface StandingOut {
  client: string;
  variety: string | null;
  sentence: string;
  /** Money per area that is at stake, for the order; 0 where none can be named. */
  worthPerHa: number;
}

/**
 * What a client's rates and money are told in: the acres or hectares of all, but the client's own crop and currency.
 *
 * @param measures  of all clients together
 */
export function measuresOfClient({ result }: Pick<Client, "result">, measures: Measures): Measures {
  const { settings, units } = result;
  const own = measuresOf({ settings, units: { ...units, system: measures.system } }, measures.style);
  return own.cropName === measures.cropName && own.currency === measures.currency ? measures : own;
}

/** A crop and a unit that are other than those of all clients together, as they stand beside a variety; "" where none is. */
export const ownMeasures = (own: Measures, { cropName, rateAxis }: Measures): string =>
  [own.cropName === cropName ? "" : own.cropName, own.rateAxis === rateAxis ? "" : own.rateAxis]
    .filter((word) => word !== "")
    .join(", ");

/**
 * Coefficient of variation above which strips vary too much to compare rates.
 * Source: Ohio State Special Circular 166-99, goal of at most 12%.
 */
const mostCvPct = 12;

/**
 * Advice on the varieties of all clients together. One that a single client grows is told as on that client's own page: of all
 * together its rate would be that of fields on which nobody grew it.
 */
export const overClients = (clients: readonly Client[], all: Pick<Result, "next">): NextRate[] =>
  all.next.map((next) => {
    const [own, other] = rowsOf(clients, next.variety);
    return own === undefined || other !== undefined ? next : own.next;
  });

/** The rows of one variety, in the order of the clients. */
export const rowsOf = (clients: readonly Client[], variety: string): { client: Client; next: NextRate }[] =>
  clients.flatMap((client) =>
    client.result.next.filter((next) => next.variety === variety).map((next) => ({ client, next })),
  );

/** Varieties that one client alone grows, where there are several clients. */
export const grownByOne = (clients: readonly Client[], { next }: Pick<Result, "next">): string[] =>
  clients.length < 2
    ? []
    : next.map(({ variety }) => variety).filter((variety) => rowsOf(clients, variety).length === 1);

/** Who stands out, those with most money at stake first. */
export function standingOut(clients: readonly Client[], all: Result, measures: Measures): StandingOut[] {
  const together = overClients(clients, all);
  return clients
    .flatMap(({ name, result }) =>
      [
        ...result.next.flatMap((next) => [
          rateOutside(next, measuresOfClient({ result }, measures)),
          result.settings.crop === all.settings.crop ? bestElsewhere(next, together, measures) : null,
        ]),
        unevenStrips(result, measures),
      ]
        .filter((found) => found !== null)
        .map((found) => ({ client: name, ...found })),
    )
    .sort((a, b) => b.worthPerHa - a.worthPerHa || (a.client < b.client ? -1 : 1));
}

/** Clients whose best rate of a variety is likely outside the range of all clients together. */
export function standingApart(
  clients: readonly Client[],
  all: Result,
  measures: Measures,
): { client: string; variety: string }[] {
  const together = overClients(clients, all);
  return clients.flatMap(({ name, result }) =>
    result.next.flatMap((next) =>
      bestElsewhere(next, together, measures) === null ? [] : [{ client: name, variety: next.variety }],
    ),
  );
}

type Found = Omit<StandingOut, "client"> | null;

/** On which side of an interval a rate lies; null within it, or where the interval is open at that end. */
const sideOf = (rate: number, { lower, upper, openBelow, openAbove }: Interval): "above" | "below" | null =>
  rate > upper && openAbove !== true ? "above" : rate < lower && openBelow !== true ? "below" : null;

/** Today's rate, where it is known, is outside the narrower range of the best one. */
function rateOutside(next: NextRate, measures: Measures): Found {
  const [likely] = next.intervals;
  const now = next.rateNowSeedsPerM2;
  if (likely === undefined || next.evidence === "none" || moveOf(next) === "same") return null;
  if (now === null) return null;
  const side = sideOf(now, likely);
  if (side === null) return null;
  return {
    variety: next.variety,
    sentence: `sows ${measures.rate.text(now)}, ${side} the ${rangeName(likely.level, measures)} of the best rate (${likelyRates(likely, measures)}); ${next.gainPerHa === null ? "what the next step earns is not known" : `the next step should earn ${gainText(next, measures)}`}.`,
    worthPerHa: Math.max(0, next.gainPerHa?.expected ?? 0),
  };
}

/** The best rate of all clients is outside this farm's wider range; outside the narrower one it would be on one farm in five by chance. */
function bestElsewhere(next: NextRate, together: readonly NextRate[], measures: Measures): Found {
  const [, likely] = next.intervals;
  const overall = together.find((row) => row.variety === next.variety)?.economicOptimum;
  if (likely === undefined || next.evidence === "none" || overall?.kind !== "found") return null;
  const rate = overall.rateSeedsPerM2;
  const side = sideOf(rate, likely);
  if (side === null) return null;
  return {
    variety: next.variety,
    sentence: `the best rate on this farm (${rangeName(likely.level, measures)} ${likelyRates(likely, measures)}) is ${side === "below" ? "above" : "below"} that of all clients together, ${bareRate(rate, measures)}.`,
    worthPerHa: 0,
  };
}

/** Prices and the like that clients did not give: each assumption once, with the clients it concerns. */
export function assumedOfClients(
  clients: readonly Client[],
  measures: Measures,
): { who: string; sentence: string }[] {
  const concerned = new Map<string, string[]>();
  for (const { name, result } of clients) {
    const sentence = assumedSentence(result, measuresOf(result, measures.style));
    if (sentence !== "") concerned.set(sentence, [...(concerned.get(sentence) ?? []), name]);
  }
  return [...concerned].map(([sentence, names]) => ({
    who: names.length === clients.length ? "All clients" : listed(names),
    sentence,
  }));
}

function unevenStrips(result: Client["result"], { style }: Measures): Found {
  const { medianCvPct: cv } = result;
  return cv === null || cv <= mostCvPct
    ? null
    : {
        variety: null,
        sentence: `strips vary with a coefficient of variation of ${fixed(cv, 0, style)}%, above the ${mostCvPct}% up to which rates can be compared.`,
        worthPerHa: 0,
      };
}

/** What is kept of a result for the summary. */
export function ofClient({
  units,
  settings,
  next,
  environments,
  rows,
  findings,
  fits,
}: Result): ClientResult {
  return { units, settings, next, environments, rows, findings, medianCvPct: medianCv(fits) };
}

function medianCv(fits: Result["fits"]): number | null {
  const known = fits.flatMap(({ anova }) => (anova === null || anova.cvPct === null ? [] : [anova.cvPct]));
  return known.length === 0 ? null : median(known);
}
