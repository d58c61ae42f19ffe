/** Many clients → a summary for their adviser, and each client's own page. */
import { tellClients, tellPage } from "../tell/html.ts";
import type { Client as ToldClient } from "../tell/wording/clients.ts";
import type { Earlier } from "../tell/wording/since.ts";
import type { Result } from "../vocabulary/result.ts";
import { analyzeFarm } from "./analyze-farm.ts";
import type { Clients } from "./clients.ts";
import { pageParts, type PageMaker } from "./page-maker.ts";
import type { FarmOutput } from "./report-farm.ts";

/** What the work on many clients is at. */
export interface ClientsProgress {
  /** A client is fitted and drawn, the one of this number of all. */
  client(name: string, number: number, of: number): void;
  summary(): void;
}

/**
 * `index.html` with the summary, and one page for each client, to lie in one folder.
 *
 * @param result  of all strips together
 * @param earlier what the summary is compared with
 */
export async function reportClients(
  { clients, all, troubles }: Clients,
  result: Result,
  maker: PageMaker,
  earlier?: Earlier,
  progress?: ClientsProgress,
): Promise<FarmOutput[]> {
  const names = pageNames(clients.map(({ name }) => name));
  const told: ToldClient[] = [];
  const pages: FarmOutput[] = [];
  for (const [index, { name, farm }] of clients.entries()) {
    progress?.client(name, index + 1, clients.length);
    const own = analyzeFarm(farm);
    const page = names[index]!;
    const parts = { ...(await pageParts("farm", maker, farm.stripFiles)), everyCheck: true };
    told.push({ name, result: own, page });
    pages.push({ name: page, content: await tellPage(own, parts) });
  }
  progress?.summary();
  const parts = await pageParts("clients", maker, all.stripFiles);
  const content = await tellClients(
    told,
    result,
    earlier === undefined ? parts : { ...parts, earlier },
    troubles,
  );
  return [{ name: "index.html", content }, ...pages];
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
