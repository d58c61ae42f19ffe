import { createHash } from "node:crypto";
import { deflateSync, inflateSync } from "node:zlib";
import { describe, expect, it } from "vitest";
import { tellPage } from "../../../src/tell/html.ts";
import type { PageParts } from "../../../src/tell/html/page-parts.ts";
import { readPageData } from "../../../src/tell/html/page-data.ts";
import { demoResult } from "../../fixtures/demo.ts";
import { madeVarieties, makeResult } from "../../fixtures/result.ts";

const sha256 = (text: string): string => createHash("sha256").update(text).digest("base64");
const inflate = (text: string): string => inflateSync(Buffer.from(text, "base64")).toString();
const parts: PageParts = {
  starter: "document.body;",
  script: "document.title;",
  style: "body { margin: 0 }",
  run: { date: "2026-12-01", files: ["strips-2024.csv"] },
  sha256,
  deflate: (text) => deflateSync(text).toString("base64"),
};

const heldIn = (page: string, id: string): string =>
  new RegExp(`<script type="text/plain" id="${id}">([^<]*)</script>`).exec(page)?.[1] ?? "";

describe("the report", () => {
  it("answers on its first screen: now, next, pounds and gain of every variety", async () => {
    const page = await tellPage(makeResult(), parts);
    const first = page.slice(page.indexOf("<main"), page.indexOf('id="varieties"'));
    for (const text of ["Ostrindel", "1.60", "1.44", "Quavenby", "1.15", "1.26", "lb/ac", "$15/ac"])
      expect(first).toContain(text);
  });

  it("allows exactly its own script and style", async () => {
    const page = await tellPage(makeResult(), parts);
    const policy = /http-equiv="Content-Security-Policy"\s+content="([^"]*)"/.exec(page)?.[1] ?? "";
    const style = /<style>([\s\S]*?)<\/style>/.exec(page)?.[1] ?? "";
    const starter = /<script>([\s\S]*?)<\/script>/.exec(page)?.[1] ?? "";
    const script = inflate(heldIn(page, "page-script"));
    expect(policy).toContain("default-src &#39;none&#39;");
    expect(policy).toContain(`style-src &#39;sha256-${sha256(style)}&#39;`);
    expect(policy).toContain(
      `script-src &#39;sha256-${sha256(starter)}&#39; &#39;sha256-${sha256(script)}&#39;;`,
    );
    expect([starter, script]).toEqual([parts.starter, parts.script]);
    expect(policy).not.toContain("unsafe");
  });

  it("speaks to the grower without Greek letters and without the words of statistics", async () => {
    const page = await tellPage(demoResult(), parts, "grower");
    const words = page.slice(page.indexOf("<body"), page.indexOf("<script")).replace(/<[^>]*>/g, " ");
    expect(/[\u0370-\u03ff]/.test(words)).toBe(false);
    for (const word of [
      /quadratic/i,
      /likelihood/i,
      /AICc?\b/,
      /\bREML\b/,
      /\bp[ =]0/,
      /standard error/i,
      /R²/,
    ])
      expect(words).not.toMatch(word);
  });

  it("writes numbers and dates as the reader does, at the axes of its charts too", async () => {
    const german: PageParts = {
      ...parts,
      numbers: { decimal: ",", thousands: ".", dates: "day-first" },
    };
    const page = await tellPage(demoResult(), german);
    const words = page.slice(page.indexOf("<body"), page.indexOf("<script")).replace(/<[^>]*>/g, "\n");
    expect(words).toContain("1,44");
    expect(words).toMatch(/^0,8$/m);
    expect(words).toContain("20 April 2027");
    expect(words.match(/^[\d.]*\.\d{1,2}$/gm) ?? []).toEqual([]);
  });

  it("on more than a page can hold carries no data and not every row, says so, and stays below 10 MB", async () => {
    const result = makeResult();
    // 48,000 fits: written out, each with five forms, they would be far above 10 MB.
    const fits = Array.from({ length: 2_000 }, () => result.fits).flat();
    const heavy = {
      ...parts,
      deflate: (text: string) => "A".repeat(text.startsWith('{"modelled') ? 6e6 : 10),
    };
    const page = await tellPage({ ...result, fits }, heavy);
    expect(page.length).toBeLessThan(10e6);
    expect(heldIn(page, "page-data")).toBe("");
    expect(page).not.toContain('id="what-if"');
    expect(page).toContain("So large a trial is not worked out anew in the page");
    expect(page).toMatch(/\d+ more rows are not shown here; stripcurve fit --csv writes all of them\./);
    expect(await tellPage(result, parts)).not.toContain("more rows are not shown");
    const stuffed = {
      ...parts,
      deflate: (text: string) => "A".repeat(text.startsWith('{"modelled') ? 6e6 : 10),
    };
    expect(heldIn(await tellPage(result, stuffed), "page-data")).toBe("");
  });

  it("is the same for the same result", async () => {
    expect(await tellPage(makeResult(), parts)).toBe(await tellPage(makeResult(), parts));
  });

  it("lets no name out of its place", async () => {
    const name = `</script><script>alert(1)</script>"><img src=x onerror=alert(2)>'{{7*7}}\u0000`;
    const hostile = makeResult({
      varieties: [{ ...madeVarieties[0]!, name }],
      fields: [name],
      findings: [
        { code: "x", severity: "note", file: name, row: 1, column: name, value: name, message: name },
      ],
    });
    const page = await tellPage(hostile, { ...parts, run: { date: "2026-12-01", files: [name] } });
    expect(page.match(/<script/g)).toHaveLength(3);
    expect(page.includes("<img")).toBe(false);
    expect(page.includes("\u0000")).toBe(false);
    expect(readPageData(inflate(heldIn(page, "page-data"))).modelled.varieties).toEqual([name]);
  });
});
