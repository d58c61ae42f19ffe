/** Things put together by a key, sorted by it. */
export function groupBy<T>(things: readonly T[], keyOf: (thing: T) => string): [string, T[]][] {
  const groups = new Map<string, T[]>();
  for (const thing of things) {
    const key = keyOf(thing);
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [thing]);
    else group.push(thing);
  }
  return [...groups].sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0));
}
