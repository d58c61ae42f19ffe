/** The yield of a strip at market moisture, as told or from the weight and the ground of the strip. */
import * as messages from "../../messages/reading.ts";
import { atMarketMoisture } from "../../numbers/units.ts";
import type { StripColumnName } from "./columns.ts";
import type { RowCells } from "../tables/row-cells.ts";

/** Half of what bringing grain from 16% to 13.5% moisture changes: more is no rounding. */
const weightTolerance = 0.015;

/** The yields of one file, row by row [kg/ha at market moisture]. Where a strip was weighed as well, weight and yield are compared. */
export class StripYield {
  /** Whether any yield was brought from harvest to market moisture. */
  broughtAny = false;
  readonly #cells: RowCells<StripColumnName>;
  readonly #marketMoisturePct: number;
  /** Moisture that the header says yields are at [%]. */
  readonly #toldAtPct: number | null;

  constructor(cells: RowCells<StripColumnName>, marketMoisturePct: number) {
    this.#cells = cells;
    this.#marketMoisturePct = marketMoisturePct;
    const grain = cells.column("yield");
    this.#toldAtPct = grain?.atMoisturePct ?? (grain?.atMarketMoisture === true ? marketMoisturePct : null);
  }

  /** Moisture at harvest [%]; undefined, with a finding, when it is there and cannot be. */
  readMoisture(): number | null | undefined {
    const moisture = this.#cells.needed("moisture");
    if (moisture === null || moisture === undefined || (moisture >= 0 && moisture < 100)) return moisture;
    this.#cells.findings.push(messages.rowMoistureImpossible(this.#cells.where("moisture")));
    return undefined;
  }

  /** kg/ha at market moisture; null, with a finding, when the row does not say. */
  read(moisturePct: number | null): number | null {
    const told = this.#cells.needed("yield");
    if (told === undefined) return null;
    if (told !== null && this.#toldAtPct !== null) {
      return atMarketMoisture(told, this.#toldAtPct, this.#marketMoisturePct);
    }
    if (told !== null) this.#compareWithWeight(told);
    const harvested = told ?? this.#weighed();
    if (harvested === null || moisturePct === null) return harvested;
    this.broughtAny = true;
    return atMarketMoisture(harvested, moisturePct, this.#marketMoisturePct);
  }

  /** Weight of the grain [kg], from gross and tare where there is no net weight; undefined, with a finding, for none. */
  #weight(): number | null | undefined {
    const cells = this.#cells;
    const net = cells.needed("strip_weight");
    if (net !== null) return net;
    const gross = cells.needed("gross_weight");
    const tare = gross === null || gross === undefined ? gross : cells.needed("tare_weight");
    if (gross === null || gross === undefined || tare === null || tare === undefined)
      return gross === undefined || tare === undefined ? undefined : null;
    if (gross > tare) return gross - tare;
    cells.leaveOut(messages.rowGrossBelowTare(cells.where("gross_weight")));
    return undefined;
  }

  /** kg/ha from the weight and the ground of the strip. */
  #weighed(): number | null {
    const cells = this.#cells;
    const kg = this.#weight();
    if (kg === undefined) return null;
    if (kg === null) {
      const name = (["yield", "strip_weight", "gross_weight"] as const).find((one) => cells.raw(one) !== "");
      return cells.leaveOut(messages.rowYieldMissing(cells.where(name ?? "yield")));
    }
    const hectares = this.#hectares();
    if (hectares === null) return null;
    const grain = kg / hectares;
    const area = cells.raw("strip_area") === "" ? "strip_length" : "strip_area";
    return Number.isFinite(grain) ? grain : cells.leaveOut(messages.rowNotPositive(cells.where(area)));
  }

  /** Ground of the strip [ha], as told or as length × width; null, with a finding, when the row does not say. */
  #hectares(): number | null {
    const cells = this.#cells;
    const area = cells.needed("strip_area");
    if (area === undefined) return null;
    if (area !== null)
      return area > 0 ? area : cells.leaveOut(messages.rowNotPositive(cells.where("strip_area")));
    const sides: number[] = [];
    for (const name of ["strip_length", "strip_width"] as const) {
      const value = cells.needed(name);
      if (value === undefined) return null;
      if (value === null) return cells.leaveOut(messages.rowYieldMissing(cells.where("yield")));
      if (!(value > 0)) return cells.leaveOut(messages.rowNotPositive(cells.where(name)));
      sides.push(value);
    }
    return (sides[0]! * sides[1]!) / 10_000;
  }

  /** Says so where a row has both a yield and all that a yield can be worked out from, and they are far apart. */
  #compareWithWeight(told: number): void {
    const cells = this.#cells;
    const weight = cells.plain("strip_weight");
    const area = cells.plain("strip_area");
    const sides = cells.plain("strip_length") * cells.plain("strip_width");
    const hectares = Number.isNaN(area) ? sides / 10_000 : area;
    const apart = Math.abs((told * hectares) / weight - 1);
    if (apart > weightTolerance && apart < Infinity) {
      const percent = Number((100 * apart).toPrecision(2));
      cells.findings.push(messages.yieldAndWeightDiffer(cells.where("yield"), percent));
    }
  }
}
