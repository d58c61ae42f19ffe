import { readdirSync, readFileSync, statSync } from "node:fs";
import { dirname, join, relative, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";

const source = fileURLToPath(new URL("../src", import.meta.url));

/** Which room may import which: the one-way road read → check → model → decide → tell. */
const mayImport: Record<string, string[]> = {
  words: ["words"],
  maths: ["maths"],
  read: ["read", "words", "check/findings"],
  check: ["check", "words", "maths"],
  model: ["model", "words", "maths", "check/findings"],
  plan: ["plan", "words", "maths", "model", "decide", "check/findings"],
  decide: ["decide", "words", "maths", "model/forms", "check/findings"],
  analyze: ["check", "model", "decide", "plan", "words"],
  tell: ["tell", "words"],
  page: ["page", "analyze", "decide", "tell", "words"],
  cli: ["cli", "analyze", "read", "check", "model", "decide", "plan", "tell", "words", "maths", "index"],
  index: ["analyze", "read", "check", "decide", "plan", "tell", "words"],
};
const wordFiles = [
  "trial.ts",
  "environments.ts",
  "settings.ts",
  "fitted-curve.ts",
  "result.ts",
  "pooled-result.ts",
  "strip-plan.ts",
  "seed-card.ts",
  "units.ts",
  "measures.ts",
  "written-numbers.ts",
  "crops.ts",
  "calendar.ts",
  "lodging-scales.ts",
  "version.ts",
];

function filesUnder(folder: string): string[] {
  return readdirSync(folder).flatMap((name) => {
    const path = join(folder, name);
    return statSync(path).isDirectory() ? filesUnder(path) : path.endsWith(".ts") ? [path] : [];
  });
}

function roomOf(path: string): string {
  const inside = relative(source, path);
  if (wordFiles.includes(inside)) return "words";
  return inside.includes("/") ? inside.split("/")[0]! : inside.replace(/\.ts$/, "");
}

const imports = filesUnder(source).flatMap((file) =>
  [...readFileSync(file, "utf8").matchAll(/(?:from|import)\s*\(?\s*"([^"]+)"/g)].map((match) => ({
    file,
    target: match[1]!,
  })),
);

describe("the source tree", () => {
  it("imports only along read → check → model → decide → tell", () => {
    const wrong = imports
      .filter(({ target }) => target.startsWith("."))
      .filter(({ file, target }) => {
        const path = resolve(dirname(file), target);
        const inside = relative(source, path);
        const allowed = mayImport[roomOf(file)] ?? [];
        return !allowed.some(
          (door) => roomOf(path) === door || inside.startsWith(`${door}.`) || inside.startsWith(`${door}/`),
        );
      })
      .map(({ file, target }) => `${relative(source, file)} imports ${target}`);
    expect(wrong).toEqual([]);
  });

  it("touches the platform only in the command line", () => {
    const wrong = imports
      .filter(({ target }) => target.startsWith("node:"))
      .map(({ file }) => relative(source, file))
      .filter((file) => !file.startsWith("cli/"));
    expect(wrong).toEqual([]);
  });

  it("reads and writes files in one file only", () => {
    const wrong = imports
      .filter(({ target }) => target.startsWith("node:fs"))
      .map(({ file }) => relative(source, file))
      .filter((file) => file !== "cli/files.ts");
    expect(wrong).toEqual([]);
  });
});
