/** Scores of simulated farms → the table that is read and kept. */
import { choiceNames, type ChoiceName, type Score } from "./score-farm.ts";
import { families } from "./truths.ts";

const mean = (numbers: readonly number[]): number => numbers.reduce((a, b) => a + b, 0) / numbers.length;
const share = (yes: readonly boolean[]): number => mean(yes.map(Number));
const percent = (value: number): string => `${(100 * value).toFixed(0)} %`;
const meanLost = (scores: readonly Score[], choice: ChoiceName): number =>
  mean(scores.map(({ lost }) => lost[choice]));

const rivals = choiceNames.filter((name) => name !== "ours" && name !== "next season");
/** The family that a rival assumes: there it may win. */
const ownFamily: Partial<Record<ChoiceName, string[]>> = {
  "pooled quadratic": ["quadratic"],
  // With "no response" winning it falls to the lowest rate, which is right where the rate does not matter.
  "AICc winner": ["flat", "linear-plateau", "quadratic-plateau"],
};

function table(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const line = (cells: readonly string[]): string => `| ${cells.join(" | ")} |`;
  return [line(head), line(head.map((_, i) => (i === 0 ? "---" : "--:"))), ...rows.map(line)].join("\n");
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

/** Every bar, met or not, with its numbers. */
function barLines(scores: readonly Score[]): string[] {
  const of = (family: string): Score[] => scores.filter((score) => score.family === family);
  const beaten = families.flatMap(({ name }) =>
    rivals
      .filter((rival) => !ownFamily[rival]?.includes(name))
      .filter((rival) => meanLost(of(name), "ours") >= meanLost(of(name), rival))
      .map((rival) => `${rival} in ${name}`),
  );
  const saved = 1 - meanLost(scores, "ours") / meanLost(scores, "pooled quadratic");
  const held = [0, 1].map((i) => share(scores.map((score) => score.held[i]!)));
  const losing = families
    .map(({ name }) => ({ name, moves: of(name).flatMap(({ move }) => move ?? []) }))
    .filter(({ moves }) => moves.length > 0 && mean(moves.map(({ earned }) => earned)) <= 0);
  const line = (met: boolean, text: string): string => `- ${met ? "met" : "**not met**"}: ${text}`;
  return [
    line(
      beaten.length === 0,
      `less lost than every rival in every family but its own${beaten.length === 0 ? "" : `; not less than ${beaten.join(", ")}`}`,
    ),
    line(saved >= 0.3, `at least 30 % less lost than the pooled quadratic: ${percent(saved)}`),
    ...held.map((value, i) =>
      line(
        Math.abs(value - [0.8, 0.95][i]!) <= 0.05,
        `the ${["80", "95"][i]} % interval holds within 5 points: ${(100 * value).toFixed(1)} %`,
      ),
    ),
    line(
      losing.length === 0,
      `advised moves pay on average in every family${losing.length === 0 ? "" : `; not in ${losing.map(({ name }) => name).join(", ")}`}`,
    ),
  ];
}

/** The whole page. The same scores give the same bytes. */
export function tellScores(all: readonly Score[], farmsPerCell: number): string {
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

Written by \`npm run calibrate\`: ${farmsPerCell} farms of three varieties for each family of truths and each of ${seasons.join(", ")} seasons. No truth is a curve of the engine's own grid; \`truths.ts\` says what each family is. Lodging, protein and the bounded step are left out here: "ours" is the rate named as most money.

## Bars

${barLines(scores).join("\n")}

## Money lost against the best rate [$/ac]

The best rate is the one of the tested range that earns most over seasons to come, the lowest of several that earn the same. Grain and seed prices differ from farm to farm.

${table(
  ["truth", "ours", ...rivals],
  groups.map(([name, of]) => lostRow(name, of)),
)}

## Intervals and moves

How often the interval held the best rate (half a step of the engine's rates to either side), how wide it was as a share of the tested range, how often a move was advised, and what the move of one bounded step was said to earn and earned.

${table(
  ["truth", "80 % held", "95 % held", "80 % width", "95 % width", "moves", "said $/ac", "earned $/ac"],
  groups.map(([name, of]) => intervalRow(name, of)),
)}

Where the rate does not matter a move is still advised now and then, mostly to less seed, which then earns what the seed costs.

## Chance that a move pays

${table(["said", "moves", "said, mean", "paid"], chanceRows(scores))}
`;
}
