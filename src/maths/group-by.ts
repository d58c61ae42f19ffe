/** Things put together by a key. */

/** One thing or more. */
export type Some<T> = [first: T, ...others: T[]];

/** A sorted copy. */
export function sorted<T>(things: Readonly<Some<T>>, order: (a: T, b: T) => number): Some<T> {
  const copy: Some<T> = [...things];
  return copy.sort(order);
}

/** The same things under each key, keys in the order met. */
export function gather<T, K>(things: readonly T[], keyOf: (thing: T) => K): Map<K, Some<T>> {
  const gathered = new Map<K, Some<T>>();
  for (const thing of things) {
    const key = keyOf(thing);
    const group = gathered.get(key);
    if (group === undefined) gathered.set(key, [thing]);
    else group.push(thing);
  }
  return gathered;
}

/** The same, sorted by the key. */
export const groupBy = <T>(things: readonly T[], keyOf: (thing: T) => string): [string, Some<T>][] =>
  [...gather(things, keyOf)].sort(([a], [b]) => (a < b ? -1 : 1));
