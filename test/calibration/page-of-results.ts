/** What the pages of both calibrations are made of: means, shares, tables and bars. */

export const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;
export const share = (yes: readonly boolean[]): number => mean(yes.map(Number));
export const percent = (value: number): string => `${(100 * value).toFixed(0)} %`;

export function table(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const line = (cells: readonly string[]): string => `| ${cells.join(" | ")} |`;
  return [line(head), line(head.map((_, i) => (i === 0 ? "---" : "--:"))), ...rows.map(line)].join("\n");
}

/** A bar, met or not, with its numbers. */
export const barLine = (met: boolean, text: string): string => `- ${met ? "met" : "**not met**"}: ${text}`;

/** What a bar does not hold for: "; not in flat, quadratic"; "" where it holds for all. */
export const but = (word: string, names: readonly string[]): string =>
  names.length === 0 ? "" : `; ${word} ${names.join(", ")}`;
