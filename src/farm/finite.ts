/** Every result passes here before it is shown: no number in it is missing. */
import { numberLost } from "../messages/amounts.ts";

/**
 * Returns a result, once every number in it is a finite number.
 *
 * Takes time in proportion to the size of the result.
 *
 * @throws TrialError `number-lost` with the place of the first value that is not a finite number
 */
export function allFinite<Told>(told: Told): Told {
  const place = firstLost(told);
  if (place === null) return told;
  throw numberLost(place.join("."));
}

/** Where the first value that is not a finite number stands; null where all are. */
function firstLost(told: unknown): (string | number)[] | null {
  if (typeof told === "number") return Number.isFinite(told) ? null : [];
  if (typeof told !== "object" || told === null || ArrayBuffer.isView(told)) return null;
  if (Array.isArray(told)) {
    // By index: a large trial has millions of lists and numbers.
    for (let i = 0; i < told.length; i++) {
      const within = firstLost(told[i]);
      if (within !== null) return [i, ...within];
    }
    return null;
  }
  for (const key of Object.keys(told)) {
    const within = firstLost((told as Record<string, unknown>)[key]);
    if (within !== null) return [key, ...within];
  }
  return null;
}
