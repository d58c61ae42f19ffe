/** The field sheet as CSV: one row a strip, what to set and blanks to fill. Filled in, it is a strips file as it stands. */
import type { Lot } from "../vocabulary/settings.ts";
import type { PlannedStrip, StripPlan } from "../vocabulary/strip-plan.ts";
import {
  metresPerFoot,
  toPerAcre,
  toPoundsPerAcre,
  toSeedsPerPound,
  toThousandKernelWeight,
} from "../numbers/units.ts";
import { csvText } from "./csv/csv-text.ts";

interface SheetRow {
  strip: PlannedStrip;
  lot: Lot | undefined;
}

type SheetColumn = { header: string; cell: (row: SheetRow) => string | number | null };

const blank = (header: string): SheetColumn => ({ header, cell: () => null });
const rounded = (value: number, decimals: number): number => Number(value.toFixed(decimals));

/**
 * Columns bear the names that the strips file has; the drill's setting and the seeds in the row are for the one who
 * seeds and are left unread. Length and width of the cut are filled in: whoever cuts otherwise writes over them.
 */
function sheetColumns({ units, request, layout }: StripPlan): SheetColumn[] {
  const us = units.system === "us";
  const metres = (value: number): number => rounded(us ? value / metresPerFoot : value, 2);
  return [
    { header: "strip", cell: ({ strip }) => strip.label },
    { header: "farm", cell: () => request.farm },
    { header: "field", cell: () => request.field },
    { header: "season", cell: () => request.season },
    { header: "block", cell: ({ strip }) => strip.block },
    { header: "position", cell: ({ strip }) => strip.position },
    { header: "variety", cell: ({ strip }) => strip.variety },
    us
      ? { header: "rate (seeds/ac)", cell: ({ strip }) => rounded(toPerAcre(strip.rateSeedsPerM2), 0) }
      : { header: "rate (seeds/m2)", cell: ({ strip }) => rounded(strip.rateSeedsPerM2, 1) },
    {
      header: us ? "drill_setting (lb/ac)" : "drill_setting (kg/ha)",
      cell: ({ strip: { sowing } }) =>
        sowing === null ? null : rounded(us ? toPoundsPerAcre(sowing.kgPerHa) : sowing.kgPerHa, 1),
    },
    {
      header: us ? "seeds_per_foot_of_row" : "seeds_per_metre_of_row",
      cell: ({ strip: { sowing } }) =>
        sowing === null ? null : rounded(sowing.seedsPerMetreOfRow * (us ? metresPerFoot : 1), 1),
    },
    us
      ? {
          header: "seeds_per_lb",
          cell: ({ strip: { sowing } }) =>
            sowing === null ? null : rounded(toSeedsPerPound(sowing.seedsPerKg), 0),
        }
      : {
          header: "tkw_g",
          cell: ({ strip: { sowing } }) =>
            sowing === null ? null : rounded(toThousandKernelWeight(sowing.seedsPerKg), 2),
        },
    {
      header: "germination_pct",
      cell: ({ lot }) => (lot === undefined ? null : rounded(100 * lot.germination, 1)),
    },
    blank("seeded"),
    blank(us ? "stand (plants/ft2)" : "stand (plants/m2)"),
    blank(us ? "heads (heads/ft2)" : "heads (heads/m2)"),
    blank("ground_cover (%)"),
    blank("lodging (0-9)"),
    blank("moisture (%)"),
    blank(us ? "strip_weight (lb)" : "strip_weight (kg)"),
    { header: us ? "strip_length (ft)" : "strip_length (m)", cell: () => metres(layout.stripLengthM) },
    { header: us ? "strip_width (ft)" : "strip_width (m)", cell: () => metres(layout.harvestWidthM) },
    blank(us ? "test_weight (lb/bu)" : "test_weight (kg/hl)"),
    blank("protein (%)"),
    blank("note"),
  ];
}

/** CSV text of the sheet, strips in the order they are seeded; borders, which nobody weighs, are on the map alone. */
export function fieldSheetCsv(plan: StripPlan): string {
  const lots = new Map(plan.settings.lots.map((lot) => [lot.variety, lot]));
  const rows = plan.layout.strips
    .filter((strip) => !strip.border)
    .map((strip) => ({ strip, lot: lots.get(strip.variety) }));
  return csvText(sheetColumns(plan), rows);
}
