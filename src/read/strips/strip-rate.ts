/** The rate of a strip → viable seeds, whether it was written as seeds or as a weight. */
import * as messages from "../../messages/reading.ts";
import type { Lot } from "../../vocabulary/settings.ts";
import { fromSeedWeight } from "../../numbers/units.ts";
import type { StripColumnName } from "./columns.ts";
import type { RowCells } from "../tables/row-cells.ts";

export class StripRate {
  /** Varieties whose rates by weight became seeds with figures of their lot. */
  readonly lotsUsed = new Set<string>();
  readonly #cells: RowCells<StripColumnName>;
  readonly #lots: ReadonlyMap<string, Lot>;

  constructor(cells: RowCells<StripColumnName>, lots: readonly Lot[]) {
    this.#cells = cells;
    this.#lots = new Map(lots.map((lot) => [lot.variety, lot]));
  }

  /**
   * Viable seeds/m²; null, with a finding, when the row does not say.
   *
   * A weight needs seeds per weight and germination, of the row or else of the variety's lot. Purity is the row's; the
   * lot's where anything else is the lot's; else the seed counts as pure.
   */
  read(variety: string, seedsPerKg: number | null, germinationPct: number | null): number | null {
    const cells = this.#cells;
    const value = cells.needed("rate");
    if (value === undefined) return null;
    if (value === null) return cells.leaveOut(messages.rowValueMissing(cells.where("rate"), "rate"));
    if (!(value > 0)) return cells.leaveOut(messages.rowNotPositive(cells.where("rate")));
    if (!cells.numbers("rate")!.unit!.seedWeight) return value;
    const lot = this.#lots.get(variety);
    const perKg = seedsPerKg ?? lot?.seedsPerKg ?? null;
    const germination = germinationPct === null ? (lot?.germination ?? null) : germinationPct / 100;
    if (perKg === null || germination === null) {
      const missing = [perKg === null ? "seeds per weight" : "", germination === null ? "germination" : ""];
      return cells.leaveOut(
        messages.rowSeedWeightUnknown(cells.where("rate"), variety, missing.filter(Boolean)),
      );
    }
    const usesLot = seedsPerKg === null || germinationPct === null;
    const purityPct = cells.optional("purity_pct");
    const purity = purityPct === null ? (usesLot ? (lot?.purity ?? 1) : 1) : purityPct / 100;
    if (usesLot) this.lotsUsed.add(variety);
    const rate = fromSeedWeight(value, perKg * germination * purity);
    return rate > 0 && rate < Infinity ? rate : cells.leaveOut(messages.rowNotPositive(cells.where("rate")));
  }
}
