/** The one door by which results leave: no number in them is missing. */
import { numberLost } from "../messages/amounts.ts";

/**
 * Gives a result on, once every number in it is one.
 *
 * Linear in what it holds.
 *
 * @throws TrialError `number-lost` with the place of the first number that is none, or is endless
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
