/** Scores of a calibration, kept in a file, one a line: families are scored apart, and the table is written from all. */
import { readFileSync, writeFileSync } from "node:fs";

/** What is asked of scores on the command line. */
export const scoresOptions = {
  scores: { type: "string" },
  from: { type: "string" },
  family: { type: "string" },
} as const;

/** The families asked for: one, or all. */
export function chosenFamilies<F extends { name: string }>(families: readonly F[], asked?: string): F[] {
  const chosen = families.filter(({ name }) => asked === undefined || name === asked);
  if (chosen.length === 0) throw new Error(`There is no family "${asked!}".`);
  return chosen;
}

/**
 * Makes scores, or reads them from a file, and keeps them where that is asked for.
 *
 * @returns null where one family alone was asked for: of it there is no table, and its scores are written instead
 */
export async function scoresOf<Scored>(
  asked: { scores?: string; from?: string; family?: string },
  make: () => Promise<Scored[]> | Scored[],
): Promise<Scored[] | null> {
  const scored =
    asked.from === undefined
      ? await make()
      : readFileSync(asked.from, "utf8")
          .trim()
          .split("\n")
          .map((line) => JSON.parse(line) as Scored);
  const lines = scored.map((one) => `${JSON.stringify(one)}\n`).join("");
  if (asked.scores !== undefined) writeFileSync(asked.scores, lines);
  if (asked.family === undefined) return scored;
  if (asked.scores === undefined) process.stdout.write(lines);
  return null;
}
