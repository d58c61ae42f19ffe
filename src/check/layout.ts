/** Whether the trial is laid out so that it can answer: rates, replicates, blocks, seasons. */
import type { FormName, Settings } from "../vocabulary/settings.ts";
import type { Finding, LodgingScale, Strip } from "../vocabulary/trial.ts";
import { lodgingScales, poolingScale } from "../numbers/lodging-scales.ts";
import type { Measures } from "../numbers/measures.ts";
import * as messages from "../messages/layout.ts";
import { firstFew } from "../messages/listing.ts";
import { gather, type Some } from "../maths/group-by.ts";
import { textOrder, type VarietyGroup } from "./groups.ts";
import { checkPositions } from "./positions.ts";
import { rateLevels, type LaidOut } from "./rate-levels.ts";

/** Rates that a form needs: one for each number that describes its curve. */
const ratesNeeded: Record<FormName, number> = {
  none: 1,
  linear: 2,
  quadratic: 3,
  "linear-plateau": 3,
  "quadratic-plateau": 3,
};

/** Something to be said of a variety, worded for all varieties of which the same is said. */
interface Said {
  variety: string;
  of: (varieties: readonly string[]) => Finding;
}

const said = (variety: string, of: Said["of"]): Said => ({ variety, of });

/** One finding for all varieties of which the same is to be said, in the order of the first. */
const saidTogether = (all: readonly Said[]): Finding[] =>
  [...gather(all, ({ of }) => of([""]).message).values()].map((same) =>
    same[0].of(same.map(({ variety }) => variety)),
  );

const environmentsOf = (groups: readonly LaidOut[]): string[] => groups.map((group) => group.environment);

function checkRates(
  variety: string,
  groups: Readonly<Some<LaidOut>>,
  forms: readonly FormName[],
  measures: Measures,
): Said[] {
  const rateOf = (group: LaidOut): string => measures.rate.text(group.levels[0].rateSeedsPerM2);
  const single = groups.filter((group) => group.levels.length === 1);
  if (single.length === groups.length && new Set(single.map(rateOf)).size === 1) {
    const rate = rateOf(groups[0]);
    return [said(variety, (varieties) => messages.oneRateEverywhere(varieties, rate))];
  }
  const findings: Said[] = [];
  if (single.length > 0)
    findings.push(said(variety, (varieties) => messages.oneRateHere(varieties, environmentsOf(single))));
  const two = groups.filter((group) => group.levels.length === 2);
  const impossible = forms.filter((form) => ratesNeeded[form] > 2);
  if (two.length > 0 && impossible.length > 0) {
    findings.push(
      said(variety, (varieties) => messages.fewRates(varieties, 2, impossible, environmentsOf(two))),
    );
  }
  const three = groups.filter((group) => group.levels.length === 3);
  if (three.length > 0)
    findings.push(said(variety, (varieties) => messages.justEnoughRates(varieties, environmentsOf(three))));
  return findings;
}

const isReplicated = (group: LaidOut): boolean => group.levels.some((level) => level.strips.length > 1);
/** How often every rate stands, at least. */
const timesOfEach = ({ levels }: LaidOut): number => Math.min(...levels.map(({ strips }) => strips.length));
const blocksOf = (group: LaidOut): string[] =>
  [...new Set(group.strips.map((strip) => strip.block))].sort(textOrder);

function checkReplication(variety: string, groups: readonly LaidOut[]): Said[] {
  const once = groups.filter((group) => group.levels.length > 1 && !isReplicated(group));
  const mixed = groups.filter(
    (group) => isReplicated(group) && group.strips.every((strip) => strip.block === ""),
  );
  const inOneBlock = gather(
    groups.flatMap((group) => {
      const [{ block }] = group.strips;
      const times = timesOfEach(group);
      return block !== "" && blocksOf(group).length === 1 && times > 1 ? [{ ...group, block, times }] : [];
    }),
    ({ block, times }) => JSON.stringify([block, times]),
  );
  return [
    ...[...inOneBlock.values()].map((same) =>
      said(variety, (varieties) =>
        messages.oneBlock(varieties, same[0].block, same[0].times, environmentsOf(same)),
      ),
    ),
    ...(once.length > 0
      ? [said(variety, (varieties) => messages.unreplicated(varieties, environmentsOf(once)))]
      : []),
    ...(mixed.length > 0
      ? [said(variety, (varieties) => messages.replicatesWithoutBlocks(varieties, environmentsOf(mixed)))]
      : []),
  ];
}

/** Blocks that lack a rate which other blocks of the variety and environment have, or have it more often. */
function checkBalance(variety: string, groups: readonly LaidOut[], measures: Measures): Finding[] {
  const places = groups.flatMap((group) => {
    const blocks = blocksOf(group);
    if (blocks.length < 2 || !isReplicated(group)) return [];
    const lacking = new Map<string, string[]>();
    const repeated = new Map<string, string[]>();
    for (const level of group.levels) {
      const counts = new Map<string, number>();
      for (const { block } of level.strips) counts.set(block, (counts.get(block) ?? 0) + 1);
      const usual = [...counts.values()].reduce((least, count) => Math.min(least, count));
      const rate = measures.rate.text(level.rateSeedsPerM2);
      for (const block of blocks) {
        const count = counts.get(block) ?? 0;
        const unlike = count === 0 ? lacking : count > usual ? repeated : null;
        const rates = unlike?.get(block);
        if (rates === undefined) unlike?.set(block, [rate]);
        else rates.push(rate);
      }
    }
    const told = (word: string, unlike: Map<string, string[]>): string[] =>
      [...unlike].map(([block, rates]) => `block ${block || "without a name"} ${word} ${firstFew(rates)}`);
    const gaps = [...told("lacks", lacking), ...told("has more strips of", repeated)];
    return gaps.length > 0 ? [messages.unbalancedPlace(group.environment, gaps)] : [];
  });
  return places.length > 0 ? [messages.unbalanced(variety, places)] : [];
}

function checkOverlap(variety: string, groups: readonly LaidOut[], measures: Measures): Finding[] {
  const lowest = (group: LaidOut): number => group.levels[0].rateSeedsPerM2;
  const highest = (group: LaidOut): number => group.levels.at(-1)!.rateSeedsPerM2;
  const below = groups.reduce((a, b) => (highest(b) < highest(a) ? b : a));
  const above = groups.reduce((a, b) => (lowest(b) > lowest(a) ? b : a));
  if (highest(below) >= lowest(above)) return [];
  const range = (group: LaidOut): string =>
    group.levels.length === 1
      ? measures.rate.text(lowest(group))
      : `${measures.rate.text(lowest(group))} to ${measures.rate.text(highest(group))}`;
  return [messages.ratesApart(variety, below.environment, above.environment, [range(below), range(above)])];
}

function checkSeasons(byVariety: Map<string, Some<LaidOut>>): Finding[] {
  const groups = [...byVariety.values()].flat();
  const seasons = [...new Set(groups.map((group) => group.strips[0].season))];
  if (seasons.length === 1) return seasons.map((season) => messages.oneSeason(season));
  const once = [...byVariety.values()].filter((seen) => seen.length === 1).map(([only]) => only);
  return once.length === 0 ? [] : [messages.oneEnvironment(once)];
}

function checkLodgingScales(groups: readonly VarietyGroup[]): Finding[] {
  const places = new Map<LodgingScale, Set<string>>();
  for (const { environment, strips } of groups) {
    for (const { lodging } of strips) {
      if (lodging === null) continue;
      const found = places.get(lodging.scale);
      if (found === undefined) places.set(lodging.scale, new Set([environment]));
      else found.add(environment);
    }
  }
  if (new Set([...places.keys()].map(poolingScale)).size < 2) return [];
  const told = [...places].map(([scale, found]) => {
    const [first, ...others] = [...found].sort(textOrder);
    return `${lodgingScales[scale].names[0]} (${first!}${others.length > 0 ? ` and ${others.length} more` : ""})`;
  });
  return [messages.differentLodgingScales(told.sort(textOrder))];
}

/** What a report cannot say because nothing was written down for it. */
function checkColumns(groups: readonly VarietyGroup[], settings: Settings): Finding[] {
  const lacks = (recorded: (strip: Strip) => boolean): boolean =>
    !groups.some((group) => group.strips.some(recorded));
  const optional: [column: string, missing: boolean, consequence: string][] = [
    ["block", lacks((strip) => strip.block !== ""), "better and poorer ground is counted as chance."],
    [
      "position",
      lacks((strip) => strip.position !== null),
      "whether the ground explains a response cannot be checked.",
    ],
    [
      "stand",
      lacks((strip) => strip.standPlantsPerM2 !== null),
      "this farm's own stand loss cannot be known.",
    ],
    [
      "lodging",
      lacks((strip) => strip.lodging !== null),
      "nothing limits the rate where the crop may lodge.",
    ],
    [
      "protein",
      settings.proteinSchedule.length > 0 && lacks((strip) => strip.proteinPct !== null),
      "the season file has a protein schedule, but no premium or discount can be counted.",
    ],
  ];
  return optional
    .filter(([, missing]) => missing)
    .map(([column, , consequence]) => messages.notRecorded(column, consequence));
}

/**
 * Whether rates, replicates, blocks, positions and seasons allow the answers that are asked for.
 *
 * Nothing is left out here. Rates within 1% of one another count as the same, so that rates worked out from weights
 * do not each stand alone. Linear in the strips but for sorting within variety and environment.
 */
export function checkLayout(
  varietyGroups: readonly VarietyGroup[],
  settings: Settings,
  measures: Measures,
): Finding[] {
  if (varietyGroups.length === 0) return [messages.noStrips()];
  const groups: LaidOut[] = varietyGroups.map((group) => ({ ...group, levels: rateLevels(group.strips) }));
  const byVariety = gather(groups, (group) => group.variety);
  return [
    ...saidTogether(
      [...byVariety].flatMap(([variety, seen]) => [
        ...checkRates(variety, seen, settings.forms, measures),
        ...checkReplication(variety, seen),
      ]),
    ),
    ...[...byVariety].flatMap(([variety, seen]) => [
      ...checkBalance(variety, seen, measures),
      ...checkOverlap(variety, seen, measures),
    ]),
    ...checkPositions(groups),
    ...checkSeasons(byVariety),
    ...checkLodgingScales(groups),
    ...checkColumns(groups, settings),
  ];
}
