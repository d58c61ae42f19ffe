/** What is written for a shell that writes patterns out, in one that leaves them to the program, as on Windows. */
import { execFile } from "node:child_process";
import { chmodSync, copyFileSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { promisify } from "node:util";
import { describe, expect, it } from "vitest";
import { command, demo, root, scratchFolder, runHere } from "./run.ts";

const folder = scratchFolder();
const runFile = promisify(execFile);
const rowsIn = (text: string): string | undefined => /^\d+ rows in .*/m.exec(text)?.[0];

/** Lines of the README that give a pattern to a quick command, as words without what follows `#`. */
const quick = readFileSync(join(root, "README.md"), "utf8")
  .split("\n")
  .filter((line) => /^npx stripcurve (?:check|seed|share) .*\*/.test(line))
  .map((line) =>
    line
      .replace(/ +#.*$/, "")
      .split(" ")
      .slice(2),
  );

describe("patterns in a shell that does not write them out", () => {
  it("stand in at least three quick commands of the README", () => {
    expect(quick.map(([name]) => name)).toEqual(expect.arrayContaining(["check", "seed", "share"]));
  });

  it.each(quick.map((words) => [words.join(" "), words] as const))(
    "are written out by the program: %s",
    async (_, words) => {
      const output = join(folder, `${words[0]}.out`);
      const elsewhere = words.map((word) => (word.endsWith(".json") ? output : word));
      const { code, err } = await runHere(elsewhere, { cwd: demo("") });
      expect({ code, err }).toEqual({ code: 0, err: expect.not.stringContaining("*") as string });
    },
  );

  it("are written out in what `npm run demo` and a person's own npm scripts give", async () => {
    // npm runs scripts by `<script-shell> -c <script>`; `sh -f` writes no pattern out.
    const shell = join(folder, "shell");
    writeFileSync(shell, '#!/bin/sh\nexec sh -f "$@"\n');
    chmodSync(shell, 0o755);
    const { scripts } = JSON.parse(readFileSync(join(root, "package.json"), "utf8")) as {
      scripts: Record<string, string>;
    };
    const given = /report (data-demo\/.*season\.yaml)/.exec(scripts["demo"]!)![1]!;
    const script = `node "${command}" check ${given.replaceAll("data-demo/", "")}`;
    const own = join(folder, "own");
    mkdirSync(own);
    for (const name of ["strips-2024.csv", "strips-2025.csv", "strips-2026.csv", "lots.csv", "season.yaml"])
      copyFileSync(demo(name), join(own, name));
    writeFileSync(join(own, "package.json"), JSON.stringify({ private: true, scripts: { check: script } }));
    const { stdout } = await runFile("npm", ["run", "check", `--script-shell=${shell}`], { cwd: own });
    const named = ["strips-2024.csv", "strips-2025.csv", "strips-2026.csv"];
    expect(rowsIn(stdout)).toBe(rowsIn((await runHere(["check", ...named], { cwd: demo("") })).out));
  });
});

describe("files with the line ends of Windows", () => {
  it("are read as the same files", async () => {
    const windows = join(folder, "windows");
    mkdirSync(windows);
    const names = ["strips-2026.csv", "lots.csv", "season.yaml"];
    for (const name of names)
      writeFileSync(join(windows, name), readFileSync(demo(name), "utf8").replaceAll(/\r?\n/g, "\r\n"));
    const args = ["check", "strips-*.csv", "--lots", "lots.csv", "--season", "season.yaml"];
    const there = await runHere(args, { cwd: windows });
    const here = await runHere(["check", "strips-2026.csv", ...args.slice(2)], { cwd: demo("") });
    expect(there).toEqual(here);
  });
});
