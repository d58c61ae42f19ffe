/** The desk as a grower opens it: from the disk, in real browsers, without a network. */
import { execFileSync, spawnSync } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { gzipSync } from "node:zlib";
import axe from "axe-core";
import { unzipSync, zipSync } from "fflate";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { noBrowser, reportBrowser } from "./open-report.ts";

const root = new URL("../../", import.meta.url).pathname;
const desk = readFileSync(join(root, "dist/desk.html"), "utf8");
const demoStrips = ["strips-2024.csv", "strips-2025.csv", "strips-2026.csv"];

let folder = "";
beforeAll(() => void (folder = mkdtempSync(join(tmpdir(), "stripcurve-desk-"))));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const pressed = (page: Page, name: string): Promise<void> =>
  page.locator("main").getByRole("button", { name, exact: true }).click();

const goTo = (page: Page, step: string): Promise<void> =>
  page.locator("nav").getByRole("button", { name: step, exact: true }).click();

/** Waits until nothing is being worked out. */
const quiet = (page: Page): Promise<unknown> =>
  page.waitForFunction(() => document.documentElement.dataset["state"] === "quiet");

/** The words of the report in its frame, once it is of what lies on the desk. */
async function answerShown(page: Page): Promise<string> {
  await quiet(page);
  await page.waitForFunction(() => !document.querySelector("iframe.report")?.matches("[hidden], .stale"));
  return page.frameLocator("iframe.report").locator("main").innerText();
}

/** Where a file lies that a press saves. */
async function saved(page: Page, name: string): Promise<string> {
  const [download] = await Promise.all([page.waitForEvent("download"), pressed(page, name)]);
  const path = join(folder, download.suggestedFilename());
  await download.saveAs(path);
  return path;
}

const chosen = async (page: Page, ...files: { name: string; text: string | Uint8Array }[]): Promise<void> => {
  await goTo(page, "Strips");
  await page
    .getByLabel("Choose files")
    .first()
    .setInputFiles(
      files.map(({ name, text }) => ({ name, mimeType: "text/plain", buffer: Buffer.from(text) })),
    );
  await quiet(page);
};

const command = (...args: string[]): string =>
  execFileSync(process.execPath, [join(root, "dist/stripcurve.js"), ...args], {
    cwd: join(root, "data-demo"),
    encoding: "utf8",
    maxBuffer: 1e8,
    stdio: ["ignore", "pipe", "ignore"],
  });

const demo = (name: string): { name: string; text: string } => ({
  name,
  text: readFileSync(join(root, "data-demo", name), "utf8"),
});

/** Of a blob that the page made itself nothing is fetched. */
const foreign = (complaints: readonly string[]): string[] =>
  complaints.filter((complaint) => !complaint.startsWith("asks for blob:"));

/**
 * Where two results differ. ECMAScript leaves the last digits of exp, log and pow to each engine ("implementation-approximated",
 * ECMA-262 21.3), and Node and browsers are of different ages: 5e-13 was the most that was seen. All else is the same.
 */
function unlike(one: string, other: string): string[] {
  const mostApart = 1e-11;
  const numbers = (text: string): number[] => (text.match(number) ?? []).map(Number);
  const number = /-?\d+\.\d+(?:e[+-]\d+)?/g;
  const [lines, others] = [one.split("\n"), other.split("\n")];
  return lines.flatMap((line, index) => {
    const against = others[index] ?? "";
    if (line === against) return [];
    const mine = numbers(line);
    const theirs = numbers(against);
    const alike =
      line.replace(number, "#") === against.replace(number, "#") &&
      mine.every((value, i) => Math.abs(value - theirs[i]!) <= mostApart * Math.abs(value));
    return alike ? [] : [`line ${index + 1}: ${line.slice(0, 200)}`];
  });
}

describe("the desk's file", () => {
  it("is at most 1.6 MB, 650 kB packed", () => {
    expect(desk.length).toBeLessThanOrEqual(1_600_000);
    expect(gzipSync(desk).length).toBeLessThanOrEqual(650_000);
  });
});

describe.skipIf(noBrowser)("the desk in Chromium", () => {
  const browser = reportBrowser();

  it("answers the demo farm as the command does, and asks for nothing outside itself", async () => {
    const { page, complaints } = await browser.open(desk);
    await pressed(page, "Try the demo farm");
    expect(await answerShown(page)).toContain("Ostrindel");
    const here = readFileSync(await saved(page, "Save the result as JSON"), "utf8");
    const there = command("fit", ...demoStrips, "--lots", "lots.csv", "--season", "season.yaml", "--json");
    expect(unlike(here, there)).toEqual([]);
    expect(foreign(complaints)).toEqual([]);
  });

  it("mends a row, leaves one out, prices it, and gives the pounds after rain; the farm file answers alike", async () => {
    const { page, complaints } = await browser.open(desk, { viewport: { width: 360, height: 780 } });
    const [header, ...rows] = demo("strips-2026.csv").text.trimEnd().split("\n");
    const messy = [header, ...rows.map((row, index) => (index === 1 ? row.replace("67.9", "679") : row))];
    await chosen(page, { name: "messy.csv", text: messy.join("\n") });
    await goTo(page, "Mend");
    const cell = page.getByLabel(/^yield \(bu\/ac\), row 3(,|$)/);
    expect(await cell.inputValue()).toBe("679");
    await cell.fill("67.9");
    await cell.press("Enter");
    await quiet(page);
    await pressed(page, "Undo");
    expect(await cell.inputValue()).toBe("679");
    await pressed(page, "Do again");
    expect(await cell.inputValue()).toBe("67.9");
    await quiet(page);
    page.once("dialog", (dialog) => void dialog.accept("the combine's belt broke"));
    await pressed(page, "Leave out row 4");
    await quiet(page);
    const mended = await saved(page, "Save the mended table as CSV");
    expect(readFileSync(mended, "utf8").trimEnd().split("\r\n").length).toBe(messy.length - 1);
    expect(readFileSync(mended, "utf8")).not.toContain("679,");

    await goTo(page, "Prices and seed");
    await page.getByLabel("Price of grain").fill("5.10 $/bu");
    await page.getByLabel("Price of grain").press("Tab");
    await quiet(page);
    await pressed(page, "Fill in the lots");
    await quiet(page);
    const lot = page.getByRole("group", { name: "Ostrindel" });
    await lot.getByLabel(/^Today’s rate/).fill("1600000");
    await lot.getByLabel("Seeds per pound").fill("13400");
    await lot.getByLabel("Germination, %").fill("96");
    await lot.getByLabel("Germination, %").press("Tab");
    await quiet(page);

    await goTo(page, "At the drill");
    await page.getByLabel("Variety").selectOption("Ostrindel");
    await page.getByLabel("Days later").fill("12");
    await page.getByText("12 days late").waitFor();
    const pounds = await page.locator(".seed-card").innerText();
    expect(pounds).toMatch(/\d lb\/ac/);

    await goTo(page, "Answer");
    const answer = await answerShown(page);
    await goTo(page, "Keep");
    const farm = await saved(page, "Save the farm file");
    const inside = unzipSync(readFileSync(farm));
    expect(Object.keys(inside).sort()).toEqual(["left-out.md", "lots.csv", "messy.csv", "season.yaml"]);
    expect(Buffer.from(inside["left-out.md"]!).toString()).toContain("the combine's belt broke");
    expect(command("fit", farm, "--json")).toContain('"grainPricePerKg"');

    const again = await browser.open(desk);
    await chosen(again.page, { name: "farm.zip", text: readFileSync(farm) });
    await goTo(again.page, "Answer");
    expect((await answerShown(again.page)).replace(/\s+/g, " ")).toBe(answer.replace(/\s+/g, " "));
    expect(foreign([...complaints, ...again.complaints])).toEqual([]);
  });

  it("plans strips, and takes notes of one strip after the other that come back as strips", async () => {
    const { page } = await browser.open(desk, { viewport: { width: 360, height: 780 } });
    await chosen(page, demo("strips-2026.csv"), demo("lots.csv"));
    await goTo(page, "Next strips");
    await page.getByLabel("Length of a run").fill("1200");
    await page.getByLabel("Room across").fill("1320");
    await page.getByLabel("Width of a drill pass").fill("40");
    await page.getByLabel("Width of the combine").fill("35");
    await pressed(page, "Plan the strips");
    await quiet(page);
    await page.locator("iframe.report:not([hidden])").waitFor();
    await pressed(page, "Take harvest notes on this sheet");
    for (const weight of ["1810", "1795"]) {
      await page.getByLabel("Weight (lb)", { exact: true }).fill(weight);
      await page.getByLabel("Moisture (%)").fill("13.2");
      await pressed(page, "Next strip");
    }
    expect(await page.locator("main h3").first().innerText()).toContain("3 of");
    const sheet = readFileSync(await saved(page, "Save the sheet"), "utf8");
    expect(sheet).toMatch(/,13\.2,1810,/);
    expect(sheet).toMatch(/,13\.2,1795,/);
  });

  it("reaches no network: not from the page, not from its worker", async () => {
    const { page } = await browser.open(desk, { offline: false });
    const blocked = await page.evaluate(async () => {
      const failed = (doing: Promise<unknown>): Promise<boolean> =>
        doing.then(
          () => false,
          () => true,
        );
      const violations: string[] = [];
      document.addEventListener("securitypolicyviolation", ({ effectiveDirective }) =>
        violations.push(effectiveDirective),
      );
      const image = new Promise((done, refused) => {
        const made = new Image();
        made.onload = done;
        made.onerror = refused;
        made.src = "http://127.0.0.1:9/picture.png";
      });
      const worker = new Promise<string>((done) => {
        const text = `fetch("http://127.0.0.1:9/").then(() => postMessage("reached"), () => postMessage("refused"))
          self.addEventListener("securitypolicyviolation", (event) => postMessage(event.effectiveDirective))`;
        const made = new Worker(URL.createObjectURL(new Blob([text], { type: "text/javascript" })));
        made.onmessage = ({ data }) => data !== "refused" && done(data as string);
      });
      navigator.sendBeacon("http://127.0.0.1:9/beacon", "x");
      const fetched = await failed(fetch("http://127.0.0.1:9/"));
      const pictured = await failed(image);
      return { fetched, pictured, worker: await worker, violations: [...new Set(violations)].sort() };
    });
    expect(blocked).toEqual({
      fetched: true,
      pictured: true,
      worker: "connect-src",
      violations: ["connect-src", "img-src"],
    });
  });

  it("shows hostile cells as text, and refuses an archive that would fill the memory", async () => {
    const { page, complaints } = await browser.open(desk);
    const names = ["<img src=x onerror=alert(1)>", "=cmd|calc", "__proto__", "\u202egnirts"];
    const rows = names.flatMap((name) =>
      [0.8, 1.1, 1.4].map((rate, index) => `"${name}",2026,${rate},${60 + index}`),
    );
    await chosen(page, {
      name: "<b>odd</b>.csv",
      text: ["variety,season,rate (million/ac),yield (bu/ac)", ...rows].join("\n"),
    });
    await goTo(page, "Mend");
    expect(await page.getByLabel("variety, row 2").first().inputValue()).toBe(names[0]);
    await goTo(page, "Answer");
    expect(await answerShown(page)).toContain(names[0]);
    expect(await page.locator("main img").count()).toBe(0);

    const bomb = zipSync({ "strips.csv": new Uint8Array(201_000_000) }, { level: 1 });
    await chosen(page, { name: "bomb.zip", text: bomb });
    await goTo(page, "Strips");
    expect(await page.locator(".files .problem").innerText()).toContain(
      "bomb.zip: This zip archive would unpack",
    );
    writeFileSync(join(folder, "bomb.zip"), bomb);
    const { status, stderr } = spawnSync(
      process.execPath,
      [join(root, "dist/stripcurve.js"), "check", join(folder, "bomb.zip")],
      { encoding: "utf8" },
    );
    expect(status).toBe(2);
    expect(stderr).toContain("This zip archive would unpack");
    expect(foreign(complaints)).toEqual([]);
  });

  it.each(["light", "dark"] as const)(
    "has no fault that axe finds, %s, at 360, 820 and 1280 px",
    async (colorScheme) => {
      const { page } = await browser.open(desk, { colorScheme, viewport: { width: 360, height: 780 } });
      await pressed(page, "Try the demo farm");
      await answerShown(page);
      // The report in its frame is held to the same in its own tests.
      await page.evaluate(() => document.querySelector("iframe")!.remove());
      await page.evaluate(axe.source).catch(() => undefined);
      for (const width of [360, 820, 1280]) {
        await page.setViewportSize({ width, height: 780 });
        for (const step of await page.locator("nav button").allInnerTexts()) {
          await goTo(page, step);
          await quiet(page);
          const found = await page.evaluate(async () => {
            const { violations } = await (window as unknown as { axe: typeof axe }).axe.run(document, {
              iframes: false,
            });
            return violations.map(({ id, nodes }) => `${id}: ${nodes[0]!.html.slice(0, 120)}`);
          });
          expect({ step, width, found }).toEqual({ step, width, found: [] });
          expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(width);
        }
      }
    },
  );

  it("goes the way to the answer by keyboard alone", async () => {
    const { page } = await browser.open(desk);
    const focused = (): Promise<string> =>
      page.evaluate(() => document.activeElement?.textContent?.trim() ?? "");
    for (let press = 0; press < 40 && (await focused()) !== "Try the demo farm"; press++)
      await page.keyboard.press("Tab");
    await page.keyboard.press("Enter");
    expect(await answerShown(page)).toContain("Ostrindel");
  });
});

const firefox = ["/usr/bin/firefox-esr", "/usr/bin/firefox"].find((path) => existsSync(path));
if (firefox === undefined) process.stderr.write("\n*** No Firefox found: the desk is not tried in it. ***\n");

describe.skipIf(firefox === undefined)("the desk in Firefox", () => {
  it("answers the demo farm from the disk, in a worker, as strictly as Firefox is installed", async () => {
    const { launch } = await import("puppeteer-core");
    const driven = await launch({
      browser: "firefox",
      executablePath: firefox!,
      headless: true,
      // The driver lets pages of the disk read each other, which no installed Firefox does.
      extraPrefsFirefox: { "security.fileuri.strict_origin_policy": true },
    });
    try {
      const page = await driven.newPage();
      const complaints: string[] = [];
      // The driver waits for what it clicks by a text that it evaluates, and the page's policy tells it off.
      page.on("pageerror", (error) => {
        if (!String(error).includes("blocked a JavaScript eval")) complaints.push(String(error));
      });
      await page.goto(`file://${join(root, "dist/desk.html")}`);
      await page.locator("::-p-text(Try the demo farm)").click();
      const heading = (): Promise<string> =>
        page.evaluate(
          () =>
            document
              .querySelector<HTMLIFrameElement>("iframe.report:not([hidden], .stale)")
              ?.contentDocument?.querySelector("h1")?.textContent ?? "",
        );
      await expect.poll(heading, { timeout: 50_000, interval: 200 }).toContain("Seeding rates for 2027");
      expect(await page.$eval("footer", (foot) => foot.textContent)).not.toContain("without a worker");
      expect(complaints).toEqual([]);
    } finally {
      await driven.close();
    }
  });
});
