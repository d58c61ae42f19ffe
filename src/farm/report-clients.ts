/** Many clients → a summary for their adviser, and each client's own page. */
import { whichNeedsMore } from "../decide/rate/which-needs-more.ts";
import { tellClients, tellPage } from "../tell/html.ts";
import { ofClient, type Client as ToldClient } from "../tell/wording/clients.ts";
import type { Earlier } from "../tell/wording/since.ts";
import type { Result } from "../vocabulary/result.ts";
import { analyzeFarm } from "./analyze-farm.ts";
import type { Clients } from "./clients.ts";
import { pageParts, type PageMaker } from "./page-maker.ts";
import type { Farm } from "./farm.ts";

/** The step that work on many clients is at. */
export interface ClientsProgress {
  /** A client is fitted and drawn, the one of this number of all. */
  client(name: string, number: number, of: number): void;
  summary(): void;
}

/** A client's own page, as text or in bytes, and what the summary shows of its result. */
export interface DrawnClient<Page = string> {
  result: ToldClient["result"];
  content: Page;
}

/** Fits and draws the clients. */
export interface Hands<Page = string> {
  draw(farm: Farm): Promise<DrawnClient<Page>>;
  /** How many clients are begun before the first is done. */
  atOnce: number;
}

/** Fits and draws one client. */
export async function drawClient(farm: Farm, maker: PageMaker): Promise<DrawnClient> {
  const own = analyzeFarm(farm);
  const parts = { ...(await pageParts("farm", maker, farm.stripFiles)), everyCheck: true };
  const content = await tellPage(own, parts);
  return { result: ofClient(own), content };
}

/**
 * One page for each client, and last `index.html` with the summary, for one folder. A page is dropped once it is taken,
 * so that thousands of clients need no more memory than their strips and answers.
 *
 * @param result  of all strips together, for which only the summary waits; or what works it out, after the last client
 * @param earlier what the summary is compared with
 * @param hands   who does the work; without, one client after the other is fitted here
 */
export async function* reportClients<Page = string>(
  { clients, all, troubles }: Clients,
  result: Result | Promise<Result> | (() => Promise<Result>),
  maker: PageMaker,
  earlier?: Earlier,
  progress?: ClientsProgress,
  hands: Hands<Page | string> = { draw: (farm) => drawClient(farm, maker), atOnce: 1 },
): AsyncGenerator<{ name: string; content: Page | string }> {
  const names = pageNames(clients.map(({ name }) => name));
  const told: ToldClient[] = [];
  const begun: Promise<DrawnClient<Page | string>>[] = [];
  const waiting = [...clients];
  for (const [index, { name }] of clients.entries()) {
    progress?.client(name, index + 1, clients.length);
    for (const { farm } of waiting.splice(0, hands.atOnce - begun.length)) {
      const drawn = hands.draw(farm);
      // A failure is reported when its client's turn comes.
      drawn.catch(() => undefined);
      begun.push(drawn);
    }
    const { result: own, content } = await begun.shift()!;
    const page = names[index]!;
    told.push({ name, result: own, page });
    yield { name: page, content };
  }
  progress?.summary();
  const parts = await pageParts("clients", maker, all.stripFiles);
  const together = await (typeof result === "function" ? result() : result);
  const content = await tellClients(
    told,
    together,
    whichNeedsMore(together.next),
    earlier === undefined ? parts : { ...parts, earlier },
    troubles,
  );
  yield { name: "index.html", content };
}

/**
 * File names that any disk accepts, the same from year to year: letters and digits of the client's name, and a number
 * where two would be the same.
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
