/** Tables of the strips themselves and of what was seen on them beside yield. */
import type { Result } from "../../vocabulary/result.ts";
import { plain, quantity, table, type CsvTable, type CsvUnits } from "./columns.ts";

type TilleringRow = { variety: string } & Result["tillering"][number]["rates"][number];
type ProteinRow = Omit<Result["protein"][number], "levels"> & Result["protein"][number]["levels"][number];

export function trialTables(result: Result, { rate, grain, plants, heads }: CsvUnits): CsvTable[] {
  return [
    ...table("strips", result.strips, [
      plain("variety", (row) => row.variety),
      plain("environment", (row) => row.environment),
      plain("block", (row) => row.block),
      plain("position", (row) => row.position),
      quantity("rate", rate, (row) => row.rateSeedsPerM2),
      quantity("yield", grain, (row) => row.yieldKgPerHa),
      quantity("yield_less_block", grain, (row) => row.blockAdjustedYieldKgPerHa),
      quantity("stand", plants, (row) => row.standPlantsPerM2),
      quantity("heads", heads, (row) => row.headsPerM2),
      plain("lodging_share", (row) => row.lodgingShare),
      plain("studentized_residual", (row) => row.studentizedResidual),
      quantity("most_grain_shift", rate, (row) => row.topShiftSeedsPerM2),
      plain("file", (row) => row.file),
      plain("row", (row) => row.row),
    ]),
    ...table("stand", result.stand, [
      plain("variety", (row) => row.variety),
      plain("environment", (row) => row.environment),
      plain("counts", (row) => row.counts),
      plain("stand_loss", (row) => row.standLoss),
      plain("lower", (row) => row.lower),
      plain("upper", (row) => row.upper),
    ]),
    ...table<TilleringRow>(
      "heads",
      result.tillering.flatMap(({ variety, rates }) => rates.map((one) => ({ variety, ...one }))),
      [
        plain("variety", (row) => row.variety),
        quantity("rate", rate, (row) => row.rateSeedsPerM2),
        plain("strips", (row) => row.strips),
        quantity("heads", heads, (row) => row.headsPerM2),
        plain("heads_per_plant", (row) => row.headsPerPlant),
      ],
    ),
    ...table("lodging", result.lodging, [
      plain("variety", (row) => row.variety),
      plain("scale", (row) => row.scale),
      quantity("rate", rate, (row) => row.rateSeedsPerM2),
      plain("seen_share", (row) => row.seenShare),
      plain("expected_share", (row) => row.expectedShare),
      plain("chance_over_limit", (row) => row.chanceOverLimit),
    ]),
    ...table<ProteinRow>(
      "protein",
      result.protein.flatMap(({ levels, ...slope }) => levels.map((level) => ({ ...slope, ...level }))),
      [
        plain("variety", (row) => row.variety),
        plain("environment", (row) => row.environment),
        quantity("at_rate", rate, (row) => row.centreSeedsPerM2),
        plain("protein_pct", (row) => row.proteinPct),
        quantity(
          "change",
          { factor: 1 / rate.factor, unit: `points per ${rate.unit}` },
          (row) => row.slopePctPerSeedPerM2,
        ),
      ],
    ),
    ...table("environments", result.environments, [
      plain("environment", (row) => row.id),
      plain("season", (row) => row.season),
      plain("farm", (row) => row.farm),
      plain("field", (row) => row.field),
      plain("strips", (row) => row.strips),
      plain("blocks", (row) => row.blocks),
    ]),
    ...table("findings", result.findings, [
      plain("severity", (row) => row.severity),
      plain("code", (row) => row.code),
      plain("file", (row) => row.file),
      plain("row", (row) => row.row),
      plain("column", (row) => row.column),
      plain("value", (row) => row.value),
      plain("message", (row) => row.message),
    ]),
  ];
}
