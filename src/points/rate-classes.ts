/** Rates as the drill logged them → the few rates that were asked for. */

export interface RateClass {
  /** Middle of the rates in it. */
  rate: number;
  lowest: number;
  highest: number;
  points: number;
}

/** Width of a bin, and of the bell it is smoothed with, as shares of the rate. */
const bin = 0.005;
const bell = 0.02;
/** Rarer than this among all points, rates are passing from one class to the next. */
const rarest = 0.01;
/** Two classes are apart where fewer than this share of the smaller one's height lies between. */
const deepestValley = 0.5;

/**
 * Rates in classes: heaps on a scale of ratios, parted at the lowest place between them.
 *
 * @param rates NaN where nothing is known
 * @returns lowest class first
 */
export function rateClasses(rates: Float64Array): RateClass[] {
  const known = rates.filter((rate) => rate > 0).sort();
  if (known.length === 0) return [];
  const least = Math.log(known[Math.floor(0.001 * known.length)]!) - 5 * bell;
  const most = Math.log(known[Math.floor(0.999 * (known.length - 1))]!) + 5 * bell;
  const bins = Math.max(1, Math.ceil((most - least) / bin) + 1);
  const heights = new Float64Array(bins);
  for (const rate of known) {
    const at = Math.round((Math.log(rate) - least) / bin);
    if (at >= 0 && at < bins) heights[at]!++;
  }
  const smooth = smoothed(heights, bell / bin);
  const tops: number[] = [];
  for (let i = 1; i < bins - 1; i++)
    if (smooth[i]! > smooth[i - 1]! && smooth[i]! >= smooth[i + 1]!) tops.push(i);
  // From left to right: a top that no deep valley parts from the one before is of the same heap.
  const heaps: { top: number; cut: number }[] = [];
  for (const top of tops) {
    const before = heaps.at(-1);
    if (before === undefined) {
      heaps.push({ top, cut: 0 });
      continue;
    }
    let valley = before.top;
    for (let i = before.top; i <= top; i++) if (smooth[i]! < smooth[valley]!) valley = i;
    if (smooth[valley]! < deepestValley * Math.min(smooth[before.top]!, smooth[top]!))
      heaps.push({ top, cut: valley });
    else if (smooth[top]! > smooth[before.top]!) before.top = top;
  }
  const classes = heaps.map(({ cut }, index): RateClass => {
    const from = Math.exp(least + (cut - 0.5) * bin);
    const to = index === heaps.length - 1 ? Infinity : Math.exp(least + (heaps[index + 1]!.cut - 0.5) * bin);
    const inside = known.filter((rate) => rate > (index === 0 ? 0 : from) && rate <= to);
    return {
      rate: inside[inside.length >> 1] ?? NaN,
      lowest: index === 0 ? 0 : from,
      highest: to,
      points: inside.length,
    };
  });
  return classes.filter(({ points }) => points >= rarest * known.length);
}

function smoothed(values: Float64Array, width: number): Float64Array {
  const reach = Math.ceil(4 * width);
  const weights = Array.from({ length: 2 * reach + 1 }, (_, i) =>
    Math.exp(-0.5 * ((i - reach) / width) ** 2),
  );
  return values.map((_, i) => {
    let sum = 0;
    for (let j = Math.max(0, i - reach); j <= Math.min(values.length - 1, i + reach); j++)
      sum += values[j]! * weights[j - i + reach]!;
    return sum;
  });
}

/** The class of a rate: the one whose middle is nearest, if it is within a tenth of it; −1 for none. */
export function classOf(rate: number, classes: readonly RateClass[]): number {
  for (let c = 0; c < classes.length; c++) {
    const one = classes[c]!;
    if (rate > one.lowest && rate <= one.highest && Math.abs(rate / one.rate - 1) <= 0.12) return c;
  }
  return -1;
}
