/** Things put together by a key. */

/** The same things under each key, keys in the order met. */
export function gather<T, K>(things: readonly T[], keyOf: (thing: T) => K): Map<K, T[]> {
  const gathered = new Map<K, T[]>();
  for (const thing of things) {
    const key = keyOf(thing);
    const group = gathered.get(key);
    if (group === undefined) gathered.set(key, [thing]);
    else group.push(thing);
  }
  return gathered;
}

/** The same, sorted by the key. */
export const groupBy = <T>(things: readonly T[], keyOf: (thing: T) => string): [string, T[]][] =>
  [...gather(things, keyOf)].sort(([a], [b]) => (a < b ? -1 : 1));
