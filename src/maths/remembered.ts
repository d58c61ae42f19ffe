/** What follows from a thing alone, worked out once. */

/** More than so many are not kept: then it begins afresh, so that a large trial does not fill the memory. */
const mostKept = 2000;

/**
 * As `make`, and the same result again as long as it is kept.
 *
 * @param make  depends on nothing but the thing, which nobody changes
 * @param by    what the thing is known by: itself, or a part that tells it from others
 * @example const lengthOf = remembered((words: readonly string[]) => words.join(" ").length)
 */
export function remembered<Thing extends object, Made>(
  make: (of: Thing) => Made,
  by: (of: Thing) => object = (of) => of,
): (of: Thing) => Made {
  let known = new WeakMap<object, { made: Made }>();
  let kept = 0;
  return (of) => {
    const key = by(of);
    const before = known.get(key);
    if (before !== undefined) return before.made;
    const made = make(of);
    if (kept === mostKept) {
      known = new WeakMap();
      kept = 0;
    }
    known.set(key, { made });
    kept++;
    return made;
  };
}

/**
 * As `remembered`, of what follows from a second thing as well: kept for the one that it was last asked with.
 *
 * @param make  depends on nothing but the two, which nobody changes
 */
export function rememberedWith<Thing extends object, Other, Made>(
  make: (of: Thing, other: Other) => Made,
  by?: (of: Thing) => object,
): (of: Thing, other: Other) => Made {
  const lastOf = remembered<Thing, { last: { other: Other; made: Made } | null }>(() => ({ last: null }), by);
  return (of, other) => {
    const kept = lastOf(of);
    if (kept.last === null || kept.last.other !== other) kept.last = { other, made: make(of, other) };
    return kept.last.made;
  };
}
