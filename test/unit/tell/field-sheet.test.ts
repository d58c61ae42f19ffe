import { beforeAll, describe, expect, it } from "vitest";
import { knowVarieties } from "../../../src/plan/know-varieties.ts";
import { planStrips } from "../../../src/plan/plan-strips.ts";
import { readTrial } from "../../../src/read/trial-files.ts";
import { defaultSettings, type Lot, type UnitChoice } from "../../../src/vocabulary/settings.ts";
import type { StripPlan } from "../../../src/vocabulary/strip-plan.ts";
import { fieldMapSvg } from "../../../src/tell/field-map.ts";
import { fieldSheetCsv } from "../../../src/tell/field-sheet.ts";
import { tellPlanPage } from "../../../src/tell/html/plan-page.ts";
import { measuresOf } from "../../../src/numbers/measures.ts";
import { lotAt300, request } from "../plan/requests.ts";

const hostile = '</script><b>"x" & y';
const lots: Lot[] = ["Ostrindel", hostile].map((variety) => ({ ...lotAt300(variety, 100), treated: true }));
const settings = { ...defaultSettings, lots };

function planIn(units: UnitChoice): StripPlan {
  const asked = request({ farm: "Windlass Farm", blocks: 3, ratesPerVariety: 4, expectedYieldKgPerHa: 4500 });
  const known = knowVarieties(asked, { beliefs: [], next: [], protein: [], lodgingModels: [] }, settings);
  return { ...planStrips(asked, known, settings, units), outcomes: [], advice: [] };
}

/** The sheet as a grower fills it: cells by column, row after row. */
function fill(csv: string, cells: Record<string, (row: number) => string>): string {
  const [head, ...rows] = csv.trimEnd().split("\r\n");
  const names = head!.split(",");
  const filled = rows.map((row, r) => {
    const values = row.match(/("([^"]|"")*"|[^,]*)(,|$)/g)!.map((value) => value.replace(/,$/, ""));
    for (const [name, cell] of Object.entries(cells)) {
      const at = names.findIndex((header) => header === name || header.startsWith(`${name} (`));
      expect(at, name).toBeGreaterThanOrEqual(0);
      values[at] = cell(r);
    }
    return values.slice(0, names.length).join(",");
  });
  return [head, ...filled].join("\r\n");
}

describe.each([
  { system: "us", currency: "$" },
  { system: "metric", currency: "€" },
] as const)("the field sheet in $system units", (units) => {
  let plan: StripPlan;
  beforeAll(() => {
    plan = planIn(units);
  });
  const us = units.system === "us";

  it("comes back as strips when it is filled in, with no column renamed", () => {
    const filled = fill(fieldSheetCsv(plan), {
      seeded: () => "2027-04-24",
      stand: () => (us ? "25.5" : "274"),
      heads: () => (us ? "48" : "517"),
      ground_cover: () => "85",
      lodging: (row) => String(row % 10),
      moisture: () => "13.5",
      strip_weight: (row) => String((us ? 3300 : 1500) + row),
      protein: () => "14.1",
      note: (row) => (row === 0 ? "wheel track" : ""),
    });
    const trial = readTrial(
      [{ name: "sheet.csv", bytes: new TextEncoder().encode(filled) }],
      defaultSettings,
      units,
    );
    const planned = plan.layout.strips.filter((strip) => !strip.border);
    expect(trial.strips).toHaveLength(planned.length);
    expect(trial.findings.filter((finding) => finding.severity !== "note")).toEqual([]);
    for (const [i, strip] of trial.strips.entries()) {
      const { variety, block, position, rateSeedsPerM2 } = planned[i]!;
      expect(strip).toMatchObject({ variety, block, position, season: 2027, field: "East" });
      expect(strip.rateSeedsPerM2 / rateSeedsPerM2).toBeCloseTo(1, 3);
      const cutHa = plan.layout.harvestAreaHa;
      const kg = us ? (3300 + i) * 0.45359237 : 1500 + i;
      expect(strip.yieldKgPerHa / (kg / cutHa)).toBeCloseTo(1, 3);
      expect(strip.lodging!.score).toBe(i % 10);
      expect(strip.standPlantsPerM2).toBeCloseTo(us ? 25.5 / 0.09290304 : 274, 6);
      expect(strip.germinationPct).toBe(95);
      expect(strip.seedsPerKg! / 30_000).toBeCloseTo(1, 3);
    }
    expect(trial.strips[0]!.note).toBe("wheel track");
  });

  it("is read as strips not harvested while it is blank", () => {
    const csv = fieldSheetCsv(plan);
    const trial = readTrial(
      [{ name: "sheet.csv", bytes: new TextEncoder().encode(csv) }],
      defaultSettings,
      units,
    );
    expect(trial.strips).toHaveLength(0);
    expect(trial.rowsLeftOut).toBe(plan.chosen.strips);
  });

  it("gives the drill's setting for the lot", () => {
    const [head, first] = fieldSheetCsv(plan).split("\r\n");
    const at = head!.split(",").findIndex((name) => name.startsWith("drill_setting"));
    const sowing = plan.layout.strips.find((strip) => !strip.border)!.sowing!;
    const expected = us ? sowing.kgPerHa / 1.12085 : sowing.kgPerHa;
    const cells = first!.match(/("([^"]|"")*"|[^,]*)(,|$)/g)!;
    expect(Math.abs(Number(cells[at]!.replace(",", "")) - expected)).toBeLessThan(0.06);
  });
});

describe("the map and the page", () => {
  const units = { system: "us", currency: "$" } as const;
  const plan = planIn(units);
  const measures = measuresOf(plan);

  it("draw every strip once, with its name in words", () => {
    const svg = fieldMapSvg(plan, measures);
    expect(svg.match(/<rect /g)).toHaveLength(plan.layout.strips.length);
    for (const { label, border } of plan.layout.strips) if (!border) expect(svg).toContain(`>${label} · `);
  });

  it("keep every strip's words inside it, names of sixty letters as well", () => {
    const named = (to: string): StripPlan =>
      JSON.parse(JSON.stringify(plan).replaceAll("Ostrindel", to)) as StripPlan;
    for (const name of ["Ostrindel", "Weatherproofintermediatewheatselectionnumberfourhundredtwelv"]) {
      const svg = fieldMapSvg(named(name), measures);
      const height = Number(/<rect [^>]*height="(\d+)"/.exec(svg)![1]);
      const words = [...svg.matchAll(/rotate\(-90\)">([^<]*)</g)].map(([, said]) => said!);
      expect(words).toHaveLength(plan.layout.strips.length);
      for (const said of words) {
        // Letters are 0.6 of the size of the type wide in the widest of common fonts: measured in DejaVu Sans.
        const letters = said.replace(/&\w+;/g, "&").length;
        expect(letters * 12 * 0.6, said).toBeLessThanOrEqual(height - 6);
      }
      expect(words.some((said) => / lb\/ac$/.test(said))).toBe(true);
      expect(svg).toContain(`: ${name}, `);
    }
  });

  it("tell pounds, start corner, the order to drive in, and leave north to be drawn", () => {
    const svg = fieldMapSvg(plan, measures);
    for (const words of ["lb/ac", "Start at the corner", "North: draw the arrow", ">1↓<", ">2↑<", ">3↓<"])
      expect(svg).toContain(words);
    const two = fieldMapSvg({ ...plan, layout: { ...plan.layout, passes: 2 } }, measures);
    expect(two).toContain("2 passes a strip");
    expect(two).not.toContain("↑<");
  });

  it("let no name out of its text", async () => {
    const page = await tellPlanPage(plan, {
      style: "",
      run: { date: "2026-12-01", files: [] },
      sha256: () => "",
    });
    expect(page).not.toContain("<b>&quot;x");
    expect(page).not.toContain(hostile);
    expect(page).not.toContain("<script");
    expect(page).toContain("&lt;/script&gt;&lt;b&gt;&quot;x&quot; &amp; y");
  });

  it("say how to count, how to score, and what to mind", async () => {
    const page = await tellPlanPage(plan, {
      style: "",
      run: { date: "2026-12-01", files: [] },
      sha256: () => "",
    });
    for (const words of ["0 is upright, 9 is flat", "19.2 in of row are 1 ft²", "treated", "label"]) {
      expect(page).toContain(words);
    }
    expect(page).not.toMatch(/NaN|Infinity|undefined|null/);
  });
});
