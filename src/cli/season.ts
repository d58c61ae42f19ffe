/** `stripcurve season`: a season file to fill in. */
import type { Command } from "commander";
import { seasonTemplate } from "../read/season-file/season-template.ts";
import { readAskedSeason } from "./asked.ts";
import { writeWhole } from "./files.ts";
import {
  addOverwriteOption,
  addSeasonOptions,
  type OutputOptions,
  type SharedOptions,
} from "./shared-options.ts";

interface SeasonOptions extends SharedOptions, OutputOptions {
  output: string;
}

const examples = `
Examples:
  stripcurve season -o season.yaml
      Every entry with its default, its unit and a line of help. What you leave empty is assumed, and answers say so.
  stripcurve season --units metric --crop barley
      For another crop, in other units.
  stripcurve season --season season.yaml --grain-price 5.40 -o low-price.yaml
      A season file with every entry that it lacks, and with another price of grain.`;

/** Adds options, help and action. */
export function defineSeason(command: Command): void {
  command
    .description(
      "Writes a season file to fill in: prices, dates and limits that the other commands take by --season.",
    )
    .option("-o, --output <file>", "write there instead of to standard output", "-");
  addSeasonOptions(addOverwriteOption(command))
    .addHelpText("after", examples)
    .action(async (options: SeasonOptions) => {
      const { units, settings } = await readAskedSeason(options);
      const file = { path: options.output, content: seasonTemplate(units, settings) };
      await writeWhole([file], options.overwrite === true);
    });
}
