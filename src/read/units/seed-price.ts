/** What a price of seed buys: a weight or a number of seeds, in whatever unit the bill says. */
import { kgPerPound } from "../../numbers/units.ts";
import { fixed, plainStyle } from "../../numbers/written-numbers.ts";
import type { SeedUnit } from "../../vocabulary/settings.ts";
import { pairIn } from "../pair-in.ts";

/** The price is for so many kg, or for so many thousand seeds, as bought; and what that is called. */
export interface SeedPriceUnit {
  per: "kg" | "thousand-seeds";
  amount: number;
  soldIn: SeedUnit;
}

/** How many, which may go without saying, and of what. */
const priceFor = /(?:\/|\bper\b)\s*([\d,.]*)[\s-]*([a-z]+)(?:\s+seeds?|[\s-]+(?:bag|unit|sack|tote)s?)?\s*$/i;
/** What holds a said weight or number of seeds. */
const container = /\b(bag|sack|tote|unit)s?\b/i;

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
 * A bag or a tote may say its weight, `$/50-lb bag`. The currency before the stroke is not read. `ton` is the short ton of 2,000 lb, `t` and `tonne` 1,000 kg, `cwt` 100 lb.
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
    .replace(/\b(?:units?|bags?|sacks?|totes?|einheit)\s+(?:of|à|zu)\s+(?=\d)/i, "");
  const bought = pairIn(priceFor, plain);
  if (bought === null) return null;
  const count = bought[0] === "" ? 1 : Number(bought[0].replaceAll(",", ""));
  if (!(count > 0)) return null;
  const word = bought[1].toLowerCase();
  const holder = container.exec(text)?.[1]?.toLowerCase() ?? "";
  const byWeight = (kg: number, noun: string): SeedPriceUnit => {
    const size =
      count === 1 && holder === "" ? "" : `${fixed(count, count % 1 === 0 ? 0 : 2, plainStyle)} ${noun}`;
    return {
      per: "kg",
      amount: count * kg,
      soldIn: { noun: size === "" ? noun : holder, size, kg: count * kg, thousandSeeds: null },
    };
  };
  if (/^(bu|bushels?)$/.test(word)) return byWeight(poundsPerBushel * kgPerPound, "bu");
  if (/^(units?|bags?)$/.test(word))
    return seedsPerUnit === null ? null : byCount((count * seedsPerUnit) / 1000, holder);
  const kg = kgOf.get(word);
  if (kg !== undefined) return byWeight(kg, /^(?:lbs|pounds?)$/.test(word) ? "lb" : word);
  const thousands = thousandsOf.get(word);
  if (thousands === undefined) return null;
  return count * thousands >= 1000 || count === 1
    ? {
        per: "thousand-seeds",
        amount: count * thousands,
        soldIn: { noun: "million seeds", size: "", kg: null, thousandSeeds: 1000 },
      }
    : byCount(count * thousands, holder);
}

const byCount = (thousandSeeds: number, noun: string): SeedPriceUnit => ({
  per: "thousand-seeds",
  amount: thousandSeeds,
  soldIn: { noun, size: `${fixed(thousandSeeds * 1000, 0, plainStyle)} seeds`, kg: null, thousandSeeds },
});
