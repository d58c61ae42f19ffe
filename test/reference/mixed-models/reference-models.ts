/** The layouts of the published trials that the reference values belong to, and their designs as the engine takes them. */
import { existsSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { gatherSums } from "../../../src/model/pooled/gather-sums.ts";
import type { RandomTerm } from "../../../src/model/pooled/gather-sums.ts";
import { buildMixedModel } from "../../../src/model/pooled/mixed-model.ts";
import type { FixedColumns, MixedModel } from "../../../src/model/pooled/mixed-model.ts";

export type Row = Record<string, string | number>;

/** A random term: which columns together name its levels, and whether each level has an intercept, a slope in u, or both. */
export interface Layout {
  group: string;
  by: string[];
  coefficients: "intercept" | "slope" | "both";
}

const term = (group: string, by: string[], coefficients: Layout["coefficients"] = "intercept"): Layout => ({
  group,
  by,
  coefficients,
});
const trialTerms = [
  term("env", ["year", "site"]),
  term("env:variety", ["year", "site", "variety"]),
  term("env:block", ["year", "site", "block"]),
];
const trialTermsWithSlope = [...trialTerms, term("env:variety", ["year", "site", "variety"], "slope")];

/** set → model → { column whose levels have their own curves, random terms }. */
export const layouts: Record<string, Record<string, { levelsOf: string | null; random: Layout[] }>> = {
  yates_oats: {
    quadratic: {
      levelsOf: "variety",
      random: [term("block", ["block"]), term("block:variety", ["block", "variety"])],
    },
  },
  engelstad_nitro: {
    env_intercept: { levelsOf: null, random: [term("env", ["site", "year"])] },
    site_and_environment: {
      levelsOf: null,
      random: [term("site", ["site"]), term("site:year", ["site", "year"])],
    },
    crossed: {
      levelsOf: null,
      random: [term("site", ["site"]), term("year", ["year"]), term("site:year", ["site", "year"])],
    },
    env_intercept_slope_uncorrelated: {
      levelsOf: null,
      random: [term("env", ["site", "year"]), term("env", ["site", "year"], "slope")],
    },
    env_intercept_slope_correlated: { levelsOf: null, random: [term("env", ["site", "year"], "both")] },
  },
  gomez_stripplot: {
    quadratic: {
      levelsOf: "variety",
      random: [
        term("block", ["block"]),
        term("block:variety", ["block", "variety"]),
        term("block:rf", ["block", "rate"]),
      ],
    },
  },
  gomez_wetdry: {
    quadratic: { levelsOf: "season", random: [term("season:block", ["season", "block"])] },
  },
  hernandez_nitrogen: {
    a: { levelsOf: null, random: [term("site", ["site"]), term("site:block", ["site", "block"])] },
    b: { levelsOf: null, random: [term("site", ["site"], "both"), term("site:block", ["site", "block"])] },
  },
  verbyla_lupin: { env: { levelsOf: "variety", random: trialTermsWithSlope } },
  sim_multiyear: {
    centred_rate: { levelsOf: "variety", random: trialTermsWithSlope },
    uncentred_rate: { levelsOf: "variety", random: trialTermsWithSlope },
    no_random_slope: { levelsOf: "variety", random: trialTerms },
    year_site_terms: {
      levelsOf: "variety",
      random: [
        term("year", ["year"]),
        term("site", ["site"]),
        term("year:site", ["year", "site"]),
        term("year:site:variety", ["year", "site", "variety"]),
        term("year:site:block", ["year", "site", "block"]),
      ],
    },
  },
};

const columnsOf = (rows: number[][]): FixedColumns => {
  const start = [0];
  const column: number[] = [];
  const value: number[] = [];
  for (const row of rows) {
    row.forEach((entry, i) => {
      if (entry !== 0) {
        column.push(i);
        value.push(entry);
      }
    });
    start.push(column.length);
  }
  return {
    count: rows[0]!.length,
    start: Int32Array.from(start),
    column: Int32Array.from(column),
    value: Float64Array.from(value),
  };
};

/** The model with these fixed rows, one a strip; strips with the same row are one treatment. */
export function modelOf(rows: Row[], fixed: number[][], random: RandomTerm[]): MixedModel {
  const keys = fixed.map((row) => row.join());
  const treatments = [...new Set(keys)];
  const number = new Map(treatments.map((key, i) => [key, i]));
  const sums = gatherSums({
    yields: Float64Array.from(rows, (row) => Number(row.yield)),
    counts: Float64Array.from(rows, () => 1),
    within: new Float64Array(rows.length),
    treatmentOf: Int32Array.from(keys, (key) => number.get(key)!),
    treatments: treatments.length,
    random,
  });
  return buildMixedModel(sums, columnsOf(treatments.map((key) => fixed[keys.indexOf(key)]!)));
}

export function randomTerm(rows: Row[], layout: Layout, u: number[]): RandomTerm {
  const labels = rows.map((row) => layout.by.map((name) => row[name]!).join(" | "));
  const levels = [...new Set(labels)];
  const number = new Map(levels.map((label, i) => [label, i]));
  const ones = Float64Array.from(rows, () => 1);
  const slopes = Float64Array.from(u);
  const columns = { intercept: [ones], slope: [slopes], both: [ones, slopes] }[layout.coefficients];
  return {
    name: `${layout.group} ${layout.coefficients}`,
    levels: levels.length,
    reach: 1,
    levelOf: Int32Array.from(labels, (label) => number.get(label)!),
    columns,
  };
}

/** Fixed part: intercept and curve for each level, one after another, `powers` giving which powers of u each has. */
export function curveDesign(
  rows: Row[],
  levelsOf: string | null,
  scaling: { center: number; scale: number },
  random: Layout[],
): { levels: string[]; u: number[]; modelWith: (fixedRow: (row: number) => number[]) => MixedModel } {
  const levels =
    levelsOf === null ? ["all"] : [...new Set(rows.map((row) => String(row[levelsOf]!)))].sort();
  const u = rows.map((row) => (Number(row.rate) - scaling.center) / scaling.scale);
  return {
    levels,
    u,
    modelWith: (fixedRow) =>
      modelOf(
        rows,
        rows.map((_, i) => fixedRow(i)),
        random.map((layout) => randomTerm(rows, layout, u)),
      ),
  };
}

const outside =
  process.env.STRIPCURVE_REFERENCE ??
  fileURLToPath(new URL("../../../../shared/reference", import.meta.url));

/** A set kept here, else one of the larger sets from the reference folder, else null. */
export function loadSet(name: string): { rows: Row[]; expected: Record<string, never>; anova?: never } | null {
  const here = new URL(`${name.replaceAll("_", "-")}.json`, import.meta.url);
  if (existsSync(here)) {
    const set = JSON.parse(readFileSync(here, "utf8"));
    const rows = set.rows.map((cells: (string | number)[]) =>
      Object.fromEntries(set.columns.map((column: string, i: number) => [column, cells[i]!])),
    );
    return { rows, expected: set.expected, anova: set.anova };
  }
  if (!existsSync(`${outside}/data/${name}.csv`)) return null;
  const [head, ...lines] = readFileSync(`${outside}/data/${name}.csv`, "utf8").trim().split("\n");
  const columns = head!.split(",");
  const rows = lines
    .map((line) => line.split(","))
    .map((cells) => Object.fromEntries(columns.map((column, i) => [column, cells[i]!])) as Row)
    .filter((row) => row.yield !== "");
  return { rows, expected: JSON.parse(readFileSync(`${outside}/expected/${name}.mixed.json`, "utf8")) };
}
