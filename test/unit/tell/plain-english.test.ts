/** Words that readers stumbled over stay out of every page, of the terminal and of the README. A house rule, without source. */
import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { doublePrices } from "../../../src/farm/double-prices.ts";
import { tellLesson, tellPage } from "../../../src/tell/html.ts";
import type { PageParts } from "../../../src/tell/html/page-parts.ts";
import { fitText } from "../../../src/tell/terminal/fit-text.ts";
import { plainTextStyle } from "../../../src/tell/terminal/text-table.ts";
import { demoResult } from "../../fixtures/demo.ts";

const parts: PageParts = {
  starter: "",
  script: "",
  style: "",
  run: { date: "2026-12-01", files: ["strips-2024.csv"] },
  sha256: () => "",
  deflate: () => "",
};

const read = (page: string): string =>
  page
    .slice(page.indexOf("<body"))
    .replace(/<svg[\s\S]*?<\/svg>/g, " ")
    .replace(/<script[\s\S]*?<\/script>/g, " ")
    .replace(/<[^>]*>/g, " ")
    .replace(/\s+/g, " ");

const file = (name: string): string =>
  readFileSync(new URL(`../../../${name}`, import.meta.url), "utf8").replace(/\s+/g, " ");

/** What a module says: its texts, without code and comments. */
const texts = (name: string): string =>
  [
    ...file(name)
      .replace(/\/\*[\s\S]*?\*\//g, "")
      .replace(/\$\{[^{}]*\}/g, "#")
      .matchAll(/"([^"]*)"|`([^`]*)`/g),
  ]
    .map(([, plain, template]) => plain ?? template)
    .join(" ");

const shown: [string, () => Promise<string>][] = [
  ["the report", async () => read(await tellPage(demoResult(), parts))],
  ["the grower's pages", async () => read(await tellPage(demoResult(), parts, "grower"))],
  ["the lesson", async () => read(await tellLesson(demoResult(), doublePrices(demoResult()), parts))],
  ["the terminal", () => Promise.resolve(fitText(demoResult(), plainTextStyle).replace(/\s+/g, " "))],
  [
    "the reasons, those that the demo does not give among them",
    () => Promise.resolve(file("src/tell/wording/reasons.ts")),
  ],
  ...["plan", "harvest", "clients", "cautions", "two-rates", "lesson", "since", "strip-advice"].map(
    (name): [string, () => Promise<string>] => [
      `the words on ${name}`,
      () => Promise.resolve(texts(`src/tell/wording/${name}.ts`)),
    ],
  ),
  ["the README", () => Promise.resolve(file("README.md"))],
];

const stumbled = [
  /reckon/i,
  /field-season/i,
  /each sign/i,
  /one level/i,
  /most money/i,
  /most grain/i,
  /known exactly, sowing/i,
  /heads of a plant/i,
  /a tenth fewer/i,
  /starting beliefs/i,
  /\d+ times in \d+/i,
  /\blean(s|ing|ed)? on\b/i,
  /scatter/i,
  /differs how much/i,
  /no case for/i,
  /look again/i,
  /\bin time\b/i,
  /laid beside/i,
  /leftover/i,
  /\bon paper\b(?!,)/i,
  /in truth/i,
  /wide open/i,
  /one of one/i,
  /minus that of/i,
  /for a day late/i,
  /\blies? (together|far out|below|above|in)\b/i,
  /(beside its own|part of a) pass/i,
  /(should|would|will) bring\b/i,
  /(?<!equally )\blikely\b/i,
  // An end that is open is said in words.
  /… to \d|\d to …|[≥≤]/,
];

/** What reads like a translation, in all that messages, the command and the desk can say. A house rule, without source. */
const translated = [
  /\banew\b/i,
  /passed over/i,
  /\b(is|are|each) taken for\b/i,
  /\bbehind (the|it|its)\b/i,
  /put up with/i,
  /spell (it|them) alike/i,
  /\blook whether\b/i,
  /kept apart/i,
  /in other hands/i,
  /held against/i,
  /\bbrought to\b/i,
  /\bis no (season file|name|known|entry|latitude)\b/i,
  /can be made out/i,
  /is (wanted|told)\b/i,
  /\bare told\b/i,
  /nobody said/i,
  /\bgrain brings\b/i,
  /stands? (in|below|above|beside|behind|there)\b/i,
];

const rooms = [
  "messages",
  "check",
  "cli",
  "desk",
  "points",
  "read/season-file",
  "read/answers",
  "read/strips",
  "tell/wording",
];
const modules = rooms.flatMap((room) =>
  readdirSync(new URL(`../../../src/${room}/`, import.meta.url))
    .filter((name) => name.endsWith(".ts"))
    .map((name) => `src/${room}/${name}`),
);

/** Code without comments and regular expressions: what is left of words is said to somebody, or names something. */
const withoutComments = (name: string): string =>
  readFileSync(new URL(`../../../${name}`, import.meta.url), "utf8")
    .replace(/\/\*[\s\S]*?\*\//g, "")
    .replace(/^\s*\/\/.*$/gm, "")
    .replace(/\s+/g, " ");

describe("plain English", () => {
  it.each(modules)("is not a translation in %s", (name) => {
    const said = withoutComments(name);
    const found = translated.flatMap((words) => {
      const at = said.search(words);
      return at < 0 ? [] : [said.slice(Math.max(0, at - 60), at + 60)];
    });
    expect(found).toEqual([]);
  });

  it.each(shown)("in %s has none of the words that were stumbled over", async (_, text) => {
    const said = await text();
    const found = stumbled.flatMap((words) => {
      const at = said.search(words);
      return at < 0 ? [] : [said.slice(Math.max(0, at - 60), at + 60)];
    });
    expect(found).toEqual([]);
  });

  /** Associated Press Stylebook since 2019: the percent sign with a numeral, without a space (from memory). */
  it.each(shown)("in %s writes percent without a space", async (_, text) => {
    expect((await text()).match(/\d[\s\u00a0\u202f]%/g) ?? []).toEqual([]);
  });

  it.each(shown.slice(0, 2))("in %s spells out what its tables abbreviate", async (_, text) => {
    const said = await text();
    for (const [short, long] of [
      [/\bAICc\b/, /fit corrected for the number of parameters/],
      [/\bREML\b/, /restricted maximum likelihood/],
      [/\bLSD\b/, /least significant difference/i],
      [/\bCV\b/, /CV: SD between strips in percent of the mean/],
      [/\bdf\b/, /degrees of freedom/],
      [/\bSD\b/, /SD: standard deviation/],
    ] as const)
      expect(!short.test(said) || long.test(said), String(short)).toBe(true);
  });
});
