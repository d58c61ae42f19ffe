/** Amounts that somebody typed. */
import type { KnownRate } from "../decide/drill/fill-seed-card.ts";
import { amountNotNumber, amountOutOfRange } from "../messages/amounts.ts";
import { readAmount, readRate } from "../read/units/amount.ts";
import type { QuantityName } from "../read/units/column-units.ts";
import { parseNumber } from "../read/units/numbers.ts";
import { crops } from "../vocabulary/crops.ts";
import type { Settings, UnitChoice } from "../vocabulary/settings.ts";

/** Reads amounts in the person's units and holds them to what can be. */
export class Asker {
  readonly settings: Settings;
  readonly units: UnitChoice;

  constructor(settings: Settings, units: UnitChoice) {
    this.settings = settings;
    this.units = units;
  }

  /** Today's rate where a lot says none. */
  get rateNow(): number | null {
    return this.settings.rateNowSeedsPerM2;
  }

  amount(text: string, quantity: Exclude<QuantityName, "rate">, option: string): number {
    const amount = readAmount(text, quantity, this.units, crops[this.settings.crop], option);
    if (!(amount > 0)) throw amountOutOfRange(option, text, "it has to be more than 0");
    return amount;
  }

  rate(text: string, option: string): KnownRate {
    const rate = readRate(text, this.units, crops[this.settings.crop], option);
    if (!((rate.by === "seed" ? rate.seedsPerM2 : rate.kgPerHa) > 0))
      throw amountOutOfRange(option, text, "it has to be more than 0");
    return rate.by === "seed"
      ? { from: "rate", seedsPerM2: rate.seedsPerM2 }
      : { from: "weight", kgPerHa: rate.kgPerHa };
  }

  value(text: string | undefined, quantity: Exclude<QuantityName, "rate">, option: string): number | null {
    return text === undefined ? null : this.amount(text, quantity, option);
  }

  /** A percentage above 0 and up to 100, as a share. */
  share(text: string | undefined, option: string): number | null {
    if (text === undefined) return null;
    const share = this.amount(text, "sharePct", option) / 100;
    if (share > 1) throw amountOutOfRange(option, text, "it cannot be more than 100%");
    return share;
  }

  count(text: string | undefined, option: string): number | null {
    if (text === undefined) return null;
    const number = parseNumber(text);
    if (number.kind === "none") throw amountNotNumber(option, text, "");
    const value = number.kind === "either" ? number.point : number.value;
    if (value < 0) throw amountOutOfRange(option, text, "it cannot be less than 0");
    return value;
  }
}
