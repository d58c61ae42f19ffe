/** Two recipes of DEVELOPERS.md tried out: what the compiler asks for once a form or a column is added is what they say. */
import { existsSync, readFileSync } from "node:fs";
import { join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import ts from "typescript";
import { expect, it } from "vitest";

const root = fileURLToPath(new URL("../..", import.meta.url));

/** Files of the engine in which the compiler finds fault, with some texts of its files replaced. */
function faultyFiles(changes: Record<string, [text: string, by: string][]>): string[] {
  const config = ts.readConfigFile(join(root, "tsconfig.json"), (path) => readFileSync(path, "utf8"));
  const { options, fileNames } = ts.parseJsonConfigFileContent(config.config, ts.sys, root);
  delete options.incremental;
  delete options.tsBuildInfoFile;
  const host = ts.createCompilerHost(options);
  const read = host.readFile.bind(host);
  host.readFile = (path) => {
    const text = read(path);
    const wanted = changes[relative(root, path)];
    if (text === undefined || wanted === undefined) return text;
    return wanted.reduce((changed, [from, to]) => {
      expect(changed).toContain(from);
      return changed.replace(from, to);
    }, text);
  };
  const program = ts.createProgram(fileNames, options, host);
  const files = program.getSemanticDiagnostics().map(({ file }) => relative(root, file!.fileName));
  return [...new Set(files)].sort();
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
