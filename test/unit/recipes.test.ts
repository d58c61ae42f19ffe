/** Two recipes of DEVELOPERS.md tried out: what the compiler asks for once a form or a column is added is what they say. */
import { spawnSync } from "node:child_process";
import { cpSync, existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { expect, it, onTestFinished } from "vitest";
import { compiler } from "../../src/build/compiler.mjs";

const root = fileURLToPath(new URL("../..", import.meta.url));

/** Files of the engine in which the compiler finds fault, with some texts of its files replaced. */
function faultyFiles(changes: Record<string, [text: string, by: string][]>): string[] {
  // Below the packages, so that they are found from there.
  const copy = mkdtempSync(join(root, "node_modules/.recipes-"));
  onTestFinished(() => rmSync(copy, { recursive: true, force: true }));
  cpSync(join(root, "tsconfig.json"), join(copy, "tsconfig.json"));
  cpSync(join(root, "src"), join(copy, "src"), { recursive: true });
  for (const [path, wanted] of Object.entries(changes)) {
    const text = readFileSync(join(root, path), "utf8");
    const changed = wanted.reduce((before, [from, to]) => {
      expect(before).toContain(from);
      return before.replace(from, to);
    }, text);
    writeFileSync(join(copy, path), changed);
  }
  const { stdout } = spawnSync(
    process.execPath,
    [compiler, "-p", copy, "--incremental", "false", "--tsBuildInfoFile", "null", "--pretty", "false"],
    { cwd: copy, encoding: "utf8" },
  );
  return [...new Set([...stdout.matchAll(/^(\S+)\(\d+,\d+\): error /gm)].map(([, file]) => file!))].sort();
}

/** A recipe of DEVELOPERS.md, with the places in the code that it names. */
function recipe(name: string): string[] {
  const guide = readFileSync(join(root, "DEVELOPERS.md"), "utf8");
  const text = new RegExp(`^\\*\\*${name}\\*\\*: .*$`, "m").exec(guide)![0];
  return [...text.matchAll(/`((?:[a-z-]+\/)+(?:[a-z-]+\.ts)?)`/g)].map(([, path]) => join("src", path!));
}

it("a form or a column once added, the compiler asks for what the recipes name, and for nothing else", () => {
  const files = faultyFiles({
    "src/vocabulary/settings.ts": [
      ['"quadratic-plateau"] as const', '"quadratic-plateau", "cubic"] as const'],
    ],
    "src/vocabulary/trial.ts": [
      ["  waterMm: number | null;", "  waterMm: number | null;\n  rootDepthCm: number | null;"],
      ["  waterMm: null,", "  waterMm: null,\n  rootDepthCm: null,"],
    ],
  });
  expect(files).toEqual([
    "src/check/layout.ts",
    "src/decide/optima/best-rate.ts",
    "src/model/forms/index.ts",
    "src/read/strips/strip-reader.ts",
    "src/tell/wording/forms.ts",
  ]);
  const places = [...recipe("A response form"), ...recipe("A column")];
  expect(files.filter((file) => !places.some((place) => file.startsWith(place)))).toEqual([]);
  for (const place of places) expect(existsSync(join(root, place)), place).toBe(true);
});
