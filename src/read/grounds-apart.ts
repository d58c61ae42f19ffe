/** A field that holds several grounds is several places to grow on. */
import { severalGrounds } from "../messages/files.ts";
import type { Finding, Strip } from "../vocabulary/trial.ts";

/**
 * Names strips by field and ground where one field of one season holds more than one ground, so that each is a trial of its
 * own with its own level.
 *
 * @returns which grounds were separated
 */
export function tellGroundsApart(strips: readonly Strip[]): Finding[] {
  const grounds = new Map<string, Set<string>>();
  const fieldOf = ({ farm, field }: Strip): string => JSON.stringify([farm, field]);
  const placeOf = (strip: Strip): string => JSON.stringify([strip.season, fieldOf(strip)]);
  for (const strip of strips) {
    if (strip.ground === undefined) continue;
    const place = placeOf(strip);
    grounds.set(place, (grounds.get(place) ?? new Set()).add(strip.ground));
  }
  const mixed = strips.filter((strip) => (grounds.get(placeOf(strip))?.size ?? 0) > 1);
  if (mixed.length === 0) return [];
  // A field is named alike in all seasons.
  const fields = new Set(mixed.map(fieldOf));
  const names = [...new Set(mixed.map(({ field }) => field))];
  for (const strip of strips)
    if (fields.has(fieldOf(strip)) && strip.ground !== undefined)
      strip.field = strip.field === "" ? strip.ground : `${strip.field} (${strip.ground})`;
  return [severalGrounds(names)];
}
