import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";

const root = fileURLToPath(new URL("../..", import.meta.url));

/** Programs in the page of the library's entry, as written there. */
const examples = [
  ...readFileSync(`${root}src/index.ts`, "utf8").matchAll(/@example (.*)\n \* ```js\n([^]*?) \* ```/g),
].map(([, title, code]): [title: string, code: string] => [title!, code!.replaceAll(/^ \* ?/gm, "")]);

/** Everything behind `console.log(…); //`, line by line. */
const promised = (code: string): string[] =>
  [...code.matchAll(/console\.log\(.*\); \/\/ (.*)$/gm)].map(([, printed]) => printed!);

/** Printed where one example ends. */
const end = "-- end of example --";

/** Runs each program as a module of its own, one after the other: the library is loaded once. */
const runAll = `
const library = JSON.stringify(import.meta.resolve("stripcurve"));
for (const code of ${JSON.stringify(examples.map(([, code]) => code))}) {
  const program = code.replace(/(?<= from )"stripcurve"/g, library);
  try {
    await import("data:text/javascript," + encodeURIComponent(program));
  } catch (error) {
    console.log(String(error));
  }
  console.log(${JSON.stringify(end)});
}`;

let printed: string[] | null = null;
const printedBy = (index: number): string => {
  printed ??= execFileSync(process.execPath, ["--input-type=module", "-"], { cwd: root, input: runAll })
    .toString()
    .split(`${end}\n`);
  return printed[index]!;
};

describe("examples of the library", () => {
  it("are there", () => expect(examples.length).toBeGreaterThan(2));

  it.each(examples.map(([title, code], index) => [title, code, index] as const))(
    "print what is written behind them: %s",
    (_, code, index) => {
      expect(promised(code).length).toBeGreaterThan(0);
      expect(printedBy(index).trimEnd().split("\n")).toEqual(promised(code));
    },
  );
});
