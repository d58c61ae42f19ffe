/** `stripcurve desk`: the whole job as one page, for who has no command line. */
import type { Command } from "commander";
import { readOwnFile, standardStream, writeWhole } from "./files.ts";
import { say } from "./messages.ts";
import { addOverwriteOption, type OutputOptions } from "./shared-options.ts";

interface DeskOptions extends OutputOptions {
  output: string;
  quiet?: boolean;
}

const examples = `
Example:
  stripcurve desk -o stripcurve.html
      One file that opens in any current browser, without a network and without installing anything. Mail it, put it
      on a stick or on a web site. What is opened in it stays on the computer.`;

/** Adds options, help and action. */
export function defineDesk(command: Command): void {
  command
    .description(
      "Writes the desk: one HTML file for the whole job, from dropped files to the drill, without a command line.",
    )
    .requiredOption("-o, --output <file>", "where the page goes, or - for standard output")
    .option("--quiet", "say nothing but errors");
  addOverwriteOption(command)
    .addHelpText("after", examples)
    .action(async (options: DeskOptions) => {
      const content = await readOwnFile("desk.html");
      await writeWhole([{ path: options.output, content }], options.overwrite === true);
      if (options.quiet !== true && options.output !== standardStream) say(`Wrote ${options.output}.`);
    });
}
