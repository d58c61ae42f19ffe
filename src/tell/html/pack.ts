/**
 * Plain JSON made small for the page, and back: rows of like objects become a list of keys and rows of values, numbers
 * keep twelve significant digits.
 */

/** Rows of like objects. The key cannot be one of the result's. */
interface PackedRows {
  "rows of": string[];
  rows: unknown[][];
}

/**
 * @example pack([{ a: 1, b: 2 }, { a: 3, b: 4 }]) // { "rows of": ["a", "b"], rows: [[1, 2], [3, 4]] }
 */
export function pack(value: unknown): unknown {
  if (typeof value === "number") return Number(value.toPrecision(12));
  if (Array.isArray(value)) {
    const keys = commonKeys(value);
    return keys === null
      ? value.map(pack)
      : ({
          "rows of": keys,
          rows: (value as Record<string, unknown>[]).map((row) => keys.map((key) => pack(row[key]))),
        } satisfies PackedRows);
  }
  if (typeof value === "object" && value !== null)
    return Object.fromEntries(Object.entries(value).map(([key, part]) => [key, pack(part)]));
  return value;
}

/** What `pack` was given, but for digits beyond the twelfth. */
export function unpack(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(unpack);
  if (typeof value !== "object" || value === null) return value;
  if (isPackedRows(value)) {
    const keys = value["rows of"];
    return value.rows.map((row) => Object.fromEntries(row.map((part, index) => [keys[index], unpack(part)])));
  }
  return Object.fromEntries(Object.entries(value).map(([key, part]) => [key, unpack(part)]));
}

const isPackedRows = (value: object): value is PackedRows => "rows of" in value;

/** The keys of two or more objects that all have the same, in the same order; null for any other list. */
function commonKeys(list: readonly unknown[]): string[] | null {
  if (list.length < 2) return null;
  const keysOf = (item: unknown): string[] | null =>
    typeof item === "object" && item !== null && !Array.isArray(item) ? Object.keys(item) : null;
  const first = keysOf(list[0]);
  if (first === null || first.length === 0) return null;
  const same = (keys: string[] | null): boolean =>
    keys !== null && keys.length === first.length && keys.every((key, index) => key === first[index]);
  return list.every((item) => same(keysOf(item))) ? first : null;
}
