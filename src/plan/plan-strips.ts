/** Next season's strips, from what is believed of each variety: rates → size of the trial → places in the field. */
import { countOutOfRange, nothingFits, tooFewSettable } from "../check/findings/planning.ts";
import { sowLot } from "../decide/sowing.ts";
import { random } from "../maths/random.ts";
import type { BelievableCurve } from "../result.ts";
import type { Lot, Settings, UnitChoice } from "../settings.ts";
import type {
  LayoutKind,
  PairTest,
  PlannedLayout,
  PlannedStrip,
  PlanOption,
  PlanRequest,
  RateDesign,
  StripPlan,
  VarietyPlan,
} from "../strip-plan.ts";
import { engineVersion } from "../version.ts";
import { chooseRates, habitRates, mostRates } from "./choose-rates.ts";
import { dEfficiency } from "./d-efficiency.ts";
import { blocksThatFit, layOutStrips, measureGround, stripLength, type StripRoom } from "./lay-out-strips.ts";
import { expectedNet, nearestRate, type Outlook } from "./outlook.ts";
import { leastSignificantDifference, pairPower } from "./power.ts";
import { setUpBench, simulateTrials, type TrialBench } from "./simulate-trials.ts";

/** A variety as the planner knows it. */
export interface KnownVariety {
  outlook: Outlook;
  /** The curves behind the outlook, in its order, and the yield that they are shares of. */
  curves: readonly BelievableCurve[];
  yieldKgPerHa: number;
  rateNowSeedsPerM2: number;
  /** Its index in the outlook. */
  now: number;
  lot: Lot | null;
  pastStrips: number;
  pastEnvironments: number;
}

/** Simulated trials per design: a few per cent of error in what it finds, far less between two designs. */
const trials = { search: 150, general: 400, withGain: 120, longest: mostRates };

/** Share of them that the sizes of a trial are compared by. */
const roughPart = 0.4;

/**
 * Evenly spaced rates stay unless others narrow the answer by this share: they guard best against a curve that is none
 * of the believable ones, and less than this is within the error of the simulated trials.
 */
const worthwhile = 0.02;

/** 4 blocks are what on-farm guides ask for (PNW STEEP 1994); 5 rates tell a curve with a check on its form (FROM MEMORY). */
const usualSize = { blocks: 4, rates: 5 };
const blockCounts = [2, 3, 4, 5, 6, 7, 8];
const rateCounts = [3, 4, 5, 6, 7];
/**
 * Less than this is proposed only where no more fits. With two blocks one spoilt strip leaves nothing to compare; three
 * rates fit a curve without a check on it (FROM MEMORY: at least 4, better 5).
 */
const fewest = { blocks: 3, rates: 4 };

/**
 * Variance between main strips, as a share of that between strips inside them.
 *
 * Yates 1935, oats in split plots: 106.06 against 177.08.
 */
const mainStripVariance = 106.06 / 177.08;

/** A variety on the bench. */
interface Candidate {
  known: KnownVariety;
  bench: TrialBench;
  /** Sd of a strip among those that its rate is compared with [kg/ha]. */
  errorSdKgPerHa: number;
}

/**
 * The proposed trial.
 *
 * @param known every variety that may be planted; those of `request.varieties`, or all where that is empty, are taken
 * @throws TrialError `plan-count` for a number of rates, blocks or strips that makes no trial, `plan-too-few-rates` when the
 *   drill's steps leave none to choose from, `plan-nothing-fits` when the ground or the strips allow no block, and those of `layOutStrips`
 */
export function planStrips(
  request: PlanRequest,
  known: readonly KnownVariety[],
  settings: Settings,
  units: UnitChoice,
): Omit<StripPlan, "outcomes"> {
  checkCounts(request);
  const room = measureGround(request.ground, units);
  const candidates = known.map((variety) => setUpCandidate(request, variety, settings));
  for (const { bench } of candidates) {
    const { variety, ratesSeedsPerM2 } = bench.outlook;
    if (
      request.ratesSeedsPerM2 === null &&
      habitRates(bench, request.ratesPerVariety ?? rateCounts[0]!) === null
    )
      throw tooFewSettable(variety, ratesSeedsPerM2.length);
  }
  const { planted, leftOut } = pickVarieties(request, room, candidates);
  const options = weighOptions(request, room, planted, settings);
  const chosen = chooseOption(request, options, planted.length);
  if (chosen === null) throw nothingFits(room.stripsAcross, room.mostTiers, request.mostStrips);
  const varieties = planted.map((candidate) => planVariety(request, candidate, chosen));
  const treatments = varieties.map((plan) => ({ ...plan, ratesSeedsPerM2: plan.chosen.ratesSeedsPerM2 }));
  const layout = layOutStrips(request, treatments, chosen.blocks, settings.seed, units);
  return {
    schema: "stripcurve-plan-1",
    engineVersion,
    units,
    settings,
    request,
    varieties,
    leftOut: leftOut.map(({ known: { outlook } }) => outlook.variety),
    chosen,
    options,
    layout: withSowing(layout, planted, settings),
  };
}

/** @throws TrialError `plan-count` */
function checkCounts(request: PlanRequest): void {
  const counts: [string, number | null, number, number][] = [
    ["Rates of a variety", askedRates(request), 2, mostRates],
    ["Blocks", request.blocks, 1, 20],
    ["Strips", request.mostStrips, 2, 10_000],
  ];
  for (const [name, given, least, most] of counts) {
    if (given !== null && (given < least || given > most)) throw countOutOfRange(name, given, least, most);
  }
}

function setUpCandidate(request: PlanRequest, known: KnownVariety, settings: Settings): Candidate {
  const { outlook, now } = known;
  const draw = random(settings.seed, `plan trials ${outlook.variety}`);
  const mainStrips = request.layout === "rates-in-strips" ? mainStripVariance : 0;
  return {
    known,
    bench: setUpBench(outlook, now, request.gainPerHa, trials, draw),
    errorSdKgPerHa: outlook.errorSdKgPerHa * Math.sqrt(1 + mainStrips),
  };
}

/** All asked-for varieties; or, where none is named, those with most to learn first, while a few blocks of them fit. */
function pickVarieties(
  request: PlanRequest,
  room: StripRoom,
  candidates: readonly Candidate[],
): { planted: Candidate[]; leftOut: Candidate[] } {
  if (request.varieties.length > 0) {
    return {
      planted: request.varieties.map((name) => candidates.find((c) => c.known.outlook.variety === name)!),
      leftOut: [],
    };
  }
  const worth = new Map(candidates.map((candidate) => [candidate, worthOfKnowing(candidate)]));
  const ranked = [...candidates].sort((a, b) => worth.get(b)! - worth.get(a)!);
  const most = request.mostStrips ?? Infinity;
  const fits = (count: number): boolean => {
    const rates = askedRates(request) ?? rateCounts[0]!;
    const blocks = request.blocks ?? fewest.blocks;
    return count * rates * blocks <= most && blocksThatFit(room, count * rates) >= blocks;
  };
  let count = ranked.length;
  while (count > 1 && !fits(count)) count--;
  return { planted: ranked.slice(0, count), leftOut: ranked.slice(count) };
}

/** Money at stake on a variety's area, or on one hectare where areas are unknown. */
const worthOfKnowing = ({ known, bench }: Candidate): number =>
  bench.valueOfKnowingAllPerHa * (known.lot?.areaHa ?? 1);

const askedRates = (request: PlanRequest): number | null =>
  request.ratesSeedsPerM2?.length ?? request.ratesPerVariety;

/** Rates the person has set, else evenly spaced ones; null when so many find no room. */
const plainRates = (request: PlanRequest, { bench }: Candidate, count: number): number[] | null =>
  request.ratesSeedsPerM2?.map((rate) => nearestRate(bench.outlook.ratesSeedsPerM2, rate)) ??
  habitRates(bench, count);

/**
 * Every size of trial between the smallest and the largest sensible one, with what it would find and cost.
 *
 * With evenly spaced rates: which rates they are matters far less than how many strips there are.
 */
function weighOptions(
  request: PlanRequest,
  room: StripRoom,
  planted: readonly Candidate[],
  settings: Settings,
): PlanOption[] {
  const asked = askedRates(request);
  const blocksToTry = [...new Set([...blockCounts, ...(request.blocks === null ? [] : [request.blocks])])];
  const options: PlanOption[] = [];
  for (const count of asked === null ? rateCounts : [asked]) {
    const rates = planted.map((candidate) => plainRates(request, candidate, count));
    if (!rates.every((at) => at !== null)) continue;
    for (const blocks of blocksToTry.sort((a, b) => a - b)) {
      options.push(weighOption(request, room, planted, rates, blocks, settings));
    }
  }
  return options;
}

function weighOption(
  request: PlanRequest,
  room: StripRoom,
  planted: readonly Candidate[],
  rates: readonly number[][],
  blocks: number,
  settings: Settings,
): PlanOption {
  const ratesPerVariety = rates[0]!.length;
  const stripsInBlock = planted.length * ratesPerVariety;
  const stripLengthM = stripLength(request.ground, room, stripsInBlock, blocks);
  const stripAreaHa = (Math.max(request.ground.shortestStripM, stripLengthM) * room.stripWidthM) / 10_000;
  const finds = planted.map(({ known, bench, errorSdKgPerHa }, variety) => {
    const at = rates[variety]!;
    const net = expectedNet(bench.outlook);
    const lostPerHa = at.reduce((sum, g) => sum + net[bench.bestNow]! - net[g]!, 0);
    return {
      ...simulateTrials(bench, { at, blocks, errorSdKgPerHa }, roughPart),
      areaHa: known.lot?.areaHa ?? null,
      lost: lostPerHa * blocks * stripAreaHa,
    };
  });
  const mean = (values: number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
  const strips = stripsInBlock * blocks;
  const seen = finds.map((found) => found.chanceToSeeGain).filter((chance) => chance !== null);
  const areasKnown = finds.every((found) => found.areaHa !== null);
  return {
    blocks,
    ratesPerVariety,
    strips,
    fits: blocksThatFit(room, stripsInBlock) >= blocks,
    intervalWidthSeedsPerM2: mean(finds.map((found) => found.intervalWidthSeedsPerM2)),
    chanceToSeeGain: seen.length === 0 ? null : mean(seen),
    valuePerHa: mean(finds.map((found) => found.valuePerHa)),
    value: areasKnown
      ? request.seasonsUsed * finds.reduce((sum, found) => sum + found.valuePerHa * found.areaHa!, 0)
      : null,
    cost: strips * request.costPerStrip + finds.reduce((sum, found) => sum + found.lost, 0),
    test: testPairs(request, planted, settings, blocks, ratesPerVariety),
  };
}

/** Two rate means of one variety in this trial alone, in the layout's analysis of variance. */
function testPairs(
  request: PlanRequest,
  planted: readonly Candidate[],
  settings: Settings,
  blocks: number,
  rates: number,
): PairTest {
  const variance = planted.reduce((sum, { errorSdKgPerHa: sd }) => sum + sd * sd, 0) / planted.length;
  const errorSdKgPerHa = Math.sqrt(variance);
  const errorDf = errorDegreesOfFreedom(request.layout, planted.length, rates, blocks);
  const lsdKgPerHa = leastSignificantDifference(errorSdKgPerHa, blocks, errorDf, settings.testLevel);
  const asked = request.gainPerHa / settings.grainPricePerKg;
  return {
    errorSdKgPerHa,
    errorDf,
    lsdKgPerHa,
    lsdPerHa: lsdKgPerHa === null ? null : lsdKgPerHa * settings.grainPricePerKg,
    power: pairPower(asked, errorSdKgPerHa, blocks, errorDf, settings.testLevel),
  };
}

/** Error degrees of freedom for rates: randomized blocks, split plot with rates inside, split plot with rates outside. */
export function errorDegreesOfFreedom(
  layout: LayoutKind,
  varieties: number,
  rates: number,
  blocks: number,
): number {
  switch (layout) {
    case "blocks":
      return (blocks - 1) * (varieties * rates - 1);
    case "varieties-in-strips":
      return varieties * (blocks - 1) * (rates - 1);
    case "rates-in-strips":
      return (blocks - 1) * (rates - 1);
  }
}

/**
 * The size to plant: what was asked for where it was, else the most value above its cost.
 *
 * Without areas there is no sum to set against the cost; then the usual size, or where it does not fit the one of most
 * value per hectare within the strips allowed.
 */
function chooseOption(
  request: PlanRequest,
  options: readonly PlanOption[],
  varieties: number,
): PlanOption | null {
  const asked = request.blocks !== null && askedRates(request) !== null;
  const usual = usualSize.blocks * usualSize.rates * varieties;
  const most = request.mostStrips ?? (asked ? Infinity : usual);
  const allowed = options.filter(
    (option) =>
      option.strips <= most &&
      (asked || option.fits) &&
      (request.blocks === null || option.blocks === request.blocks),
  );
  const enough = allowed.filter(
    (option) => option.blocks >= fewest.blocks && option.ratesPerVariety >= fewest.rates,
  );
  const isUsual = (option: PlanOption): boolean =>
    option.blocks === usualSize.blocks && option.ratesPerVariety === usualSize.rates;
  const worth = (option: PlanOption): number =>
    option.value !== null
      ? option.value - option.cost
      : request.mostStrips === null && isUsual(option)
        ? Infinity
        : option.valuePerHa;
  return (enough.length > 0 ? enough : allowed).reduce<PlanOption | null>(
    (best, option) => (best === null || worth(option) > worth(best) ? option : best),
    null,
  );
}

/** The rates of one variety, and what they would find beside evenly spaced ones. */
function planVariety(request: PlanRequest, candidate: Candidate, size: PlanOption): VarietyPlan {
  const { known, bench, errorSdKgPerHa } = candidate;
  const { outlook } = bench;
  const { blocks, ratesPerVariety } = size;
  const design = (at: readonly number[]): RateDesign => {
    const rates = at.map((g) => outlook.ratesSeedsPerM2[g]!);
    return {
      ratesSeedsPerM2: rates,
      finds: simulateTrials(bench, { at, blocks, errorSdKgPerHa }),
      dEfficiency: dEfficiency(rates, outlook.ratesSeedsPerM2[0]!, outlook.ratesSeedsPerM2.at(-1)!),
    };
  };
  const habit = design(
    habitRates(bench, ratesPerVariety) ?? plainRates(request, candidate, ratesPerVariety)!,
  );
  const chosen =
    request.ratesSeedsPerM2 === null
      ? design(chooseRates(bench, ratesPerVariety, blocks, errorSdKgPerHa)!)
      : design(plainRates(request, candidate, ratesPerVariety)!);
  const narrows =
    chosen.finds.intervalWidthSeedsPerM2 < (1 - worthwhile) * habit.finds.intervalWidthSeedsPerM2;
  return {
    variety: outlook.variety,
    rateNowSeedsPerM2: known.rateNowSeedsPerM2,
    areaHa: known.lot?.areaHa ?? null,
    pastStrips: known.pastStrips,
    pastEnvironments: known.pastEnvironments,
    now: {
      economicOptimumSeedsPerM2: outlook.ratesSeedsPerM2[bench.bestNow]!,
      intervalSeedsPerM2: bench.intervalNow,
      valueOfKnowingAllPerHa: bench.valueOfKnowingAllPerHa,
      chanceOfGain: bench.chanceOfGain,
      chanceToBeatNow: bench.chanceToBeatNow,
    },
    chosen: narrows || request.ratesSeedsPerM2 !== null ? chosen : habit,
    habit,
  };
}

function withSowing(layout: PlannedLayout, planted: readonly Candidate[], settings: Settings): PlannedLayout {
  const lots = new Map(planted.map(({ known }) => [known.outlook.variety, known.lot]));
  const sown = (strip: PlannedStrip): PlannedStrip => {
    const lot = lots.get(strip.variety) ?? null;
    return { ...strip, sowing: lot === null ? null : sowLot(strip.rateSeedsPerM2, lot, settings) };
  };
  return { ...layout, strips: layout.strips.map(sown) };
}
