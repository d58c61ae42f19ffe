/** Strips made of points, as a strips file: it goes straight into `check`, `fit` and `report`. */
import { crops, type CropName } from "../../vocabulary/crops.ts";
import type { Harvest, HarvestedStrip } from "../../vocabulary/harvest.ts";
import { kgPerPound, toBushelsPerAcre, toPerAcre, toPoundsPerAcre } from "../../numbers/units.ts";
import { yieldFrom } from "../wording/harvest.ts";
import { csvText, type Column } from "./csv-text.ts";

/** What the field sheet knows of a strip and no machine does; it stays under the names of a strips file. */
const fromSheet = [
  "seeds_per_lb",
  "seeds_per_kg",
  "tkw_g",
  "germination_pct",
  "purity_pct",
  "row_spacing",
  "seeded",
  "stand",
  "heads",
  "ground_cover",
  "lodging",
  "protein",
  "test_weight",
  "water",
  "note",
];

const rounded = (value: number | null, decimals: number): number | null =>
  value === null ? null : Number(value.toFixed(decimals));

/**
 * CSV text, one row a strip with a yield. Yields are at market moisture, as their header says, unless that step was off;
 * the standard error and the number of points are for the reader, and no analysis counts points.
 *
 * @param sheetHeaders how the sheet names the columns that are taken from it, with their units
 */
export function harvestStripsCsv(
  harvest: Harvest,
  sheetHeaders: Readonly<Record<string, string>> = {},
): string {
  const us = harvest.units.system === "us";
  const crop = crops[harvest.crop as CropName];
  const grain = (kgPerHa: number | null): number | null =>
    kgPerHa === null
      ? null
      : rounded(us ? toBushelsPerAcre(kgPerHa, crop.poundsPerBushel) : kgPerHa, us ? 2 : 0);
  const unit = us ? "bu/ac" : "kg/ha";
  const rate: Column<HarvestedStrip> = harvest.rateIsWeight
    ? us
      ? { header: "rate (lb/ac)", cell: (strip) => rounded(toPoundsPerAcre(strip.rate), 1) }
      : { header: "rate (kg/ha)", cell: (strip) => rounded(strip.rate, 1) }
    : us
      ? { header: "rate (seeds/ac)", cell: (strip) => Number(toPerAcre(strip.rate).toPrecision(3)) }
      : { header: "rate (seeds/m2)", cell: (strip) => rounded(strip.rate, 1) };
  const columns: Column<HarvestedStrip>[] = [
    { header: "farm", cell: () => harvest.farm },
    { header: "field", cell: () => harvest.field },
    { header: "season", cell: () => harvest.season },
    { header: "block", cell: (strip) => strip.block },
    { header: "position", cell: (strip) => strip.position },
    { header: "variety", cell: (strip) => strip.variety },
    rate,
    {
      header: harvest.switchedOff.includes("moisture")
        ? `yield (${unit})`
        : `yield (${unit} at ${crop.marketMoisturePct}%)`,
      cell: (strip) => grain(strip.yieldKgPerHa),
    },
    ...lotColumns(harvest),
    { header: `standard_error (${unit})`, cell: (strip) => grain(strip.standardErrorKgPerHa) },
    { header: "monitor_points", cell: (strip) => strip.points },
    { header: "points_worth", cell: (strip) => rounded(strip.worth, 1) },
    ...scaleColumns(harvest),
    ...fromSheet
      .filter((name) => harvest.strips.some(({ sheet }) => sheet?.[name] !== undefined))
      .map((name): Column<HarvestedStrip> => ({
        header: sheetHeaders[name] ?? name,
        cell: (strip) => strip.sheet?.[name] ?? null,
      })),
  ];
  return csvText(
    columns,
    harvest.strips.filter(({ yieldKgPerHa }) => yieldKgPerHa !== null),
  );
}

/** Where rates are weights, and the drill's file says how many seeds a weight has; what the sheet says goes before. */
function lotColumns({ strips, units, rateIsWeight }: Harvest): Column<HarvestedStrip>[] {
  const said = strips.some(({ sheet }) =>
    ["seeds_per_lb", "seeds_per_kg", "tkw_g"].some((name) => sheet?.[name] !== undefined),
  );
  if (!rateIsWeight || said || strips.every(({ seedsPerKg }) => seedsPerKg === null)) return [];
  return units.system === "us"
    ? [
        {
          header: "seeds_per_lb",
          cell: ({ seedsPerKg }) => rounded(seedsPerKg === null ? null : seedsPerKg * kgPerPound, 0),
        },
      ]
    : [{ header: "seeds_per_kg", cell: ({ seedsPerKg }) => rounded(seedsPerKg, 0) }];
}

/** Where something was weighed: whose yields these are, and the factor that is in them. */
const scaleColumns = ({ scale }: Harvest): Column<HarvestedStrip>[] =>
  scale === null
    ? []
    : [
        { header: "yield_from", cell: () => yieldFrom(scale) },
        { header: "scale_factor", cell: (strip) => rounded(strip.scaleFactor, 4) },
      ];
