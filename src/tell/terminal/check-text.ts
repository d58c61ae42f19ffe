/** What `check` prints: how the files were understood, what was counted, what was found. */
import { seedPriceAssumed } from "../wording/assumed.ts";
import { harvestOnlyColumns } from "../../vocabulary/harvest.ts";
import { environmentId } from "../../vocabulary/environments.ts";
import { isAssumed, type Settings, type UnitChoice } from "../../vocabulary/settings.ts";
import type { ReadColumn, Strip, Trial } from "../../vocabulary/trial.ts";
import { measuresOf, type Measures } from "../../numbers/measures.ts";
import { capitalized, counted, fixed, plainStyle } from "../../numbers/written-numbers.ts";
import { plainLine } from "../plain-text.ts";
import { findingSections } from "./finding-lines.ts";
import { indented, orDash, textTable, type TextStyle } from "./text-table.ts";

/** Environments shown one by one; a network of hundreds of fields is counted together. */
const mostEnvironments = 40;

const number = (value: number): string => fixed(value, 0, plainStyle);

const isOfHarvest = (header: string): boolean =>
  (harvestOnlyColumns as readonly string[]).includes(header.replace(/ \(.*$/, ""));

/** Columns that all files share are listed once. */
function columnsText(columns: readonly ReadColumn[], style: TextStyle): string {
  const files = new Set(columns.map((column) => column.file));
  const alike = new Map<string, { column: ReadColumn; files: Set<string> }>();
  for (const column of columns) {
    const key = JSON.stringify([column.header, column.column, column.unit]);
    const entry = alike.get(key);
    if (entry === undefined) alike.set(key, { column, files: new Set([column.file]) });
    else entry.files.add(column.file);
  }
  // A column that another file names differently is listed next to it.
  const together = [...new Set(columns.map(({ column }) => column))];
  const sorted = [...alike.values()].sort(
    (a, b) => together.indexOf(a.column.column) - together.indexOf(b.column.column),
  );
  const rows = sorted.map(({ column, files: found }) => [
    // Headers are broken into lines to fit narrow columns.
    column.header.replaceAll(/\s+/g, " "),
    column.column ?? (isOfHarvest(column.header) ? "for you to read, not used" : "not understood, not used"),
    column.unit ?? "",
    found.size === files.size ? "" : [...found].join(", "),
  ]);
  const headings = ["column", "understood as", "unit", files.size > 1 ? "only in" : ""];
  return textTable(
    headings.map((heading) => ({ heading })),
    rows,
    style,
  );
}

function countsText(strips: readonly Strip[], measures: Measures, style: TextStyle): string {
  const counts = new Map<string, Map<string, number>>();
  const rates = new Map<string, number>();
  for (const { variety, rateSeedsPerM2 } of strips) {
    const rate = measures.rate.number(rateSeedsPerM2).replace(/ \D+$/, "");
    rates.set(rate, Math.min(rates.get(rate) ?? Infinity, rateSeedsPerM2));
    if (!counts.has(variety)) counts.set(variety, new Map());
    const byRate = counts.get(variety)!;
    byRate.set(rate, (byRate.get(rate) ?? 0) + 1);
  }
  const rising = [...rates].sort(([, a], [, b]) => a - b).map(([rate]) => rate);
  const rows = [...counts]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([variety, byRate]) => [variety, ...rising.map((rate) => String(byRate.get(rate) ?? "–"))]);
  return textTable(
    [{ heading: "variety" }, ...rising.map((heading) => ({ heading, align: "right" as const }))],
    rows,
    style,
  );
}

function environmentsText(trial: Trial, measures: Measures, style: TextStyle): string {
  const strips = new Map<string, Strip[]>(trial.environments.map(({ id }) => [id, []]));
  for (const strip of trial.strips) strips.get(environmentId(strip))?.push(strip);
  const shown = trial.environments.slice(0, mostEnvironments).map(({ id, blocks, strips: count }) => {
    const head = `${plainLine(id)}: ${counted(count, "strip")} in ${counted(blocks, "block")}`;
    return `${head}\n${indented(countsText(strips.get(id)!, measures, style))}`;
  });
  const more = trial.environments.length - shown.length;
  return [
    ...shown,
    ...(more > 0 ? [`and ${number(more)} more fields and seasons, checked in the same way`] : []),
  ].join("\n");
}

/** What the strips are analyzed with. */
interface Basis {
  settings: Settings;
  units: UnitChoice;
  /** Money per thousand viable seeds, by variety. */
  seedPrices: ReadonlyMap<string, number>;
}

function pricesText({ settings, seedPrices }: Basis, measures: Measures, style: TextStyle): string {
  const assumed = " (assumed)";
  const varieties = [...seedPrices].sort(([a], [b]) => (a < b ? -1 : 1));
  const rows = varieties.slice(0, mostEnvironments).map(([variety, price]) => {
    const lot = settings.lots.find((one) => one.variety === variety);
    const rate = lot?.rateNowSeedsPerM2 ?? settings.rateNowSeedsPerM2;
    return [
      variety,
      orDash(rate, measures.rate.text),
      orDash(lot?.seedsPerKg ?? null, measures.seedsPerWeight.text),
      lot === undefined
        ? "–"
        : `${measures.share(lot.germination * lot.purity)}${lot.assumed === undefined ? "" : assumed}`,
      `${measures.seedPrice.text(price)}${seedPriceAssumed(settings, variety) ? assumed : ""}`,
    ];
  });
  const headings = ["variety", "rate now", "seed size", "viable", "seed price"];
  const more = varieties.length - rows.length;
  return [
    `${measures.cropName} at ${measures.grainPrice.chosen(settings.grainPricePerKg)}${isAssumed(settings, "grain_price") ? assumed : ""}`,
    textTable(
      headings.map((heading) => ({ heading })),
      rows,
      style,
    ),
    ...(more > 0 ? [`and ${number(more)} more varieties`] : []),
  ].join("\n");
}

/**
 * The whole text of `stripcurve check`.
 *
 * @param trial  after `checkTrial`: only strips that are used, and all findings
 */
export function checkText(trial: Trial, basis: Basis, style: TextStyle): string {
  const measures = measuresOf(basis);
  const files = new Set(trial.columns.map((column) => column.file)).size;
  const sections = [
    `${capitalized(counted(trial.rowsRead, "row"))} in ${counted(files, "file")}: ` +
      `${counted(trial.strips.length, "strip")} used, ${number(trial.rowsLeftOut)} left out.`,
    ...(trial.columns.length > 0
      ? [`${style.heading("Columns")}\n${indented(columnsText(trial.columns, style))}`]
      : []),
    ...(trial.strips.length > 0
      ? [
          `${style.heading(`Strips of each variety at each rate (${measures.rateAxis})`)}\n${indented(environmentsText(trial, measures, style))}`,
          `${style.heading("Based on")}\n${indented(pricesText(basis, measures, style))}`,
        ]
      : []),
    ...findingSections(trial.findings, style),
  ];
  return `${sections.join("\n\n")}\n`;
}
