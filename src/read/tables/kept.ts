/** What was worked out for a key before, or is now: columns repeat a few values many times. */
export function kept<Key, Value>(known: Map<Key, Value>, key: Key, workOut: () => Value): Value {
  let value = known.get(key);
  if (value === undefined) known.set(key, (value = workOut()));
  return value;
}
