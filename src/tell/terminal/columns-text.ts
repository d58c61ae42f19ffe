/** What `stripcurve columns` prints. */
import type { KnownFile } from "../../vocabulary/known-columns.ts";
import { indented, type TextStyle } from "./text-table.ts";

/** Every file with its columns: meaning, other names, units; and an example of it. */
export const columnsText = (files: readonly KnownFile[], style: TextStyle): string =>
  `${files
    .map(({ title, columns, example }) =>
      [
        style.heading(title),
        ...columns.map(({ name, needed, meaning, also, units }) =>
          [
            `  ${name}${needed ? " (needed)" : ""}: ${meaning}`,
            ...(also.length === 0 ? [] : [`      also: ${also.join(", ")}`]),
            ...(units.length === 0 ? [] : [`      units: ${units.join(", ")}`]),
          ].join("\n"),
        ),
        `  Example:\n${indented(indented(example.trimEnd()))}`,
      ].join("\n"),
    )
    .join("\n\n")}\n`;
