import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import Papa from "papaparse";
import { describe, expect, it } from "vitest";
import { demo, runHere, scratchFolder } from "./run.ts";

const folder = scratchFolder();
const strips = ["strips-2024.csv", "strips-2025.csv", "strips-2026.csv"].map(demo);
const rowsOf = (path: string): Record<string, string>[] =>
  Papa.parse<Record<string, string>>(readFileSync(path, "utf8"), { header: true, skipEmptyLines: true }).data;

describe("check on the demo", () => {
  it("accounts for every row", async () => {
    const { code, out } = await runHere(["check", ...strips]);
    expect(code).toBe(0);
    const rows = strips.flatMap(rowsOf);
    const harvested = rows.filter((row) => row["yield (bu/ac)"] !== "");
    expect(out).toContain(
      `${rows.length} rows in three files: ${harvested.length} strips used, ${rows.length - harvested.length} left out.`,
    );
    const leftOut = strips
      .map((path) => ({
        path,
        rows: rowsOf(path).flatMap((row, i) => (row["yield (bu/ac)"] === "" ? [i + 2] : [])),
      }))
      .filter(({ rows: without }) => without.length > 0);
    for (const { path, rows: without } of leftOut) {
      const place =
        without.length === 1 ? `row ${without[0]}` : `rows ${without.join(", ")} (${without.length} rows)`;
      expect(out).toContain(`  ${path}, ${place}, column yield: `);
    }
    expect(out).toContain(`(${leftOut.length})`);
  });

  it("counts strips of each variety at each rate", async () => {
    const { out } = await runHere(["check", strips[0]!]);
    const [, table] = /2024 Windlass Farm, North: .*\n((?: {4}.*\n)+)/.exec(out)!;
    const [head, ...lines] = table!
      .trimEnd()
      .split("\n")
      .map((line) => line.trim().split(/\s+/));
    const rates = head!.slice(1);
    const north = rowsOf(strips[0]!).filter((row) => row["field"] === "North" && row["yield (bu/ac)"] !== "");
    for (const [variety, ...counts] of lines) {
      expect(counts.map(Number)).toEqual(
        rates.map(
          (rate) =>
            north.filter((row) => row["variety"] === variety && row["rate (million/ac)"] === rate).length,
        ),
      );
    }
    expect(lines).toHaveLength(new Set(north.map((row) => row["variety"])).size);
  });

  it("says how each column was understood, and which was not", async () => {
    const path = join(folder, "odd-column.csv");
    const [header, ...lines] = readFileSync(strips[0]!, "utf8").trimEnd().split("\n");
    writeFileSync(path, [`${header},barometer`, ...lines.map((line) => `${line},1013`)].join("\n"));
    const { out } = await runHere(["check", path]);
    expect(out).toMatch(/^ {2}rate \(million\/ac\) +rate +million seeds\/ac$/m);
    expect(out).toMatch(/^ {2}barometer +not understood, not used$/m);
  });

  it("shows a header that is broken into lines on one line", async () => {
    const file = join(folder, "broken.csv");
    const text = readFileSync(strips[0]!, "utf8").replace(",rate (million/ac),", ',"rate\n(million/ac)",');
    writeFileSync(file, text);
    const { out } = await runHere(["check", file]);
    expect(out).toMatch(/^ {2}rate \(million\/ac\) +rate +million seeds\/ac$/m);
  });

  it("tells metric users metric amounts", async () => {
    const { out } = await runHere(["check", ...strips, "--units", "metric"]);
    expect(out).toContain("viable seeds/m²");
    // 1.30 million seeds/ac is 321 seeds/m².
    expect(out).toMatch(/variety .* 321 /);
  });
});

describe("prices", () => {
  const farm = ["--lots", demo("lots.csv"), "--season", demo("season.yaml")];

  it("are shown as they are used", async () => {
    const { out } = await runHere(["check", ...strips, ...farm]);
    expect(out).toContain("wheat at $6.25/bu");
    // 14.50 + 2.50 $/bu of 60 lb, 13,400 seeds/lb, 96 % × 99 %: 17 / (60 · 13400 · 0.9504) · 10^6 = 22.25.
    expect(out).toMatch(
      /Ostrindel +1\.60 million seeds\/ac +13,400 seeds\/lb +95% +\$22\.25 per million viable seeds/,
    );
  });

  it("typed win over the season file, and say when they have no effect", async () => {
    const { out, err } = await runHere([
      "check",
      ...strips,
      ...farm,
      "--grain-price",
      "5,40 $/bu",
      "--seed-price",
      "30",
    ]);
    expect(out).toContain("wheat at $5.40/bu");
    expect(err).toBe("--seed-price is not used: the lots price the seed of every variety.\n");
    const alone = await runHere(["check", ...strips, "--seed-price", "30"]);
    expect(alone.out).toContain("$30.00 per million viable seeds");
    expect(alone.err).toBe("");
  });

  it("stand in the season file that the command makes", async () => {
    const path = join(folder, "season.yaml");
    expect((await runHere(["season", "--grain-price", "5.40", "-o", path])).code).toBe(0);
    expect((await runHere(["check", ...strips, "--season", path])).out).toContain("wheat at $5.40/bu");
  });

  it("stay assumed where that file is not filled in", async () => {
    const path = join(folder, "not-filled-in.yaml");
    await runHere(["season", "-o", path]);
    expect(readFileSync(path, "utf8")).toMatch(/^grain_price: +# .*Empty: 6 \$\/bu, assumed\.$/m);
    expect((await runHere(["check", ...strips, "--season", path])).out).toContain("wheat at $6/bu (assumed)");
  });
});

describe("check on strips without an answer", () => {
  it("ends with 1 when no strip can be used, and tells why of each row", async () => {
    const path = join(folder, "no-yields.csv");
    writeFileSync(
      path,
      "variety,season,rate (seeds/ac),yield (bu/ac)\nA,2024,1200000,\nA,2024,-5,50\nA,2024,1200000,9999\n",
    );
    const { code, out } = await runHere(["check", path]);
    expect(code).toBe(1);
    expect(out).toContain("Three rows in one file: no strips used, 3 left out.");
    for (const row of [2, 3, 4]) expect(out).toContain(`${path}, row ${row}, column `);
  });

  it("fit says so where no strip bore grain", async () => {
    const path = join(folder, "no-grain.csv");
    const rows = [1, 2, 3].flatMap((block) => [0.8, 1.1, 1.4].map((rate) => `A,2026,${block},${rate},0`));
    writeFileSync(path, `variety,season,block,rate (million/ac),yield (bu/ac)\n${rows.join("\n")}\n`);
    const { code, err } = await runHere(["fit", path, "--quiet"]);
    expect([code, err]).toEqual([
      1,
      "These strips give no answer. They do not show how yield follows the rate.\n",
    ]);
  });

  it("fit says what no answer comes from", async () => {
    const path = join(folder, "one-rate.csv");
    writeFileSync(
      path,
      "variety,season,rate (seeds/ac),yield (bu/ac)\nA,2024,1200000,50\nA,2024,1200000,51\n",
    );
    const { code, err } = await runHere(["fit", path, "--quiet"]);
    expect(code).toBe(1);
    expect(err).toMatch(/^These strips give no answer\.$/m);
    expect(err).toMatch(/^ {2}A was sown at one rate only \(1\.20 million seeds\/ac\)/m);
  });
});

describe("hostile text", () => {
  const path = join(folder, "hostile.csv");
  const names = [
    "</script><script>alert(1)</script>",
    '=HYPERLINK("x")',
    "\u001b[2J\u0007bell",
    "\u202eevil",
    "{{7*7}}",
    "小麦",
    "__proto__",
    "constructor",
  ];
  const quote = (text: string): string => `"${text.replaceAll('"', '""')}"`;
  const lines = names.flatMap((name) =>
    ["0.8", "1.1", "1.4", "1.7"].flatMap((rate, i) =>
      ["1", "2"].map(
        (block) => `${quote(name)},2024,${block},${rate},${50 + i + Number(block)},${quote(name)}`,
      ),
    ),
  );
  writeFileSync(path, `variety,season,block,rate (million/ac),yield (bu/ac),note\n${lines.join("\n")}\n`);

  it("reaches the terminal without its control characters", async () => {
    for (const command of ["check", "fit"]) {
      const { code, out, err } = await runHere([command, path]);
      expect(code).toBe(0);
      expect(out).toMatch(/^ +\[2Jbell /m);
      expect(out).toMatch(/^ +evil /m);
      expect(out).toContain("小麦");
      expect(out + err).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u202e]/);
    }
  });

  it("reaches CSV so that a spreadsheet runs nothing, and JSON but for what nobody sees", async () => {
    const tables = join(folder, "tables");
    const { out } = await runHere(["fit", path, "--csv", tables, "--json"]);
    const fits = Papa.parse<Record<string, string>>(readFileSync(join(tables, "fits.csv"), "utf8"), {
      header: true,
    }).data;
    const varieties = new Set(fits.map((row) => row["variety"]));
    expect(varieties).toContain(`'${names[1]}`);
    for (const name of [names[0], "__proto__", "constructor"]) expect(varieties).toContain(name);
    expect((JSON.parse(out) as { varieties: string[] }).varieties).toEqual(
      expect.arrayContaining([...names.slice(0, 2), "[2Jbell", "evil", ...names.slice(4)]),
    );
  });

  it("reaches the report as text", async () => {
    const page = join(folder, "hostile.html");
    await runHere(["report", path, "-o", page]);
    const html = readFileSync(page, "utf8");
    expect(html).not.toContain("<script>alert(1)");
    expect(html).toContain("&lt;/script&gt;");
    expect(html).toContain("__proto__");
  });
});
