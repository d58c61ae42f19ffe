/** The middle value, of an even number the upper of the two in the middle; NaN of none. */
export function middleOf(values: ArrayLike<number>): number {
  const sorted = Float64Array.from(values).sort();
  return sorted.length === 0 ? NaN : sorted[sorted.length >> 1]!;
}

/** Middle of each value and those up to so many to either side: what comes and goes is put into its place in what is sorted. */
export function middlesAround(values: Float64Array, aside: number): Float64Array {
  const sorted = new Float64Array(2 * aside + 2);
  let length = 0;
  const placeOf = (value: number): number => {
    let place = 0;
    while (place < length && sorted[place]! < value) place++;
    return place;
  };
  const put = (value: number): void => {
    const place = placeOf(value);
    sorted.copyWithin(place + 1, place, length++);
    sorted[place] = value;
  };
  const take = (value: number): void => {
    const place = placeOf(value);
    sorted.copyWithin(place, place + 1, length--);
  };
  for (let at = 0; at < Math.min(aside, values.length); at++) put(values[at]!);
  return values.map((_, at) => {
    if (at + aside < values.length) put(values[at + aside]!);
    if (at > aside) take(values[at - aside - 1]!);
    return sorted[length >> 1]!;
  });
}
