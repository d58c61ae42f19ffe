import { chmodSync, copyFileSync, mkdirSync, readFileSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { demo, run, scratchFolder, runHere } from "./run.ts";

const folder = scratchFolder();
const at = (name: string): string => join(folder, name);
const written = (name: string, text: string | Uint8Array): string => {
  writeFileSync(at(name), text);
  return at(name);
};

async function refuses(args: string[], message: RegExp): Promise<void> {
  const { code, out, err } = await runHere(args);
  expect({ code, out }).toEqual({ code: 2, out: "" });
  expect(err).toMatch(message);
  expect(err.trimEnd().split("\n")).toHaveLength(1);
}

describe("names with a pattern in them", () => {
  const counted = async (args: string[], cwd: string): Promise<string> =>
    /^\d+ rows in .*/m.exec((await runHere(["check", ...args], { cwd })).out)?.[0] ?? "";

  it("stand for the files that are named like it, where the shell leaves them to the program", async () => {
    const named = await counted(["strips-2024.csv", "strips-2025.csv", "strips-2026.csv"], demo(""));
    expect(named).not.toBe("");
    expect(await counted(["strips-*.csv"], demo(""))).toBe(named);
    expect(await counted(["strips-202[456].csv"], demo(""))).toBe(named);
    expect(await counted([demo("strips-202?.csv")], "/")).toBe(named);
    expect(await counted(["../data-demo/strips-{2024,2025,2026}.csv"], demo(""))).toBe(named);
  });

  it("are no patterns where a file has that very name, and are told where no file is like it", async () => {
    copyFileSync(demo("strips-2024.csv"), join(folder, "strips [2024].csv"));
    expect(await runHere(["check", "strips [2024].csv"], { cwd: folder })).toMatchObject({ code: 0 });
    expect(await runHere(["check", "strips-*.xlsx"], { cwd: folder })).toMatchObject({
      code: 2,
      err: "No file is named like strips-*.xlsx. Look at the folder and the spelling.\n",
    });
  });
});

describe("an empty file among others", () => {
  it("is told, and keeps none of them from being read", async () => {
    written("empty.csv", "");
    const { code, out } = await runHere(["check", demo("strips-2024.csv"), "empty.csv"], { cwd: folder });
    expect(code).toBe(0);
    expect(out.replaceAll(/\s+/g, " ")).toContain("empty.csv is empty and was skipped.");
    expect(await runHere(["check", "empty.csv"], { cwd: folder })).toMatchObject({ code: 2 });
  });
});

describe("a file in the place of strips that is something else", () => {
  it("is told with the option that it belongs to", async () => {
    await refuses(
      ["check", demo("season.yaml")],
      /is a season file, not a table of strips\. Give it as --season /,
    );
    const answers = written("columns.yaml", "names: {variety: {Aldr: Alder}}\n");
    await refuses(["check", answers], /is a file of answers about columns, .* Give it as --answers /);
    await refuses(["check", demo("lots.csv")], /is a table of seed lots .* --lots /);
  });
});

describe("input that cannot be read", () => {
  mkdirSync(at("a-folder"));
  symlinkSync("loop-b", at("loop-a"));
  symlinkSync("loop-a", at("loop-b"));

  it.each([
    ["missing.csv", /Cannot read .*missing\.csv: there is no such file/],
    ["loop-a", /Cannot read .*loop-a: its links lead round in a circle/],
    [`${"long".repeat(100)}.csv`, /the name is too long/],
  ])("%s ends with 2 and one line", async (name, message) => {
    await refuses(["check", at(name)], message);
    await refuses(["fit", "--lots", at(name), demo("strips-2024.csv")], message);
  });

  it("a folder ends with 2 and one line: as strips it is one of clients, as lots it is no file", async () => {
    await refuses(
      ["check", at("a-folder")],
      /a-folder holds no clients that can be read: put a table of strips/,
    );
    await refuses(
      ["fit", "--lots", at("a-folder"), demo("strips-2024.csv")],
      /Cannot read .*a-folder: it is a folder, not a file/,
    );
  });

  it("a file without permission", async () => {
    const path = written("locked.csv", "variety,season,rate,yield\n");
    chmodSync(path, 0o000);
    const nobody = process.getuid?.() === 0 ? { uid: 65_534 } : {};
    chmodSync(folder, 0o755);
    const { code, err } = await run(["check", path], nobody);
    expect(code).toBe(2);
    expect(err).toBe(`Cannot read ${path}: you have no permission.\n`);
  });

  it.each([
    ["empty.csv", ""],
    ["header-only.csv", "variety,season,rate (seeds/ac),yield (bu/ac)\n"],
    ["binary.csv", Uint8Array.from({ length: 4096 }, (_, i) => (i * 7919) % 256)],
    ["nul.csv", "variety,season\u0000,rate,yield\nA,2024,1,2\n"],
    ["not-strips.csv", "name,age\nA,3\n"],
  ] as [string, string | Uint8Array][])("%s gives a message, no stack trace", async (name, bytes) => {
    const { code, err, out } = await runHere(["check", written(name, bytes)]);
    expect([1, 2]).toContain(code);
    expect(err + out).not.toMatch(/\n {4}at |TypeError|undefined|NaN|\[object/);
    expect((err + out).trim()).not.toBe("");
  });
});

describe("standard input", () => {
  it("is read for -, like the same file", async () => {
    const path = demo("strips-2024.csv");
    const fromFile = await runHere(["check", path]);
    const fromStdin = await run(["check", "-"], { stdin: readFileSync(path) });
    expect(fromStdin.code).toBe(0);
    expect(fromStdin.out).toBe(fromFile.out.replaceAll(path, "standard input"));
  });
});
