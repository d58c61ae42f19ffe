/** An axis of evenly spaced logarithms. */
export interface LogAxis {
  /** Logarithm of the first value. */
  from: number;
  step: number;
  count: number;
}

/**
 * @example axisBetween(1, 100, 3) // 1, 10, 100
 */
export const axisBetween = (lowest: number, highest: number, count: number): LogAxis => ({
  from: Math.log(lowest),
  step: Math.log(highest / lowest) / (count - 1),
  count,
});

/** At a place of the axis, or between two. */
export const logOn = ({ from, step }: LogAxis, place: number): number => from + place * step;

/** The logarithms at all places of the axis. */
export const placesOn = (axis: LogAxis): number[] =>
  Array.from({ length: axis.count }, (_, place) => logOn(axis, place));

/**
 * The axis laid anew over the places that hold nearly all of the weight, one more at either end.
 *
 * @param weights     one per place
 * @param negligible  sum of weights that may be left out at either end
 * @param count       places of the new axis, fewer where they would stand closer than half a per cent
 * @returns the axis itself where the new one would be hardly shorter
 */
export function layCloser(axis: LogAxis, weights: Float64Array, negligible: number, count: number): LogAxis {
  let [first, last] = [0, axis.count - 1];
  for (let left = weights[first]!; left < negligible && first < last; left += weights[++first]!);
  for (let right = weights[last]!; right < negligible && last > first; right += weights[--last]!);
  first = Math.max(0, first - 1);
  last = Math.min(axis.count - 1, last + 1);
  if (last - first > worthwhile * (axis.count - 1)) return axis;
  const from = logOn(axis, first);
  const length = (last - first) * axis.step;
  const step = Math.max(length / (count - 1), finest);
  return { from, step, count: Math.ceil(length / step - 1e-9) + 1 };
}

/** No step is closer than half a per cent. */
const finest = 0.005;
/** An axis is laid anew where it becomes shorter than this share of what it was. */
const worthwhile = 2 / 3;
