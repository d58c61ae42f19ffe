/** Fills a seed card from whichever of its numbers is known. */
import type { RateByField } from "../../vocabulary/result.ts";
import type { FieldCard, SeedCard } from "../../vocabulary/seed-card.ts";
import type { Lot, Settings } from "../../vocabulary/settings.ts";
import { seedSizeNeeded } from "../../messages/amounts.ts";
import { stopLate, type LateLimits } from "./late-seeding.ts";
import { lowestRate } from "../rate/lowest-rate.ts";
import { pricePerThousandViable, seedCostPerHa } from "../rate/seed-cost.ts";
import * as sowing from "./sowing.ts";

/** What is known, in engine units: a rate, or one thing from which the rate follows. */
export type KnownRate =
  | { from: "rate" | "lot"; seedsPerM2: number }
  | { from: "advice"; seedsPerM2: number; lowestBinds: boolean; byField?: RateByField | null }
  | { from: "stand"; plantsPerM2: number }
  | { from: "weight"; kgPerHa: number }
  | { from: "row"; seedsPerMetre: number }
  | { from: "catch"; grams: number };

/** Plants that were counted, and where. */
export type PlantCount = { plants: number; rowLengthM: number } | { plants: number; hoopDiameterM: number };

export interface SeedQuestion {
  known: KnownRate;
  /** Weighed from one row over the catch length, with the rate that was aimed at. */
  caughtGrams: number | null;
  counted: PlantCount | null;
  /** Days past the best seeding date; null: on time. */
  daysLate: number | null;
  /** What the strips say about higher rates, if there is a result: late seeding does not go above them. */
  lateLimits: LateLimits;
  /** Viable seeds that gave no plant by the farm's own counts; not given: as the settings say. */
  ownStandLoss?: number | null;
  catchLengthM: number;
  wheelDiameterM: number | null;
  countLengthM: number;
  hoopDiameterM: number;
  /** Area that one row is measured off for: a thousandth of an acre, a square metre. */
  unitAreaM2: number;
  /** Somebody gave a seed price, so the settings hold more than their default. */
  priced: boolean;
}

/**
 * The card of one lot.
 *
 * @param variety null for a lot without a name
 * @throws TrialError `seeds-per-weight-unknown` when the rate is known by weight and the lot's seeds/kg is not
 * @example 1.1 million plants/ac, 15% loss, 12,500 seeds/lb, germination 95% → 1,294,118 seeds/ac, 108.98 lb/ac
 * Common practice, worked by hand. Reference check: test/reference/sowing.
 */
export function fillSeedCard(
  variety: string | null,
  lot: Lot,
  question: SeedQuestion,
  given: Settings,
): SeedCard {
  const settings = { ...given, standLoss: question.ownStandLoss ?? given.standLoss };
  const seed =
    lot.seedsPerKg === null
      ? null
      : { seedsPerKg: lot.seedsPerKg, germination: lot.germination, purity: lot.purity };
  const { rowSpacingM } = settings;
  const { known, catchLengthM, daysLate } = question;

  const inTime = rateOf(known, lot, seed, question, settings);
  const { rateSeedsPerM2: rate, stoppedBy } = stopLate(inTime, daysLate ?? 0, settings, question.lateLimits);
  const sown = sowing.seedsSown(rate, lot);
  const kgPerHa = seed && sowing.kgPerHaOfRate(rate, seed);
  const price = pricePerThousandViable(lot, settings);
  return {
    variety,
    rateSeedsPerM2: rate,
    from: known.from,
    late: daysLate === null ? null : { inTimeSeedsPerM2: inTime, days: daysLate, stoppedBy },
    lowest: lowestWhereItBinds(known, rate, lowestRate(lot, settings)),
    seed: {
      seedsPerKg: lot.seedsPerKg,
      germination: lot.germination,
      purity: lot.purity,
      assumed: lot.assumed ?? [],
      treated: lot.treated,
    },
    seedsSownPerM2: sown,
    kgPerHa,
    rowSpacingM,
    seedsPerMetreOfRow: sowing.perMetreOfRow(sown, rowSpacingM),
    byField: cardsByField(lot, seed, question, settings),
    catchTest: {
      lengthM: catchLengthM,
      seeds: sowing.rowCountOfStand(sown, catchLengthM, rowSpacingM),
      grams: kgPerHa === null ? null : sowing.catchGrams(kgPerHa, rowSpacingM, catchLengthM),
      wheelTurns:
        question.wheelDiameterM === null ? null : sowing.wheelTurns(catchLengthM, question.wheelDiameterM),
    },
    stand: standToCount(rate, question, settings),
    caught:
      question.caughtGrams === null
        ? null
        : weigh(question.caughtGrams, rate, seed, catchLengthM, rowSpacingM),
    counted: question.counted && count(question.counted, rate, rowSpacingM),
    cost: question.priced ? { perThousandSeeds: price, perHa: seedCostPerHa(rate, price) } : null,
    areaHa: lot.areaHa,
    orderKg: kgPerHa === null || lot.areaHa === null ? null : sowing.orderKg(kgPerHa, lot.areaHa),
    sold: sowing.soldAmount(lot, kgPerHa, sown),
  };
}

/** Each field's own rate with the lot and the day of the card, where the strips advise another for each. */
function cardsByField(
  lot: Lot,
  seed: sowing.SeedInBag | null,
  { known, daysLate, lateLimits, catchLengthM }: SeedQuestion,
  settings: Settings,
): SeedCard["byField"] {
  if (known.from !== "advice" || known.byField?.differ !== true) return null;
  const { by, fields } = known.byField;
  const { rowSpacingM } = settings;
  return {
    by,
    fields: fields.map(({ field, rateNextSeedsPerM2 }): FieldCard => {
      const late = stopLate(rateNextSeedsPerM2, daysLate ?? 0, settings, lateLimits);
      const kgPerHa = seed && sowing.kgPerHaOfRate(late.rateSeedsPerM2, seed);
      return {
        field,
        ...late,
        seedsPerMetreOfRow: sowing.perMetreOfRow(sowing.seedsSown(late.rateSeedsPerM2, lot), rowSpacingM),
        kgPerHa,
        catchGrams: kgPerHa === null ? null : sowing.catchGrams(kgPerHa, rowSpacingM, catchLengthM),
      };
    }),
  };
}

/** What a weighed catch of one row amounts to, compared with the rate that was aimed at. */
function weigh(
  grams: number,
  target: number,
  seed: sowing.SeedInBag | null,
  catchLengthM: number,
  rowSpacingM: number,
): SeedCard["caught"] {
  const kg = sowing.kgPerHaOfCatch(grams, rowSpacingM, catchLengthM);
  const applied = sowing.rateOfKgPerHa(kg, needSeed(seed));
  return { grams, rateSeedsPerM2: applied, kgPerHa: kg, shareOfTarget: applied / target };
}

/** The stand from counted plants, and how much of the sown rate was lost. */
function count(counted: PlantCount, sownRate: number, rowSpacingM: number): SeedCard["counted"] {
  const plantsPerM2 =
    "rowLengthM" in counted
      ? sowing.standOfRow(counted.plants, counted.rowLengthM, rowSpacingM)
      : sowing.standOfHoop(counted.plants, counted.hoopDiameterM);
  return { plants: counted.plants, plantsPerM2, standLoss: 1 - plantsPerM2 / sownRate };
}

/** The stand to expect at a rate, as plants to count in a row or a hoop. */
function standToCount(
  rate: number,
  { countLengthM, hoopDiameterM, unitAreaM2 }: SeedQuestion,
  { rowSpacingM, standLoss }: Settings,
): SeedCard["stand"] {
  const plants = sowing.standOfRate(rate, standLoss);
  return {
    loss: standLoss,
    plantsPerM2: plants,
    plantsPerMetreOfRow: sowing.perMetreOfRow(plants, rowSpacingM),
    rowCount: {
      lengthM: countLengthM,
      plants: sowing.rowCountOfStand(plants, countLengthM, rowSpacingM),
    },
    hoopCount: { diameterM: hoopDiameterM, plants: sowing.hoopCountOfStand(plants, hoopDiameterM) },
    unitAreaRowM: sowing.rowLengthOfArea(unitAreaM2, rowSpacingM),
  };
}

/** A typed rate stays as it is; the card says that it is below. */
function lowestWhereItBinds(known: KnownRate, rate: number, lowest: number | null): SeedCard["lowest"] {
  if (lowest === null) return null;
  if (rate < lowest * (1 - 1e-9)) return { rateSeedsPerM2: lowest, kept: false };
  return known.from === "advice" && known.lowestBinds ? { rateSeedsPerM2: lowest, kept: true } : null;
}

function rateOf(
  known: KnownRate,
  lot: Lot,
  seed: sowing.SeedInBag | null,
  { catchLengthM }: SeedQuestion,
  { rowSpacingM, standLoss }: Settings,
): number {
  switch (known.from) {
    case "rate":
    case "lot":
    case "advice":
      return known.seedsPerM2;
    case "stand":
      return sowing.rateOfStand(known.plantsPerM2, standLoss);
    case "row":
      return sowing.viableOfSown(sowing.perM2OfRow(known.seedsPerMetre, rowSpacingM), lot);
    case "weight":
      return sowing.rateOfKgPerHa(known.kgPerHa, needSeed(seed));
    case "catch":
      return sowing.rateOfKgPerHa(
        sowing.kgPerHaOfCatch(known.grams, rowSpacingM, catchLengthM),
        needSeed(seed),
      );
  }
}

function needSeed(seed: sowing.SeedInBag | null): sowing.SeedInBag {
  if (seed !== null) return seed;
  throw seedSizeNeeded();
}
