/** `stripcurve region`: many farms' strips and evidence → what the region says of each variety. */
import { InvalidArgumentError, type Command } from "commander";
import { evidenceOf, namedEvidence, type NamedEvidence } from "../farm/region.ts";
import { splitClients, type Client } from "../farm/clients.ts";
import { nothingToPublish } from "../messages/region.ts";
import { regionFileKind } from "../read/region-files.ts";
import { regionText } from "../tell/terminal/region-text.ts";
import { usualFewestFarms } from "../model/region/region-of.ts";
import { readAsked, readAskedSeason } from "./asked.ts";
import { readClients } from "./client-folder.ts";
import { checkOutputs, isFolder, listFolder, readInput, standardStream, writeWhole } from "./files.ts";
import { Progress, say, styleFor } from "./messages.ts";
import {
  addOverwriteOption,
  addStripsOptions,
  type SharedOptions,
  type OutputOptions,
} from "./shared-options.ts";
import { makeRegionInThreads } from "./two-threads.ts";

interface RegionOptions extends SharedOptions, OutputOptions {
  output: string;
  fewestFarms: number;
}

const examples = `
Examples:
  stripcurve region evidence/ -o region.json
      Every evidence file of a folder, and every client with strips in it.
  stripcurve region strips-of-a.csv strips-of-b.csv evidence-*.json -o region.json
      Strips and evidence side by side: each file of strips is a farm, or each farm named in it.
  ls farms | xargs -P 2 -I {} stripcurve share farms/{}/strips.csv -q -o evidence/{}.json
      The first step for very many farms: one job a farm, two at a time; the second is the first example.
  stripcurve report strips-*.csv --lots lots.csv --region region.json -o report.html
      A farm that uses the region's evidence.`;

const wholeNumber = (text: string): number => {
  const number = Number(text);
  if (!Number.isInteger(number) || number < 1 || number > 1000)
    throw new InvalidArgumentError("It must be a whole number from 1 to 1000.");
  return number;
};

/** Adds arguments, options, help and action. */
export function defineRegion(command: Command): void {
  command
    .description("Combines the evidence of many farms: what each variety needs, and how much farms differ.")
    .argument("<files...>", "evidence files, CSV files of strips, or a folder of these")
    .option("-o, --output <file>", "write the region there; without it only the table is shown")
    .option(
      "--fewest-farms <number>",
      "leave out varieties that fewer farms grow",
      wholeNumber,
      usualFewestFarms,
    );
  addStripsOptions(addOverwriteOption(command))
    .addHelpText("after", examples)
    .action(async (files: string[], options: RegionOptions) => {
      const quiet = options.quiet === true;
      const progress = new Progress(quiet);
      const evidence: NamedEvidence[] = [];
      for (const path of files) evidence.push(...(await evidenceAt(path, options, progress)));
      if (options.output !== undefined) await checkOutputs([options.output], options.overwrite === true);
      progress.at(`Comparing ${evidence.length} farms`);
      const { settings, units } = await readAskedSeason(options);
      const { region, remarks } = await makeRegionInThreads(evidence, {
        priors: settings.priors,
        fewestFarms: options.fewestFarms,
      });
      progress.done();
      if (!quiet) remarks.forEach(say);
      if (options.output !== undefined && region.varieties.length === 0)
        throw nothingToPublish(region.fewestFarms);
      const text = regionText(region, units, styleFor(standardStream));
      await writeWhole(
        [
          ...(options.output === undefined
            ? []
            : [{ path: options.output, content: `${JSON.stringify(region)}\n` }]),
          ...(options.output === standardStream ? [] : [{ path: standardStream, content: text }]),
        ],
        options.overwrite === true,
      );
      if (!quiet && options.output !== undefined && options.output !== standardStream)
        say(`Wrote ${options.output}.`);
    });
}

async function evidenceAt(
  path: string,
  options: SharedOptions,
  progress: Progress,
): Promise<NamedEvidence[]> {
  if (await isFolder(path)) {
    const entries = await listFolder(path);
    const evidence: NamedEvidence[] = [];
    for (const { path: inside, name, kind } of entries)
      if (kind === "file" && /\.json$/i.test(name)) evidence.push(...namedEvidence(await readInput(inside)));
    const others = entries.filter(({ name, kind }) => kind !== "file" || !/\.json$/i.test(name));
    if (others.length === 0) return evidence;
    const { clients } = await readClients(path, { ...options, quiet: true }, progress);
    return [...evidence, ...clients.map(named)];
  }
  const file = await readInput(path);
  if (regionFileKind(file) !== null || /\.json$/i.test(path)) return namedEvidence(file);
  const farm = await readAsked([path], options, progress);
  return splitClients(farm)?.clients.map(named) ?? [named({ name: path, farm })];
}

const named = ({ name, farm }: Client): NamedEvidence => ({
  name,
  crop: farm.settings.crop,
  farm: evidenceOf(farm),
});
