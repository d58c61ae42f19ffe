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
  const place = firstLost(told, []);
  if (place === null) return told;
  throw numberLost(place);
}

function firstLost(told: unknown, path: (string | number)[]): string | null {
  if (typeof told === "number") return Number.isFinite(told) ? null : path.join(".");
  if (typeof told !== "object" || told === null || ArrayBuffer.isView(told)) return null;
  const keys = Array.isArray(told) ? told.keys() : Object.keys(told);
  for (const key of keys) {
    path.push(key);
    const found = firstLost((told as Record<string | number, unknown>)[key], path);
    if (found !== null) return found;
    path.pop();
  }
  return null;
}
