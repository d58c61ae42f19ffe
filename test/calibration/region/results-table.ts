/** Scores of simulated regions → the table that is read and kept. */
import { barLine, but, mean, percent, share, table } from "../page-of-results.ts";
import { ways, type RegionScores, type Score, type Way } from "./score-region.ts";
import { regionFamilies } from "./simulate-region.ts";

const scoresOf = (regions: readonly RegionScores[], way: Way): Score[] =>
  regions.flatMap(({ of }) => of[way]);
const meanLost = (regions: readonly RegionScores[], way: Way): number =>
  mean(scoresOf(regions, way).map(({ lost }) => lost));
const held = (regions: readonly RegionScores[], way: Way, level: 0 | 1): number =>
  share(scoresOf(regions, way).map((one) => one.held[level]));
const logScore = (regions: readonly RegionScores[], way: Way): number =>
  mean(scoresOf(regions, way).map((one) => one.logScore));

export const seasonCounts = [1, 3] as const;
/** Where the rate does not matter, a farm alone loses nearly nothing after a few seasons, or much by chance. */
const answering = regionFamilies.map(({ name }) => name).filter((name) => name !== "flat");

/** Money lost in one way over money lost in another, over the same regions or others. */
interface Ratio {
  value: number;
  error: number;
}

/**
 * Ratio of the mean money lost in two ways, with its standard error: regions are independent, the farms of one are not.
 *
 * The ratio is worked out without each region in turn (the jackknife: Tukey 1958, Ann. Math. Stat. 29:614).
 *
 * @param lost     in each region, as many numbers as were judged there
 * @param against  the same by the way that it is held against
 */
function ratioOver(lost: readonly number[][], against: readonly number[][]): Ratio {
  const ratioWithout = (left: number | null): number => {
    const [over, under] = [lost, against].map((all) =>
      mean(all.filter((_, region) => region !== left).flat()),
    );
    return over! / under!;
  };
  const without = lost.map((_, region) => ratioWithout(region));
  const middle = mean(without);
  const variance = (lost.length - 1) * mean(without.map((ratio) => (ratio - middle) ** 2));
  return { value: ratioWithout(null), error: Math.sqrt(variance) };
}

const told = ({ value, error }: Ratio): string => `${value.toFixed(2)} ± ${error.toFixed(2)}`;
const lostIn = (regions: readonly RegionScores[], way: Way): number[][] =>
  regions.map(({ of }) => of[way].map(({ lost }) => lost));

/** Regions of one family, or of several, after so many seasons and after the first. */
interface Group {
  name: string;
  seasons: number;
  regions: readonly RegionScores[];
  first: readonly RegionScores[];
}

function groupsOf(all: readonly RegionScores[], names: readonly string[], name: string): Group[] {
  const regionsAfter = (count: number): RegionScores[] =>
    all.filter(({ family, seasons }) => names.includes(family) && seasons === count);
  return seasonCounts.map((seasons) => ({
    name,
    seasons,
    regions: regionsAfter(seasons),
    first: regionsAfter(1),
  }));
}

const leaningOverAlone = ({ regions }: Group): Ratio =>
  ratioOver(lostIn(regions, "region"), lostIn(regions, "alone"));
const withoutStripsOverFirst = ({ regions, first }: Group): Ratio =>
  ratioOver(lostIn(regions, "no strips"), lostIn(first, "alone"));

const rowOf = (group: Group): string[] => {
  const { name, seasons, regions } = group;
  return [
    name,
    String(seasons),
    meanLost(regions, "alone").toFixed(2),
    meanLost(regions, "region").toFixed(2),
    told(leaningOverAlone(group)),
    meanLost(regions, "no strips").toFixed(2),
    mean(regions.flatMap(({ lostAtBest }) => lostAtBest)).toFixed(2),
    told(withoutStripsOverFirst(group)),
    ...([0, 1] as const).flatMap((level) => ways.map((way) => percent(held(regions, way, level)))),
    logScore(regions, "alone").toFixed(2),
    logScore(regions, "region").toFixed(2),
  ];
};

const columns = [
  "family",
  "seasons",
  "alone $/ac",
  "region $/ac",
  "ratio",
  "no own strips $/ac",
  "at best",
  "over first season",
  "80 % alone",
  "region",
  "no strips",
  "95 % alone",
  "region",
  "no strips",
  "log score alone",
  "region",
];

/** Every bar, met or not: over all families in which the rate matters, and the families that lie beyond it alone. */
function barLines(families: readonly Group[], together: readonly Group[]): string[] {
  const mattering = families.filter(({ name }) => answering.includes(name));
  const ratioLine = (bar: number, text: string, of: (group: Group) => Ratio, seasons: number): string => {
    const over = of(together.find((group) => group.seasons === seasons)!);
    const beyond = mattering.filter((group) => group.seasons === seasons && of(group).value > bar);
    const alone = beyond.map((group) => `${group.name} (${told(of(group))})`);
    return barLine(
      over.value <= bar,
      `${text} at most ${bar.toFixed(2)} times: ${told(over)}${but("by itself beyond it:", alone)}`,
    );
  };
  const worse = families.filter((group) => leaningOverAlone(group).value > 1.05);
  const poorer = families.filter(
    ({ name, regions }) => name !== "unlike" && logScore(regions, "region") < logScore(regions, "alone"),
  );
  /** Met where it holds in every family, or else with those where it does not. */
  const everywhere = (text: string, butIn: readonly Group[]): string =>
    barLine(
      butIn.length === 0,
      butIn.length === 0
        ? text
        : `${text}: ${butIn.map(({ name, seasons }) => `${name}, ${seasons}`).join("; ")}`,
    );
  return [
    ratioLine(0.8, "with the region, one season of strips loses", leaningOverAlone, 1),
    ratioLine(0.9, "with the region, three seasons lose", leaningOverAlone, 3),
    ratioLine(
      1.15,
      "a variety without strips loses, against a first season alone,",
      withoutStripsOverFirst,
      1,
    ),
    everywhere("in no family more than 5 % worse than alone", worse),
    ...([0, 1] as const).map((level) => heldLine(level, mattering, together)),
    everywhere('a better log score with the region in every family but "unlike"', poorer),
  ];
}

/** Whether an interval holds within 5 points, over all and in single families. */
function heldLine(level: 0 | 1, mattering: readonly Group[], together: readonly Group[]): string {
  const name = [0.8, 0.95][level]!;
  const isBeyond = (value: number): boolean => Math.abs(value - name) > 0.05;
  const over = together.flatMap(({ regions, seasons }) =>
    ways.map((way) => ({ way, seasons, value: held(regions, way, level) })),
  );
  const single = mattering.flatMap((group) =>
    ways.map((way) => ({ ...group, way, value: held(group.regions, way, level) })),
  );
  const beyond = single
    .filter(({ value }) => isBeyond(value))
    .map(
      (one) =>
        `${one.name}, ${one.seasons}, ${one.way} (${percent(one.value)} of ${scoresOf(one.regions, one.way).length})`,
    );
  const told = over.map(({ way, seasons, value }) => `${way}, ${seasons}: ${percent(value)}`).join("; ");
  return barLine(
    !over.some(({ value }) => isBeyond(value)),
    `the ${percent(name)} range holds within 5 points: ${told}${but("by itself beyond it:", beyond)}`,
  );
}

/** The whole page but the part about ground. */
export function tellRegions(all: readonly RegionScores[], regions: number, judged: number): string {
  const families = regionFamilies.flatMap(({ name }) => groupsOf(all, [name], name));
  const together = groupsOf(all, answering, "all but flat");
  return `# What a region earns

Written by \`npm run calibrate:region -- ${regions} ${judged}\`: ${regions} regions of each family, ${judged} farms of three varieties judged in each. A farm decides by its own strips alone, by these and the region of other farms, and by the region without strips of the variety (one variety a farm). Beside this last one stands what one would lose *at best* who knows the region, and what the farm's other varieties need there, exactly; then its share of what a farm loses alone after its first season. Both ratios stand with their standard errors over regions. The ranges are those of the report: how often they held the best rate. Log score: mean logarithm of the weight believed within 5 % of the best rate (plus a thousandth; nearer to 0 is better).

## Bars

Over all families in which the rate matters.

${barLines(families, together).join("\n")}

## Families

${table(columns, [...families, ...together].map(rowOf))}
`;
}
