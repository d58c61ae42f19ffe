/** Whether what stands as thousand-kernel weights are weights of a bushel or hectolitre: both are called "weight", and look alike. */
import { testWeightsAsKernels } from "../../messages/reading.ts";
import type { Crop } from "../../vocabulary/crops.ts";
import type { Lot } from "../../vocabulary/settings.ts";
import type { Finding } from "../../vocabulary/trial.ts";
import { fromPoundsPerBushel } from "../../numbers/units.ts";

/** Test weights lie within this of the crop's usual (common practice). */
const spread = 0.15;
/** Lots of one variety seldom differ by as much in the size of the seed (common practice). */
const mostOfLots = 0.3;

/** Goes through the column of a file row by row (`take`), and says at the end whether somebody must be asked (`finding`). */
export class KernelWeights {
  readonly #lots: ReadonlyMap<string, number>;
  readonly #pounds: number;
  #lightest = Infinity;
  #heaviest = 0;
  #unlike = 0;
  #alike = 0;
  #unlikeVariety: string | null = null;

  constructor(lots: readonly Lot[], crop: Crop) {
    this.#lots = new Map(
      lots.flatMap(({ variety, seedsPerKg }) =>
        seedsPerKg === null ? [] : [[variety, seedsPerKg] as const],
      ),
    );
    this.#pounds = crop.poundsPerBushel;
  }

  /** @param seedsPerKg  as the column gives them, if it does */
  take(variety: string, seedsPerKg: number | null): void {
    if (seedsPerKg === null || !(seedsPerKg > 0)) return;
    const grams = 1e6 / seedsPerKg;
    this.#lightest = Math.min(this.#lightest, grams);
    this.#heaviest = Math.max(this.#heaviest, grams);
    const lot = this.#lots.get(variety);
    if (lot === undefined) return;
    const ofLot = 1e6 / lot;
    if (Math.abs(grams / ofLot - 1) <= mostOfLots) this.#alike++;
    else {
      this.#unlike++;
      this.#unlikeVariety ??= variety;
    }
  }

  /** What is to be asked where every figure is a usual test weight and the lots say another size of seed; null else. */
  finding(file: string, header: string): Finding | null {
    if (this.#unlikeVariety === null || this.#alike > this.#unlike / 10) return null;
    const units = [
      ["lb/bu", this.#pounds],
      ["kg/hl", fromPoundsPerBushel(this.#pounds)],
    ] as const;
    const unit = units.find(
      ([, usual]) => this.#lightest >= usual * (1 - spread) && this.#heaviest <= usual * (1 + spread),
    );
    if (unit === undefined) return null;
    const gramsOfLot = 1e6 / this.#lots.get(this.#unlikeVariety)!;
    return testWeightsAsKernels(
      file,
      header,
      [this.#lightest, this.#heaviest],
      unit[0],
      this.#unlikeVariety,
      gramsOfLot,
    );
  }
}
