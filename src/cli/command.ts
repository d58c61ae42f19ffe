/** The command: finds the subcommand asked for, loads it alone, and turns every failure into one plain line. */
import { Command, CommanderError } from "commander";
import { optionsMissing, optionTwice } from "../messages/options.ts";
import { engineVersion } from "../version.ts";
import { plainText } from "../tell/plain-text.ts";
import { TrialError } from "../vocabulary/trial.ts";
import { exitCodes, type ExitCode } from "./exit-codes.ts";
import { namesOf } from "./files.ts";
import { say } from "./messages.ts";

interface Subcommand {
  summary: string;
  /** Adds arguments, options, help and action. */
  load: () => Promise<(command: Command) => void>;
}

/** Each in a file of its own, which is loaded only when its name is asked for. */
const subcommands: Record<string, Subcommand> = {
  check: {
    summary: "what is understood of the strips, what is wrong, what is left out and why",
    load: async () => (await import("./check.ts")).defineCheck,
  },
  columns: {
    summary: "every column that is understood: names, synonyms, units, with examples",
    load: async () => (await import("./columns.ts")).defineColumns,
  },
  fit: {
    summary: "tables of response curves and next season's rates; JSON and CSV",
    load: async () => (await import("./fit.ts")).defineFit,
  },
  report: {
    summary: "the report for grower, agronomist and teacher, as one HTML file",
    load: async () => (await import("./report.ts")).defineReport,
  },
  plan: {
    summary: "next season's strips: rates, field sheet, map, and what they can find out",
    load: async () => (await import("./plan.ts")).definePlan,
  },
  share: {
    summary: "what your strips show about your varieties, without your name, for a region of many farms",
    load: async () => (await import("./share.ts")).defineShare,
  },
  region: {
    summary: "many farms as one region: what each variety needs, and how much farms differ",
    load: async () => (await import("./region.ts")).defineRegion,
  },
  strips: {
    summary: "the strips file from the points of yield monitor and drill, and a page that shows how",
    load: async () => (await import("./strips.ts")).defineStrips,
  },
  seed: {
    summary: "a rate as pounds, seeds per foot of row, catch test and stand; or any of them as a rate",
    load: async () => (await import("./seed.ts")).defineSeed,
  },
  desk: {
    summary: "the whole job as one page, for those without a command line",
    load: async () => (await import("./desk.ts")).defineDesk,
  },
  season: {
    summary: "a season file to fill in: prices, dates and limits, each with its default",
    load: async () => (await import("./season.ts")).defineSeason,
  },
};

const examples = `
Examples:
  stripcurve check strips-2025.csv strips-2026.csv
      Is everything understood? Do this first.
  stripcurve fit strips-*.csv --lots lots.csv --grain-price "6.20 $/bu"
      The curves and next season's rate of each variety, as tables.
  stripcurve report strips-*.csv --lots lots.csv --season season.yaml -o report.html
      The report: one file that works offline, prints, and answers first.
  stripcurve seed --rate "1.2 million/ac" --seeds-per-lb 13400 --germination 96
      What that rate means in the drill and in the field.
  stripcurve season -o season.yaml
      A season file to fill in.
  stripcurve plan strips-*.csv --field-length 1200 --field-width 1320 --drill-width 40 --combine-width 35 -o plan
      Next season's strips: field sheet, map and what they can find out.
  stripcurve desk -o stripcurve.html
      One page that does all this without a command line.
  stripcurve help check
      More about one command.

Exit status: 0 done; 1 these strips give no answer; 2 wrong use, or a file that cannot be read or written.
Set NO_COLOR to turn colours off, and STRIPCURVE_DEBUG=1 to see where in the program an error arose.`;

const newProgram = (): Command =>
  new Command("stripcurve")
    .description(
      "Turns a farm's own variety × seeding-rate strips into next season's seeding rate for each variety.",
    )
    .version(engineVersion, "-V, --version", "show the version")
    .helpOption("-h, --help", "show help")
    .addHelpText("after", examples)
    .exitOverride()
    .configureOutput({
      writeErr: (text) => process.stderr.write(plainText(text)),
      outputError: (text, write) =>
        write(text.replace(/^error: (.)/, (_, first: string) => first.toUpperCase())),
    })
    .showHelpAfterError("stripcurve --help shows how it is used.")
    // The arguments of every command are files, and so is what an option of `<files...>` takes.
    .hook("preAction", async (_, command) => {
      for (const [index, given] of command.processedArgs.entries())
        if (Array.isArray(given)) command.processedArgs[index] = await namesOf(given as string[]);
      for (const option of command.options) {
        const name = option.attributeName();
        const given: unknown = command.getOptionValue(name);
        if (option.flags.includes("<files...>") && Array.isArray(given))
          command.setOptionValue(name, await namesOf(given as string[]));
      }
    });

/** Refuses an option that takes one value and is given several: the last would silently win over the others. */
function refuseRepeats(command: Command): void {
  for (const option of command.options.filter(({ required, optional }) => required || optional)) {
    let isGiven = false;
    command.on(`option:${option.name()}`, () => {
      const gathers = typeof command.getOptionValue(option.attributeName()) === "object";
      if (isGiven && !gathers) throw optionTwice(option.long ?? option.flags);
      isGiven = true;
    });
  }
}

/** Names all required options that are missing at once, where only the first would be named. */
function nameAllMissing(command: Command): void {
  const tell = command.configureOutput().outputError!;
  command.configureOutput({
    outputError: (text, write) => {
      const missing = command.options.filter(
        (option) => option.mandatory && command.getOptionValue(option.attributeName()) === undefined,
      );
      const isOfMissing = text.startsWith("error: required option") && missing.length > 0;
      tell(isOfMissing ? `${optionsMissing(missing.map(({ flags }) => flags))}\n` : text, write);
    },
  });
}

/** Tells why the command failed, and gives the exit code. */
function tellFailure(error: unknown): ExitCode {
  if (error instanceof CommanderError) return error.exitCode === 0 ? exitCodes.done : exitCodes.wrongUse;
  if (error instanceof TrialError) {
    say(error.message);
    return exitCodes.wrongUse;
  }
  say(
    `This is a defect of stripcurve, not of your data: ${error instanceof Error ? error.message : String(error)}\n` +
      "Please report it with the command you gave and, if you may share them, the files.",
  );
  if (process.env["STRIPCURVE_DEBUG"] && error instanceof Error) say(error.stack ?? "");
  return exitCodes.defect;
}

/**
 * Runs the command once.
 *
 * @param args  as typed behind its name
 */
export async function runCommand(args: readonly string[]): Promise<void> {
  try {
    const program = newProgram();
    for (const [name, { summary, load }] of Object.entries(subcommands)) {
      const command = program.command(name).summary(summary);
      if (!args.includes(name)) continue;
      (await load())(command);
      refuseRepeats(command);
      nameAllMissing(command);
    }
    // Help on what is no command is refused like the command itself.
    const [first, second] = args;
    const isNone = first === "help" && second !== undefined && !Object.hasOwn(subcommands, second);
    await program.parseAsync(isNone ? args.slice(1) : args, { from: "user" });
  } catch (error) {
    process.exitCode = tellFailure(error);
  }
}
