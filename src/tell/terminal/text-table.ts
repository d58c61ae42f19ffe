/** Tables, headings and colours for a terminal or a plain text file. */
import stringWidth from "string-width";
import { plainLine } from "../plain-text.ts";

/** How text may look: plain, or with the colours and weights of a terminal. */
export interface TextStyle {
  heading: (text: string) => string;
  faint: (text: string) => string;
  warning: (text: string) => string;
  alarm: (text: string) => string;
}

const asIs = (text: string): string => text;

export const plainTextStyle: TextStyle = { heading: asIs, faint: asIs, warning: asIs, alarm: asIs };

const between = (on: number, off: number) => (text: string) => `\u001b[${on}m${text}\u001b[${off}m`;

/** ECMA-48 select graphic rendition: bold, faint, yellow, red. */
export const colouredTextStyle: TextStyle = {
  heading: between(1, 22),
  faint: between(2, 22),
  warning: between(33, 39),
  alarm: between(31, 39),
};

/** One column: its heading, and the side its cells are aligned to. */
export interface TextColumn {
  heading: string;
  align?: "left" | "right";
}

const pad = (text: string, width: number, align: "left" | "right" = "left"): string => {
  const blank = " ".repeat(Math.max(0, width - stringWidth(text)));
  return align === "left" ? text + blank : blank + text;
};

/**
 * A table with its columns lined up, two spaces apart, without trailing blanks.
 *
 * Counts the columns a terminal needs for each character, so that names in any script line up. Control
 * characters are removed from cells.
 */
export function textTable(
  columns: readonly TextColumn[],
  rows: readonly (readonly string[])[],
  style: TextStyle = plainTextStyle,
): string {
  const cells = rows.map((row) => row.map(plainLine));
  const laidOut = columns.map(({ heading, align }, i) => {
    const head = plainLine(heading);
    const width = cells.reduce((most, row) => Math.max(most, stringWidth(row[i] ?? "")), stringWidth(head));
    return { head, cell: (text = "") => pad(text, width, align) };
  });
  const lineOf = (texts: readonly string[]): string =>
    laidOut
      .map(({ cell }, i) => cell(texts[i]))
      .join("  ")
      .trimEnd();
  return [style.faint(lineOf(laidOut.map(({ head }) => head))), ...cells.map(lineOf)].join("\n");
}

/** Every line moved in. */
export const indented = (text: string, by = 2): string => text.replace(/^(?=.)/gm, " ".repeat(by));

/** A cell for what may not be known. */
export const orDash = (value: number | null, text: (value: number) => string): string =>
  value === null ? "–" : text(value);
