/**
 * What each strip gave where cuts cover several: a cut's yield is the mean of its strips' yields, weighed by the area that
 * it has in each, so that all cuts of a stretch together are a weighted regression with one unknown a strip.
 */

/** A cut: its yield, its ground [m²], and the share of it in each strip; shares add up to 1. */
export interface Cut {
  value: number;
  area: number;
  strips: number[];
  shares: number[];
}

export interface StripPart {
  strip: number;
  value: number;
  /** Ground of the cuts that lies in the strip [m²]. */
  area: number;
  /** Ground of cuts wholly inside it that would tell as much [m²]. */
  worthArea: number;
}

/** Of the usual weight of a strip in the regression, for what no cut tells. */
const hardlyAnything = 1e-9;

/**
 * Least squares with areas as weights over the cuts of one stretch.
 *
 * @param rank of each strip across the field: neighbours have near ranks, which keeps the equations narrow
 * @returns one part for each strip that a cut touches; one that cannot be told from its neighbours has next to no worth
 */
export function unmixCuts(cuts: readonly Cut[], rank: readonly number[]): StripPart[] {
  const strips = [...new Set(cuts.flatMap((cut) => cut.strips))].sort((a, b) => rank[a]! - rank[b]!);
  const n = strips.length;
  const at = new Map(strips.map((strip, index) => [strip, index]));
  const [area, right] = [new Float64Array(n), new Float64Array(n)];
  const middle =
    cuts.reduce((sum, cut) => sum + cut.value * cut.area, 0) / cuts.reduce((sum, cut) => sum + cut.area, 0);
  let band = 0;
  for (const cut of cuts) {
    const places = cut.strips.map((strip) => at.get(strip)!);
    band = Math.max(band, Math.max(...places) - Math.min(...places));
  }
  // Lower half of the normal equations: row i holds columns i − band … i.
  const width = band + 1;
  const normal = new Float64Array(n * width);
  for (const cut of cuts) {
    cut.strips.forEach((strip, a) => {
      const i = at.get(strip)!;
      const weighed = cut.area * cut.shares[a]!;
      area[i]! += weighed;
      right[i]! += weighed * (cut.value - middle);
      cut.strips.forEach((other, b) => {
        const j = at.get(other)!;
        if (j <= i) normal[i * width + band - (i - j)]! += weighed * cut.shares[b]!;
      });
    });
  }
  for (let i = 0; i < n; i++) {
    const first = Math.max(0, i - band);
    for (let j = first; j <= i; j++) {
      let sum = normal[i * width + band - (i - j)]!;
      for (let k = Math.max(first, j - band); k < j; k++)
        sum -= normal[i * width + band - (i - k)]! * normal[j * width + band - (j - k)]!;
      normal[i * width + band - (i - j)] =
        i === j ? Math.sqrt(Math.max(sum, hardlyAnything * area[i]!)) : sum / normal[j * width + band]!;
    }
  }
  const root = (i: number, j: number): number => normal[i * width + band - (i - j)]!;
  const forward = (values: Float64Array, from: number): void => {
    for (let i = from; i < n; i++) {
      let sum = values[i]!;
      for (let j = Math.max(from, i - band); j < i; j++) sum -= root(i, j) * values[j]!;
      values[i] = sum / root(i, i);
    }
  };
  forward(right, 0);
  for (let i = n - 1; i >= 0; i--) {
    let sum = right[i]!;
    for (let j = i + 1; j < Math.min(n, i + band + 1); j++) sum -= root(j, i) * right[j]!;
    right[i] = sum / root(i, i);
  }
  return strips.map((strip, i) => {
    const unit = new Float64Array(n);
    unit[i] = 1;
    forward(unit, i);
    const variance = unit.reduce((sum, one) => sum + one * one, 0);
    return { strip, value: middle + right[i]!, area: area[i]!, worthArea: 1 / variance };
  });
}
