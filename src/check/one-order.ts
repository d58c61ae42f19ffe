/** Strips in one order, whatever the order of files and rows that they came in. */
import type { Strip } from "../vocabulary/trial.ts";

type Key = string | number | null;

/** What strips are ordered by, one after the other: where each is in the field, and then what it holds. */
const keys: readonly ((strip: Strip) => Key)[] = [
  (strip) => strip.season,
  (strip) => strip.farm,
  (strip) => strip.field,
  (strip) => strip.block,
  (strip) => strip.position,
  (strip) => strip.variety,
  (strip) => strip.rateSeedsPerM2,
  (strip) => strip.yieldKgPerHa,
  (strip) => JSON.stringify({ ...strip, place: null }),
  (strip) => strip.place.file,
  (strip) => strip.place.row,
];

/** A block or position that was not recorded comes before any that was. */
function compare(a: Key, b: Key): number {
  if (a === b) return 0;
  if (a === null || b === null) return a === null ? -1 : 1;
  return a < b ? -1 : 1;
}

function compareStrips(a: Strip, b: Strip): number {
  for (const key of keys) {
    const order = compare(key(a), key(b));
    if (order !== 0) return order;
  }
  return 0;
}

/**
 * Strips by season, farm, field, block, position, variety and rate. A sum of fractions depends in its last digit on the
 * order of its terms: one order makes one result of one trial, to the last byte.
 */
export const inOneOrder = (strips: readonly Strip[]): Strip[] => [...strips].sort(compareStrips);
