/** What the desk keeps out and lets nothing do: no way to the network, no cell that acts, no archive that swells. */
import { strToU8, zipSync } from "fflate";
import { readFileSync } from "node:fs";
import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { describe, expect, it } from "vitest";
import { desk, hand, pressed, quiet, savedFiles, stepTo } from "./open-desk.ts";
import { noBrowser, reportBrowser } from "./open-report.ts";

/** Names a variety may bear that a careless page would run, draw or trip over. */
const hostile = [
  "<img src=x onerror=document.title='caught'>",
  "</script><script>document.title='caught'</script>",
  '=HYPERLINK("https://example.org")',
  "@SUM(A1)",
  "__proto__",
  "constructor",
  "\u202Etxet desrever",
];

describe.skipIf(noBrowser)("the desk's walls", () => {
  const browser = reportBrowser();
  const { saved } = savedFiles();

  it("let nothing out: not by fetch, image, beacon, socket or a worker's fetch", async () => {
    // A server that would answer: what stands in the way is the page's policy alone.
    const heard: string[] = [];
    const server = createServer(({ url }, answer) => {
      heard.push(url ?? "");
      answer.setHeader("Access-Control-Allow-Origin", "*").end();
    });
    await new Promise<void>((listening) => void server.listen(0, "127.0.0.1", listening));
    const outside = `127.0.0.1:${(server.address() as AddressInfo).port}/strips`;
    expect((await fetch(`http://${outside}`)).ok).toBe(true);
    expect(heard.splice(0)).toEqual(["/strips"]);
    const { page } = await browser.open(desk, { offline: false });
    const blocked: string[] = [];
    await page.exposeFunction("hearBlocked", (directive: string) => blocked.push(directive));
    const tried = await page.evaluate(async (place) => {
      const address = `http://${place}`;
      document.addEventListener(
        "securitypolicyviolation",
        ({ effectiveDirective }) =>
          void (window as unknown as { hearBlocked(directive: string): void }).hearBlocked(
            effectiveDirective,
          ),
      );
      const failed = (doing: () => Promise<unknown>): Promise<string> =>
        doing().then(
          () => "reached",
          () => "blocked",
        );
      const loaded = (one: HTMLElement): Promise<unknown> =>
        new Promise((done, refused) => {
          one.onload = done;
          one.onerror = refused;
          document.body.append(one);
        });
      const image = document.createElement("img");
      image.src = `${address}.png`;
      const script = document.createElement("script");
      script.src = `${address}.js`;
      const worker = (): Promise<unknown> =>
        new Promise((done, refused) => {
          const code = `fetch("${address}?worker").then(() => postMessage(true), () => postMessage(false))`;
          const one = new Worker(URL.createObjectURL(new Blob([code])));
          one.onmessage = ({ data }) => (data === true ? done(data) : refused(new Error("blocked")));
          one.onerror = refused;
        });
      const socket = (): Promise<unknown> =>
        new Promise((done, refused) => {
          const one = new WebSocket(`ws://${place}`);
          one.onopen = done;
          one.onerror = refused;
        });
      // A beacon answers before it is sent: what counts is that the policy caught it.
      navigator.sendBeacon(`${address}?beacon`, "strips");
      return {
        fetch: await failed(() => fetch(address)),
        image: await failed(() => loaded(image)),
        script: await failed(() => loaded(script)),
        worker: await failed(worker),
        socket: await failed(socket),
      };
    }, outside);
    expect(tried).toEqual({
      fetch: "blocked",
      image: "blocked",
      script: "blocked",
      worker: "blocked",
      socket: "blocked",
    });
    await expect
      .poll(() => blocked.filter((directive) => directive === "connect-src").length)
      .toBeGreaterThan(2);
    await expect.poll(() => blocked).toContain("img-src");
    expect(heard).toEqual([]);
    await new Promise((closed) => server.close(closed));
  });

  it("keep hostile cells text, to the saved file", async () => {
    const { page } = await browser.open(desk, { viewport: { width: 1280, height: 1200 } });
    page.setDefaultTimeout(60_000);
    const quoted = (text: string): string => `"${text.replaceAll('"', '""')}"`;
    const rows = hostile.flatMap((name) =>
      [0.8, 1.2, 1.6].map((rate, index) => `${quoted(name)},2026,${rate * 1e6},${60 + index}`),
    );
    const long = `Lornwick,2026,1000000,${"9".repeat(3_000_000)}`;
    await hand(page, "Choose files", {
      name: "hostile <b>.csv",
      content: ["variety,season,rate (seeds/ac),yield (bu/ac)", ...rows, long, ""].join("\n"),
    });
    await page.getByText("on the desk").first().waitFor();
    await quiet(page);
    await stepTo(page, "Mend");
    for (const [index, name] of hostile.entries())
      await expect
        .poll(() => page.getByLabel(new RegExp(`^variety, row ${2 + 3 * index}(,|$)`)).inputValue())
        // What nobody can see is left out on reading (Unicode categories Cc and Cf).
        .toBe(name.replace(/[\p{Cc}\p{Cf}]/gu, ""));
    await page.getByLabel(/^variety, row 3(,|$)/).fill("-2+3");
    await page.keyboard.press("Tab");
    await quiet(page);
    const text = readFileSync(await saved(page, "Save the mended table as CSV"), "utf8");
    expect(text).toMatch(/^"'=HYPERLINK/m);
    expect(text).toMatch(/^"?'@SUM/m);
    expect(text).toMatch(/^"?'-2\+3/m);
    expect(await page.title()).toBe("Seeding rates from your own strips");
    expect(await page.locator("main img, main script").count()).toBe(0);
    for (const step of ["Prices and seed", "Answer", "At the drill"]) {
      await stepTo(page, step);
      await quiet(page);
    }
    expect(await page.title()).toBe("Seeding rates from your own strips");
  });

  it("refuse an archive that swells, before it is unpacked, and say why", async () => {
    const { page } = await browser.open(desk);
    // Small enough to be let in by its size alone: what it claims to swell to is what keeps it out.
    const bomb = zipSync({ "a.csv": new Uint8Array(20_000_000), "read me.txt": strToU8("x") });
    expect(bomb.length).toBeLessThan(30_000);
    await hand(page, "Choose files", { name: "bomb.zip", content: bomb });
    await page.getByText(/^Look at bomb\.zip/).waitFor();
    await expect.poll(() => page.locator(".files .problem").innerText()).toMatch(/was not unpacked/);
    await pressed(page, "Leave out bomb.zip");
    await page.locator(".files .problem").waitFor({ state: "detached" });
  });
});
