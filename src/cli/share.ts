/** `stripcurve share`: what a farm's strips say, without the farm. */
import type { Command } from "commander";
import { shareEvidence } from "../farm/region.ts";
import { splitClients } from "../farm/clients.ts";
import type { EvidenceFile, SharedSums } from "../vocabulary/region.ts";
import { counted } from "../numbers/written-numbers.ts";
import { plainLine } from "../tell/plain-text.ts";
import { readAsked } from "./asked.ts";
import { readClients } from "./client-folder.ts";
import { isFolder, writeWhole } from "./files.ts";
import { Progress, say } from "./messages.ts";
import {
  addOverwriteOption,
  addStripsOptions,
  type SharedOptions,
  type OutputOptions,
} from "./shared-options.ts";

interface ShareOptions extends SharedOptions, OutputOptions {
  output: string;
}

const examples = `
Examples:
  stripcurve share strips-*.csv -o evidence.json
      What your strips say about your varieties, for whoever puts the region together: stripcurve region
  stripcurve share clients/ -o evidence.json
      The same for all clients in a folder, each as a farm without a name.`;

/** Adds arguments, options, help and action. */
export function defineShare(command: Command): void {
  command
    .description(
      "Writes what a farm's strips say about its varieties, without name, place or yield level, for a region of many farms.",
    )
    .argument("<files...>", "CSV files of strips, or a folder of clients")
    .option("-o, --output <file>", "write there instead of to standard output", "-");
  addStripsOptions(addOverwriteOption(command))
    .addHelpText("after", examples)
    .action(async (files: string[], options: ShareOptions) => {
      const progress = new Progress(options.quiet === true);
      const evidence = shareEvidence(await readFarms(files, options, progress));
      progress.done();
      await writeWhole(
        [{ path: options.output, content: `${JSON.stringify(evidence)}\n` }],
        options.overwrite === true,
      );
      if (options.quiet !== true) whatLeaves(evidence).forEach(say);
    });
}

async function readFarms(files: string[], options: SharedOptions, progress: Progress) {
  const [first, ...others] = files;
  if (first !== undefined && others.length === 0 && (await isFolder(first)))
    return (await readClients(first, options, progress)).clients.map(({ farm }) => farm);
  const farm = await readAsked(files, options, progress);
  return splitClients(farm)?.clients.map((client) => client.farm) ?? [farm];
}

/** Ground and water, where the farm noted them. */
function placesTold(sums: readonly SharedSums[]): string[] {
  const kinds = [...new Set(sums.flatMap(({ ground }) => ground ?? []))].sort();
  return [
    ...(kinds.length === 0
      ? []
      : [
          `Also included: the kind of ground (${kinds.join(", ")}); words of your own for the ground stay here.`,
        ]),
    ...(sums.some(({ waterMm }) => waterMm !== undefined)
      ? ["Also included: the water of each season, to the nearest inch."]
      : []),
  ];
}

/** What leaves the farm and what stays, in plain words. */
function whatLeaves({ farms }: EvidenceFile): string[] {
  const sums = farms.flatMap((farm) => farm.sums);
  const varieties = [...new Set(sums.map(({ variety }) => plainLine(variety)))].sort();
  const seasons = [...new Set(sums.map(({ season }) => season))].sort();
  const strips = sums.reduce((sum, one) => sum + one.strips, 0);
  return [
    `In the file: ${counted(strips, "strip")} of ${varieties.join(", ")} in ${seasons.join(", ")}, added up: the seeding rates, how many strips had each, and how far yields differed, as shares of their mean.`,
    ...placesTold(sums),
    "Not in the file: names of farm, field, person or place; dates; how much any strip or field yielded; prices, lots and notes.",
    "Variety names do leave the farm. A variety that you alone grow can give you away: a region leaves out what fewer than 5 farms grow.",
  ];
}
