/** Points on the desk: dropped, made into strips by the command's own engine, shown, and handed on to the next step. */
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { command, desk, foreign, hand, pressed, quiet, root, savedFiles, stepTo } from "./open-desk.ts";
import { seriousFaults } from "./faults.ts";
import { noBrowser, reportBrowser } from "./open-report.ts";
import { zippedShapefile, type WrittenPoint } from "../unit/points/written-points.ts";

const pointsOf = (name: string): string => readFileSync(join(root, "data-demo/points", name), "utf8");
const [harvest, seeded] = [pointsOf("harvest-north-2026.csv"), pointsOf("seeded-north-2026.csv")];

describe.skipIf(noBrowser)("points on the desk", () => {
  const browser = reportBrowser();
  const { saved } = savedFiles();

  it("become the command's strips, show what was left out and why, and go on to the next step", async () => {
    const { page, complaints } = await browser.open(desk);
    page.setDefaultTimeout(60_000);
    await hand(
      page,
      "Choose files",
      { name: "harvest.csv", content: harvest },
      { name: "seeded.csv", content: seeded },
    );
    await page.getByRole("heading", { name: "From points to strips" }).waitFor();
    const frame = page.frameLocator("iframe.report");
    await frame.getByRole("heading", { name: "Points left out" }).waitFor();
    expect(await frame.locator("#left-out").innerText()).toContain("within 100 ft of a strip");
    expect(await page.locator("iframe.report").getAttribute("class")).not.toContain("stale");

    const path = await saved(page, "Save the strips as CSV");
    expect(path).toMatch(/harvest-strips\.csv$/);
    const folder = join(path, "..");
    writeFileSync(join(folder, "harvest.csv"), harvest);
    writeFileSync(join(folder, "seeded.csv"), seeded);
    await command(folder, "strips", "harvest.csv", "--seeded", "seeded.csv", "-o", "by-command.csv");
    expect(readFileSync(path, "utf8")).toBe(readFileSync(join(folder, "by-command.csv"), "utf8"));

    // Nothing says the variety and the year: both are given here, in the desk's own words.
    expect(await frame.locator("#findings").innerText()).toContain("“Variety” if there was only one");
    await page.getByText("What the files do not say").click();
    await page.getByLabel("Variety", { exact: true }).fill("Ostrindel");
    await page.getByLabel("Season", { exact: true }).fill("2026");
    await page.getByLabel(/^far out: leaves out/).uncheck();
    await pressed(page, "Make the strips again");
    await quiet(page);
    await frame.getByText("Switched off here: far out").waitFor();
    expect(foreign(complaints)).toEqual([]);
    expect(await seriousFaults(page)).toEqual([]);
    await pressed(page, "Use these strips");
    await page.getByRole("heading", { name: "What was found, and what to mend" }).waitFor();
    await quiet(page);
    await expect.poll(() => page.getByText(/^Rows read: /).innerText()).toContain("Rows read: 59. Used: 59.");

    // Without points on the desk there is no such step.
    await stepTo(page, "Strips");
    await pressed(page, "Leave out harvest.csv");
    await pressed(page, "Leave out seeded.csv");
    await expect.poll(() => page.getByRole("button", { name: "Points", exact: true }).count()).toBe(0);
  });

  it("are read from zipped shapefiles in degrees; of one in metres it is said what to do", async () => {
    const { page } = await browser.open(desk);
    page.setDefaultTimeout(60_000);
    const zipped = (name: string, points: WrittenPoint[], more?: Record<string, string>) => ({
      name,
      content: zippedShapefile(points, more),
    });
    const [cut, sown] = [shapesOf(harvest, harvestNames), shapesOf(seeded, seededNames)];
    await hand(page, "Choose files", zipped("harvest.zip", cut), zipped("seeded.zip", sown));
    const lede = page.frameLocator("iframe.report").locator("header");
    await lede.getByText("59 of 59 strips have a yield").waitFor();
    await stepTo(page, "Strips");
    const metres = { "layer.prj": 'PROJCS["UTM_Zone_14N",GEOGCS["GCS_WGS_1984"]]' };
    await hand(page, "Choose files", zipped("harvest.zip", cut.slice(0, 50), metres));
    await page.getByText("this page cannot convert projections").waitFor();
  });
});

const harvestNames = ["time_s", "speed_m_s", "swath_ft", "flow_kg_s", "moisture"];
const seededNames = ["time_s", "swath_ft", "rate"];

/** The demo's points, that are in metres, around 47° N, 98° W. */
function shapesOf(csv: string, names: readonly string[]): WrittenPoint[] {
  const [, ...rows] = csv.trim().split("\n");
  return rows.map((row) => {
    const [x, y, ...cells] = row.split(",").map(Number) as [number, number, ...number[]];
    return {
      longitude: -98 + x / 76_056,
      latitude: 47 + y / 111_170,
      properties: Object.fromEntries(names.map((name, n) => [name, cells[n]!])),
    };
  });
}
