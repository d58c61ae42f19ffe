import { ofClient } from "../../../src/tell/wording/clients.ts";
import { createHash } from "node:crypto";
import { describe, expect, it } from "vitest";
import { demoEarlier } from "../../fixtures/earlier.ts";
import { demoResult } from "../../fixtures/demo.ts";
import { measuresOf } from "../../../src/numbers/measures.ts";
import { csvTables } from "../../../src/tell/csv/index.ts";
import { netReturn } from "../../../src/tell/charts/net-return.ts";
import { rates } from "../../../src/tell/charts/rates.ts";
import { seasonOptima } from "../../../src/tell/charts/season-optima.ts";
import { nextTable } from "../../../src/tell/html/next-table.ts";
import { varietyDetail } from "../../../src/tell/html/variety-answer.ts";
import { tellClients } from "../../../src/tell/html.ts";
import { jsonPieces } from "../../../src/tell/json.ts";
import { clientsText } from "../../../src/tell/terminal/clients-text.ts";
import { fitText } from "../../../src/tell/terminal/fit-text.ts";
import { plainTextStyle } from "../../../src/tell/terminal/text-table.ts";
import { glossaryTerms } from "../../../src/tell/wording/glossary.ts";
import { changeSentences } from "../../../src/tell/wording/since.ts";
import { toMoneyPerAcre, toPerAcre } from "../../../src/numbers/units.ts";
import type { Interval } from "../../../src/vocabulary/result.ts";

const result = demoResult();
const measures = measuresOf(result);
const million = (seedsPerM2: number): string => (toPerAcre(seedsPerM2) / 1e6).toFixed(2);
const textOf = (html: string): string => html.replaceAll(/<[^>]*>/g, " ").replaceAll(/\s+/g, " ");
const parts = {
  starter: "",
  script: "",
  style: "",
  run: { date: "2026-12-01", files: ["clients"] },
  sha256: (text: string) => createHash("sha256").update(text).digest("base64"),
  deflate: (text: string) => text,
};
const csv = csvTables(result)
  .find(({ name }) => name === "next.csv")!
  .text.trim()
  .split(/\r?\n/)
  .map((line) => line.split(","));

/** A cell of the CSV table as it is written, and its number. */
function written(variety: string, column: string): string {
  const row = csv.find(([name]) => name === variety)!;
  return String(row[csv[0]!.findIndex((name) => name.startsWith(column))]);
}
const cell = (variety: string, column: string): number => Number(written(variety, column));

/** An end that is open, in words. */
function rangeInWords({ lower, upper, openBelow, openAbove }: Interval): string {
  if (openBelow === true) return openAbove === true ? "any rate tested" : `${million(upper)} or less`;
  return openAbove === true ? `${million(lower)} or more` : `${million(lower)} to ${million(upper)}`;
}

describe("each quantity of the demo has one value wherever it is told", () => {
  for (const next of result.next) {
    const { variety, economicOptimum, intervals, gainPerHa } = next;
    if (economicOptimum.kind !== "found") throw new Error(`${variety} has no best rate`);
    const best = million(economicOptimum.rateSeedsPerM2);
    const [likely] = intervals;
    const said = textOf(varietyDetail(result, variety, measures)!.text);
    const page = textOf(nextTable(result, measures).text);
    const line = fitText(result, plainTextStyle)
      .split("\n")
      .find((one) => one.trim().startsWith(variety))!;

    it(`the best rate of ${variety}`, () => {
      expect(said).toContain(`Most profitable near ${best} million`);
      expect(page).toContain(`Most profitable near ${best} million.`);
      expect(line).toContain(` ${best} (`);
      expect((cell(variety, "economic_optimum_rate") / 1e6).toFixed(2)).toBe(best);
      const flags = netReturn.draw(result, variety, measures).data["flags"]!;
      expect(JSON.stringify(flags)).toContain(`most profitable ${best}`);
      const since = changeSentences(next, result, demoEarlier(result), measures).join(" ");
      for (const [, told] of since.matchAll(
        /The best rate (?:stays near|went from [\d.]+ to) ([\d.]+) million/g,
      ))
        expect(told).toBe(best);
    });

    it(`the likely range of ${variety}, open where it reaches the tested rates' end`, () => {
      const range = rangeInWords(likely!);
      expect(said).toContain(`${range} (80% range)`);
      const row = rates.draw(result, "", measures).table.rows.find(([name]) => name === variety)!;
      expect(row).toContain(range);
      if (!likely!.openBelow)
        expect((cell(variety, "likely_lower") / 1e6).toFixed(2)).toBe(million(likely!.lower));
      else expect(cell(variety, "likely_lower")).toBe(0);
      const wide = intervals[1]!;
      expect(row).toContain(rangeInWords(wide));
    });

    it(`gain and chance of ${variety}`, () => {
      if (gainPerHa === null || next.chanceOfGain === null) {
        // A rate that is kept gains nothing, and there is no chance to tell.
        expect(gainPerHa === null ? "" : "0").toBe(written(variety, "gain_expected"));
        expect(written(variety, "chance_of_gain")).toBe("");
        expect(said).not.toContain("should earn");
        return;
      }
      expect(cell(variety, "gain_expected")).toBeCloseTo(toMoneyPerAcre(gainPerHa.expected), 6);
      expect(cell(variety, "chance_of_gain")).toBeCloseTo(next.chanceOfGain, 6);
      const gain = /should earn (\S+)/.exec(said)![1]!;
      expect(page).toContain(gain);
      expect(line).toContain(gain);
    });
  }

  it("is told of several varieties with a gain and a chance of it", () => {
    const told = result.next.filter(
      ({ gainPerHa, chanceOfGain }) => gainPerHa !== null && chanceOfGain !== null,
    );
    expect(told.length).toBeGreaterThanOrEqual(2);
  });
});

describe("an adviser with this farm among the clients", () => {
  const clients = [{ name: "Demo", result: ofClient(result), page: "demo.html" }];
  const ofTerminal = clientsText(clients, result, plainTextStyle)
    .split("\n")
    .map((line) => line.trim().split(/ {2,}/));
  const page = textOf(nextTable(result, measures).text);

  it.each(result.next)("is told of $variety what the farm itself is told", async (next) => {
    const { variety, rateNowSeedsPerM2: now, rateNextSeedsPerM2: rateNext } = next;
    const line = ofTerminal.find(([client, name]) => client === "Demo" && name === variety)!;
    expect(line.slice(2, 4)).toEqual([million(now!), million(rateNext!)]);
    const clientsPage = textOf(await tellClients(clients, result, [], parts));
    const row = clientsPage.slice(clientsPage.indexOf(`${variety} `, clientsPage.indexOf("Every client")));
    expect(row.slice(0, 60)).toContain(`${million(now!)} → ${million(rateNext!)}`);
    expect((cell(variety, "rate_now") / 1e6).toFixed(2)).toBe(million(now!));
    expect((cell(variety, "rate_next") / 1e6).toFixed(2)).toBe(million(rateNext!));
    const gain = line[5]!;
    expect(row.slice(0, 60)).toContain(` ${gain} `);
    if (gain !== "–") expect(page).toContain(gain);
  });
});

it("the result as JSON keeps every number of the decision", () => {
  const { next, curves, stripAdvice } = JSON.parse([...jsonPieces(result)].join("")) as typeof result;
  expect({ next, curves, stripAdvice }).toEqual({
    next: result.next,
    curves: result.curves,
    stripAdvice: result.stripAdvice,
  });
});

it("no season's fit is told beyond the tested rates", () => {
  for (const variety of seasonOptima.subjects(result)) {
    const tested = result.fits.filter((fit) => fit.variety === variety).flatMap((fit) => fit.ratesSeedsPerM2);
    const [lowest, highest] = [Math.min(...tested), Math.max(...tested)].map((rate) => toPerAcre(rate) / 1e6);
    const drawing = seasonOptima.draw(result, variety, measures);
    const told = drawing.table.rows.flatMap((row) => row.slice(1)).join(" ");
    for (const [number] of `${told} ${drawing.description}`.matchAll(/−?\d+\.\d+/g)) {
      expect(Number(number)).toBeGreaterThanOrEqual(lowest! - 0.005);
      expect(Number(number)).toBeLessThanOrEqual(highest! + 0.005);
    }
    for (const row of [...(drawing.data["rows"] ?? []), ...(drawing.data["mean"] ?? [])])
      for (const key of ["rate", "lower", "upper"]) {
        expect(Number(row[key])).toBeGreaterThanOrEqual(lowest! - 1e-3);
        expect(Number(row[key])).toBeLessThanOrEqual(highest! + 1e-3);
      }
  }
});

it("a season's range that lies beyond the tested rates as a whole is told without a number of its own", () => {
  const [first] = seasonOptima.subjects(result);
  const wholly = (shift: number): string => {
    const seasons = result.seasons.map((one) => ({
      ...one,
      optima: one.optima.map((optimum) => ({
        ...optimum,
        rateSeedsPerM2: optimum.rateSeedsPerM2 + shift,
        lower: optimum.lower + shift,
        upper: optimum.upper + shift,
      })),
    }));
    return String(seasonOptima.draw({ ...result, seasons }, first!, measures).table.rows[0]![2]);
  };
  // From 0.80 to 2.00 million an acre were tested.
  expect([wholly(-1000), wholly(1000)]).toEqual(["below 0.80", "above 2.00"]);
});

it("words for how often a range holds follow the setting", () => {
  const other = {
    ...result,
    settings: { ...result.settings, intervalLevels: [0.5, 0.9] as [number, number] },
  };
  const words = glossaryTerms(other, measures)
    .map(({ meaning }) => meaning)
    .join(" ");
  expect(words).toContain("50% range");
  expect(words).not.toMatch(/80% range|95% range/);
  const [variety] = result.varieties;
  for (const chart of [netReturn, seasonOptima])
    if (chart.subjects(other).includes(variety!)) {
      const { key } = chart.draw(other, variety!, measures);
      expect(key).toContain("90% range");
      expect(key).not.toContain("95% range");
    }
});
