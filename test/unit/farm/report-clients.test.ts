import { ofClient } from "../../../src/tell/wording/clients.ts";
import { describe, expect, it } from "vitest";
import type { Clients } from "../../../src/farm/clients.ts";
import { reportClients, type DrawnClient, type Hands } from "../../../src/farm/report-clients.ts";
import type { Result } from "../../../src/vocabulary/result.ts";
import { demoResult } from "../../fixtures/demo.ts";

const names = ["ash", "birch", "cedar", "dogwood", "elm"];
const clients = {
  clients: names.map((name) => ({ name, farm: { stripFiles: [name] } })),
  all: { stripFiles: [] },
  troubles: [],
} as unknown as Clients;
const maker = { builtFile: () => "", date: "2027-01-01" };

/** Hands that draw nothing, the later clients faster than the earlier, and count what they have begun. */
function countingHands(atOnce: number): Hands & { begun: string[] } {
  const begun: string[] = [];
  return {
    begun,
    atOnce,
    draw: async ({ stripFiles: [name] }): Promise<DrawnClient> => {
      begun.push(name!);
      for (let turn = names.length - begun.length; turn > 0; turn--) await Promise.resolve();
      return { result: ofClient(demoResult()), content: `page of ${name}` };
    },
  };
}

describe("reports of many clients", () => {
  it("come one page at a time, in the order of the clients, and the summary last", async () => {
    const outputs: string[] = [];
    const hands = countingHands(3);
    for await (const { name, content } of reportClients(
      clients,
      demoResult(),
      maker,
      undefined,
      undefined,
      hands,
    ))
      outputs.push(name === "index.html" ? name : `${name}: ${String(content)}`);
    expect(outputs).toEqual([...names.map((name) => `client-${name}.html: page of ${name}`), "index.html"]);
  });

  it("begin no more clients than may be begun at once before a page is taken", async () => {
    const hands = countingHands(2);
    const pages = reportClients(clients, demoResult(), maker, undefined, undefined, hands);
    await pages.next();
    expect(hands.begun).toEqual(["ash", "birch"]);
    await pages.next();
    expect(hands.begun).toEqual(["ash", "birch", "cedar"]);
  });

  it("draw clients before the result of all together is there, and tell its failure at the summary", async () => {
    const failed = Promise.reject(new Error("no strips together"));
    failed.catch(() => undefined);
    const pages = reportClients(clients, failed, maker, undefined, undefined, countingHands(2));
    for (const name of names)
      expect((await pages.next()).value).toMatchObject({ name: `client-${name}.html` });
    await expect(pages.next()).rejects.toThrow("no strips together");
  });

  it("work out the result of all once, after the last client", async () => {
    let begun = 0;
    const together = (): Promise<Result> => (begun++, Promise.resolve(demoResult()));
    const pages = reportClients(clients, together, maker, undefined, undefined, countingHands(1));
    for (let taken = 0; taken < clients.clients.length; taken++) {
      expect((await pages.next()).value.name).toMatch(/^client-/);
      expect(begun).toBe(0);
    }
    expect((await pages.next()).value.name).toBe("index.html");
    expect(begun).toBe(1);
  });
});
