/** Lots, prices and settings that cannot be meant are refused; unusual ones are pointed at. */
import { outOfRange, unusualValue } from "../messages/ranges.ts";
import { measuresOf, plainNumber, type Measures } from "../numbers/measures.ts";
import type { Lot, Settings, UnitChoice } from "../vocabulary/settings.ts";
import type { Finding } from "../vocabulary/trial.ts";
import {
  comparableMoney,
  cropRanges,
  mayBeMeant,
  multiples,
  perThousandSeeds,
  rateNowMultiples,
  rateStepMultiples,
  seedsPerKgPossible,
  sharedRanges,
  within,
  type Range,
} from "./ranges.ts";

/** One value held against what it can be and what it usually is. */
export interface Held {
  /** Column of the lots file or key of the season file. */
  column: string;
  name: string;
  value: number | null;
  tell: (value: number) => string;
  possible: Range;
  usual: Range;
}

/** Where a value stands, for an error and for a finding. */
export interface Standing {
  where: (column: string) => string;
  cell: (column: string) => { file?: string; row?: number; column: string };
}

/**
 * Holds values against what they can be and usually are.
 *
 * @returns what is unusual
 * @throws TrialError `value-out-of-range` for what cannot be
 */
export function hold(held: readonly Held[], { where, cell }: Standing): Finding[] {
  return held.flatMap(({ column, name, value, tell, possible, usual }) => {
    if (value === null || (within(value, usual) && within(value, possible))) return [];
    const meant = mayBeMeant(value, usual);
    const strange = {
      name,
      value: tell(value),
      lowest: tell(usual[0]),
      highest: tell(usual[1]),
      meant: meant === null ? null : tell(meant),
    };
    if (!within(value, possible)) throw outOfRange(where(column), strange);
    return [unusualValue({ ...cell(column), value: strange.value }, strange)];
  });
}

const percentOf =
  (measures: Measures) =>
  (value: number): string =>
    `${plainNumber(value, value < 20 && value !== Math.round(value) ? 1 : 0, measures)}%`;

/** A price of nothing is a choice, such as seed of one's own. */
const priced = (price: number | null): number | null => (price === 0 ? null : price);

/**
 * Holds a lot against what seed can be.
 *
 * @returns what is unusual
 * @throws TrialError `value-out-of-range` for what cannot be
 */
export function checkLot(lot: Lot, settings: Settings, units: UnitChoice, standing: Standing): Finding[] {
  const { crop } = settings;
  const measures = measuresOf({ units, settings });
  const percent = percentOf(measures);
  const ranges = cropRanges[crop];
  const isComparable = comparableMoney.has(units.currency);
  const seedPrice = {
    possible: perThousandSeeds(crop, ranges.seedPerKg.possible),
    usual: perThousandSeeds(crop, ranges.seedPerKg.usual),
  };
  return hold(
    [
      {
        column: "rate_now",
        name: "rate",
        value: lot.rateNowSeedsPerM2,
        tell: measures.rate.text,
        possible: multiples(rateNowMultiples.possible, crop),
        usual: multiples(rateNowMultiples.usual, crop),
      },
      {
        column: "lowest_rate",
        name: "lowest rate",
        value: lot.lowestRateSeedsPerM2,
        tell: measures.rate.text,
        possible: multiples(rateNowMultiples.possible, crop),
        usual: multiples(rateNowMultiples.usual, crop),
      },
      {
        column: "recommended_rate",
        name: "recommended rate",
        value: lot.recommendedSeedsPerM2,
        tell: measures.rate.text,
        possible: multiples(rateNowMultiples.possible, crop),
        usual: multiples(rateNowMultiples.usual, crop),
      },
      {
        column: units.system === "us" ? "seeds_per_lb" : "seeds_per_kg",
        name: "seed count",
        value: lot.seedsPerKg,
        tell: measures.seedsPerWeight.text,
        possible: seedsPerKgPossible(crop),
        usual: ranges.seedsPerKgUsual,
      },
      {
        column: "germination_pct",
        name: "germination",
        value: 100 * lot.germination,
        tell: percent,
        ...sharedRanges.germinationPct,
      },
      {
        column: "purity_pct",
        name: "purity",
        value: 100 * lot.purity,
        tell: percent,
        ...sharedRanges.purityPct,
      },
      {
        column: "area",
        name: "area",
        value: lot.areaHa,
        tell: measures.area.text,
        ...sharedRanges.lotAreaHa,
      },
      {
        column: "seed_price",
        name: "seed price",
        value: isComparable ? priced(lot.pricePerKg) : null,
        tell: measures.seedPriceByWeight.text,
        ...ranges.seedPerKg,
      },
      {
        column: "seed_price",
        name: "seed price",
        value: isComparable ? priced(lot.pricePerThousandSeeds) : null,
        tell: measures.seedPrice.text,
        ...seedPrice,
      },
    ],
    standing,
  );
}

/**
 * Holds prices, rates and steps of the season file and of options against what they can be.
 *
 * @param whereIs how a message calls an entry, such as `--grain-price` or `grain_price in season.yaml`
 * @returns what is unusual
 * @throws TrialError `value-out-of-range` for what cannot be
 */
export function checkSettings(
  settings: Settings,
  units: UnitChoice,
  whereIs: (key: string) => string,
): Finding[] {
  const { crop } = settings;
  const measures = measuresOf({ units, settings });
  const ranges = cropRanges[crop];
  const isComparable = comparableMoney.has(units.currency);
  return hold(
    [
      {
        column: "grain_price",
        name: "grain price",
        value: isComparable ? settings.grainPricePerKg : null,
        tell: measures.grainPrice.text,
        ...ranges.grainPerKg,
      },
      {
        column: "seed_price",
        name: "seed price",
        value: isComparable ? priced(settings.seedPricePerThousand) : null,
        tell: measures.seedPrice.text,
        possible: perThousandSeeds(crop, ranges.seedPerKg.possible),
        usual: perThousandSeeds(crop, ranges.seedPerKg.usual),
      },
      {
        column: "rate_now",
        name: "rate",
        value: settings.rateNowSeedsPerM2,
        tell: measures.rate.text,
        possible: multiples(rateNowMultiples.possible, crop),
        usual: multiples(rateNowMultiples.usual, crop),
      },
      {
        column: "rate_step",
        name: "step of the drill",
        value: settings.rateStepSeedsPerM2,
        tell: measures.rate.chosen,
        possible: multiples(rateStepMultiples, crop),
        usual: multiples(rateStepMultiples, crop),
      },
      {
        column: "row_spacing",
        name: "row spacing",
        value: settings.rowSpacingM,
        tell: measures.rowSpacing.text,
        ...sharedRanges.rowSpacingM,
      },
    ],
    { where: whereIs, cell: (column) => ({ column }) },
  );
}
