/** `stripcurve fit`: the result as tables, as JSON, as CSV. */
import { join } from "node:path";
import type { Command } from "commander";
import { analyzeFarm } from "../farm/analyze-farm.ts";
import type { Result } from "../vocabulary/result.ts";
import { csvTables, type CsvTable } from "../tell/csv/index.ts";
import { jsonPieces } from "../tell/json.ts";
import { clientsText } from "../tell/terminal/clients-text.ts";
import { ofClient } from "../tell/wording/clients.ts";
import { fitText } from "../tell/terminal/fit-text.ts";
import { readAsked } from "./asked.ts";
import { exitCodes } from "./exit-codes.ts";
import Papa from "papaparse";
import { csvPieces } from "../tell/csv/csv-text.ts";
import { onlyFolder, readClients } from "./client-folder.ts";
import { checkFolder, checkOutputs, isFolder, makeFolder, writeWhole } from "./files.ts";
import { Progress, say, sayFindings, sayNoAnswer, styleFor } from "./messages.ts";
import { analyzeInThreads } from "./two-threads.ts";
import {
  addOverwriteOption,
  addStripsOptions,
  type OutputOptions,
  type Paths,
  type SharedOptions,
} from "./shared-options.ts";

interface FitOptions extends SharedOptions, OutputOptions {
  json?: boolean;
  csv?: string;
  output: string;
}

const examples = `
Examples:
  stripcurve fit strips-*.csv --lots lots.csv --season season.yaml
      Next season's rates, every curve, analysis of variance, as text.
  stripcurve fit strips-*.csv --grain-price "6.20 $/bu" --seed-price 22
      With a price of grain, and of a million viable seeds.
  stripcurve fit strips-*.csv --json > result.json
      The whole result as one JSON object (seeds/m², kg/ha, money per hectare).
  stripcurve fit strips-*.csv --csv tables
      One CSV file for each table in the folder tables, in your units, beside the text.`;

/** Whether any variety has a curve, and yields to go by: with one rate, or no grain at all, there is none. */
const hasAnswer = (result: Result): boolean =>
  result.next.length > 0 && result.fits.some((fit) => fit.forms.some((form) => form.form !== "none"));

/** The tables as text; of a folder of clients, every client comes first. */
function textOf(
  clients: readonly { name: string; result: Result }[],
  result: Result,
  output: string,
): string {
  const style = styleFor(output);
  const told = clients.map((client) => ({ name: client.name, page: "", result: ofClient(client.result) }));
  return (told.length === 0 ? "" : clientsText(told, result, style)) + fitText(result, style);
}

interface ClientTables {
  name: string;
  tables: { name: string; text: string }[];
}

/** The tables of every client in one set, with a column that says whose each row is. */
function clientTables(clients: readonly ClientTables[]): Pick<CsvTable, "name" | "pieces">[] {
  const names = [...new Set(clients.flatMap(({ tables }) => tables.map(({ name }) => name)))];
  return names.map((name) => {
    const columns: string[] = [];
    const rows: Record<string, string>[] = [];
    for (const { name: client, tables } of clients) {
      const text = tables.find((one) => one.name === name)?.text ?? "";
      const { data, meta } = Papa.parse<Record<string, string>>(text, { header: true, skipEmptyLines: true });
      for (const field of meta.fields ?? []) if (!columns.includes(field)) columns.push(field);
      for (const row of data) rows.push({ client, ...row });
    }
    const fields = ["client", ...columns];
    const cells = fields.map((header) => ({
      header,
      cell: (row: Record<string, string>) => row[header] ?? null,
    }));
    return { name, pieces: () => csvPieces(cells, rows) };
  });
}

/** Adds arguments, options, help and action. */
export function defineFit(command: Command): void {
  command
    .description(
      "Fits the response curves and shows them, and next season's rate of each variety, as tables.",
    )
    .argument("<files...>", "tables of strips (.csv, .xlsx), - for standard input, or a folder of clients")
    .option("--json", "give the whole result as JSON instead of the tables")
    .option(
      "--csv <folder>",
      "also write the tables as CSV files into this folder; it is made if it is not there",
    )
    .option("-o, --output <file>", "write tables or JSON there instead of to standard output", "-");
  addStripsOptions(addOverwriteOption(command))
    .addHelpText("after", examples)
    .action(async (files: Paths, options: FitOptions) => {
      const quiet = options.quiet === true;
      const progress = new Progress(quiet);
      const overwrite = options.overwrite === true;
      const clients = (await isFolder(files[0]))
        ? await readClients(onlyFolder(files), options, progress)
        : null;
      const asked = clients?.all ?? (await readAsked(files, options, progress));
      await checkOutputs([options.output], overwrite);
      if (options.csv !== undefined) await checkFolder(options.csv);
      const result = await analyzeInThreads(asked, progress.analysis);
      progress.done();
      const told = (clients?.clients ?? []).map(({ name, farm }) => ({
        name,
        result: analyzeFarm(farm),
      }));
      if (!quiet) sayFindings(clients === null ? [result] : told.map((client) => client.result));
      const tables =
        options.csv === undefined
          ? []
          : clients === null
            ? csvTables(result)
            : clientTables(told.map((client) => ({ name: client.name, tables: csvTables(client.result) })));
      if (options.csv !== undefined) await makeFolder(options.csv);
      await writeWhole(
        [
          ...tables.map(({ name, pieces }) => ({ path: join(options.csv!, name), content: pieces() })),
          {
            path: options.output,
            content: options.json === true ? jsonPieces(result) : textOf(told, result, options.output),
          },
        ],
        overwrite,
      );
      if (!quiet && tables.length > 0)
        say(`Wrote ${tables.map(({ name }) => join(options.csv!, name)).join(", ")}.`);
      if (hasAnswer(result) || (clients !== null && clients.clients.length > 0)) return;
      sayNoAnswer(result);
      process.exitCode = exitCodes.noAnswer;
    });
}
