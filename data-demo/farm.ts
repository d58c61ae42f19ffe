/**
 * The invented farm behind the demo: what is true of it, and the strips a season of it gives.
 *
 * Yield follows the reciprocal yield-density curve (Holliday 1960, FROM MEMORY) with a loss at high rates,
 * on purpose a formula that the analysis does not fit. Everything is in the units of the files: million viable
 * seeds per acre, bushels, pounds, feet.
 */
import { drawNormal, random, shuffle, type Random } from "../src/maths/random.ts";

export const demoSeed = 20260417;
export const grainPricePerBushel = 6.25;
const marketMoisturePct = 13.5;

export interface DemoVariety {
  name: string;
  rateNow: number;
  /** Rate at which half of the highest yield would be reached [million/ac]: the larger, the more seed it needs. */
  halfway: number;
  /** Yield falls beyond this rate [million/ac]; the share lost at twice that rate. */
  fallsBeyond: number;
  fallsBy: number;
  /** Yield against the farm's level. */
  level: number;
  /** Plants that a viable seed gives, and heads that a square foot carries at most. */
  emergence: number;
  mostHeads: number;
  /** Lodging score in a middling season at 1.2 million/ac, and its rise per million/ac. */
  lodging: number;
  lodgingPerMillion: number;
  protein: number;
  seedsPerPound: number;
  germinationPct: number;
  purityPct: number;
  seedPricePerBushel: number;
  treatmentPerBushel: number;
  acres: number;
  planted: (season: number, field: string) => boolean;
}

export const demoVarieties: DemoVariety[] = [
  {
    name: "Ostrindel",
    rateNow: 1.6,
    halfway: 0.09,
    fallsBeyond: 1.1,
    fallsBy: 0.2,
    level: 1.03,
    emergence: 0.88,
    mostHeads: 66,
    lodging: 0.4,
    lodgingPerMillion: 3.6,
    protein: 13.9,
    seedsPerPound: 13_400,
    germinationPct: 96,
    purityPct: 99,
    seedPricePerBushel: 14.5,
    treatmentPerBushel: 2.5,
    acres: 420,
    planted: () => true,
  },
  {
    name: "Quavenby",
    rateNow: 1.15,
    halfway: 0.24,
    fallsBeyond: 1.5,
    fallsBy: 0.3,
    level: 1,
    emergence: 0.82,
    mostHeads: 52,
    lodging: 0.2,
    lodgingPerMillion: 0.9,
    protein: 14.3,
    seedsPerPound: 15_200,
    germinationPct: 93,
    purityPct: 98.5,
    seedPricePerBushel: 13.25,
    treatmentPerBushel: 2.5,
    acres: 260,
    planted: () => true,
  },
  {
    name: "Brimsolt",
    rateNow: 1.3,
    halfway: 0.14,
    fallsBeyond: 1.25,
    fallsBy: 0.2,
    level: 0.97,
    emergence: 0.85,
    mostHeads: 58,
    lodging: 0.4,
    lodgingPerMillion: 1.6,
    protein: 14.8,
    seedsPerPound: 12_100,
    germinationPct: 95,
    purityPct: 99,
    seedPricePerBushel: 12.75,
    treatmentPerBushel: 2.5,
    acres: 340,
    planted: () => true,
  },
  {
    name: "Telluwick",
    rateNow: 1.25,
    halfway: 0.16,
    fallsBeyond: 1.4,
    fallsBy: 0.25,
    level: 1.05,
    emergence: 0.84,
    mostHeads: 56,
    lodging: -0.6,
    lodgingPerMillion: 0.9,
    protein: 13.6,
    seedsPerPound: 14_600,
    germinationPct: 97,
    purityPct: 99.5,
    seedPricePerBushel: 16,
    treatmentPerBushel: 2.5,
    acres: 80,
    planted: (season, field) => season === 2026 && field === "Hill",
  },
];

interface DemoSeason {
  season: number;
  rates: number[];
  /** Yield level [bu/ac], rain from seeding to harvest [in], and how much more seed is needed (share). */
  level: number;
  rain: number;
  moreSeed: number;
  lodging: number;
  seeded: Record<string, string>;
}

const seasons: DemoSeason[] = [
  {
    season: 2024,
    rates: [0.8, 1.05, 1.3, 1.55, 1.8],
    level: 66,
    rain: 9.4,
    moreSeed: 0.03,
    lodging: 0,
    seeded: { North: "2024-04-22", Hill: "2024-04-25" },
  },
  {
    season: 2025,
    rates: [0.8, 1.1, 1.4, 1.7, 2],
    level: 51,
    rain: 5.6,
    moreSeed: -0.1,
    lodging: -1.6,
    seeded: { North: "2025-04-16", Hill: "2025-04-18" },
  },
  {
    season: 2026,
    rates: [0.8, 1.1, 1.4, 1.7, 2],
    level: 73,
    rain: 11.8,
    moreSeed: 0.06,
    lodging: 1,
    seeded: { North: "2026-05-01", Hill: "2026-05-04" },
  },
];

const fields = [
  { name: "North", blocks: 4, level: 3, rain: 0.3 },
  { name: "Hill", blocks: 3, level: -4, rain: -0.2 },
];

/** Standard deviations, as shares of the mean yield; `need` is the sd of the logarithm of the seed needed. */
const spread = { block: 0.03, wholeStrip: 0.015, strip: 0.033, need: 0.05 };

/** Yield as a share of the variety's level, 1 at 1.3 million/ac without the fall. `need` stretches the rate axis. */
export function trueResponse(variety: DemoVariety, millionPerAcre: number, need = 1): number {
  const x = millionPerAcre / need;
  const rise = (x * (1.3 + variety.halfway)) / (1.3 * (x + variety.halfway));
  const past = Math.max(0, x / variety.fallsBeyond - 1);
  return rise * (1 - variety.fallsBy * past * past);
}

/** Dollars per million viable seeds: price and treatment of a bushel over the viable seeds in it. */
export function seedCostPerMillion(variety: DemoVariety): number {
  const viablePerBushel =
    60 * variety.seedsPerPound * (variety.germinationPct / 100) * (variety.purityPct / 100);
  return ((variety.seedPricePerBushel + variety.treatmentPerBushel) / viablePerBushel) * 1e6;
}

/** Rates of the highest yield and of the highest profit in a season without a shift, on the farm's mean level, to 5,000 seeds. */
export function trueBestRates(variety: DemoVariety): { grain: number; money: number } {
  const level = (seasons.reduce((sum, s) => sum + s.level, 0) / seasons.length - 0.5) * variety.level;
  const best = { grain: 0, money: 0 };
  let most = { grain: -Infinity, money: -Infinity };
  for (let step = 100; step <= 480; step++) {
    const rate = step / 200;
    const grain = level * trueResponse(variety, rate);
    const money = grain * grainPricePerBushel - rate * seedCostPerMillion(variety);
    if (grain > most.grain) [best.grain, most] = [rate, { ...most, grain }];
    if (money > most.money) [best.money, most] = [rate, { ...most, money }];
  }
  return best;
}

export interface DemoStrip {
  season: number;
  field: string;
  block: number;
  position: number;
  variety: string;
  rate: number;
  yield: number | null;
  moisture: number;
  testWeight: number;
  protein: number;
  stand: number | null;
  heads: number | null;
  lodging: number;
  groundCover: number;
  seeded: string;
  rain: number;
  note: string;
}

const clamp = (value: number, low: number, high: number): number => Math.min(high, Math.max(low, value));

function growStrip(
  variety: DemoVariety,
  rate: number,
  weather: DemoSeason,
  field: (typeof fields)[number],
  levelShare: number,
  need: number,
  draw: Random,
): Omit<DemoStrip, "season" | "field" | "block" | "position" | "seeded" | "note"> {
  const level = (weather.level + field.level) * variety.level;
  const atMarketMoisture =
    level * trueResponse(variety, rate, need) * (levelShare + spread.strip * drawNormal(draw));
  const moisture = clamp(13.4 + 0.09 * (weather.rain - 9) + 0.5 * drawNormal(draw), 10, 18);
  const viablePerFt2 = (rate * 1e6) / 43_560;
  const stand =
    viablePerFt2 * (variety.emergence - 0.035 * (rate - 1.2)) * (1 + 0.055 * drawNormal(draw)) -
    0.02 * (9 - weather.rain);
  const heads =
    ((variety.mostHeads * stand) / (stand + 9)) *
    (1 + 0.006 * (weather.level - 63)) *
    (1 + 0.05 * drawNormal(draw));
  const lodging =
    variety.lodging + weather.lodging + variety.lodgingPerMillion * (rate - 1.2) + 0.9 * drawNormal(draw);
  const protein = variety.protein - 0.045 * (level - 60) - 0.35 * (rate - 1.2) + 0.2 * drawNormal(draw);
  return {
    variety: variety.name,
    rate,
    yield: (atMarketMoisture * (100 - marketMoisturePct)) / (100 - moisture),
    moisture,
    testWeight: clamp(60.2 - 0.28 * Math.max(0, lodging - 2) + 0.4 * drawNormal(draw), 54, 64),
    protein,
    stand,
    heads,
    lodging: clamp(Math.round(lodging), 0, 9),
    groundCover: clamp(Math.round((58 + 26 * (rate - 0.8) + 4 * drawNormal(draw)) / 5) * 5, 30, 100),
    rain: weather.rain + field.rain,
  };
}

/** All strips of one field in one season: varieties in random order in each block, rates in random order inside. */
function growEnvironment(weather: DemoSeason, field: (typeof fields)[number]): DemoStrip[] {
  const name = `${weather.season} ${field.name}`;
  const order = random(demoSeed, `order ${name}`);
  const growth = random(demoSeed, `growth ${name}`);
  const grown = demoVarieties.filter((variety) => variety.planted(weather.season, field.name));
  const needs = new Map(
    grown.map((variety) => [variety.name, Math.exp(weather.moreSeed + spread.need * drawNormal(growth))]),
  );
  const strips: DemoStrip[] = [];
  for (let block = 1; block <= field.blocks; block++) {
    const blockShare = spread.block * drawNormal(growth);
    for (const variety of shuffle(grown, order)) {
      const levelShare = 1 + blockShare + spread.wholeStrip * drawNormal(growth);
      for (const rate of shuffle(weather.rates, order)) {
        strips.push({
          season: weather.season,
          field: field.name,
          block,
          position: strips.length + 1,
          ...growStrip(variety, rate, weather, field, levelShare, needs.get(variety.name)!, growth),
          seeded: weather.seeded[field.name]!,
          note: "",
        });
      }
    }
  }
  return strips;
}

/** What went wrong on the farm: strips lost, one that nobody seeded, two slips of the pen. */
function spoil(strips: DemoStrip[]): DemoStrip[] {
  const at = (season: number, field: string, block: number, variety: string, rate: number): DemoStrip => {
    const found = strips.find(
      (s) =>
        s.season === season &&
        s.field === field &&
        s.block === block &&
        s.variety === variety &&
        s.rate === rate,
    );
    if (!found) throw new Error(`no strip ${season} ${field} ${block} ${variety} ${rate}`);
    return found;
  };
  const lose = (strip: DemoStrip, note: string): void => {
    strip.yield = null;
    strip.note = note;
  };
  lose(at(2024, "Hill", 2, "Brimsolt", 1.8), "scale ticket lost");
  lose(at(2025, "North", 3, "Quavenby", 0.8), "wet hole; not harvested");
  lose(at(2026, "North", 1, "Ostrindel", 2), "flat; combine plugged");
  lose(at(2026, "Hill", 1, "Telluwick", 1.4), "cut together with the border");
  lose(at(2026, "Hill", 3, "Telluwick", 0.8), "deer");
  const swapped = at(2025, "Hill", 2, "Brimsolt", 1.1);
  swapped.yield = Number(swapDigits(swapped.yield!.toFixed(1)));
  const misplaced = at(2024, "North", 2, "Quavenby", 1.3);
  misplaced.stand = misplaced.stand! / 10;
  const neverSeeded = at(2026, "Hill", 2, "Telluwick", 1.7);
  return strips.filter((strip) => strip !== neverSeeded);
}

/** "45.3" → "54.3": the first two digits written the wrong way round. */
const swapDigits = (text: string): string => text[1]! + text[0]! + text.slice(2);

export function growDemoFarm(): DemoStrip[] {
  return spoil(seasons.flatMap((weather) => fields.flatMap((field) => growEnvironment(weather, field))));
}

const cell = (value: number | null, digits: number): string => (value === null ? "" : value.toFixed(digits));

function stripsCsv(strips: DemoStrip[], rateInMillions: boolean): string {
  const header = [
    "farm",
    "field",
    "season",
    "block",
    "position",
    "variety",
    rateInMillions ? "rate (million/ac)" : "rate (seeds/ac)",
    "yield (bu/ac)",
    "moisture (%)",
    "test_weight (lb/bu)",
    "protein (%)",
    "stand (plants/ft2)",
    "heads (heads/ft2)",
    "lodging",
    "ground_cover (%)",
    "seeded",
    "rain (in)",
    "note",
  ];
  const rows = strips.map((strip) => [
    "Windlass Farm",
    strip.field,
    strip.season,
    strip.block,
    strip.position,
    strip.variety,
    rateInMillions ? strip.rate.toFixed(2) : (strip.rate * 1e6).toFixed(0),
    cell(strip.yield, 1),
    cell(strip.moisture, 1),
    cell(strip.testWeight, 1),
    cell(strip.protein, 1),
    cell(strip.stand, 1),
    cell(strip.heads, 1),
    strip.lodging,
    strip.groundCover,
    strip.seeded,
    cell(strip.rain, 1),
    strip.note,
  ]);
  return [header, ...rows].map((row) => row.join(",") + "\n").join("");
}

function lotsCsv(): string {
  const header =
    "variety,rate_now (seeds/ac),seeds_per_lb,germination_pct,purity_pct,seed_price ($/bu),treatment_cost ($/bu),treated,acres";
  const rows = demoVarieties.map((v) =>
    [
      v.name,
      (v.rateNow * 1e6).toFixed(0),
      v.seedsPerPound,
      v.germinationPct,
      v.purityPct,
      v.seedPricePerBushel.toFixed(2),
      v.treatmentPerBushel.toFixed(2),
      "yes",
      v.acres,
    ].join(","),
  );
  return [header, ...rows].map((row) => row + "\n").join("");
}

function truthCsv(): string {
  const rows = demoVarieties.map((v) => {
    const best = trueBestRates(v);
    return [
      v.name,
      (v.rateNow * 1e6).toFixed(0),
      (best.grain * 1e6).toFixed(0),
      (best.money * 1e6).toFixed(0),
      seedCostPerMillion(v).toFixed(2),
    ].join(",");
  });
  const header = "variety,rate_now,true_most_grain,true_most_money,seed_cost_per_million";
  return [header, ...rows].map((row) => row + "\n").join("");
}

/** The made files of the demo, name → text. */
export function demoFiles(): Record<string, string> {
  const strips = growDemoFarm();
  const files: Record<string, string> = { "lots.csv": lotsCsv(), "truth.csv": truthCsv() };
  for (const { season } of seasons) {
    files[`strips-${season}.csv`] = stripsCsv(
      strips.filter((strip) => strip.season === season),
      season === 2024,
    );
  }
  return files;
}
