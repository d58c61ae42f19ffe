/** The pages of many clients: a summary for their adviser, and each client's own. */
import { join } from "node:path";
import { analyze } from "../analyze.ts";
import type { Result } from "../vocabulary/result.ts";
import { tellClients, tellPage } from "../tell/html.ts";
import type { PageParts } from "../tell/html/page-parts.ts";
import type { Client as ToldClient } from "../tell/wording/clients.ts";
import type { Client } from "./clients.ts";
import type { OutputFile } from "./files.ts";
import type { Progress } from "./messages.ts";
import type { NumberStyle } from "../numbers/written-numbers.ts";
import { readPageParts } from "./page-parts.ts";

/**
 * `index.html` with the summary, and one page for each client beside it.
 *
 * @param all  result of all strips together
 * @param more what the summary tells besides, such as an earlier result
 */
export async function clientPages(
  clients: readonly Client[],
  all: Result,
  folder: string,
  fileNames: string[],
  numbers: NumberStyle,
  more: Partial<PageParts>,
  progress: Progress,
): Promise<OutputFile[]> {
  const names = pageNames(clients.map(({ name }) => name));
  const told: ToldClient[] = [];
  const pages: OutputFile[] = [];
  for (const [index, { name, asked }] of clients.entries()) {
    progress.at(`Fitting and drawing ${name}, ${index + 1} of ${clients.length}`);
    const result = analyze(asked.trial, asked.settings, asked.units);
    const page = names[index]!;
    const parts = { ...(await readPageParts("farm", asked.fileNames, numbers)), everyCheck: true };
    told.push({ name, result, page });
    pages.push({ path: join(folder, page), content: await tellPage(result, parts) });
  }
  progress.at("Drawing the summary");
  const summary = await tellClients(told, all, {
    ...(await readPageParts("clients", fileNames, numbers)),
    ...more,
  });
  return [{ path: join(folder, "index.html"), content: summary }, ...pages];
}

/**
 * File names that any disk bears, the same from year to year: letters and digits of the client's name, and a number where
 * two would be the same.
 *
 * @example pageNames(["Müller & Sons", "../x", "X"]) // client-muller-sons.html, client-x.html, client-x-2.html
 */
export function pageNames(clients: readonly string[]): string[] {
  const taken = new Set<string>();
  return clients.map((client) => {
    const plain = client.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase();
    const name = ["client", ...(plain.match(/[a-z0-9]+/g) ?? [])].join("-").slice(0, longestName);
    let free = name;
    for (let count = 2; taken.has(free); count++) free = `${name}-${count}`;
    taken.add(free);
    return `${free}.html`;
  });
}

const longestName = 80;
