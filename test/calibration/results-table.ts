/** Scores of simulated farms → the table that is read and kept. */
import { normalCdf } from "../../src/maths/distributions.ts";
import { gather } from "../../src/maths/group-by.ts";
import { chainYears, type ChainScore } from "./score-chain.ts";
import { choiceNames, pricePairs, type Beyond, type ChoiceName, type Score } from "./score-farm.ts";
import { barLine, but, mean, percent, share, table } from "./page-of-results.ts";
import { families } from "./truths.ts";

const meanLost = (scores: readonly Score[], choice: ChoiceName): number =>
  mean(scores.map(({ lost }) => lost[choice]));

const rivals = choiceNames.filter((name) => name !== "ours" && name !== "next season");
/** The family that a rival assumes: there it may win. */
const ownFamily: Partial<Record<ChoiceName, string[]>> = {
  "pooled quadratic": ["quadratic"],
  // With "no response" winning it falls to the lowest rate, which is right where the rate does not matter.
  "AICc winner": ["flat", "linear-plateau", "quadratic-plateau"],
};

/** Standard error of a mean over answers; the varieties of a farm are one draw. */
function errorOverFarms(scores: readonly Score[], value: (score: Score) => number): number {
  const middle = mean(scores.map(value));
  const farms = [
    ...gather(scores, ({ family, seasons, farm }) => `${family} ${seasons} ${farm}`).values(),
  ].map((ofFarm) => ofFarm.reduce((sum, score) => sum + value(score) - middle, 0));
  const squares = farms.reduce((sum, one) => sum + one ** 2, 0);
  return Math.sqrt((squares * farms.length) / (farms.length - 1)) / scores.length;
}

const lostRow = (name: string, scores: readonly Score[]): string[] => [
  name,
  ...(["ours", ...rivals] as const).map((choice) => meanLost(scores, choice).toFixed(2)),
];

function intervalRow(name: string, scores: readonly Score[]): string[] {
  const moves = scores.flatMap(({ move }) => move ?? []);
  return [
    name,
    ...[0, 1].map((i) => percent(share(scores.map(({ held }) => held[i]!)))),
    ...[0, 1].map((i) => percent(mean(scores.map(({ beyond }) => 1 - beyond[i]!.below - beyond[i]!.above)))),
    ...[0, 1].map((i) => percent(mean(scores.map(({ width }) => width[i]!)))),
    percent(moves.length / scores.length),
    moves.length === 0 ? "–" : mean(moves.map(({ stated }) => stated)).toFixed(2),
    moves.length === 0 ? "–" : mean(moves.map(({ earned }) => earned)).toFixed(2),
  ];
}

/** Stated chance that a move pays, against how often it did. */
function chanceRows(scores: readonly Score[]): string[][] {
  const moves = scores.flatMap(({ move }) => move ?? []);
  const edges = [0, 0.6, 0.7, 0.8, 0.9, 0.95, 1];
  return edges.slice(1).map((upper, i) => {
    const inside = moves.filter(
      ({ chance }) => chance >= edges[i]! && (chance < upper || (upper === 1 && chance === 1)),
    );
    return [
      `${percent(edges[i]!)} to ${percent(upper)}`,
      String(inside.length),
      inside.length === 0 ? "–" : percent(mean(inside.map(({ chance }) => chance))),
      inside.length === 0 ? "–" : percent(share(inside.map(({ earned }) => earned > 0))),
    ];
  });
}

/** The bias is told after so many seasons, from so many times the farms: of a few it is mostly chance. */
export const seasonsOfBias = 3;
export const timesForBias = 3;

/** Mean of log(named ÷ best), in per cent of the best rate. */
const bias = (scores: readonly Score[]): number =>
  100 * mean(scores.map(({ named, best }) => Math.log(named / best)));

/** Its standard error; the varieties of a farm are one draw. */
function biasError(scores: readonly Score[]): number {
  const farms = [...gather(scores, ({ family, farm }) => `${family} ${farm}`).values()].map(bias);
  const middle = mean(farms);
  const squares = farms.reduce((sum, one) => sum + (one - middle) ** 2, 0);
  return Math.sqrt(squares / (farms.length - 1) / farms.length);
}

const signed = (value: number): string => `${value < 0 ? "−" : "+"}${Math.abs(value).toFixed(1)} %`;
const missed = (scores: readonly Score[], side: 1 | -1, level: 0 | 1): number =>
  scores.filter((score) => score.side[level] === side).length;

/** How many best rates the belief leaves beyond one end of an interval. */
const left = (scores: readonly Score[], end: keyof Beyond, level: 0 | 1): number =>
  scores.reduce((sum, { beyond }) => sum + beyond[level][end], 0);

function biasRow(name: string, scores: readonly Score[]): string[] {
  const sides = ([0, 1] as const).flatMap((level) => [
    String(missed(scores, 1, level)),
    String(missed(scores, -1, level)),
  ]);
  return [name, String(scores.length), signed(bias(scores)), `${biasError(scores).toFixed(1)} %`, ...sides];
}

const pairNames = Object.keys(pricePairs) as (keyof typeof pricePairs)[];

const pairRow = (name: string, scores: readonly Score[]): string[] => [
  name,
  ...pairNames.flatMap((pair) => {
    const of = scores.filter(({ prices }) => prices === pair);
    return [...[0, 1].map((i) => percent(share(of.map(({ held }) => held[i]!)))), lostShare(of).toFixed(2)];
  }),
];

/** Money lost as a share of what the pooled quadratic loses. */
const lostShare = (scores: readonly Score[]): number =>
  meanLost(scores, "ours") / meanLost(scores, "pooled quadratic");

/** Its standard error, as of a ratio of two means. */
const lostShareError = (scores: readonly Score[]): number => {
  const ratio = lostShare(scores);
  const apart = errorOverFarms(scores, ({ lost }) => lost.ours - ratio * lost["pooled quadratic"]);
  return apart / meanLost(scores, "pooled quadratic");
};

function chainRow(name: string, chains: readonly ChainScore[]): string[] {
  const earned = chains.map((chain) => chain.earned);
  return [
    name,
    mean(earned).toFixed(0),
    mean(chains.map(({ possible }) => possible)).toFixed(0),
    percent(share(earned.map((money) => money >= 0))),
    Math.min(...earned).toFixed(0),
  ];
}

/** Families whose farms have several fields. */
const ofFields = families.filter(({ fields }) => fields > 1);
/** Of these, the ones in which no field needs more than another for good. */
const alikeForGood = ofFields.filter(
  ({ fieldsDiffer, fieldStrength }) => fieldsDiffer.forGood + fieldStrength === 0,
);

const saidToDiffer = (scores: readonly Score[]): number =>
  share(scores.flatMap(({ fields }) => (fields === null ? [] : [fields.differ])));

function fieldsRow(name: string, scores: readonly Score[], seasons: readonly number[]): string[] {
  const told = scores.flatMap(({ fields }) => fields ?? []);
  return [
    name,
    ...seasons.map((count) => percent(saidToDiffer(scores.filter((score) => score.seasons === count)))),
    mean(told.map(({ lostOwn }) => lostOwn)).toFixed(2),
    mean(told.map(({ lostOne }) => lostOne)).toFixed(2),
    mean(told.map(({ differ, lostOwn, lostOne }) => (differ ? lostOwn : lostOne))).toFixed(2),
    percent(mean(told.map(({ held }) => held))),
  ];
}

/** Every bar, met or not, with its numbers. */
function barLines(all: readonly Score[], chains: readonly ChainScore[], forBias: readonly Score[]): string[] {
  const scores = all.filter(({ prices }) => prices === "own");
  const of = (family: string): Score[] => scores.filter((score) => score.family === family);
  const answering = families.map(({ name }) => name).filter((name) => name !== "flat");
  const beaten = families.flatMap(({ name }) =>
    rivals
      .filter((rival) => !ownFamily[rival]?.includes(name))
      .filter((rival) => meanLost(of(name), "ours") >= meanLost(of(name), rival))
      .map((rival) => `${rival} in ${name}`),
  );
  const saved = 1 - lostShare(scores);
  const wasteful = answering
    .map((name) => ({ name, ratio: lostShare(of(name)), error: lostShareError(of(name)) }))
    .filter(({ ratio }) => ratio > 0.75);
  const held = [0, 1].map((i) => share(scores.map((score) => score.held[i]!)));
  const outside = heldCells(all)
    .filter(isOutside)
    .map(
      ({ family, pair, level, value }) =>
        `${family} at ${pair}: ${["80", "95"][level]!} % held ${percent(value)}`,
    );
  const atThree = forBias.filter(({ family }) => family !== "flat");
  const biased = answering
    .map((name) => ({ name, of: atThree.filter(({ family }) => family === name) }))
    .map(({ name, of }) => ({ name, value: bias(of), error: biasError(of) }))
    .filter(({ value }) => Math.abs(value) > 4);
  const [above, below] = [missed(atThree, 1, 1), missed(atThree, -1, 1)];
  const [leftAbove, leftBelow] = [left(atThree, "above", 1), left(atThree, "below", 1)];
  const [shareAbove, shareBelow] = [above / leftAbove, below / leftBelow];
  const losing = families
    .map(({ name }) => ({ name, moves: of(name).flatMap(({ move }) => move ?? []) }))
    .filter(({ moves }) => moves.length > 0 && mean(moves.map(({ earned }) => earned)) <= 0);
  const losingChains = families
    .map(({ name }) => ({ name, of: chains.filter(({ family }) => family === name) }))
    .filter((one) => one.of.length > 0 && mean(one.of.map(({ earned }) => earned)) <= 0);
  const wronglyTold = alikeForGood
    .map(({ name }) => ({ name, told: saidToDiffer(of(name)) }))
    .filter(({ told }) => told > 0.05);
  return [
    barLine(
      beaten.length === 0,
      `less lost than every rival in every family but its own${but("not less than", beaten)}`,
    ),
    barLine(saved >= 0.35, `at least 35 % less lost than the pooled quadratic: ${percent(saved)}`),
    barLine(
      wasteful.length === 0,
      `at least 25 % less in each family${but(
        "not in",
        wasteful.map(({ name, ratio, error }) => `${name} (${percent(1 - ratio)} ± ${percent(error)})`),
      )}`,
    ),
    ...held.map((value, i) =>
      barLine(
        Math.abs(value - [0.8, 0.95][i]!) <= 0.05,
        `the ${["80", "95"][i]} % interval holds within 5 points: ${(100 * value).toFixed(1)} %`,
      ),
    ),
    barLine(
      outside.length === 0,
      `in every family and at each pair of prices the 80 % interval holds 75 to 87 % and the 95 % interval 92 to 98 %${but("outside:", outside)}`,
    ),
    barLine(
      Math.abs(bias(atThree)) <= 2,
      `the rate named after three seasons lies within 2 % of the best on average: ${signed(bias(atThree))} ± ${biasError(atThree).toFixed(1)}`,
    ),
    barLine(
      biased.length <= 1,
      `and within 4 % in every family but one${but(
        "outside:",
        biased.map(({ name, value, error }) => `${name} (${signed(value)} ± ${error.toFixed(1)})`),
      )}`,
    ),
    barLine(
      Math.max(shareAbove, shareBelow) <= 2 * Math.min(shareAbove, shareBelow),
      `best rates missed by the 95 % interval after three seasons lie above it as often as below, within a factor of two, against what the belief leaves there (an interval that ends at the lowest rate tested leaves nothing below): ${above} above of ${leftAbove.toFixed(0)}, ${below} below of ${leftBelow.toFixed(0)}`,
    ),
    barLine(
      losing.length === 0,
      `advised moves pay on average in every family${but(
        "not in",
        losing.map(({ name }) => name),
      )}`,
    ),
    barLine(
      losingChains.length === 0,
      `five years of bounded steps earn money in every family${but(
        "not in",
        losingChains.map(({ name }) => name),
      )}`,
    ),
    barLine(
      wronglyTold.length === 0,
      `fields that need the same for good are said to differ in 5 % of the answers at the most${but(
        "not in",
        wronglyTold.map(({ name, told }) => `${name} (${percent(told)})`),
      )}`,
    ),
  ];
}

/** How much of the belief lies beyond the ends of the intervals, and how many best rates did: the two are to be alike. */
function beyondSentence(scores: readonly Score[]): string {
  const told = ([0, 1] as const).flatMap((level) =>
    (["above", "below"] as const).map((end) => {
      const believed = left(scores, end, level) / scores.length;
      const happened = missed(scores, end === "above" ? 1 : -1, level) / scores.length;
      const [said, held] = [believed, happened].map((value) => `${(100 * value).toFixed(1)} %`);
      return `${said} of the belief and ${held} of the best rates ${end} the ${["80", "95"][level]!} % interval`;
    }),
  );
  return `Outside lie ${told.slice(0, -1).join(", ")}, and ${told.at(-1)!}. More intervals begin at the lowest rate tested than end at the highest, so less is left out below.`;
}

/** How often an interval may hold in a family: our bars. */
const heldBars = [
  [0.75, 0.87],
  [0.92, 0.98],
] as const;

/** How often an interval held in a family at a pair of prices, with its standard error over farms. */
interface HeldCell {
  family: string;
  pair: string;
  level: 0 | 1;
  value: number;
  error: number;
}

/** In every family but the flat one. */
const heldCells = (all: readonly Score[]): HeldCell[] =>
  pairNames.flatMap((pair) =>
    families
      .filter(({ name }) => name !== "flat")
      .flatMap(({ name: family }) => {
        const here = all.filter((score) => score.prices === pair && score.family === family);
        return ([0, 1] as const).map((level) => ({
          family,
          pair,
          level,
          value: share(here.map(({ held }) => held[level])),
          error: errorOverFarms(here, ({ held }) => Number(held[level])),
        }));
      }),
  );

const isOutside = ({ level, value }: HeldCell): boolean =>
  value < heldBars[level][0] || value > heldBars[level][1];

/** How many of the cells would be outside by chance, and which are so by more than that. */
function chanceOfOutside(all: readonly Score[]): string {
  const cells = heldCells(all);
  const errors = ([0, 1] as const).map((level) =>
    Math.sqrt(mean(cells.filter((cell) => cell.level === level).map(({ error }) => error ** 2))),
  );
  const expected = ([0, 1] as const).reduce<number>((sum, level) => {
    const [from, to] = heldBars[level].map((bar) => (bar - [0.8, 0.95][level]!) / errors[level]!);
    const count = cells.filter((cell) => cell.level === level).length;
    return sum + count * (normalCdf(from!) + 1 - normalCdf(to!));
  }, 0);
  const found = cells.filter(isOutside);
  const sure = found.filter(({ level, value, error }) => {
    const [from, to] = heldBars[level];
    return value + 2 * error < from || value - 2 * error > to;
  });
  const wrong = found.filter(({ level, value, error }) => Math.abs(value - [0.8, 0.95][level]!) > 2 * error);
  const named = (some: readonly HeldCell[]): string =>
    some.length === 0
      ? "none"
      : some
          .map(
            ({ family, pair, level, value, error }) =>
              `${family} at ${pair}, ${["80", "95"][level]!} % (${percent(value)} ± ${(100 * error).toFixed(1)})`,
          )
          .join("; ");
  return `How often an interval holds is known to about ${(100 * errors[0]!).toFixed(1)} points in a family at one pair of prices for the 80 % interval, and to ${(100 * errors[1]!).toFixed(1)} for the 95 % one (standard errors; varieties of a farm are one draw). Were every interval held as often as it says, ${expected.toFixed(0)} of the ${cells.length} would be outside these bars by chance; ${found.length} are. The three pairs of prices share their farms, so cells of a family come in threes. Of those outside, these are more than two standard errors beyond the bar: ${named(sure)}. And these are more than two from 80 or 95 %: ${named(wrong)}.`;
}

/** The whole page. The same scores give the same bytes. */
export function tellScores(
  given: readonly Score[],
  chains: readonly ChainScore[],
  farmsPerCell: number,
): string {
  const all = given.filter(({ farm }) => farm < farmsPerCell);
  const forBias = given.filter(({ prices, seasons }) => prices === "own" && seasons === seasonsOfBias);
  const scores = all.filter(({ prices }) => prices === "own");
  const seasons = [...new Set(scores.map((score) => score.seasons))].sort((a, b) => a - b);
  const groups: [string, Score[]][] = [
    ...families.map(({ name }): [string, Score[]] => [name, scores.filter(({ family }) => family === name)]),
    ...seasons.map((count): [string, Score[]] => [
      count === 1 ? "1 season" : `${count} seasons`,
      scores.filter((score) => score.seasons === count),
    ]),
    ["all", [...scores]],
  ];
  return `# What the decision earns on simulated farms

Written by \`npm run calibrate -- ${farmsPerCell}\`: ${farmsPerCell} farms of three varieties for each family of truths and each of ${seasons.join(", ")} seasons. No truth is a curve of the engine's own grid; \`truths.ts\` says what each family is. Lodging, protein and the bounded step are left out here: "ours" is the rate named as most money.

## Bars

${barLines(all, chains, forBias).join("\n")}

${chanceOfOutside(all)}

## Money lost against the best rate [$/ac]

The best rate is the one of the tested range that earns most over seasons to come, the lowest of several that earn the same. Grain and seed prices differ from farm to farm.

${table(
  ["truth", "ours", ...rivals],
  groups.map(([name, of]) => lostRow(name, of)),
)}

## Intervals and moves

How often the interval held the best rate (half a step of the engine's rates to either side), how much of the belief lies in it, how wide it was as a share of the tested range, how often a move was advised, and what the move of one bounded step was said to earn and earned.

${table(
  [
    "truth",
    "80 % held",
    "95 % held",
    "80 % believed",
    "95 % believed",
    "80 % width",
    "95 % width",
    "moves",
    "said $/ac",
    "earned $/ac",
  ],
  groups.map(([name, of]) => intervalRow(name, of)),
)}

An interval leaves out equal shares of the belief below and above it. Where the lowest or the highest rate tested is the best one under more of the curves than that, nothing can be left out at that end, and all is left out at the other; where that is so at both ends, the interval is all that was tested, and contains more than its level.

Where the rate does not matter a move is still advised now and then, mostly to less seed, which then earns what the seed costs.

## Where the rate named lies

After ${seasonsOfBias} seasons, from ${timesForBias} times as many farms: the rate named against the best one (mean of the logarithm of their ratio, in per cent, with its standard error over farms); and how many best rates lay above and below each interval.

${table(
  [
    "truth",
    "answers",
    "named − best",
    "standard error",
    "above 80 %",
    "below 80 %",
    "above 95 %",
    "below 95 %",
  ],
  [
    ...families.map(({ name }): [string, Score[]] => [name, forBias.filter(({ family }) => family === name)]),
    ["all", forBias] as [string, Score[]],
  ].map(([name, of]) => biasRow(name, of)),
)}

${beyondSentence(scores)}

## Fields

How often the fields are said to differ, after so many seasons; and the money lost [$/ac] with each field at the rate named for it, with one rate for all, and with each its own only where they are said to differ; and how often the 80 % interval of a field held its best rate.

${table(
  [
    "truth",
    ...seasons.map((count) => (count === 1 ? "1 season" : `${count} seasons`)),
    "own rates",
    "one rate",
    "as told",
    "80 % held",
  ],
  ofFields.map(({ name }) =>
    fieldsRow(
      name,
      scores.filter(({ family }) => family === name),
      seasons,
    ),
  ),
)}

## At three pairs of prices

Grain a bushel and a million seeds: thin margins, usual ones, cheap seed. How often each interval held, and the money lost as a share of what the pooled quadratic loses.

${table(
  ["truth", ...pairNames.flatMap((pair) => [`${pair}: 80 %`, "95 %", "lost ÷ quadratic"])],
  families.map(({ name }) =>
    pairRow(
      name,
      all.filter(({ family }) => family === name),
    ),
  ),
)}

## Five years of bounded steps

Strips every year; each year the bounded step that the strips so far advise is sown on the whole farm. Money of the ${chainYears - 1} years after the first against sowing the first year's rate throughout [$/ac]: earned, what the best rate would have brought in these years, how many chains lost nothing, and the worst chain.

${table(
  ["truth", "earned", "possible", "lost nothing", "worst"],
  [
    ...families.map(({ name }): [string, ChainScore[]] => [
      name,
      chains.filter(({ family }) => family === name),
    ]),
    ["all", [...chains]] as [string, ChainScore[]],
  ]
    .filter(([, of]) => of.length > 0)
    .map(([name, of]) => chainRow(name, of)),
)}

## Chance that a move pays

${table(["said", "moves", "said, mean", "paid"], chanceRows(scores))}
`;
}
