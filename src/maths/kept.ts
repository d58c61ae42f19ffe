/** What was worked out for a key before, or is now: for the few values that many things share. */
export function kept<Key, Value>(known: Map<Key, Value>, key: Key, workOut: () => Value): Value {
  let value = known.get(key);
  if (value === undefined) known.set(key, (value = workOut()));
  return value;
}
