/** `stripcurve strips`: from the points of drill and combine to a strips file. */
import { InvalidArgumentError, Option, type Command } from "commander";
import { weightsMissing } from "../messages/options.ts";
import { sharedRanges, within } from "../check/ranges.ts";
import { harvestStrips, reportHarvest } from "../farm/harvest.ts";
import { headerMeaning } from "../farm/header-meaning.ts";
import { crops, type CropName } from "../vocabulary/crops.ts";
import { harvestSteps, scaleUses, type HarvestStep, type ScaleUse } from "../vocabulary/harvest.ts";
import { readAmount } from "../read/units/amount.ts";
import { harvestText } from "../tell/terminal/harvest-text.ts";
import { plainTextStyle } from "../tell/terminal/text-table.ts";
import { exitCodes } from "./exit-codes.ts";
import { checkOutputs, readInput, readInputs, standardStream, writeWhole } from "./files.ts";
import { localeOption } from "./locale.ts";
import { Progress, say, styleFor } from "./messages.ts";
import { pageMaker } from "./page-maker.ts";
import { addOverwriteOption, type OutputOptions } from "./shared-options.ts";

interface StripsOptions extends OutputOptions {
  output: string;
  seeded?: string[];
  sheet?: string;
  weighed?: string;
  calibrate?: ScaleUse;
  page?: string;
  column?: Record<string, string>;
  without?: HarvestStep[];
  delay?: number;
  combineWidth?: string;
  drillWidth?: string;
  year?: number;
  farm: string;
  field: string;
  variety?: string;
  crop: CropName;
  units: "us" | "metric";
  json?: string;
  locale?: string;
  quiet?: boolean;
}

const examples = `
Examples:
  stripcurve strips harvest-2026.csv --seeded as-applied-2026.csv -o strips-2026.csv --page strips-2026.html
      Strips from the yield monitor's points and the drill's, and a page that shows what was done.
  stripcurve strips harvest.zip --seeded as-applied.zip --sheet field-sheet.csv -o strips-2026.csv
      The same from zipped shapefiles; the field sheet says variety, block and lot of each strip.
  stripcurve strips harvest.csv --seeded as-applied.csv --weighed wagon.csv --calibrate each -o strips-2026.csv
      Yields adjusted to what the weigh wagon shows for each strip.
  stripcurve strips harvest.csv --seeded as-applied.csv --without far-out overlap -o strips-2026.csv
      Two of the steps switched off.

Files are CSV, GeoJSON or zipped shapefiles of points, in degrees or in metres (x, y). Units go in the headers:
"flow (lb/s)", "swath (ft)", "rate (seeds/ac)". No coordinates are written anywhere: maps are in metres from the
middle of the field. The steps, in their order: ${harvestSteps.join(", ")}.`;

const seconds = (text: string): number => {
  const value = Number(text.replace(/\s*s$/, ""));
  if (text.trim() === "" || !Number.isFinite(value) || value < 0 || value > 60)
    throw new InvalidArgumentError("Give seconds from 0 to 60.");
  return value;
};

const meaning = (text: string, before: Record<string, string> = {}): Record<string, string> => {
  const meant = headerMeaning(text);
  if (meant === null)
    throw new InvalidArgumentError('Write the header, =, and what it means: "Rt_Apd=rate (lb/ac)".');
  return { ...before, [meant[0]]: meant[1] };
};

const year = (text: string): number => {
  const value = Number(text);
  if (!Number.isInteger(value) || !within(value, sharedRanges.season.usual))
    throw new InvalidArgumentError("Give the year of harvest, such as 2026.");
  return value;
};

/** Adds arguments, options, help and action. */
export function defineStrips(command: Command): void {
  command
    .description(
      "Makes the strips file from the points of the yield monitor and the drill, one row per strip.",
    )
    .argument("<yield...>", "files of the combine's points")
    .requiredOption("-o, --output <file>", "strips file to write, or - for standard output")
    .option(
      "--seeded <files...>",
      "files of the drill's points, as applied; without them the rate is in the yield file",
    )
    .option(
      "--sheet <file>",
      "field sheet (CSV) that says variety, block and lot of each strip; if it holds several fields, the one of --field",
    )
    .option("--weighed <file>", "weights from a weigh wagon or scale, by strip or pass (CSV: strip, weight)")
    .option("--page <file>", "also write a page that shows what was done")
    .option("--json <file>", "also write everything as JSON; without coordinates")
    .optionsGroup("What the files do not say:")
    .option(
      "--combine-width <width>",
      "full cut of the combine (ft, with --units metric m; or with a unit after the number)",
    )
    .option("--drill-width <width>", "width of one drill pass, given the same way")
    .addOption(
      new Option(
        "--column <header=meaning>",
        'what a header means, with its unit, as "Rt_Apd=rate (lb/ac)"; once for each',
      ).argParser(meaning),
    )
    .addOption(
      new Option(
        "--delay <seconds>",
        "seconds from the cut until grain reaches the sensor; otherwise worked out from the points",
      ).argParser(seconds),
    )
    .addOption(new Option("--year <year>", "season of the harvest").argParser(year))
    .option("--farm <name>", "name of the farm", "")
    .option("--field <name>", "name of the field", "")
    .option("--variety <name>", "variety, if there was only one and the files do not name it")
    .addOption(new Option("--units <system>", "units you use").choices(["us", "metric"]).default("us"))
    .addOption(
      new Option("--crop <name>", "crop, for bushel weight and market moisture")
        .choices(Object.keys(crops))
        .default("wheat"),
    )
    .optionsGroup("How it is done:")
    .addOption(new Option("--without <steps...>", "steps to switch off").choices(harvestSteps))
    .addOption(
      new Option(
        "--calibrate <how>",
        "with --weighed, adjust yields to the scale: none, one (one factor for all), each (each strip or pass by its own)",
      ).choices(scaleUses),
    )
    .addOption(localeOption())
    .option("-q, --quiet", "say nothing but errors");
  addOverwriteOption(command).addHelpText("after", examples).action(makeStrips);
}

async function makeStrips(yieldPaths: string[], options: StripsOptions): Promise<void> {
  const progress = new Progress(options.quiet === true);
  const overwrite = options.overwrite === true;
  const outputs = [options.output, options.page, options.json].filter((path) => path !== undefined);
  const toStream = options.output === standardStream;
  progress.at("Reading the points");
  const yields = await readInputs(yieldPaths);
  const seeded = await readInputs(options.seeded ?? []);
  const sheet = options.sheet === undefined ? null : await readInput(options.sheet);
  const weighed = options.weighed === undefined ? null : await readInput(options.weighed);
  if (weighed === null && options.calibrate !== undefined) throw weightsMissing();
  await checkOutputs(outputs, overwrite);
  progress.at("Making strips of them");
  const made = await harvestStrips(yields, seeded, sheet, wishesOf(options, weighed));
  progress.at("Drawing the page");
  const files = [...yields, ...seeded, sheet, weighed].flatMap((file) => (file === null ? [] : [file.name]));
  const page =
    options.page === undefined ? null : await reportHarvest(made, pageMaker(options.locale), files);
  progress.done();
  await writeWhole(
    [
      { path: options.output, content: made.csv },
      ...(page === null ? [] : [{ path: options.page!, content: page }]),
      ...(options.json === undefined
        ? []
        : [{ path: options.json, content: `${JSON.stringify(made.harvest)}\n` }]),
      ...(toStream ? [] : [{ path: standardStream, content: harvestText(made.harvest, styleFor("-")) }]),
    ],
    overwrite,
  );
  if (options.quiet !== true) {
    if (toStream) say(harvestText(made.harvest, plainTextStyle).trimEnd());
    const written = outputs.filter((path) => path !== standardStream);
    if (written.length > 0) say(`Wrote ${written.join(", ")}.`);
  }
  process.exitCode = made.harvest.strips.some(({ yieldKgPerHa }) => yieldKgPerHa !== null)
    ? exitCodes.done
    : exitCodes.noAnswer;
}

/** What was asked for by options. */
function wishesOf(
  options: StripsOptions,
  weighed: Awaited<ReturnType<typeof readInput>> | null,
): Parameters<typeof harvestStrips>[3] {
  const width = (text: string | undefined, name: string): number | null =>
    text === undefined
      ? null
      : readAmount(text, "length", { system: options.units }, crops[options.crop], name);
  return {
    crop: options.crop,
    system: options.units,
    currency: "$",
    season: options.year ?? null,
    farm: options.farm,
    field: options.field,
    delayS: options.delay ?? null,
    off: options.without ?? [],
    columns: options.column ?? {},
    variety: options.variety ?? "",
    weighed: weighed === null ? null : { file: weighed, use: options.calibrate ?? "none" },
    combineWidthM: width(options.combineWidth, "--combine-width"),
    drillWidthM: width(options.drillWidth, "--drill-width"),
    eachStepOff: options.page !== undefined || options.json !== undefined,
  };
}
