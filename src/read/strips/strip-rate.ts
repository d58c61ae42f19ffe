/** The rate of a strip → viable seeds, whether it was written as seeds or as a weight. */
import * as messages from "../../messages/reading.ts";
import type { Measures } from "../../numbers/measures.ts";
import { probableName } from "../../vocabulary/spelling.ts";
import { LooseNames } from "../one-spelling.ts";
import { isShareOfSeed } from "../shares.ts";
import { kept } from "../../maths/kept.ts";
import type { Lot, Settings } from "../../vocabulary/settings.ts";
import { fromSeedWeight } from "../../numbers/units.ts";
import type { StripColumnName } from "./columns.ts";
import type { NumberFound } from "../tables/cells.ts";
import type { RowCells } from "../tables/row-cells.ts";

/**
 * The rates of one file, row by row [viable seeds/m²].
 *
 * A weight becomes seeds by seed size and germination of its row, else of the variety's lot; what does not say enough is left
 * out with a finding.
 */
export class StripRate {
  /** Varieties whose rates by weight became seeds with figures of their lot. */
  readonly lotsUsed = new Set<string>();
  readonly #cells: RowCells<StripColumnName>;
  readonly #lots: ReadonlyMap<string, Lot>;
  readonly #lotNames: LooseNames;
  readonly #isOfItsOwn: (variety: string) => boolean;
  readonly #loose = new Map<string, Lot | null>();
  readonly #near = new Map<string, string | null>();
  readonly #usual: number;
  readonly #today: number | null;
  /** Varieties whose rates were told as a share of today's rate. */
  readonly ofToday = new Set<string>();
  readonly #measures: Measures;
  readonly #perArea: (rate: NumberFound) => number;

  constructor(
    cells: RowCells<StripColumnName>,
    { lots, rateNowSeedsPerM2 }: Pick<Settings, "lots" | "rateNowSeedsPerM2">,
    usualSeedsPerM2: number,
    measures: Measures,
    perArea: (rate: NumberFound) => number,
    isOfItsOwn: (variety: string) => boolean,
  ) {
    this.#perArea = perArea;
    this.#cells = cells;
    this.#today = rateNowSeedsPerM2;
    this.#usual = usualSeedsPerM2;
    this.#measures = measures;
    this.#lots = new Map(lots.map((lot) => [lot.variety, lot]));
    this.#lotNames = new LooseNames(this.#lots.keys());
    this.#isOfItsOwn = isOfItsOwn;
  }

  #lotOf(variety: string): Lot | undefined {
    const exact = this.#lots.get(variety);
    if (exact !== undefined || this.#isOfItsOwn(variety)) return exact;
    return (
      kept(this.#loose, variety, () => this.#lots.get(this.#lotNames.find(variety) ?? "") ?? null) ??
      undefined
    );
  }

  /**
   * Viable seeds/m²; null, with a finding, when the row does not say.
   *
   * A weight needs seeds per weight and germination, of the row or else of the variety's lot; none is read with an
   * impossible germination or purity of the row. Purity is the row's; the
   * lot's where anything else is the lot's; else the seed counts as pure.
   */
  read(variety: string, seedsPerKg: number | null, germinationPct: number | null): number | null {
    const cells = this.#cells;
    const told = cells.needed("rate");
    if (told.kind === "unreadable") return null;
    if (told.kind === "nothing") return cells.leaveOut(messages.rowValueMissing(cells.where("rate"), "rate"));
    const { value } = told;
    if (!(value > 0)) return cells.leaveOut(messages.rowNotPositive(cells.where("rate")));
    if (told.unit!.ofToday === true) return this.#shareOfToday(value, variety);
    if (!told.unit!.seedWeight) return this.#inOnes(this.#perArea(told));
    if (germinationPct !== null && !isShareOfSeed(germinationPct))
      return cells.leaveOut(messages.rowSeedShareImpossible(cells.where("germination_pct")));
    const lot = this.#lotOf(variety);
    const perKg = seedsPerKg ?? lot?.seedsPerKg ?? null;
    const germination = germinationPct === null ? (lot?.germination ?? null) : germinationPct / 100;
    if (perKg === null || germination === null) {
      const missing = [perKg === null ? "seeds per weight" : "", germination === null ? "germination" : ""];
      const near =
        lot === undefined ? kept(this.#near, variety, () => probableName(variety, this.#lots.keys())) : null;
      const where = { ...cells.where("variety"), value: messages.shown(variety) };
      const hasLots = this.#lots.size > 0;
      return cells.leaveOut(messages.rowSeedWeightUnknown(where, missing.filter(Boolean), hasLots, near));
    }
    const usesLot = seedsPerKg === null || germinationPct === null;
    const purityPct = cells.optional("purity_pct");
    if (purityPct !== null && !isShareOfSeed(purityPct))
      return cells.leaveOut(messages.rowSeedShareImpossible(cells.where("purity_pct")));
    const purity = purityPct === null ? (usesLot ? (lot?.purity ?? 1) : 1) : purityPct / 100;
    if (usesLot) this.lotsUsed.add(lot?.variety ?? variety);
    const rate = fromSeedWeight(value, perKg * germination * purity);
    return rate > 0 && rate < Infinity ? rate : cells.leaveOut(messages.rowNotPositive(cells.where("rate")));
  }

  /** A share of the rate that is sown today; left out where that is not known. */
  #shareOfToday(share: number, variety: string): number | null {
    const today = this.#lotOf(variety)?.rateNowSeedsPerM2 ?? this.#today;
    if (today === null)
      return this.#cells.leaveOut(messages.rowTodayUnknown(this.#cells.where("rate"), variety));
    this.ofToday.add(variety);
    return share * today;
  }

  /** A rate in seeds; one that makes sense as thousands only asks whether it is. */
  #inOnes(seedsPerM2: number): number | null {
    const asThousands = (seedsPerM2 * 1000) / this.#usual;
    const isSmall = seedsPerM2 < leastOfUsual * this.#usual;
    if (!isSmall || asThousands < fewestOfUsual || asThousands > mostOfUsual) return seedsPerM2;
    const told = this.#measures.rate.text(seedsPerM2 * 1000);
    return this.#cells.leaveOut(messages.rowRateInThousands(this.#cells.where("rate"), told));
  }
}

/** Shares of the crop's usual rate: no drill sows as little; thousands within these are a rate (common practice). */
const leastOfUsual = 0.01;
const [fewestOfUsual, mostOfUsual] = [0.2, 4];
