/** The two parts that a pattern takes out of a text, null where it does not fit. Both are in whatever fits. */
export function pairIn(pattern: RegExp, text: string): [first: string, second: string] | null {
  const [, first, second] = pattern.exec(text) ?? [];
  return first === undefined || second === undefined ? null : [first, second];
}
