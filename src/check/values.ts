/** Values that cannot be, and values that make one look twice. */
import type { CropName } from "../vocabulary/crops.ts";
import type { Finding, Strip } from "../vocabulary/trial.ts";
import { plainNumber, type Measures } from "../numbers/measures.ts";
import * as messages from "../messages/values.ts";
import {
  cropRanges,
  multiples,
  plantsPerSeedUsual,
  rateMultiples,
  sharedRanges,
  within,
  type Range,
} from "./ranges.ts";

interface Quantity {
  column: string;
  name: string;
  of: (strip: Strip) => number | null;
  tell: (value: number) => string;
  possible: Range;
  usual: Range;
  /** The strip without the value; absent where a strip is worthless without it. */
  without?: (strip: Strip) => Strip;
}

function quantitiesOf(crop: CropName, measures: Measures): Quantity[] {
  const ranges = cropRanges[crop];
  const { rate } = measures;
  const leastRate = rate.engine(rate.finest);
  const number = (value: number): string =>
    plainNumber(value, value !== 0 && Math.abs(value) < 100 ? 1 : 0, measures);
  const percent = (value: number): string => `${number(value)}%`;
  return [
    {
      column: "season",
      name: "season",
      of: (strip) => strip.season,
      tell: String,
      ...sharedRanges.season,
    },
    {
      column: "rate",
      name: "rate",
      of: (strip) => strip.rateSeedsPerM2,
      tell: (value) =>
        value > 0 && value < leastRate / 2 ? `under ${rate.text(leastRate)}` : rate.text(value),
      possible: multiples(rateMultiples.possible, crop),
      usual: multiples(rateMultiples.usual, crop),
    },
    {
      column: "yield",
      name: "yield",
      of: (strip) => strip.yieldKgPerHa,
      tell: measures.grainYield.text,
      ...ranges.yieldKgPerHa,
    },
    {
      column: "moisture",
      name: "moisture",
      of: (strip) => strip.moisturePct,
      tell: percent,
      ...sharedRanges.moisturePct,
      usual: ranges.moisturePctUsual,
    },
    {
      column: "stand",
      name: "stand",
      of: (strip) => strip.standPlantsPerM2,
      tell: measures.stand.text,
      ...sharedRanges.standPlantsPerM2,
      usual: sharedRanges.standPlantsPerM2.possible,
      without: (strip) => ({ ...strip, standPlantsPerM2: null }),
    },
    {
      column: "heads",
      name: "head count",
      of: (strip) => strip.headsPerM2,
      tell: measures.heads.text,
      ...sharedRanges.headsPerM2,
      without: (strip) => ({ ...strip, headsPerM2: null }),
    },
    {
      column: "lodging",
      name: "lodging share",
      of: (strip) => strip.lodging?.share ?? null,
      tell: (share) => measures.share(share),
      ...sharedRanges.lodgingShare,
      without: (strip) => ({ ...strip, lodging: null }),
    },
    {
      column: "ground_cover",
      name: "ground cover",
      of: (strip) => strip.groundCoverPct,
      tell: percent,
      ...sharedRanges.groundCoverPct,
      without: (strip) => ({ ...strip, groundCoverPct: null }),
    },
    {
      column: "protein",
      name: "protein content",
      of: (strip) => strip.proteinPct,
      tell: percent,
      ...sharedRanges.proteinPct,
      usual: ranges.proteinPctUsual,
      without: (strip) => ({ ...strip, proteinPct: null }),
    },
    {
      column: "test_weight",
      name: "test weight",
      of: (strip) => strip.testWeightKgPerHl,
      tell: (value) => `${number(value)} kg/hl`,
      ...sharedRanges.testWeightKgPerHl,
      usual: ranges.testWeightKgPerHlUsual,
      without: (strip) => ({ ...strip, testWeightKgPerHl: null }),
    },
    {
      column: "seeds_per_lb",
      name: "seed count",
      of: (strip) => strip.seedsPerKg,
      tell: measures.seedsPerWeight.text,
      ...sharedRanges.seedsPerKg,
      usual: ranges.seedsPerKgUsual,
      without: (strip) => ({ ...strip, seedsPerKg: null }),
    },
    {
      column: "germination_pct",
      name: "germination",
      of: (strip) => strip.germinationPct,
      tell: percent,
      ...sharedRanges.germinationPct,
      without: (strip) => ({ ...strip, germinationPct: null }),
    },
    {
      column: "water",
      name: "season's water",
      of: (strip) => strip.waterMm,
      tell: (value) => `${number(value)} mm`,
      ...sharedRanges.waterMm,
      without: (strip) => ({ ...strip, waterMm: null }),
    },
  ];
}

/** How often one doubt is told for a file, row by row. */
const mostAlike = 20;

/** Tells a doubt row by row while it is rare, and counts it where a whole column is off. */
class Doubts {
  readonly findings: Finding[] = [];
  readonly #told = new Map<string, { count: number; first: Finding }>();

  add(doubt: Finding): void {
    const key = `${doubt.code}\n${doubt.file}`;
    const told = this.#told.get(key);
    if (told === undefined) this.#told.set(key, { count: 1, first: doubt });
    else told.count++;
    if ((told?.count ?? 1) <= mostAlike) this.findings.push(doubt);
  }

  all(): Finding[] {
    for (const { count, first } of this.#told.values()) {
      if (count <= mostAlike) continue;
      this.findings.push(
        messages.moreOfTheSame(first.code, count - mostAlike, first.column, first.file ?? ""),
      );
    }
    return this.findings;
  }
}

const doubtStand = (strip: Strip, measures: Measures): Finding | null => {
  if (strip.standPlantsPerM2 === null) return null;
  const [fewest, most] = plantsPerSeedUsual;
  const share = strip.standPlantsPerM2 / strip.rateSeedsPerM2;
  if (share >= fewest && share <= most) return null;
  const told = [
    measures.stand.text(strip.standPlantsPerM2),
    measures.rate.text(strip.rateSeedsPerM2),
    measures.stand.number(strip.rateSeedsPerM2),
  ] as const;
  return share > most
    ? messages.moreThanSeeds(...told, strip.place)
    : messages.fewOfSeeds(...told, strip.place);
};

const doubtSeeded = (strip: Strip): Finding | null => {
  if (strip.seeded === null) return null;
  const years = strip.season - Number(strip.seeded.slice(0, 4));
  return years === 0 || years === 1
    ? null
    : messages.seededInOtherYear(strip.seeded, strip.season, strip.place);
};

/**
 * Leaves out what cannot be and points at what is unusual; `check/ranges.ts` holds the bounds.
 *
 * A strip with an impossible season, rate, yield or moisture is left out, of other impossible values the value alone.
 * Doubtful values stay. Linear in the strips.
 *
 * @returns the strips that can be used, in the same order, and what was found
 */
export function checkValues(
  strips: readonly Strip[],
  crop: CropName,
  measures: Measures,
): { strips: Strip[]; findings: Finding[] } {
  const quantities = quantitiesOf(crop, measures);
  const stops: Finding[] = [];
  const doubts = new Doubts();
  const usable: Strip[] = [];
  for (const asRead of strips) {
    let strip: Strip | null = asRead;
    for (const quantity of quantities) {
      const value = quantity.of(asRead);
      if (value === null || (within(value, quantity.usual) && within(value, quantity.possible))) continue;
      const { tell, possible, usual, without } = quantity;
      const between = ([lowest, highest]: Range): string => `${tell(lowest)} to ${tell(highest)}`;
      if (within(value, possible)) {
        doubts.add(
          value === 0 && quantity.column === "yield"
            ? messages.yieldOfNought(asRead.place)
            : messages.doubtfulValue(quantity, tell(value), `usual is ${between(usual)}`, asRead.place),
        );
        continue;
      }
      const limits = `possible is ${between(possible)}`;
      if (without === undefined) {
        stops.push(messages.impossibleStrip(quantity, tell(value), limits, asRead.place));
        strip = null;
        break;
      }
      stops.push(messages.impossibleValue(quantity, tell(value), limits, asRead.place));
      strip = without(strip!);
    }
    if (strip === null) continue;
    for (const doubt of [doubtStand(strip, measures), doubtSeeded(strip)])
      if (doubt !== null) doubts.add(doubt);
    usable.push(strip);
  }
  return { strips: usable, findings: [...stops, ...doubts.all()] };
}
