/** Columns of the result's tables, in the person's units: units stand in brackets behind the names, as in the files read. */
import { crops } from "../../vocabulary/crops.ts";
import type { Coefficients, Optimum, Result, StandardErrors } from "../../vocabulary/result.ts";
import {
  toBushelsPerAcre,
  toMoneyPerAcre,
  toPerAcre,
  toPerSquareFoot,
  toPoundsPerAcre,
} from "../../numbers/units.ts";
import { csvPieces, csvText, type Cell, type Column } from "./csv-text.ts";

/** A CSV file by its name without folder. */
export interface CsvTable {
  name: string;
  /** The whole text; each time it is asked for, it is put together anew. */
  readonly text: string;
  /** The same from its beginning, a piece at a time. */
  pieces(): Iterable<string>;
}

/** A unit of the person's, and what a number of the engine's is multiplied by to be in it. */
export interface CsvUnit {
  factor: number;
  unit: string;
}

export interface CsvUnits {
  rate: CsvUnit;
  grain: CsvUnit;
  money: CsvUnit;
  plants: CsvUnit;
  heads: CsvUnit;
  /** Weight of seed. */
  seed: CsvUnit;
}

export function csvUnits({ units, settings }: Pick<Result, "units" | "settings">): CsvUnits {
  const { currency } = units;
  if (units.system === "metric") {
    return {
      rate: { factor: 1, unit: "seeds/m2" },
      grain: { factor: 1, unit: "kg/ha" },
      money: { factor: 1, unit: `${currency}/ha` },
      plants: { factor: 1, unit: "plants/m2" },
      heads: { factor: 1, unit: "heads/m2" },
      seed: { factor: 1, unit: "kg/ha" },
    };
  }
  return {
    rate: { factor: toPerAcre(1), unit: "seeds/ac" },
    grain: { factor: toBushelsPerAcre(1, crops[settings.crop].poundsPerBushel), unit: "bu/ac" },
    money: { factor: toMoneyPerAcre(1), unit: `${currency}/ac` },
    plants: { factor: toPerSquareFoot(1), unit: "plants/ft2" },
    heads: { factor: toPerSquareFoot(1), unit: "heads/ft2" },
    seed: { factor: toPoundsPerAcre(1), unit: "lb/ac" },
  };
}

/** Grain for one more unit of the rate, and its change for one more again. */
export const slopeUnit = ({ grain, rate }: CsvUnits): CsvUnit => ({
  factor: grain.factor / rate.factor,
  unit: `${grain.unit} per ${rate.unit}`,
});
export const bendUnit = ({ grain, rate }: CsvUnits): CsvUnit => ({
  factor: grain.factor / rate.factor ** 2,
  unit: `${grain.unit} per (${rate.unit})^2`,
});

export const plain = <Row>(header: string, cell: (row: Row) => Cell): Column<Row> => ({ header, cell });

/** A number with its unit, empty where it is not known. */
export const quantity = <Row>(
  name: string,
  { factor, unit }: CsvUnit,
  of: (row: Row) => number | null,
): Column<Row> => ({
  header: `${name} (${unit})`,
  cell: (row) => {
    const value = of(row);
    return value === null ? null : value * factor;
  },
});

/** Kind, rate and interval; empty where there is no optimum at all. */
export const optimumColumns = <Row>(
  name: string,
  rate: CsvUnit,
  of: (row: Row) => Optimum | null,
): Column<Row>[] => [
  plain(name, (row) => of(row)?.kind ?? null),
  quantity(`${name}_rate`, rate, (row) => {
    const optimum = of(row);
    return optimum === null || optimum.kind === "none" ? null : optimum.rateSeedsPerM2;
  }),
  ...(["lower", "upper"] as const).map((end) =>
    quantity<Row>(`${name}_${end}`, rate, (row) => {
      const optimum = of(row);
      return optimum?.kind === "found" ? optimum[end] : null;
    }),
  ),
];

/** Coefficients of y = intercept + linear·x + quadratic·x² with x and y in the person's units. */
export const coefficientColumns = <Row>(
  prefix: string,
  units: CsvUnits,
  of: (row: Row) => Coefficients | StandardErrors,
): Column<Row>[] => [
  quantity(`${prefix}intercept`, units.grain, (row) => of(row).intercept),
  quantity(`${prefix}linear`, slopeUnit(units), (row) => of(row).linear),
  quantity(`${prefix}quadratic`, bendUnit(units), (row) => of(row).quadratic),
  quantity(`${prefix}join`, units.rate, (row) => of(row).join),
  quantity(`${prefix}plateau`, units.grain, (row) => of(row).plateau),
];

/** What the parts of a list hold, made one by one, and again each time they are asked for. */
export const rowsWithin = <Part, Row>(
  parts: readonly Part[],
  rowsOf: (part: Part) => readonly Row[],
): Iterable<Row> => ({
  *[Symbol.iterator]() {
    for (const part of parts) yield* rowsOf(part);
  },
});

/** A table, or none where it has no rows. */
export function table<Row>(name: string, rows: Iterable<Row>, columns: readonly Column<Row>[]): CsvTable[] {
  if (rows[Symbol.iterator]().next().done === true) return [];
  return [
    {
      name: `${name}.csv`,
      get text() {
        return csvText(columns, rows);
      },
      pieces: () => csvPieces(columns, rows),
    },
  ];
}
