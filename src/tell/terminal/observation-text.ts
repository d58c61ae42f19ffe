/** Stand, heads, lodging and protein against the rate, as tables below the curves of yield. */
import type { LodgingModel, Result } from "../../vocabulary/result.ts";
import { fromPerAcre } from "../../numbers/units.ts";
import { scoreText } from "../wording/lodging.ts";
import { bareRate, rangeName } from "../wording/optimum.ts";
import { plainNumber, type Measures } from "../../numbers/measures.ts";
import { pValue } from "../../numbers/written-numbers.ts";
import { indented, orDash, textTable, type TextColumn, type TextStyle } from "./text-table.ts";

const left = (heading: string): TextColumn => ({ heading });
const right = (heading: string): TextColumn => ({ heading, align: "right" });

/** One section for each that was observed. */
export const observationSections = (result: Result, measures: Measures, style: TextStyle): string[] =>
  [
    standText(result, measures, style),
    headsText(result, measures, style),
    lodgingText(result, measures, style),
    proteinText(result, measures, style),
  ].filter((text) => text !== "");

const section = (heading: string, table: string, sentences: readonly string[], style: TextStyle): string =>
  [style.heading(heading), indented([table, ...sentences].join("\n"))].join("\n");

/** Verdict of a test in words, with its p. */
const told = (p: number, measures: Measures): string => `p ${pValue(p, measures.style)}`;

function standText({ farmStand, stand, settings }: Result, measures: Measures, style: TextStyle): string {
  if (farmStand === null) return "";
  const { share } = measures;
  const rows = stand
    .filter(({ environment }) => environment === null)
    .map((row) => [
      row.variety,
      String(row.counts),
      share(row.standLoss),
      row.lower === null || row.upper === null ? "–" : `${share(row.lower)} to ${share(row.upper)}`,
    ]);
  const { perHundredSeeds } = farmStand;
  const { more, hundreds } = moreSeed(measures);
  const slope =
    perHundredSeeds === null
      ? []
      : [
          `${plainNumber(100 * hundreds * perHundredSeeds.estimate, 1, measures)} points more loss for ${more} (standard error ${plainNumber(100 * hundreds * perHundredSeeds.standardError, 1, measures)}, ${told(perHundredSeeds.p, measures)}).`,
        ];
  const used = farmStand.suffices
    ? `The farm's own loss, ${share(farmStand.standLoss)}, is used, because there are 12 counts or more in at least 2 fields or seasons. For a loss of its own, a variety needs 8 counts in 2.`
    : `Too few counts to use: at least 12 in 2 fields or seasons are needed. A loss of ${share(settings.standLoss)} is assumed.`;
  const table = textTable(
    [left("variety"), right("counts"), right("loss"), left(rangeName(0.8, measures))],
    rows,
    style,
  );
  return section("Stand: viable seeds that gave no plant", table, [...slope, used], style);
}

function headsText({ tillering }: Result, measures: Measures, style: TextStyle): string {
  const rows = tillering.flatMap(({ variety, rates, answer }) =>
    rates.map((row, i) => [
      i === 0 ? variety : "",
      bareRate(row.rateSeedsPerM2, measures),
      measures.heads.number(row.headsPerM2),
      orDash(row.headsPerPlant, (heads) => plainNumber(heads, 2, measures)),
      i > 0 || answer === null
        ? ""
        : `${plainNumber(answer.estimate, 2, measures)} (standard error ${plainNumber(answer.standardError, 2, measures)})`,
    ]),
  );
  if (rows.length === 0) return "";
  const table = textTable(
    [
      left("variety"),
      right("rate"),
      right(measures.heads.unit),
      right("heads per plant"),
      left("% change of heads per plant for 1% more plants"),
    ],
    rows,
    style,
  );
  return section(
    "Heads",
    table,
    ["−1: any stand gives the same number of heads per area. 0: plants do not affect each other."],
    style,
  );
}

function lodgingText(result: Result, measures: Measures, style: TextStyle): string {
  const { lodgingLimit } = result.settings;
  return result.lodgingModels
    .map((model) => {
      const { scale } = model;
      const limit = scoreText(lodgingLimit, scale, measures);
      const rows = model.varieties.flatMap(({ variety, reason }) => {
        const told = result.lodging.filter((row) => row.variety === variety && row.scale === scale);
        if (told.length === 0)
          return [
            [
              variety,
              "–",
              reason === "" ? "scored on another scale, too" : reason.replaceAll("-", " "),
              "–",
              "–",
            ],
          ];
        return told.map((row, i) => [
          i === 0 ? variety : "",
          bareRate(row.rateSeedsPerM2, measures),
          scoreText(row.seenShare, scale, measures),
          scoreText(row.expectedShare, scale, measures),
          measures.share(row.chanceOverLimit),
        ]);
      });
      const table = textTable(
        [left("variety"), right("rate"), right("seen"), right("expected"), right(`chance above ${limit}`)],
        rows,
        style,
      );
      return section(
        "Lodging: in the seasons tested, and in one to come",
        table,
        regressionSentences(model, measures),
        style,
      );
    })
    .join("\n\n");
}

function regressionSentences({ regression }: LodgingModel, measures: Measures): string[] {
  const rate = regression?.coefficients.find(({ name }) => name === "rate");
  if (regression === null || rate === undefined) return [];
  const { varietyByRate, withoutInformation, byOrder } = regression;
  const { more, hundreds } = moreSeed(measures);
  const times = (estimate: number): string => plainNumber(Math.exp(hundreds * estimate), 2, measures);
  return [
    `Odds of lodging × ${times(rate.estimate)} for ${more} (t ${plainNumber(rate.t, 1, measures)}, ${regression.residualDf} degrees of freedom, ${told(rate.p, measures)}), within fields and seasons.`,
    ...(byOrder === null
      ? []
      : [
          `From the order of the scores alone: odds × ${times(byOrder.estimate)} (z ${plainNumber(byOrder.t, 1, measures)}, ${told(byOrder.p, measures)}).`,
        ]),
    ...(varietyByRate === null
      ? []
      : [
          `Do varieties respond differently? F ${plainNumber(varietyByRate.f, 2, measures)} with ${varietyByRate.df} and ${varietyByRate.residualDf} degrees of freedom, ${told(varietyByRate.p, measures)}.`,
        ]),
    ...(withoutInformation.length === 0
      ? []
      : [`All upright or all flat, so they show nothing on this: ${withoutInformation.join("; ")}.`]),
  ];
}

function proteinText({ protein }: Result, measures: Measures, style: TextStyle): string {
  if (protein.length === 0) return "";
  const { more, hundreds } = moreSeed(measures);
  const points = (slope: number): string => plainNumber(100 * hundreds * slope, 2, measures);
  const rows = protein.map((one) => [
    one.variety,
    String(one.strips),
    plainNumber(
      one.levels.reduce((sum, { proteinPct }) => sum + proteinPct / one.levels.length, 0),
      1,
      measures,
    ),
    one.ownSlope === null
      ? "–"
      : `${points(one.ownSlope.estimate)} (standard error ${points(one.ownSlope.standardError)})`,
    points(one.slopePctPerSeedPerM2),
  ]);
  const table = textTable(
    [
      left("variety"),
      right("strips"),
      right("mean, %"),
      left(`points for ${more}`),
      right("shrunk toward the others"),
    ],
    rows,
    style,
  );
  return section("Protein", table, [], style);
}

/** The difference in rate that slopes are given for, in words and in hundreds of seeds/m². */
function moreSeed({ system, rateAxis }: Measures): { more: string; hundreds: number } {
  if (system === "metric") return { more: "100 more seeds/m²", hundreds: 1 };
  const [more, perAcre] = rateAxis.startsWith("million")
    ? (["0.5 million more seeds/ac", 500_000] as const)
    : (["50,000 more seeds/ac", 50_000] as const);
  return { more, hundreds: fromPerAcre(perAcre) / 100 };
}
