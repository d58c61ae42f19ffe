/** What a price of seed buys: a weight or a number of seeds, in whatever unit the bill says. */
import { kgPerPound } from "../../numbers/units.ts";

/** The price is for so many kg, or for so many thousand seeds, as bought. */
export interface SeedPriceUnit {
  per: "kg" | "thousand-seeds";
  amount: number;
}

const kgOf = new Map(
  Object.entries({
    kg: 1,
    g: 0.001,
    t: 1000,
    tonne: 1000,
    mt: 1000,
    dt: 100,
    q: 100,
    quintal: 100,
    lb: kgPerPound,
    lbs: kgPerPound,
    pound: kgPerPound,
    pounds: kgPerPound,
    cwt: 100 * kgPerPound,
    hundredweight: 100 * kgPerPound,
    ton: 2000 * kgPerPound,
  }),
);

const thousandsOf = new Map(
  Object.entries({
    seed: 0.001,
    seeds: 0.001,
    thousand: 1,
    k: 1,
    million: 1000,
    m: 1000,
  }),
);

/** No unit is longer [characters]. */
const longestUnit = 100;

/**
 * Unit of a seed price: `$/lb`, `$/bu`, `$/cwt`, `€/kg`, `$/50 lb`, `$/1000 seeds`, `$/million seeds`, `$/unit`.
 *
 * A bag may say its weight, `$/50-lb bag`. The currency before the stroke is not read. `ton` is the short ton of 2,000 lb, `t` and `tonne` 1,000 kg, `cwt` 100 lb.
 *
 * @param poundsPerBushel  of the crop
 * @param seedsPerUnit  seeds in a `unit` or `bag`; without it those two are no unit
 * @returns null when the text is none of these
 * @example parseSeedPriceUnit("$/50 lb", 60, null) // { per: "kg", amount: 22.68 }
 */
export function parseSeedPriceUnit(
  text: string,
  poundsPerBushel: number,
  seedsPerUnit: number | null,
): SeedPriceUnit | null {
  if (text.length > longestUnit) return null;
  const plain = text
    .trim()
    .replace(/(\d)\s*#/g, "$1 lb")
    .replace(/\b(?:units?|bags?|sacks?|einheit)\s+(?:of|à|zu)\s+(?=\d)/i, "");
  const match = /(?:\/|\bper\b)\s*([\d,.]*)[\s-]*([a-z]+)(?:\s+seeds?|[\s-]+(?:bag|unit|sack)s?)?\s*$/i.exec(
    plain,
  );
  if (match === null) return null;
  const count = match[1] === "" ? 1 : Number(match[1]!.replaceAll(",", ""));
  if (!(count > 0)) return null;
  const word = match[2]!.toLowerCase();
  if (/^(bu|bushels?)$/.test(word)) return { per: "kg", amount: count * poundsPerBushel * kgPerPound };
  if (/^(units?|bags?)$/.test(word))
    return seedsPerUnit === null ? null : { per: "thousand-seeds", amount: (count * seedsPerUnit) / 1000 };
  const kg = kgOf.get(word);
  if (kg !== undefined) return { per: "kg", amount: count * kg };
  const thousands = thousandsOf.get(word);
  return thousands === undefined ? null : { per: "thousand-seeds", amount: count * thousands };
}
