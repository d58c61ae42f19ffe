import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { strFromU8, strToU8, zipSync } from "fflate";
import { analyze } from "../../../src/analyze.ts";
import { analyzeFarm } from "../../../src/farm/analyze-farm.ts";
import { takeFiles, type FarmFile } from "../../../src/farm/farm-files.ts";
import type { Farm } from "../../../src/farm/farm.ts";
import { checkFarm, readFarm } from "../../../src/farm/read-farm.ts";
import { questionsOf } from "../../../src/farm/questions.ts";
import { answerName } from "../../../src/read/answers/answers.ts";
import { answersText } from "../../../src/read/answers/answers-file.ts";
import { jsonPieces } from "../../../src/tell/json.ts";
import type { Result } from "../../../src/vocabulary/result.ts";

const demo = (name: string): FarmFile => ({
  name,
  bytes: readFileSync(new URL(`../../../data-demo/${name}`, import.meta.url)),
});
const file = (name: string, text: string): FarmFile => ({ name, bytes: strToU8(text) });

const strips = file(
  "a.csv",
  "variety,season,block,rate (million/ac),yield (bu/ac)\nAlder,2025,1,0.9,60\nAlder,2025,1,1.3,64\nAlder,2025,2,0.9,61\nAlder,2025,2,1.3,66\n",
);

describe("what a file is taken for", () => {
  it.each<[string, FarmFile, string | null]>([
    ["strips", strips, "strips"],
    ["strips of a semicolon file", file("x", "Sorte;variety;year;seeding rate;yield\n"), "strips"],
    [
      "strips by weight",
      file("x.csv", "variety,season,rate,strip_weight,strip_length,strip_width\n"),
      "strips",
    ],
    [
      "lots, whatever the file is called",
      file("strips.csv", "variety,rate_now,seeds_per_lb,seed_price ($/bu)\n"),
      "lots",
    ],
    [
      "lots whose every header strips could have",
      file("a.csv", "Variety,Seeding rate (seeds/ac),TKW\n"),
      "lots",
    ],
    ["strips with a yield that is not understood", file("a.csv", "Variety,Rate,Yeld\n"), "strips"],
    [
      "strips without a season, with the seed that was sown",
      file("a.csv", "Variety,Rate,TKW,Yield\n"),
      "strips",
    ],
    ["a season file", file("x.txt", "# prices\ngrain_price: 6.20 $/bu\n"), "season"],
    [
      "strips below a title like an entry",
      file("x.csv", `crop: wheat\n${strFromU8(strips.bytes)}`),
      "strips",
    ],
    ["a region", file("x", '{"schema":"stripcurve-region-3","farms":6}'), "region"],
    ["an earlier result", file("x", '{\n"schema": "stripcurve-result-1",\n"rows": {}}'), "result"],
    ["answers", file("x.yaml", "names: {variety: {Aldr: Alder}}\n"), "answers"],
    ["answers that say nothing yet, by their name", file("columns.yaml", "# none\n"), "answers"],
    ["nothing of ours", file("notes.txt", "It rained all of June.\n"), null],
    ["another table", file("x.csv", "city,people\nA,3\n"), null],
  ])("%s", async (_, given, as) => {
    expect(await takeFiles([given])).toEqual([{ name: given.name, as, said: false, problem: null }]);
  });

  it("is what the person says, whatever is in it", async () => {
    expect(await takeFiles([{ ...strips, as: "lots" }])).toEqual([
      { name: "a.csv", as: "lots", said: true, problem: null },
    ]);
  });

  it("stays open for a file that cannot be looked into, with the reason", async () => {
    const [taken] = await takeFiles([{ name: "x.xlsx", bytes: zipSync({ "a.txt": strToU8("a") }) }]);
    expect(taken).toMatchObject({ as: null, problem: { code: "workbook-broken" } });
  });
});

describe("readFarm", () => {
  it("reads files in any order as the command reads them in its own", async () => {
    const names = ["lots.csv", "strips-2025.csv", "season.yaml", "strips-2026.csv"];
    const mixed = await readFarm(names.map(demo));
    const said = await readFarm([
      { ...demo("season.yaml"), as: "season" },
      { ...demo("lots.csv"), as: "lots" },
      { ...demo("strips-2025.csv"), as: "strips" },
      { ...demo("strips-2026.csv"), as: "strips" },
    ]);
    // What is analysed is the same to the byte, and so is what comes of it.
    const analysed = ({ trial, settings, units }: Farm): string => JSON.stringify([trial, settings, units]);
    expect(analysed(said)).toBe(analysed(mixed));
    expect(mixed.stripFiles).toEqual(["strips-2025.csv", "strips-2026.csv"]);
  });

  it("is analysed by the engine as it was read", async () => {
    const farm = await readFarm([strips]);
    const text = (result: Result): string => [...jsonPieces(result)].join("");
    expect(text(analyzeFarm(farm))).toBe(text(analyze(farm.trial, farm.settings, farm.units)));
  });

  it("lets what is typed win over the season file, and says what is not used", async () => {
    const lots = file(
      "lots.csv",
      "variety,seed_price ($/bu),seeds_per_lb,germination_pct\nAlder,20,13000,95\n",
    );
    const season = file("s.yaml", "grain_price: 6.20 $/bu\n");
    const typed = [
      { key: "grain_price", text: "5.00 $/bu", from: "the price of grain" },
      { key: "seed_price", text: "20", from: "the price of seed" },
    ];
    const farm = await readFarm([strips, lots, season], { typed });
    // 60 lb/bu × 0.45359237 kg/lb = 27.2155 kg/bu.
    expect(farm.settings.grainPricePerKg).toBeCloseTo(5 / 27.2155422, 9);
    expect(farm.remarks).toEqual([
      "the price of seed is not used: the lots price the seed of every variety.",
    ]);
  });

  it("calls no price of seed unusual that no variety is charged", async () => {
    const doubts = async (lots: string): Promise<(string | null | undefined)[]> => {
      const season = file("s.yaml", "crop: corn\nseed_price: 20 $/million seeds\n");
      const farm = await readFarm([strips, file("lots.csv", lots), season]);
      return farm.trial.findings.flatMap(({ severity, column }) => (severity === "doubt" ? [column] : []));
    };
    // A price of wheat: corn costs thousands.
    const lots = "variety,seed_price ($/unit),seeds_per_unit,seeds_per_lb,germination_pct\n";
    expect(await doubts(`${lots}Alder,250,80000,1600,95\n`)).not.toContain("seed_price");
    expect(await doubts(`${lots}Birch,250,80000,1600,95\n`)).toContain("seed_price");
  });

  it("checks: an impossible strip is left out and said", async () => {
    const farm = await readFarm([
      file(
        "b.csv",
        "variety,season,block,rate (million/ac),yield (bu/ac)\nAlder,2025,1,0.9,60\nAlder,2025,2,0.9,6000\n",
      ),
    ]);
    const trial = checkFarm(farm);
    expect(trial.strips.length).toBe(1);
    expect(trial.findings.filter(({ severity }) => severity === "stops")).toMatchObject([
      { code: "row-impossible-yield", row: 3 },
      { code: "one-rate", row: null },
    ]);
  });

  it("has an empty trial without strips, and keeps an earlier result", async () => {
    const earlier = file("old.json", '{"schema": "stripcurve-result-1"}');
    const farm = await readFarm([earlier]);
    expect(farm.trial.strips).toEqual([]);
    expect(farm.earlier?.name).toBe("old.json");
  });

  it("reads answers that lie among the files, and lets what is answered since win over them", async () => {
    const unclear = file(
      "a.csv",
      "sort of,season,block,rate (million/ac),yield (bu/ac)\nAlder,2025,1,0.9,60\nAldr,2025,2,1.3,64\n",
    );
    const kept = file(
      "columns.yaml",
      "columns: {sort of: variety}\nnames: {variety: {Aldr: Alder}}\nsaid_no: [thousands rate]\n",
    );
    const varieties = ({ trial }: Farm): string[] => trial.strips.map(({ variety }) => variety);
    expect(varieties(await readFarm([unclear, kept]))).toEqual(["Alder", "Alder"]);
    const since = answerName("variety", "Aldr", "Aldr");
    const farm = await readFarm([unclear, kept], { answers: since });
    expect(varieties(farm)).toEqual(["Alder", "Aldr"]);
    expect(farm.answers.saidNo).toEqual(["thousands rate"]);
  });

  it("asks whether empty cells repeat the one above, where many rows have no variety", async () => {
    const merged = file(
      "a.csv",
      "variety,season,block,rate (million/ac),yield (bu/ac)\nAlder,2025,1,0.9,60\n,,,1.1,63\n,,,1.3,64\n,,,1.5,64\nBirch,2025,1,0.9,60\n",
    );
    const [question] = questionsOf(await readFarm([merged]));
    expect(question?.text).toBe("3 rows have no variety. Do empty cells repeat the one above?");
    const farm = await readFarm([merged], { answers: question!.choices[0]!.answers });
    expect(farm.trial.strips.map(({ variety, season, block }) => `${variety} ${season} ${block}`)).toEqual([
      ...Array<string>(4).fill("Alder 2025 1"),
      "Birch 2025 1",
    ]);
  });

  it("asks no more what was answered with no", async () => {
    const small = file(
      "a.csv",
      "variety,season,block,rate (seeds/ac),yield (bu/ac)\nAlder,2025,1,900,60\nAlder,2025,2,1300000,64\n",
    );
    const [question] = questionsOf(await readFarm([small]));
    expect(question?.text).toContain("Are they thousands");
    const [, no] = question!.choices;
    const text = answersText(no!.answers);
    expect(questionsOf(await readFarm([small, file("columns.yaml", text)]))).toEqual([]);
  });

  it("takes the lots of several files, the first of each variety", async () => {
    const { settings, trial } = await readFarm([
      strips,
      file("a-lots.csv", "variety,germ,price ($/bu)\nAlder,95,15\nBirch,96,12\n"),
      file("b-lots.csv", "variety,germ,price ($/bu)\nAlder,91,14\nCedar,97,13\n"),
    ]);
    expect(settings.lots.map(({ variety, germination }) => [variety, germination])).toEqual([
      ["Alder", 0.95],
      ["Birch", 0.96],
      ["Cedar", 0.97],
    ]);
    expect(trial.findings.filter(({ code }) => code === "row-lot-twice")).toMatchObject([
      { file: "b-lots.csv", row: 2, value: "Alder", message: expect.stringContaining("a-lots.csv, row 2") },
    ]);
  });

  it.each<[string, FarmFile[], string, RegExp]>([
    ["a file that is nothing", [file("notes.txt", "rain\n")], "file-unknown", /^notes\.txt is neither/],
    [
      "two season files",
      [file("a.yaml", "crop: barley\n"), file("b.yaml", "crop: oats\n")],
      "file-kind-twice",
      /^a\.yaml and b\.yaml are each read as the season file/,
    ],
  ])("refuses %s", async (_, files, code, message) => {
    await expect(readFarm(files)).rejects.toMatchObject({
      code,
      message: expect.stringMatching(message) as string,
    });
  });
});
