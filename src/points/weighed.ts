/** Weights of a weigh wagon or scale beside the monitor's: how many times the monitor's grain each weight is. */
import { weighedNowhere, weighedUnread } from "../messages/weighed.ts";
import { atMarketMoisture } from "../numbers/units.ts";
import { isMissing } from "../read/tables/cells.ts";
import { HeaderReader } from "../read/tables/headers.ts";
import type { InputFile } from "../read/tables/input-file.ts";
import { textSheet } from "../read/tables/text-sheet.ts";
import { quantities, unitNamed, type ColumnUnit } from "../read/units/column-units.ts";
import { readNumber } from "../read/units/numbers.ts";
import { crops, type CropName } from "../vocabulary/crops.ts";
import type { ScaleFactors, ScaleUse, WeighedLoad } from "../vocabulary/harvest.ts";
import type { Finding } from "../vocabulary/trial.ts";
import { leftOutReasons, type LeftOutReason } from "../vocabulary/harvest.ts";
import type { Cleaned } from "./clean.ts";
import { weighedColumns, type WeighedColumnName } from "./columns.ts";
import { headerRowOf } from "./header-row.ts";
import type { Passes } from "./passes.ts";
import type { PointCloud } from "./point-cloud.ts";

/** Grain weighed of a strip or of a pass. */
export interface Weighed {
  of: "strip" | "pass";
  /** Position of the strip, or the pass as the combine's file names it. */
  name: string;
  kg: number;
  moisturePct: number | null;
  row: number;
}

const reader = new HeaderReader<WeighedColumnName>(weighedColumns);

/**
 * Reads the weights: a row has a strip or a pass, and the grain's weight or that of the wagon full and empty. Several rows
 * of one strip are several loads of it.
 *
 * @throws TrialError `weighed-nothing` where no column holds weights, or none says which strip or pass they belong to
 */
export function readWeighed(
  file: InputFile,
  crop: CropName,
  system: "us" | "metric",
): { loads: Weighed[]; findings: Finding[] } {
  const known = (cells: string[]): number => reader.known(cells);
  const sheet = textSheet(file, known);
  const { headerRow, headers } = headerRowOf(sheet, known);
  const { columns } = reader.read(file.name, headers, new Set(["weight", "full", "empty"]));
  const has = (name: WeighedColumnName) => columns.find(({ column }) => column.name === name);
  const by = has("strip") ?? has("pass");
  if (
    by === undefined ||
    (has("weight") === undefined && (has("full") === undefined || has("empty") === undefined))
  )
    throw weighedNowhere(file.name, headers);
  const findings: Finding[] = [];
  const loads = new Map<string, Weighed>();
  const mark = sheet.certainMark ?? sheet.usualMark ?? "point";
  sheet.forEach((cells, row) => {
    const text = (name: WeighedColumnName): string => {
      const at = has(name)?.index;
      const cell = at === undefined ? "" : (cells[at] ?? "").trim();
      return isMissing(cell) ? "" : cell;
    };
    const weight = (name: WeighedColumnName): number => {
      const column = has(name);
      if (column === undefined || text(name) === "") return NaN;
      const bare = quantities.stripWeight.bare[system] as { unit: string }[];
      const unit = (column.unit ?? unitNamed("stripWeight", bare[0]!.unit)) as ColumnUnit;
      return unit.toOurs(readNumber(text(name), mark), crops[crop]);
    };
    const name = (cells[by.index] ?? "").trim();
    const kg = text("weight") === "" ? weight("full") - weight("empty") : weight("weight");
    const nothing = text("weight") === "" && text("full") === "";
    if (nothing) return;
    if (name === "" || !(kg > 0)) {
      const cell = name === "" ? by : (has("weight") ?? has("full")!);
      findings.push(weighedUnread(file.name, row, cell.header, cells[cell.index] ?? ""));
      return;
    }
    const moisture = readNumber(text("moisture"), mark);
    const moisturePct = moisture > 0 && moisture < 60 ? moisture : null;
    const key = /^\d+(?:\.0+)?$/.test(name) ? String(Number(name)) : name;
    const before = loads.get(key);
    if (before === undefined)
      loads.set(key, { of: by.column.name === "strip" ? "strip" : "pass", name: key, kg, moisturePct, row });
    else before.kg += kg;
  }, headerRow);
  return { loads: [...loads.values()], findings };
}

/** Readings that tell what grew where they were logged, though some are too near an end to tell it of one strip. */
const believable = new Set<number>(
  (["start-of-pass", "end-of-pass", "strip-end", "change-over", "shared-cut"] as LeftOutReason[]).map(
    (reason) => leftOutReasons.indexOf(reason) + 1,
  ),
).add(0);
/** Ground that was cut twice, or not cut, gives no grain. */
const noGround = new Set<number>(
  (["header-up", "turning", "overlap"] as LeftOutReason[]).map(
    (reason) => leftOutReasons.indexOf(reason) + 1,
  ),
);

/** Grain of each strip or pass as the monitor has it [kg]: mean of its believable readings over all the ground it covers. */
function monitored(
  cloud: PointCloud,
  passes: Passes,
  { reason, strip, share, others, otherShares, areaM2, yieldKgPerHa }: Cleaned,
  of: "strip" | "pass",
  nameOfStrip: (strip: number) => string | null,
): Map<string, { kg: number; moisturePct: number }> {
  const sums = new Map<string, { mass: number; area: number; ground: number; wet: number }>();
  const add = (name: string | null, k: number, part: number): void => {
    if (name === null || !(part > 0)) return;
    const sum = sums.get(name) ?? { mass: 0, area: 0, ground: 0, wet: 0 };
    sums.set(name, sum);
    sum.ground += part * areaM2[k]!;
    if (!believable.has(reason[k]!) || !Number.isFinite(yieldKgPerHa[k]!)) return;
    sum.mass += part * areaM2[k]! * yieldKgPerHa[k]!;
    sum.area += part * areaM2[k]!;
    sum.wet += part * areaM2[k]! * (cloud.numbers.moisture?.[passes.order[k]!] ?? NaN);
  };
  const { pass } = cloud.names;
  for (let k = 0; k < cloud.count; k++) {
    if (passes.passAt[k]! < 0 || strip[k]! < 0 || noGround.has(reason[k]!)) continue;
    if (of === "pass") {
      const name = cloud.texts[pass?.[passes.order[k]!] ?? 0] ?? "";
      add(name === "" ? null : name, k, 1);
      continue;
    }
    add(nameOfStrip(strip[k]!), k, share[k]!);
    for (const at of [2 * k, 2 * k + 1])
      if (others[at]! >= 0) add(nameOfStrip(others[at]!), k, otherShares[at]!);
  }
  return new Map(
    [...sums]
      .filter(([, { area }]) => area > 0)
      .map(([name, { mass, area, ground, wet }]) => [
        name,
        { kg: ((mass / area) * ground) / 10_000, moisturePct: wet / area },
      ]),
  );
}

/**
 * Each weight beside what the monitor has of the same strip or pass.
 *
 * @param isDry whether the monitor's yields are at market moisture already
 * @returns loads with their factors, and names of weights that meet no strip or pass with points
 */
export function scaleFactors(
  cloud: PointCloud,
  passes: Passes,
  cleaned: Cleaned,
  loads: readonly Weighed[],
  nameOfStrip: (strip: number) => string | null,
  crop: CropName,
  isDry: boolean,
  use: ScaleUse,
): { factors: ScaleFactors | null; unmet: Weighed[] } {
  const of = loads[0]?.of ?? "strip";
  const monitor = monitored(cloud, passes, cleaned, of, nameOfStrip);
  const market = crops[crop].marketMoisturePct;
  const met = loads.flatMap(({ name, kg, moisturePct }): WeighedLoad[] => {
    const own = monitor.get(name);
    if (own === undefined) return [];
    const pct = moisturePct ?? own.moisturePct;
    const scaleKg = isDry && pct > 0 ? atMarketMoisture(kg, pct, market) : kg;
    return [{ name, scaleKg, monitorKg: own.kg, factor: scaleKg / own.kg }];
  });
  const unmet = loads.filter(({ name }) => !monitor.has(name));
  if (met.length === 0) return { factors: null, unmet };
  const total = (pick: (load: WeighedLoad) => number): number =>
    met.reduce((sum, load) => sum + pick(load), 0);
  const factor = total(({ scaleKg }) => scaleKg) / total(({ monitorKg }) => monitorKg);
  const mean = total((load) => load.factor) / met.length;
  const scatterPct =
    met.length < 2
      ? null
      : (100 / mean) * Math.sqrt(total((load) => (load.factor - mean) ** 2) / (met.length - 1));
  return { factors: { of, use, loads: met, factor, scatterPct }, unmet };
}

/** Readings times the factor of their own strip or pass, or of all; a strip that was not weighed takes that of all. */
export function calibrated(
  cloud: PointCloud,
  passes: Passes,
  cleaned: Cleaned,
  { of, use, loads, factor }: ScaleFactors,
  nameOfStrip: (strip: number) => string | null,
): Cleaned {
  if (use === "none") return cleaned;
  const own = new Map(use === "each" ? loads.map((load) => [load.name, load.factor]) : []);
  const factorOf = (name: string | null): number => own.get(name ?? "") ?? factor;
  const { strip, share, others, otherShares } = cleaned;
  const yieldKgPerHa = cleaned.yieldKgPerHa.map((value, k) => {
    if (strip[k]! < 0) return value;
    if (of === "pass")
      return value * factorOf(cloud.texts[cloud.names.pass?.[passes.order[k]!] ?? 0] ?? null);
    let times = share[k]! * factorOf(nameOfStrip(strip[k]!));
    for (const at of [2 * k, 2 * k + 1])
      if (others[at]! >= 0) times += otherShares[at]! * factorOf(nameOfStrip(others[at]!));
    return value * times;
  });
  return { ...cleaned, yieldKgPerHa };
}
