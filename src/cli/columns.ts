/** `stripcurve columns`: every column that is understood, what else it may be called, in what units, with an example. */
import type { Command } from "commander";
import { columnsText } from "../tell/terminal/columns-text.ts";
import { columnsKnown } from "../read/strips/columns-known.ts";
import { styleFor } from "./messages.ts";
import { writeWhole } from "./files.ts";
import { addOverwriteOption, type OutputOptions } from "./shared-options.ts";

interface ColumnsOptions extends OutputOptions {
  output: string;
}

/** Adds options, help and action. */
export function defineColumns(command: Command): void {
  addOverwriteOption(
    command
      .description("Lists every column and entry that is understood: names, synonyms, units, an example.")
      .option("-o, --output <file>", "write there instead of to standard output", "-"),
  ).action(async (options: ColumnsOptions) => {
    const content = columnsText(columnsKnown(), styleFor(options.output));
    await writeWhole([{ path: options.output, content }], options.overwrite === true);
  });
}
