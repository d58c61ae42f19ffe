/** One trial is one result, to the last byte, in whatever order its files, rows and columns stand. */
import { readFileSync } from "node:fs";
import { strFromU8, strToU8 } from "fflate";
import { describe, expect, it } from "vitest";
import { analyzeFarm } from "../../src/farm/analyze-farm.ts";
import type { FarmFile } from "../../src/farm/farm-files.ts";
import { readFarm } from "../../src/farm/read-farm.ts";
import { reportFarm } from "../../src/farm/report-farm.ts";
import { random, shuffle, type Random } from "../../src/maths/random.ts";
import { jsonPieces } from "../../src/tell/json.ts";

/** Two varieties in two seasons of the demo farm, whose cells hold no comma. */
const files = ["strips-2025.csv", "strips-2026.csv", "lots.csv", "season.yaml"].map((name): FarmFile => {
  const text = readFileSync(new URL(`../../data-demo/${name}`, import.meta.url), "utf8");
  const others = /^.*(?:Brimsolt|Telluwick).*\n/gm;
  return { name, bytes: strToU8(name.startsWith("strips") ? text.replaceAll(others, "") : text) };
});

/** A table with its columns in another order, and with `rows` its rows too. */
function reordered({ name, bytes }: FarmFile, rows: boolean, draw: Random): FarmFile {
  if (!name.endsWith(".csv")) return { name, bytes };
  const [header, ...lines] = strFromU8(bytes)
    .trimEnd()
    .split(/\r?\n/)
    .map((line) => line.split(","));
  const columns = shuffle([...header!.keys()], draw);
  const table = [header!, ...(rows ? shuffle(lines, draw) : lines)];
  const text = table.map((line) => columns.map((column) => line[column]).join(",")).join("\n");
  return { name, bytes: strToU8(`${text}\n`) };
}

async function told(given: FarmFile[]): Promise<{ json: string; page(): Promise<string> }> {
  const farm = await readFarm(given);
  const result = analyzeFarm(farm);
  const maker = { builtFile: () => "", date: "2027-01-01" };
  return {
    json: [...jsonPieces(result)].join(""),
    async page() {
      const [page] = await reportFarm(result, maker, { files: farm.stripFiles });
      return String(page!.content);
    },
  };
}

/** Where a row stands is said of it; nothing else may know. */
const withoutRows = (json: string): string => json.replaceAll(/"row":\d+/g, '"row":0');

describe("the demo farm", () => {
  const asItIs = told(files);

  it("has the same result and page with its files and columns in another order, and its lots", async () => {
    const draw = random(1, "files and columns");
    const other = shuffle(files, draw).map((file) => reordered(file, file.name === "lots.csv", draw));
    expect(other.map(({ name }) => name)).not.toEqual(files.map(({ name }) => name));
    const { json, page } = await told(other);
    expect(json === (await asItIs).json).toBe(true);
    expect((await page()) === (await (await asItIs).page())).toBe(true);
  });

  it("has the same result with its rows in another order, but for where each row stands", async () => {
    const draw = random(2, "rows");
    const { json } = await told(files.map((file) => reordered(file, true, draw)));
    expect(json).not.toBe((await asItIs).json);
    expect(withoutRows(json) === withoutRows((await asItIs).json)).toBe(true);
  });
});
