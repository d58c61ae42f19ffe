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
  if (Array.isArray(told)) {
    // By index: a large trial has millions of lists and numbers.
    for (let i = 0; i < told.length; i++) {
      const found = firstLostIn(told[i], i, path);
      if (found !== null) return found;
    }
    return null;
  }
  for (const key of Object.keys(told)) {
    const found = firstLostIn((told as Record<string, unknown>)[key], key, path);
    if (found !== null) return found;
  }
  return null;
}

function firstLostIn(part: unknown, key: string | number, path: (string | number)[]): string | null {
  if (typeof part === "number" && Number.isFinite(part)) return null;
  path.push(key);
  const found = firstLost(part, path);
  if (found === null) path.pop();
  return found;
}
