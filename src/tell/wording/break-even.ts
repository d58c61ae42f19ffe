/** The prices between which the advice holds. */
import type { NextRate, PriceRange, Result } from "../../vocabulary/result.ts";
import type { Measure, Measures } from "../../numbers/measures.ts";
import { counted, listed } from "../../numbers/written-numbers.ts";
import { moveOf, type Move } from "./next.ts";

/** "from $4.50 to $10.50/bu": rounded inward, so that it holds at the prices shown. */
function rangeText({ lower, upper, looked }: PriceRange, price: Measure): string {
  const step = stepOf(price.value(looked[1]));
  const inward = (value: number, up: boolean): number => {
    const steps = price.value(value) / step;
    return price.engine((up ? Math.ceil(steps - 1e-6) : Math.floor(steps + 1e-6)) * step);
  };
  const text = (value: number): string => price.text(value);
  if (lower === null && upper === null)
    return looked[0] === 0
      ? `at every price tried, up to ${text(looked[1])}`
      : `at every price tried, from ${price.number(looked[0])} to ${text(looked[1])}`;
  if (lower === null) return `up to ${text(inward(upper!, false))}`;
  const least = inward(lower, true);
  return upper === null
    ? `from ${text(least)} up`
    : `from ${price.number(least)} to ${text(inward(upper, false))}`;
}

/** A price that a person can keep in mind: a step of 1 to 2% of it, as 1, 2 or 5 times a power of ten. */
function stepOf(value: number): number {
  const hundredth = value / 100;
  const power = 10 ** Math.floor(Math.log10(hundredth));
  const lead = hundredth / power;
  return power * (lead >= 5 ? 5 : lead >= 2 ? 2 : 1);
}

const advice: Record<Exclude<Move, "none" | "best">, string> = {
  more: "Sowing more",
  less: "Sowing less",
  same: "Keeping today's rate",
};

/** "Sowing less remains the advice with grain from $4.50 to $10.50/bu, and with seed up to $31 per million viable seeds."; "" where no rate is advised. */
export function breakEvenSentence(next: NextRate, measures: Measures): string {
  const move = moveOf(next);
  if (next.holdsAt === null || move === "none" || move === "best") return "";
  const { grainPricePerKg, seedPricePerThousand } = next.holdsAt;
  return `${advice[move]} remains the advice with grain ${rangeText(grainPricePerKg, measures.grainPrice)}, and with seed ${rangeText(seedPricePerThousand, measures.seedPrice)}, if nothing else changes.`;
}

/** With more varieties than this, they are counted instead of named. */
const mostNamed = 4;

/** For all varieties together: "This advice holds with grain from $4.50 to $10.50/bu (below that, Telluwick changes first)."; "" where none is advised. */
export function breakEvenOfAll({ next }: Pick<Result, "next">, measures: Measures): string {
  const known = next.flatMap(({ variety, holdsAt }) =>
    holdsAt === null ? [] : [{ variety, range: holdsAt.grainPricePerKg }],
  );
  const [first] = known;
  if (first === undefined) return "";
  const lowest = ends(known, "lower", (a, b) => b - a);
  const highest = ends(known, "upper", (a, b) => a - b);
  const range = { lower: lowest?.price ?? null, upper: highest?.price ?? null, looked: first.range.looked };
  const told = known.length < 2 ? "" : changesFirst(lowest?.variety, highest?.variety);
  const names = known.map(({ variety }) => variety);
  const advised =
    known.length === next.length
      ? "This advice"
      : `The advice for ${names.length > mostNamed ? counted(names.length, "variety") : listed(names)}`;
  return `${advised} holds with grain ${rangeText(range, measures.grainPrice)}${told}.`;
}

/** " (below that, Alder changes first; above it, Birch)"; "" where none changes. */
function changesFirst(below: string | undefined, above: string | undefined): string {
  if (above === undefined) return below === undefined ? "" : ` (below that, ${below} changes first)`;
  if (below === undefined) return ` (above that, ${above} changes first)`;
  return below === above
    ? ` (beyond either, ${below} changes first)`
    : ` (below that, ${below} changes first; above it, ${above})`;
}

/** The nearest end of all ranges, with its variety; undefined where none ends. */
const ends = (
  known: readonly { variety: string; range: PriceRange }[],
  end: "lower" | "upper",
  order: (a: number, b: number) => number,
): { variety: string; price: number } | undefined =>
  known
    .flatMap(({ variety, range }) => (range[end] === null ? [] : [{ variety, price: range[end] }]))
    .sort((a, b) => order(a.price, b.price) || (a.variety < b.variety ? -1 : 1))[0];
