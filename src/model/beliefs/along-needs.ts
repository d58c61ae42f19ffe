/** Likelihoods along the axis of log need: moved, smoothed and brought to one scale. */

/** The first and the last place of a part of an axis; none where the last comes before the first. */
export interface Ends {
  first: number;
  last: number;
}

/** exp(log) / √bend along a ray. */
export interface LaplaceLikelihood {
  logs: Float64Array;
  bends: Float64Array;
}

/** Likelihoods along the axis that run on beyond both ends as they are there. */
export class WithEnds {
  private readonly values: Float64Array;
  private readonly count: number;
  private readonly beyond: number;

  constructor(count: number, beyond: number) {
    this.values = new Float64Array(count + 2 * beyond);
    this.count = count;
    this.beyond = beyond;
  }

  /** @returns logarithm of what the likelihoods were divided by */
  takeLikelihoods({ logs, bends }: LaplaceLikelihood, where: Ends): number {
    const { values, beyond } = this;
    const scaledBy = largest(logs, where);
    for (let j = where.first; j <= where.last; j++)
      values[beyond + j] = Math.exp(logs[j]! - scaledBy) / Math.sqrt(bends[j]!);
    this.runOn(where);
    return scaledBy;
  }

  /**
   * Becomes another row smoothed: at each place the sum of its neighbours' values by their weights.
   *
   * @param kernel  weights of a place itself and of its neighbours 1, 2, … places away on either side
   * @param where   places that are worked out
   */
  takeSmoothed(from: WithEnds, kernel: Float64Array, where: Ends): void {
    const { values, beyond } = this;
    const last = beyond + where.last;
    for (let place = beyond + where.first; place <= last; place++) {
      let sum = kernel[0]! * from.values[place]!;
      for (let d = 1; d < kernel.length; d++)
        sum += kernel[d]! * (from.values[place - d]! + from.values[place + d]!);
      values[place] = sum;
    }
    this.runOn(where);
  }

  /**
   * Multiplies by the values a number of steps further on; between places by a cubic, as in `addShifted`, but never
   * below 0.
   */
  multiplyShifted(into: Float64Array, steps: number, where: Ends): void {
    const { values } = this;
    const whole = Math.floor(steps);
    const part = steps - whole;
    const at = this.beyond + whole;
    if (part === 0) {
      for (let j = where.first; j <= where.last; j++) into[j]! *= values[at + j]!;
      return;
    }
    const [a, b, c, d] = cubicBetween(part);
    const from = at + where.first;
    let before = values[from - 1]!;
    let here = values[from]!;
    let next = values[from + 1]!;
    for (let j = where.first; j <= where.last; j++) {
      const after = values[at + j + 2]!;
      const value = a * before + b * here + c * next + d * after;
      into[j]! *= value > 0 ? value : 0;
      before = here;
      here = next;
      next = after;
    }
  }

  private runOn({ first, last }: Ends): void {
    const { values, count, beyond } = this;
    if (first === 0) values.fill(values[beyond]!, 0, beyond);
    if (last === count - 1) values.fill(values[beyond + count - 1]!, beyond + count);
  }
}

/** Weights of the four nearest places for a part of a step beyond the second (Catmull & Rom 1974, in: Computer Aided Geometric Design, 317–326). */
function cubicBetween(part: number): [number, number, number, number] {
  const [square, cube] = [part * part, part * part * part];
  return [
    -0.5 * part + square - 0.5 * cube,
    1 - 2.5 * square + 1.5 * cube,
    0.5 * part + 2 * square - 1.5 * cube,
    -0.5 * square + 0.5 * cube,
  ];
}

/** The largest value from `first` to `last`, both included. */
export function largest(values: Float64Array, { first, last }: Ends): number {
  let most = -Infinity;
  for (let j = first; j <= last; j++) if (values[j]! > most) most = values[j]!;
  return most;
}

/** Logarithms of likelihoods smoothed along the axis; beyond its ends they stay as at the ends. */
export function smoothedLogs(logs: Float64Array, kernel: Float64Array): Float64Array {
  const most = largest(logs, { first: 0, last: logs.length - 1 });
  const reach = kernel.length - 1;
  const values = new Float64Array(logs.length + 2 * reach);
  for (let j = 0; j < logs.length; j++) values[reach + j] = Math.exp(logs[j]! - most);
  values.fill(values[reach]!, 0, reach);
  values.fill(values[reach + logs.length - 1]!, reach + logs.length);
  const smoothed = new Float64Array(logs.length);
  for (let j = 0; j < smoothed.length; j++) {
    const place = reach + j;
    let sum = kernel[0]! * values[place]!;
    for (let d = 1; d <= reach; d++) sum += kernel[d]! * (values[place - d]! + values[place + d]!);
    smoothed[j] = Math.log(sum + 1e-300) + most;
  }
  return smoothed;
}

/**
 * Adds values read a number of steps further on; beyond the ends, the value at the end.
 *
 * Between places a cubic through the four nearest: a straight line would be below every hill, so that shifts of whole
 * steps would seem likelier than others.
 */
export function addShifted(into: Float64Array, values: Float64Array, steps: number): void {
  const last = values.length - 1;
  const whole = Math.floor(steps);
  const part = steps - whole;
  if (whole === 0 && part === 0) {
    for (let j = 0; j <= last; j++) into[j]! += values[j]!;
    return;
  }
  const [a, b, c, d] = cubicBetween(part);
  const within = (at: number): number => (at < 0 ? 0 : at > last ? last : at);
  for (let j = 0; j <= last; j++) {
    const at = j + whole;
    into[j]! +=
      at >= 1 && at + 2 <= last
        ? a * values[at - 1]! + b * values[at]! + c * values[at + 1]! + d * values[at + 2]!
        : a * values[within(at - 1)]! +
          b * values[within(at)]! +
          c * values[within(at + 1)]! +
          d * values[within(at + 2)]!;
  }
}

/** Divides by the largest of all; those below the least become 0. */
export function scaleDown(likelihoods: Float64Array, most: number, least: number, where: Ends): Ends {
  let first = likelihoods.length;
  let last = -1;
  for (let j = where.first; j <= where.last; j++) {
    if (likelihoods[j]! <= least) {
      likelihoods[j] = 0;
      continue;
    }
    likelihoods[j]! /= most;
    if (j < first) first = j;
    last = j;
  }
  return { first, last };
}
