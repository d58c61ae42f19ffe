/** Puts the strips of a trial on the ground: whole drill passes, whole blocks, borders, a seeded random order. */
import { firstAndLast } from "../maths/first-and-last.ts";
import { blocksDoNotFit, blockTooWide, stripTooNarrow, unequalRates } from "../messages/planning.ts";
import { random, shuffle, type Random } from "../maths/random.ts";
import type { UnitChoice } from "../vocabulary/settings.ts";
import type {
  Ground,
  LayoutKind,
  PlannedLayout,
  PlannedStrip,
  PlanRequest,
} from "../vocabulary/strip-plan.ts";

/** A variety with the rates to try. */
export interface Treatment {
  variety: string;
  ratesSeedsPerM2: readonly number[];
}

/** One strip before it has a place. */
export interface StripChoice {
  variety: string;
  rateSeedsPerM2: number;
}

/** What fits on the ground: passes in a strip, strips side by side, rows of blocks. */
export interface StripRoom {
  passes: number;
  stripWidthM: number;
  /** Strips side by side, without borders. */
  stripsAcross: number;
  mostTiers: number;
}

/** Rounding of lengths given in feet must not cost a whole strip. */
const slack = 1e-6;

/**
 * How many strips fit on the ground.
 *
 * A strip is a whole number of drill passes, wide enough for the combine's full cut with `edgeM` left on each side.
 * (Harvest inside a wider treated strip: common practice of on-farm trials, no printed source.)
 *
 * @throws TrialError `plan-length` if a width or length is not above 0
 */
export function measureGround(ground: Ground, units: UnitChoice): StripRoom {
  const lengths = {
    "Field length": ground.fieldLengthM,
    "Field width": ground.fieldWidthM,
    "Drill width": ground.drillWidthM,
    "Harvest width": ground.harvestWidthM,
    "Shortest strip": ground.shortestStripM,
  };
  for (const [name, metres] of Object.entries(lengths)) {
    if (!(metres > 0)) throw stripTooNarrow(name, metres, units);
  }
  const passes = Math.ceil((ground.harvestWidthM + 2 * ground.edgeM) / ground.drillWidthM - slack);
  const stripWidthM = passes * ground.drillWidthM;
  return {
    passes,
    stripWidthM,
    stripsAcross: Math.floor(ground.fieldWidthM / stripWidthM + slack) - 2 * ground.borderStrips,
    mostTiers: Math.floor(
      (ground.fieldLengthM + ground.alleyM) / (ground.shortestStripM + ground.alleyM) + slack,
    ),
  };
}

/** Most blocks of a size that fit on the ground; 0 if none does. */
export function blocksThatFit(room: StripRoom, stripsInBlock: number): number {
  return Math.max(0, Math.floor(room.stripsAcross / stripsInBlock)) * room.mostTiers;
}

/** Length of the strips with the blocks in as few rows along the field as possible [m]; below 0 if none is left. */
export function stripLength(ground: Ground, room: StripRoom, stripsInBlock: number, blocks: number): number {
  const blocksAcross = Math.max(1, Math.floor(room.stripsAcross / stripsInBlock));
  const tiers = Math.ceil(blocks / blocksAcross);
  return (ground.fieldLengthM - (tiers - 1) * ground.alleyM) / tiers;
}

/**
 * The strips of a whole trial, each with its place.
 *
 * Blocks are side by side, and end to end where the field is too narrow; in as few rows as possible, because long
 * strips are more exact (Wuest et al. 1994: from 250 to 1,000 ft the least significant difference halves). All blocks
 * are complete. Border strips carry the variety and rate of their neighbour.
 *
 * @param treatments varieties in any order, each with its rates
 * @param seed       `settings.seed`; every block of every field and season has its own stream
 * @throws TrialError `plan-block-too-wide`, `plan-blocks-do-not-fit`, `plan-unequal-rates`, each saying what would fit
 */
export function layOutStrips(
  request: PlanRequest,
  treatments: readonly Treatment[],
  blocks: number,
  seed: number,
  units: UnitChoice,
): PlannedLayout {
  const { ground } = request;
  const room = measureGround(ground, units);
  const stripsInBlock = treatments.reduce((sum, treatment) => sum + treatment.ratesSeedsPerM2.length, 0);
  const blocksAcross = Math.floor(room.stripsAcross / stripsInBlock);
  if (blocksAcross < 1) {
    const sizesThatFit = sizesWithin(room.stripsAcross, treatments.length);
    throw blockTooWide({ ...ground, ...room, stripsInBlock, sizesThatFit }, units);
  }
  const tiers = Math.ceil(blocks / blocksAcross);
  const stripLengthM = stripLength(ground, room, stripsInBlock, blocks);
  if (tiers > room.mostTiers) {
    throw blocksDoNotFit(
      {
        blocks,
        blocksAcross,
        tiers,
        stripLengthM,
        shortestStripM: ground.shortestStripM,
        blocksThatFit: blocksThatFit(room, stripsInBlock),
      },
      units,
    );
  }

  const strips = Array.from({ length: tiers }, (_, tier) => {
    const first = tier * blocksAcross;
    const count = Math.min(blocks - first, blocksAcross);
    const blocksOfTier = Array.from({ length: count }, (_, k) => first + k + 1);
    return placeTier(layOutTier(request, treatments, blocksOfTier, seed), tier, {
      ...room,
      ...ground,
      stripLengthM,
    });
  }).flat();
  return {
    kind: request.layout,
    blocks,
    tiers,
    passes: room.passes,
    stripWidthM: room.stripWidthM,
    stripLengthM,
    harvestWidthM: ground.harvestWidthM,
    harvestAreaHa: (stripLengthM * ground.harvestWidthM) / 10_000,
    usedWidthM: Math.max(...strips.map((strip) => strip.acrossM + strip.widthM)),
    usedLengthM: tiers * stripLengthM + (tiers - 1) * ground.alleyM,
    strips,
  };
}

interface TierStrip {
  block: string;
  border: boolean;
  choice: StripChoice;
}

/** The strips of one row of blocks across the field, border strips at both ends. */
function layOutTier(
  { layout, season, farm, field, ground }: PlanRequest,
  treatments: readonly Treatment[],
  blocks: readonly number[],
  seed: number,
): TierStrip[] {
  const row = blocks.flatMap((block) => {
    const draw = random(seed, `plan ${season} ${farm} ${field} block ${block}`);
    return orderBlock(layout, treatments, draw).map((choice): TierStrip => ({
      block: String(block),
      border: false,
      choice,
    }));
  });
  const border = (choice: StripChoice): TierStrip[] =>
    Array.from({ length: ground.borderStrips }, () => ({ block: "", border: true, choice }));
  const [first, last] = firstAndLast(row);
  return [...border(first.choice), ...row, ...border(last.choice)];
}

/** The strips of a row of blocks on the ground, side by side; rows count from 0. */
function placeTier(
  strips: readonly TierStrip[],
  tier: number,
  { stripWidthM, stripLengthM, alleyM }: { stripWidthM: number; stripLengthM: number; alleyM: number },
): PlannedStrip[] {
  return strips.map(({ block, border, choice }, index) => ({
    label: border ? `B${tier + 1}-${index + 1}` : `${block}-${index + 1}`,
    tier: tier + 1,
    position: index + 1,
    block,
    border,
    ...choice,
    acrossM: index * stripWidthM,
    alongM: tier * (stripLengthM + alleyM),
    widthM: stripWidthM,
    lengthM: stripLengthM,
    sowing: null,
  }));
}

/** One block in random order, as the layout allows. */
export function orderBlock(kind: LayoutKind, treatments: readonly Treatment[], draw: Random): StripChoice[] {
  const choices = ({ variety, ratesSeedsPerM2 }: Treatment): StripChoice[] =>
    ratesSeedsPerM2.map((rateSeedsPerM2) => ({ variety, rateSeedsPerM2 }));
  switch (kind) {
    case "blocks":
      return shuffle(treatments.flatMap(choices), draw);
    case "varieties-in-strips":
      return shuffle(treatments, draw).flatMap((treatment) => shuffle(choices(treatment), draw));
    case "rates-in-strips": {
      const counts = treatments.map((treatment) => treatment.ratesSeedsPerM2.length);
      if (counts.some((count) => count !== counts[0])) throw unequalRates(counts);
      const levels = shuffle([...Array(counts[0]).keys()], draw);
      return levels.flatMap((level) =>
        shuffle(treatments, draw).map(({ variety, ratesSeedsPerM2 }) => ({
          variety,
          rateSeedsPerM2: ratesSeedsPerM2[level]!,
        })),
      );
    }
  }
}

/** Largest blocks that fit, from all varieties down to one, with 3 rates at least. */
function sizesWithin(stripsAcross: number, varieties: number): { varieties: number; rates: number }[] {
  const sizes: { varieties: number; rates: number }[] = [];
  for (let some = varieties; some >= 1 && sizes.length < 2; some--) {
    const rates = Math.min(7, Math.floor(stripsAcross / some));
    if (rates >= 3) sizes.push({ varieties: some, rates });
  }
  return sizes;
}
