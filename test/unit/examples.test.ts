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

describe("examples of the library", () => {
  it("are there", () => expect(examples.length).toBeGreaterThan(2));

  it.each(examples)("print what is written behind them: %s", (_, code) => {
    const out = execFileSync(process.execPath, ["--input-type=module", "-"], { cwd: root, input: code });
    expect(promised(code).length).toBeGreaterThan(0);
    expect(out.toString().trimEnd().split("\n")).toEqual(promised(code));
  });
});
