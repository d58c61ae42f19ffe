/** Next season's strips, from what is believed of each variety: rates → size of the trial → places in the field. */
import { countOutOfRange, nothingFits, tooFewSettable } from "../messages/planning.ts";
import { sowLot } from "../decide/drill/sowing.ts";
import type { Settings, UnitChoice } from "../vocabulary/settings.ts";
import type { Sowing } from "../vocabulary/result.ts";
import type {
  PlannedLayout,
  PlannedStrip,
  PlanRequest,
  SeedNeeded,
  StripPlan,
} from "../vocabulary/strip-plan.ts";
import { engineVersion } from "../version.ts";
import { askedRates, setUpCandidate, type Candidate, type KnownVariety } from "./candidate.ts";
import { habitRates, mostRates } from "./choose-rates.ts";
import { blocksThatFit, layOutStrips, measureGround, type StripRoom } from "./lay-out-strips.ts";
import { planVariety } from "./plan-variety.ts";
import { chooseOption, fewest, rateCounts, weighOptions } from "./size-trial.ts";

/**
 * The proposed trial.
 *
 * @param known every variety that may be planted; only those in `request.varieties` are used, unless that is empty
 * @throws TrialError `plan-count` for an impossible number of rates, blocks or strips, `plan-too-few-rates` when the
 *   drill's steps leave none to choose from, `plan-nothing-fits` when the ground or the strips allow no block, and
 *   those of `layOutStrips`
 */
export function planStrips(
  request: PlanRequest,
  known: readonly KnownVariety[],
  settings: Settings,
  units: UnitChoice,
): Omit<StripPlan, "outcomes" | "advice"> {
  checkCounts(request);
  const room = measureGround(request.ground, units);
  const candidates = known.map((variety) => setUpCandidate(request, variety, settings));
  for (const { bench } of candidates) {
    const { variety, ratesSeedsPerM2 } = bench.outlook;
    if (
      request.ratesSeedsPerM2 === null &&
      habitRates(bench, request.ratesPerVariety ?? rateCounts[0]) === null
    )
      throw tooFewSettable(variety, ratesSeedsPerM2.length);
  }
  const { planted, leftOut } = pickVarieties(request, room, candidates);
  const options = weighOptions(request, room, planted, settings);
  const chosen = chooseOption(request, options, planted.length);
  if (chosen === null) throw nothingFits(room.stripsAcross, room.mostTiers, request.mostStrips);
  const varieties = planted.map((candidate) => planVariety(request, candidate, chosen));
  const treatments = varieties.map((plan) => ({ ...plan, ratesSeedsPerM2: plan.chosen.ratesSeedsPerM2 }));
  const layout = withSowing(
    layOutStrips(request, treatments, chosen.blocks, settings.seed, units),
    planted,
    settings,
  );
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
    layout,
    seedNeeded: varieties.map(({ variety }) => seedNeeded(variety, layout.strips)),
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

/** All varieties asked for; or, if none is named, as many as fit in a few blocks, those with most to learn first. */
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
    const rates = askedRates(request) ?? rateCounts[0];
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

/** Area of whole strips as drilled, cut and uncut, with borders. */
function seedNeeded(variety: string, strips: readonly PlannedStrip[]): SeedNeeded {
  const own = strips.filter((strip) => strip.variety === variety);
  const areaOf = ({ widthM, lengthM }: PlannedStrip): number => (widthM * lengthM) / 10_000;
  const over = (perHa: (sowing: Sowing) => number): number | null =>
    own.every(({ sowing }) => sowing !== null)
      ? own.reduce((sum, strip) => sum + perHa(strip.sowing!) * areaOf(strip), 0)
      : null;
  const unit = own[0]?.sowing?.sold?.unit ?? null;
  return {
    variety,
    strips: own.length,
    areaHa: own.reduce((sum, strip) => sum + areaOf(strip), 0),
    kg: over(({ kgPerHa }) => kgPerHa),
    sold: unit && { unit, amount: over(({ sold }) => sold!.perHa)! },
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
