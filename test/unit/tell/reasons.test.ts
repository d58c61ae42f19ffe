import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { reasonSentence, reasonSentences } from "../../../src/tell/wording/reasons.ts";
import { measuresOf } from "../../../src/numbers/measures.ts";
import { makeResult } from "../../fixtures/result.ts";

const folder = new URL("../../../src/decide/", import.meta.url).pathname;
const codes = readdirSync(folder, { recursive: true, encoding: "utf8" })
  .filter((name) => name.endsWith(".ts"))
  .flatMap((name) => [...readFileSync(folder + name, "utf8").matchAll(/\bcode: ["`]([^"`]+)["`]/g)])
  .flatMap(([, code]) =>
    code!.includes("${") ? ["highest", "lowest"].map((edge) => code!.replace(/\$\{[^}]*\}/, edge)) : [code!],
  );

describe("reasons", () => {
  it("has a sentence for every code that the decision gives", () => {
    expect(codes.length).toBeGreaterThan(5);
    expect(codes.filter((code) => reasonSentences[code] === undefined)).toEqual([]);
  });

  it("says numbers in the person's units", () => {
    const measures = measuresOf(makeResult());
    const code = "at-highest-tested";
    expect(reasonSentence({ code, numbers: { testSeedsPerM2: 568.34 } }, measures)).toContain("2.30 million");
  });

  it("says nothing for a code it does not know", () => {
    expect(reasonSentence({ code: "never-heard", numbers: {} }, measuresOf(makeResult()))).toBe("");
  });
});
