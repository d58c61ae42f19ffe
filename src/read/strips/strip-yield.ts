/** The yield of a strip at market moisture, as told or from the weight and the ground of the strip. */
import * as messages from "../../messages/reading.ts";
import { atMarketMoisture } from "../../numbers/units.ts";
import type { StripColumnName } from "./columns.ts";
import type { Finding, Strip } from "../../vocabulary/trial.ts";
import type { NeededCell, RowCells } from "../tables/row-cells.ts";

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

  /** Moisture at harvest [%]; unreadable, with a finding, as well where it cannot be. */
  #moisture(): NeededCell {
    const moisture = this.#cells.needed("moisture");
    if (moisture.kind !== "number" || (moisture.value >= 0 && moisture.value < 100)) return moisture;
    return this.#unreadable(messages.rowMoistureImpossible(this.#cells.where("moisture")));
  }

  #unreadable(finding: Finding): NeededCell {
    this.#cells.findings.push(finding);
    return { kind: "unreadable" };
  }

  /** A strip's yield and its moisture at harvest [%]; null, with a finding, when the row does not say. */
  read(): Pick<Strip, "yieldKgPerHa" | "moisturePct"> | null {
    const moisture = this.#moisture();
    if (moisture.kind === "unreadable") return null;
    const moisturePct = moisture.kind === "number" ? moisture.value : null;
    const yieldKgPerHa = this.#grain(moisturePct);
    return yieldKgPerHa === null ? null : { yieldKgPerHa, moisturePct };
  }

  /** kg/ha at market moisture. */
  #grain(moisturePct: number | null): number | null {
    const told = this.#cells.needed("yield");
    if (told.kind === "unreadable") return null;
    if (told.kind === "number" && this.#toldAtPct !== null)
      return atMarketMoisture(told.value, this.#toldAtPct, this.#marketMoisturePct);
    if (told.kind === "number") this.#compareWithWeight(told.value);
    const harvested = told.kind === "number" ? told.value : this.#weighed();
    if (harvested === null || moisturePct === null) return harvested;
    this.broughtAny = true;
    return atMarketMoisture(harvested, moisturePct, this.#marketMoisturePct);
  }

  /** Weight of the grain [kg], from gross and tare where there is no net weight. */
  #weight(): NeededCell {
    const cells = this.#cells;
    const net = cells.needed("strip_weight");
    if (net.kind !== "nothing") return net;
    const gross = cells.needed("gross_weight");
    if (gross.kind !== "number") return gross;
    const tare = cells.needed("tare_weight");
    if (tare.kind !== "number") return tare;
    return gross.value > tare.value
      ? { ...gross, value: gross.value - tare.value }
      : this.#unreadable(messages.rowGrossBelowTare(cells.where("gross_weight")));
  }

  /** kg/ha from the weight and the ground of the strip. */
  #weighed(): number | null {
    const cells = this.#cells;
    const weight = this.#weight();
    if (weight.kind === "unreadable") return null;
    if (weight.kind === "nothing") {
      const name = (["yield", "strip_weight", "gross_weight"] as const).find((one) => cells.raw(one) !== "");
      return cells.leaveOut(messages.rowYieldMissing(cells.where(name ?? "yield")));
    }
    const hectares = this.#hectares();
    if (hectares === null) return null;
    const grain = weight.value / hectares;
    const area = cells.raw("strip_area") === "" ? "strip_length" : "strip_area";
    return Number.isFinite(grain) ? grain : cells.leaveOut(messages.rowNotPositive(cells.where(area)));
  }

  /** Ground of the strip [ha], as told or as length × width; null, with a finding, when the row does not say. */
  #hectares(): number | null {
    const cells = this.#cells;
    const area = cells.needed("strip_area");
    if (area.kind === "unreadable") return null;
    if (area.kind === "number")
      return area.value > 0 ? area.value : cells.leaveOut(messages.rowNotPositive(cells.where("strip_area")));
    const sides: number[] = [];
    for (const name of ["strip_length", "strip_width"] as const) {
      const side = cells.needed(name);
      if (side.kind === "unreadable") return null;
      if (side.kind === "nothing") return cells.leaveOut(messages.rowYieldMissing(cells.where("yield")));
      if (!(side.value > 0)) return cells.leaveOut(messages.rowNotPositive(cells.where(name)));
      sides.push(side.value);
    }
    return (sides[0]! * sides[1]!) / 10_000;
  }

  /** Says so where a row has both a yield and all that a yield can be worked out from, and they are far apart. */
  #compareWithWeight(told: number): void {
    const cells = this.#cells;
    const weight = cells.plain("strip_weight");
    if (weight === null) return;
    const [length, width] = [cells.plain("strip_length"), cells.plain("strip_width")];
    const sides = length === null || width === null ? null : (length * width) / 10_000;
    const hectares = cells.plain("strip_area") ?? sides;
    if (hectares === null) return;
    const apart = Math.abs((told * hectares) / weight - 1);
    if (apart > weightTolerance && apart < Infinity) {
      const percent = Number((100 * apart).toPrecision(2));
      cells.findings.push(messages.yieldAndWeightDiffer(cells.where("yield"), percent));
    }
  }
}
