/** What `fit` prints: next season's rates, then every curve and analysis of variance. */
import type {
  FormFit,
  NextRate,
  RateAnova,
  ReasonCode,
  Result,
  VarietyFit,
} from "../../vocabulary/result.ts";
import { evidenceLine } from "../wording/evidence.ts";
import { formWords } from "../wording/forms.ts";
import { measuresOf, plainNumber, type Measures } from "../../numbers/measures.ts";
import { assumedSentence, askRateNow } from "../wording/assumed.ts";
import { shortCaution } from "../wording/cautions.ts";
import { breakEvenOfAll } from "../wording/break-even.ts";
import { byFieldLine, byFieldTable } from "../wording/by-field.ts";
import { withFieldNames } from "../wording/places.ts";
import { gainText, lateWords, rateOr, sowsMoreForLate, weightMove } from "../wording/next.ts";
import { bareRate, optimumCell, wideRange } from "../wording/optimum.ts";
import { otherGroundLine, waterLine } from "../wording/elsewhere.ts";
import { twoRatesSentence } from "../wording/two-rates.ts";
import { startingPoints } from "../wording/priors.ts";
import { reasonSentence } from "../wording/reasons.ts";
import { capitalized, chance, counted, fixed, listed, pValue } from "../../numbers/written-numbers.ts";
import { plainLine } from "../plain-text.ts";
import { observationSections } from "./observation-text.ts";
import { pooledSections } from "./pooled-text.ts";
import { indented, orDash, textTable, type TextColumn, type TextStyle } from "./text-table.ts";

const left = (heading: string): TextColumn => ({ heading });
const right = (heading: string): TextColumn => ({ heading, align: "right" });

/** Seed to sow on the planned date, and on time; – where the lot's seed size is not known. */
function sowingCell(next: NextRate, measures: Measures): string {
  const weight = weightMove(next, measures);
  if (weight === null) return "–";
  return weight.onTime === null ? weight.next : `${weight.next} (on time ${weight.onTime})`;
}

/** Why more is sown than the rate says. */
function lateLine(result: Result, measures: Measures): string {
  const late = result.next.filter(sowsMoreForLate);
  const [first] = late;
  if (first === undefined) return "";
  const rates = late.map((next) => `${next.variety} ${bareRate(next.rateToSowSeedsPerM2!, measures)}`);
  return `Seeding is planned ${lateWords(first)}. Seed to sow is for that day (${measures.rateAxis}: ${listed(rates)}).`;
}

/** Why a rate is not the most profitable one, or is doubtful; a step limit and the rest are in the report. */
const reasonsTold: ReadonlySet<ReasonCode> = new Set([
  "lowest-rate",
  "today-outside-tested",
  "lodging-ceiling",
  "readings-disagree",
  "seasons-contradict",
  "rate-follows-ground",
]);

/** Each of these reasons with the varieties that it holds for. */
function reasonLines({ next }: Result, measures: Measures): string[] {
  const varieties = new Map<string, string[]>();
  for (const { variety, reasons } of next)
    for (const reason of reasons.filter(({ code }) => reasonsTold.has(code))) {
      const sentence = reasonSentence(reason, measures);
      varieties.set(sentence, [...(varieties.get(sentence) ?? []), variety]);
    }
  return [...varieties].map(([sentence, names]) => `${listed(names)}: ${sentence}`);
}

function nextText(result: Result, measures: Measures, style: TextStyle): string {
  const columns = [
    left("variety"),
    right("now"),
    right("next"),
    right("seed to sow"),
    left(`most profitable (${wideRange(result, measures)})`),
    right("gain"),
    left("chance that it pays"),
    left("evidence"),
  ];
  const rows = result.next.map((next) => [
    next.variety,
    rateOr(next.rateNowSeedsPerM2, (rate) => bareRate(rate, measures)),
    rateOr(next.rateNextSeedsPerM2, (rate) => bareRate(rate, measures), "–"),
    sowingCell(next, measures),
    optimumCell(next.economicOptimum, measures),
    gainText(next, measures),
    orDash(next.chanceOfGain, chance),
    evidenceLine(next),
  ]);
  const twoRates = result.next.flatMap((next) => {
    const sentence = twoRatesSentence(next.twoRates, measures);
    return sentence === "" ? [] : [`${next.variety}: ${sentence}`];
  });
  const said = [
    lateLine(result, measures),
    ...twoRates,
    ...reasonLines(result, measures),
    byFieldLine(result, measures),
    otherGroundLine(result, measures),
    waterLine(result, measures, true),
    breakEvenOfAll(result, measures),
    assumedSentence(result, measures),
    askRateNow(result, "--rate-now"),
    shortCaution,
  ].filter((text) => text !== "");
  return [
    style.heading(`Next season (${measures.rateAxis})`),
    indented(textTable(columns, rows, style)),
    ...said.map((text) => indented(plainLine(text))),
  ].join("\n");
}

/** A table of every variety whose fields differ. */
function byFieldText(result: Result, measures: Measures, style: TextStyle): string[] {
  return result.next.flatMap((next) => {
    const table = next.byField?.differ === true ? byFieldTable(withFieldNames(next, result), measures) : null;
    if (table === null) return [];
    const columns = table.head.map((heading) => ({ heading: heading.toLowerCase() }));
    const heading = style.heading(`${plainLine(next.variety)}: ${table.caption.toLowerCase()}`);
    return [`${heading}\n${indented(textTable(columns, table.rows, style))}`];
  });
}

/** The most profitable rate as shown above, and as it would be with other starting assumptions. */
function sensitivityText(result: Result, measures: Measures, style: TextStyle): string {
  const priors = [
    ...new Set(result.next.flatMap(({ sensitivity }) => sensitivity.map(({ prior }) => prior))),
  ];
  const columns = [
    left("variety"),
    right("as above"),
    ...priors.map((prior) => right(startingPoints[prior])),
  ];
  const rows = result.next.map(({ variety, economicOptimum, sensitivity }) => [
    variety,
    economicOptimum.kind === "none" ? "–" : bareRate(economicOptimum.rateSeedsPerM2, measures),
    ...priors.map((wanted) => {
      const moved = sensitivity.find(({ prior }) => prior === wanted);
      return orDash(moved?.rateSeedsPerM2 ?? null, (rate) => bareRate(rate, measures));
    }),
  ]);
  return `${style.heading(`Most profitable rate with other starting assumptions (${measures.rateAxis})`)}\n${indented(textTable(columns, rows, style))}`;
}

const formRow = (environment: string, form: FormFit, best: boolean, measures: Measures): string[] => [
  environment,
  `${formWords[form.form]}${best ? " *" : ""}`,
  orDash(form.weight, (weight) => plainNumber(weight, 2, measures)),
  orDash(form.rSquared, (rSquared) => plainNumber(rSquared, 3, measures)),
  orDash(form.residualSdKgPerHa, (sd) => measures.grainYield.number(sd)),
  String(form.residualDf),
  optimumCell(form.yieldOptimum, measures),
  optimumCell(form.economicOptimum, measures),
];

/** The form with the most Akaike weight; none when no weights are known. */
const bestForm = (fit: VarietyFit): FormFit | undefined =>
  fit.forms
    .filter((form) => form.weight !== null)
    .reduce<FormFit | undefined>(
      (best, form) => (best === undefined || form.weight! > best.weight! ? form : best),
      undefined,
    );

function curvesText(
  fits: readonly VarietyFit[],
  range: string,
  measures: Measures,
  style: TextStyle,
): string {
  const columns = [
    left("field and season"),
    left("form"),
    right("weight"),
    right("R²"),
    right(`residual SD (${measures.grainYield.unit})`),
    right("df"),
    left(`highest yield (${range})`),
    left(`most profitable (${range})`),
  ];
  const rows = fits.flatMap((fit) => {
    const best = bestForm(fit);
    return fit.forms.map((form, i) => formRow(i === 0 ? fit.environment : "", form, form === best, measures));
  });
  return textTable(columns, rows, style);
}

function varianceText(fits: readonly VarietyFit[], measures: Measures, style: TextStyle): string {
  const { unit } = measures.grainYield;
  const columns = [
    left("field and season"),
    right("strips"),
    right("blocks"),
    right("rates"),
    right(`mean (${unit})`),
    right("F of rate"),
    right("df"),
    right("p"),
    right("CV %"),
    right(`LSD (${unit})`),
  ];
  const cells = (anova: RateAnova | null): string[] =>
    anova === null
      ? ["–", "–", "–", "–", "–", "–"]
      : [
          measures.grainYield.number(anova.grandMeanKgPerHa),
          orDash(anova.f, (f) => plainNumber(f, 2, measures)),
          `${anova.rateDf}, ${anova.errorDf}`,
          orDash(anova.p, (p) => pValue(p, measures.style)),
          orDash(anova.cvPct, (cv) => plainNumber(cv, 1, measures)),
          orDash(anova.lsdKgPerHa, (lsd) => measures.grainYield.number(lsd)),
        ];
  const rows = fits.map((fit) => [
    fit.environment,
    String(fit.strips),
    String(fit.blocks),
    String(fit.ratesSeedsPerM2.length),
    ...cells(fit.anova),
  ]);
  return textTable(columns, rows, style);
}

const varietyText = (result: Result, variety: string, measures: Measures, style: TextStyle): string => {
  const fits = result.fits.filter((fit) => fit.variety === variety);
  return [
    style.heading(`${plainLine(variety)}: response curves, rates in ${measures.rateAxis}`),
    indented(curvesText(fits, wideRange(result, measures), measures, style)),
    "",
    style.heading(`${plainLine(variety)}: analysis of variance by rate`),
    indented(varianceText(fits, measures, style)),
  ].join("\n");
};

/** Up to this many fields and seasons, curves are shown one by one; for larger networks only the answer of all together. */
const mostEnvironments = 60;

/** The whole text of `stripcurve fit`. */
export function fitText(result: Result, style: TextStyle): string {
  const measures = measuresOf(result);
  const oneByOne = result.environments.length <= mostEnvironments;
  const fitted = oneByOne ? [...new Set(result.fits.map((fit) => fit.variety))] : [];
  const sections = [
    `${capitalized(counted(result.rows.used, "strip"))} of ${counted(result.varieties.length, "variety")} ` +
      `in ${counted(result.environments.length, "site-year", measures.style)} used, ${result.rows.leftOut} left out.`,
    ...(result.next.length > 0 ? [nextText(result, measures, style)] : []),
    ...byFieldText(result, measures, style),
    ...(result.next.some(({ sensitivity }) => sensitivity.length > 0)
      ? [sensitivityText(result, measures, style)]
      : []),
    ...fitted.map((variety) => varietyText(result, variety, measures, style)),
    ...pooledSections(result, measures, style),
    ...(oneByOne
      ? [
          `* best fit by Akaike weight (how strongly the strips favour that form, out of 1). In brackets: ${wideRange(result, measures)}. “Or more” and “or less”: the best rate or its range goes beyond the rates tested.\n` +
            "SD: standard deviation. df: degrees of freedom. CV: SD between strips in percent of the mean. LSD: the least significant difference between two rates, shown only where the F test of the rate is significant.",
        ]
      : [
          `Curves and analyses of variance for each variety in each site-year, ${fixed(result.fits.length, 0, measures.style)} in all, are left out here; --csv and --json have them.`,
        ]),
    ...observationSections(result, measures, style),
  ];
  return `${sections.join("\n\n")}\n`;
}
