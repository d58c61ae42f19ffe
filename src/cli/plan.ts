/** `stripcurve plan`: next season's strips, from what past strips say or from none. */
import { join } from "node:path";
import { InvalidArgumentError, Option, type Command } from "commander";
import { planTrial, reportPlan, type PlanWishes, type WishName } from "../farm/plan-trial.ts";
import { planStep } from "../tell/wording/steps.ts";
import { planText } from "../tell/terminal/plan-text.ts";
import { seasonPlannedOn } from "../numbers/calendar.ts";
import { parseNumber } from "../read/units/numbers.ts";
import { splitAmount } from "../read/units/split-amount.ts";
import { readAsked } from "./asked.ts";
import { checkOutputs, makeFolder, writeWhole } from "./files.ts";
import { localeOption } from "./locale.ts";
import { Progress, say, styleFor } from "./messages.ts";
import { pageMaker } from "./page-maker.ts";
import {
  addOverwriteOption,
  addStripsOptions,
  type OutputOptions,
  type SharedOptions,
} from "./shared-options.ts";
import { today } from "./today.ts";

interface PlanOptions extends SharedOptions, OutputOptions, PlanWishes {
  output: string;
  locale?: string;
  paper: boolean;
  json?: boolean;
}

const examples = `
Examples:
  stripcurve plan strips-*.csv --lots lots.csv --season season.yaml --field East \\
      --field-length 1200 --field-width 1320 --drill-width 40 --combine-width 35 -o plan-2027
      Strips for all varieties with something left to learn, as many as fit; writes the field sheet,
      the map and a page to print into the folder plan-2027.
  stripcurve plan --varieties Ostrindel Quavenby --expected-yield 55 --lots lots.csv \\
      --field-length "800 m" --field-width "300 m" --drill-width "9 m" --combine-width "7.5 m" -o first-trial
      A first trial, before any strips.
  stripcurve plan strips-*.csv … --strips 24 --blocks 4 --layout blocks -o small
      No more than 24 strips, in 4 blocks, every strip in random order.

Once the field sheet is filled in, give it to stripcurve report as it is, together with your other strips.`;

/** A counting number from an option. */
const count = (text: string): number => {
  if (!/^\d{1,9}$/.test(text.trim())) throw new InvalidArgumentError("Give a whole number.");
  return Number(text);
};

/** A sum of money from an option. */
const sum = (text: string): number => {
  const parts = splitAmount(text);
  const number = parseNumber(parts?.number ?? "");
  if (parts === null || parts.unit !== "" || number.kind !== "number" || number.value < 0)
    throw new InvalidArgumentError("Give a number, such as 5 or 2.50.");
  return number.value;
};

/** Adds arguments, options, help and action. */
export function definePlan(command: Command): void {
  command
    .description(
      "Plans next season's strips: rates, blocks, order across the field, field sheet, map, and what it can find out.",
    )
    .argument("[files...]", "CSV files of past strips; none for a first trial")
    .requiredOption("-o, --output <folder>", "where sheet, map and page go; it is made if it is not there");
  addGroundOptions(command);
  addTrialOptions(command);
  addStripsOptions(addOverwriteOption(command)).addHelpText("after", examples).action(planStrips);
}

function addGroundOptions(command: Command): void {
  command
    .optionsGroup("Your ground and machines (ft, with --units metric m; or with a unit after the number):")
    .requiredOption("--field-length <length>", "length of a run, along the strips, between headlands")
    .requiredOption("--field-width <width>", "room across the strips")
    .requiredOption("--drill-width <width>", "width of one drill pass")
    .requiredOption("--combine-width <width>", "width of the combine's full cut")
    .option("--edge <width>", "seeded ground left on each side of the cut (1 ft)")
    .option(
      "--alley <length>",
      "ground between blocks that are end to end (whole drill passes, at least 40 ft)",
    )
    .option("--shortest-strip <length>", "shorter strips are not laid out (300 ft)")
    .addOption(new Option("--borders <number>", "border strips on each side").default(1).argParser(count))
    .option("--farm <name>", "name of the farm for the sheet", "")
    .option("--field <name>", "name of the field for the sheet", "")
    .addOption(
      new Option("--year <year>", "season of the trial (the one after the last strips)").argParser(count),
    );
}

function addTrialOptions(command: Command): void {
  command
    .optionsGroup("The trial (anything omitted is chosen for you):")
    .option(
      "--varieties <names...>",
      "varieties to plant; otherwise those with most to learn, as many as fit",
    )
    .addOption(
      new Option("--layout <kind>", "how strips are laid out in a block")
        .choices(["blocks", "varieties-in-strips", "rates-in-strips"])
        .default("varieties-in-strips"),
    )
    .addOption(
      new Option("--strips <number>", "strips you are willing to plant, borders not counted").argParser(
        count,
      ),
    )
    .addOption(new Option("--blocks <number>", "blocks (replicates)").argParser(count))
    .addOption(new Option("--rates <number>", "rates of each variety").argParser(count))
    .option("--rates-at <rates...>", 'rates to plant, all varieties alike: 800000 or "0.8 million/ac"')
    .option("--lowest-rate <rate>", "no rate below this is tried")
    .option("--highest-rate <rate>", "no rate above this is tried")
    .option("--expected-yield <yield>", "yield to assume (the mean of the past strips)")
    .addOption(
      new Option(
        "--gain <money>",
        "gain worth detecting, per acre (5), with --units metric per hectare (12)",
      ).argParser(sum),
    )
    .addOption(new Option("--strip-cost <money>", "work and trouble of one strip (25)").argParser(sum))
    .addOption(
      new Option("--seasons-used <number>", "seasons that the answer is used for (3)").argParser(count),
    )
    .option("--no-paper", "skip the three simulated outcomes")
    .option("--json", "also write the whole plan as plan.json")
    .addOption(localeOption());
}

async function planStrips(files: string[], options: PlanOptions): Promise<void> {
  const quiet = options.quiet === true;
  const sheet = join(options.output, "field-sheet.csv");
  const overwrite = options.overwrite === true;
  const progress = new Progress(quiet);
  const asked = await readAsked(files, options, progress);
  await checkOutputs([sheet], overwrite, true);
  const plan = planTrial(asked, options, {
    thisYear: seasonPlannedOn(today()),
    callWish: optionOf,
    onPaper: options.paper,
    begin: (step) => progress.at(planStep(step)),
  });
  progress.at("Drawing the plan");
  const printed = await reportPlan(plan, pageMaker(options.locale), asked.stripFiles);
  progress.done();
  await makeFolder(options.output);
  const outputs = [
    ...printed.map(({ name, content }) => ({ path: join(options.output, name), content })),
    ...(options.json === true
      ? [{ path: join(options.output, "plan.json"), content: `${JSON.stringify(plan)}\n` }]
      : []),
  ];
  await writeWhole([...outputs, { path: "-", content: planText(plan, styleFor("-")) }], overwrite);
  if (!quiet) say(`Wrote ${outputs.map(({ path }) => path).join(", ")}.`);
}

/** An option as it is typed: `fieldLength` is `--field-length`. */
const optionOf = (name: WishName): string =>
  `--${name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)}`;
