import { existsSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { stripsOfFarm } from "../fixtures/region-farms.ts";
import { scratchFolder, runHere } from "./run.ts";

const folder = scratchFolder();
const path = (name: string): string => join(folder, name);
const lots = path("lots.csv");
const strips = path("strips.csv");
const region = path("region.json");
const earlier = path("earlier.json");

/** Six farms need 1.5 million/ac of Alder, this farm's strips say 1.1; Larch has a lot and no strips here. */
beforeAll(async () => {
  writeFileSync(strips, stripsOfFarm(1, { Alder: 1.1, Birch: 1.2 }));
  writeFileSync(
    lots,
    "variety,current rate (seeds/ac),acres\nAlder,1300000,100\nBirch,1300000,100\nLarch,1300000,100\n",
  );
  const neighbours = [2, 3, 4, 5, 6, 7].map((farm) => {
    const file = path(`neighbour-${farm}.csv`);
    writeFileSync(file, stripsOfFarm(farm, { Alder: 1.5, Larch: 1.4 }));
    return file;
  });
  await runHere(["region", ...neighbours, "-o", region, "--quiet"]);
  await runHere(["fit", strips, "--lots", lots, "--json", "-o", earlier, "--quiet"]);
});

describe("region", () => {
  it("writes none that would hold no variety, and says why", async () => {
    const few = [2, 3].map((farm) => path(`neighbour-${farm}.csv`));
    const { code, err } = await runHere(["region", ...few, "-o", path("few.json"), "--quiet"]);
    expect({ code, err }).toEqual({
      code: 2,
      err: "No variety is grown by 5 farms or more: the region would hold none, and is not written. Add the evidence of more farms, or lower --fewest-farms if they agree.\n",
    });
    expect(existsSync(path("few.json"))).toBe(false);
    const table = await runHere(["region", ...few, "--quiet"]);
    expect(table).toMatchObject({ code: 0 });
    expect(table.out).toContain("Left out, because fewer than 5 farms grow them: Alder, Larch.");
  });
});

describe("report --region --since", () => {
  it("puts on the region alone what it changed, and says that a variety it adds has no strips", async () => {
    const { code, out } = await runHere([
      "report",
      strips,
      "--lots",
      lots,
      "--region",
      region,
      "--since",
      earlier,
      "-o",
      "-",
      "--quiet",
    ]);
    expect(code).toBe(0);
    const from = out.indexOf('<section id="since">');
    const since = out.slice(from, out.indexOf("</section>", from));
    expect(since).toContain("A region of other farms now adds to what the strips say.");
    const ofVariety = (name: string): string =>
      new RegExp(`<bdi>${name}</bdi></dt>\\s*<dd>(.*?)</dd>`, "s").exec(since)![1]!;
    expect(ofVariety("Alder")).toMatch(/The best rate went from .*: the region moved it up by 0\.\d\d\./);
    expect(since).not.toContain("the strips moved it");
    expect(ofVariety("Larch")).toBe("New here, and without strips so far.");
  });

  it("explains a region that is no longer used", async () => {
    const leaned = path("leaned.json");
    await runHere(["fit", strips, "--lots", lots, "--region", region, "--json", "-o", leaned, "--quiet"]);
    const { code, out } = await runHere([
      "report",
      strips,
      "--lots",
      lots,
      "--since",
      leaned,
      "-o",
      "-",
      "--quiet",
    ]);
    expect(code).toBe(0);
    const since = out.slice(out.indexOf('<section id="since">'));
    expect(since).toContain("The region of other farms that was used then is no longer used.");
    expect(since).toMatch(/The best rate went from .*: the region moved it down by 0\.\d\d\./);
  });
});
