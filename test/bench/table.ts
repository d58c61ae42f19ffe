/** What every measurement of the engine prints. */

/** Milliseconds that something takes: the first time, and the median of some more. */
export function time(runs: number, task: () => void): { first: number; median: number } {
  const all = Array.from({ length: runs + 1 }, () => {
    const start = performance.now();
    task();
    return performance.now() - start;
  });
  const rest = all.slice(1).sort((a, b) => a - b);
  return { first: all[0]!, median: rest[Math.floor(rest.length / 2)] ?? all[0]! };
}

export const say = (line: string): void => void process.stdout.write(`${line}\n`);

/** Columns as wide as their widest cell; the first to the left, the others to the right. */
export function table(head: string[], rows: string[][]): void {
  const widths = head.map((cell, c) => Math.max(cell.length, ...rows.map((row) => row[c]!.length)));
  for (const row of [head, ...rows])
    say(
      row
        .map((cell, c) => (c === 0 ? cell.padEnd(widths[c]!) : cell.padStart(widths[c]!)))
        .join("  ")
        .trimEnd(),
    );
  say("");
}
