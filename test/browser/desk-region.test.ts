/** A region on the desk: told for what it is, used, and said on the page; what is saved is the command's report. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { stripsOfFarm } from "../fixtures/region-farms.ts";
import { answerShown, command, desk, hand, savedFiles, stepTo } from "./open-desk.ts";
import { noBrowser, reportBrowser } from "./open-report.ts";

const strips = stripsOfFarm(1, { Alder: 1.1, Birch: 1.2 });
const lots =
  "variety,current rate (seeds/ac),acres\nAlder,1300000,100\nBirch,1300000,100\nLarch,1300000,100\n";

describe.skipIf(noBrowser)("a region on the desk", () => {
  const browser = reportBrowser();
  const { saved } = savedFiles();
  let folder = "";
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), "stripcurve-region-"));
    writeFileSync(join(folder, "strips.csv"), strips);
    writeFileSync(join(folder, "lots.csv"), lots);
    const neighbours = [2, 3, 4, 5, 6, 7].map((farm) => {
      writeFileSync(join(folder, `farm-${farm}.csv`), stripsOfFarm(farm, { Alder: 1.5, Larch: 1.4 }));
      return `farm-${farm}.csv`;
    });
    await command(folder, "region", ...neighbours, "-o", "region.json", "--quiet");
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  it("is told for what it is, gives a variety without strips a row, and comes out as by the command", async () => {
    const { page, complaints } = await browser.open(desk);
    await hand(
      page,
      "Choose files",
      ...["strips.csv", "lots.csv", "region.json"].map((name) => ({
        name,
        content: readFileSync(join(folder, name)),
      })),
    );
    const taken = page.getByLabel("What region.json is");
    await taken.waitFor();
    expect(await taken.locator("option:checked").textContent()).toBe("a region file");
    await stepTo(page, "Answer");
    const words = await answerShown(page);
    expect(words).toMatch(/Larch[^]*No strips of it yet: the rate is based on six farms in your region/);
    expect(words).toMatch(
      /Region: about \d+% of what is known about this variety's seed need comes from six/,
    );
    const options = ["strips.csv", "--lots", "lots.csv", "--region", "region.json", "--quiet"];
    const numbers = readFileSync(await saved(page, "Save the result as JSON"), "utf8");
    expect(numbers === (await command(folder, "fit", ...options, "--json"))).toBe(true);
    const report = readFileSync(await saved(page, "Save this report"), "utf8");
    expect(bodyOf(report)).toEqual(bodyOf(await command(folder, "report", ...options, "-o", "-")));
    expect(complaints.filter((one) => !one.startsWith("asks for blob:"))).toEqual([]);
  });
});

/** The lines of a report up to its scripts, without the day it was made. */
const bodyOf = (html: string): string[] =>
  html
    .slice(html.indexOf("<main"), html.indexOf("</main>"))
    .split("\n")
    .filter((line) => !line.includes("Made "));
