/**
 * How well a strip's mean is known: points along a pass repeat one another, so that many are worth few.
 *
 * Values of cells along the strips follow an exponential correlation with a share of noise from cell to cell; range and
 * share are estimated over all strips together by restricted maximum likelihood (Patterson & Thompson 1971), each strip
 * with a mean of its own. Same model as `gls(y ~ strip - 1, correlation = corExp(form = ~ s | strip, nugget = TRUE))` of R's nlme.
 */

/** Cells of one strip: place along it [m], value, and area as weight. */
export interface Series {
  place: number[];
  value: number[];
  weight: number[];
  /** Variance of each cell's noise as a multiple of that of a plain mean; left out where all are 1. */
  spread?: number[];
}

export interface AlongCorrelation {
  /** Correlation of two cells h metres apart: (1 − noise) · exp(−h / rangeM). */
  rangeM: number;
  noise: number;
  variance: number;
  logLikelihood: number;
}

interface Fit {
  logLikelihood: number;
  variance: number;
}

/** More strips than this teach the correlation nothing new. */
const mostSeries = 60;

/** Restricted log-likelihood, and the variance at which it is highest. */
export function likelihoodAlong(series: readonly Series[], rangeM: number, noise: number): Fit {
  let [logDeterminants, rest, cells] = [0, 0, 0];
  for (const { place, value, spread } of series) {
    const n = place.length;
    if (n < 2) continue;
    const lower = correlationRoot(place, rangeM, noise, spread);
    const ones = solveLower(lower, new Float64Array(n).fill(1));
    const values = solveLower(lower, Float64Array.from(value));
    let [oneOne, oneValue, valueValue] = [0, 0, 0];
    for (let i = 0; i < n; i++) {
      oneOne += ones[i]! ** 2;
      oneValue += ones[i]! * values[i]!;
      valueValue += values[i]! ** 2;
      logDeterminants += 2 * Math.log(lower[i * n + i]!);
    }
    logDeterminants += Math.log(oneOne);
    rest += valueValue - oneValue ** 2 / oneOne;
    cells += n - 1;
  }
  const variance = rest / cells;
  return {
    variance,
    logLikelihood: -0.5 * (cells * (Math.log(2 * Math.PI * variance) + 1) + logDeterminants),
  };
}

/** Lower Cholesky root of the correlation matrix, row by row; noise that is spread counts as often. */
function correlationRoot(
  place: readonly number[],
  rangeM: number,
  noise: number,
  spread?: readonly number[],
): Float64Array {
  const n = place.length;
  const lower = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum =
        i === j
          ? 1 + noise * ((spread?.[i] ?? 1) - 1)
          : (1 - noise) * Math.exp(-Math.abs(place[i]! - place[j]!) / rangeM);
      for (let k = 0; k < j; k++) sum -= lower[i * n + k]! * lower[j * n + k]!;
      lower[i * n + j] = i === j ? Math.sqrt(Math.max(sum, 1e-10)) : sum / lower[j * n + j]!;
    }
  }
  return lower;
}

function solveLower(lower: Float64Array, right: Float64Array): Float64Array {
  const n = right.length;
  for (let i = 0; i < n; i++) {
    let sum = right[i]!;
    for (let j = 0; j < i; j++) sum -= lower[i * n + j]! * right[j]!;
    right[i] = sum / lower[i * n + i]!;
  }
  return right;
}

/**
 * Range and noise share over all series; null where there are too few cells.
 *
 * @param cellM length of a cell: shorter ranges cannot be seen
 */
export function correlationAlong(given: readonly Series[], cellM: number): AlongCorrelation | null {
  const usable = given.filter(({ place }) => place.length >= 4);
  const every = Math.max(1, Math.ceil(usable.length / mostSeries));
  const series = usable.filter((_, index) => index % every === 0);
  if (series.length === 0 || series.reduce((sum, one) => sum + one.place.length - 1, 0) < 10) return null;
  const longest = Math.max(...series.map(({ place }) => place.at(-1)! - place[0]!));
  const [least, most] = [Math.log(cellM / 3), Math.log(10 * longest)];
  const at = (logRange: number, noise: number): number =>
    likelihoodAlong(series, Math.exp(logRange), noise).logLikelihood;
  let best = { logRange: least, noise: 0, value: -Infinity };
  const seen = new Set<string>();
  const consider = (logRange: number, noise: number): void => {
    if (logRange < least || logRange > most || noise < 0 || noise > 0.95) return;
    const place = `${logRange} ${noise}`;
    if (seen.has(place)) return;
    seen.add(place);
    const value = at(logRange, noise);
    if (value > best.value) best = { logRange, noise, value };
  };
  for (let r = 0; r <= 8; r++)
    for (const noise of [0, 0.15, 0.35, 0.6, 0.85]) consider(least + (r * (most - least)) / 8, noise);
  for (
    let [stepRange, stepNoise] = [0.3, 0.1];
    stepRange > 0.004;
    [stepRange, stepNoise] = [stepRange / 2, stepNoise / 2]
  ) {
    for (let before = -Infinity; best.value > before + 1e-9;) {
      before = best.value;
      const { logRange, noise } = best;
      for (const [r, n] of [
        [1, 0],
        [-1, 0],
        [0, 1],
        [0, -1],
        [1, 1],
        [-1, -1],
        [1, -1],
        [-1, 1],
      ] as const)
        consider(logRange + r * stepRange, noise + n * stepNoise);
    }
  }
  const rangeM = Math.exp(best.logRange);
  const { variance, logLikelihood } = likelihoodAlong(series, rangeM, best.noise);
  return { rangeM, noise: best.noise, variance, logLikelihood };
}

/** Standard error of a series' mean weighed by area. */
export function errorOfMean(
  { place, weight, spread }: Series,
  { rangeM, noise, variance }: AlongCorrelation,
): number {
  const total = weight.reduce((a, b) => a + b, 0);
  let sum = 0;
  for (let i = 0; i < place.length; i++) {
    for (let j = 0; j < place.length; j++) {
      const correlation =
        i === j
          ? 1 + noise * ((spread?.[i] ?? 1) - 1)
          : (1 - noise) * Math.exp(-Math.abs(place[i]! - place[j]!) / rangeM);
      sum += weight[i]! * weight[j]! * correlation;
    }
  }
  return Math.sqrt((variance * sum) / total ** 2);
}
