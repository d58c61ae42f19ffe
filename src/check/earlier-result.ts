/** Numbers of an earlier result that cannot be: a file that somebody edited, or that broke on its way. */
import { measuresOf } from "../numbers/measures.ts";
import type { NextRate, Result } from "../vocabulary/result.ts";
import type { Lot } from "../vocabulary/settings.ts";
import { checkLot, checkSettings, hold, type Held, type Standing } from "./lots.ts";
import { multiples, rateMultiples, type Range } from "./ranges.ts";

/**
 * Holds lots, prices, steps and advised rates of a result to what they can be.
 *
 * @param name of the file, for the message
 * @throws TrialError `value-out-of-range` for the first that cannot be
 */
export function checkEarlierResult({ settings, units, next }: Result, name: string): void {
  checkSettings(settings, units, (key) => `${name}, ${key}`);
  for (const lot of settings.lots) {
    const standing: Standing = {
      where: (column) => `${name}, lot of ${lot.variety}, ${column}`,
      cell: (column) => ({ column }),
    };
    checkLot(lot, settings, units, standing);
    hold(amountsOf(lot), standing);
  }
  const range = multiples(rateMultiples.possible, settings.crop);
  const tell = measuresOf({ units, settings }).rate.text;
  for (const advice of next)
    hold(
      ratesOf(advice).map((value) => ({
        column: "rate",
        name: "rate",
        value,
        tell,
        possible: range,
        usual: range,
      })),
      {
        where: (column) => `${name}, answer for ${advice.variety}, ${column}`,
        cell: (column) => ({ column }),
      },
    );
}

/** How much seed the price is for. */
const amountsOf = ({ soldIn }: Lot): Held[] =>
  (
    [
      [soldIn?.kg ?? null, "kg"],
      [soldIn?.thousandSeeds ?? null, "thousand seeds"],
    ] as const
  ).map(([value, unit]) => {
    const range: Range = [0.001, 1_000_000];
    return {
      column: "seed_price",
      name: "seed unit",
      value,
      tell: (amount) => `${amount} ${unit}`,
      possible: range,
      usual: range,
    };
  });

const ratesOf = ({
  rateNowSeedsPerM2,
  rateNextSeedsPerM2,
  lodgingCeilingSeedsPerM2,
  yieldOptimum,
  economicOptimum,
  intervals,
}: NextRate): (number | null)[] => [
  rateNowSeedsPerM2,
  rateNextSeedsPerM2,
  lodgingCeilingSeedsPerM2,
  ...[yieldOptimum, economicOptimum].map((one) => (one.kind === "none" ? null : one.rateSeedsPerM2)),
  ...intervals.flatMap(({ lower, upper }) => [lower, upper]),
];
