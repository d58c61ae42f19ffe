/** Sentences on next season's strips. */
import { lodgingScales } from "../../numbers/lodging-scales.ts";
import { likelyRange, rangeName } from "./optimum.ts";
import { soldCount } from "./sold.ts";
import { seedPriceAssumed } from "./assumed.ts";
import { isAssumed } from "../../vocabulary/settings.ts";
import { adviceHeadline, forecast, narrows, worthAndCost } from "./strip-advice.ts";
import type { PlanOption, StripPlan, VarietyPlan } from "../../vocabulary/strip-plan.ts";
import { closedWidth } from "../../vocabulary/tested-rates.ts";
import { metresPerInch } from "../../numbers/units.ts";
import { plainNumber, type Measures } from "../../numbers/measures.ts";
import { capitalized, chance, counted, listed } from "../../numbers/written-numbers.ts";

export const planTitle = ({ request }: StripPlan): string => `Strips for ${request.season}`;

export const planPlace = ({ request }: StripPlan): string =>
  [request.farm, request.field].filter((name) => name !== "").join(" · ");

/** What to plant, in one sentence. */
export function planHeadline(plan: StripPlan, measures: Measures): string {
  const { layout, chosen, varieties } = plan;
  const length = measures.groundLength;
  return (
    `${capitalized(counted(varieties.length, "variety"))} at ${counted(chosen.ratesPerVariety, "rate")} in ${counted(chosen.blocks, "block")}: ` +
    `${chosen.strips} strips, each ${length.text(layout.stripWidthM)} wide (${layout.passes === 1 ? "one drill pass" : `${layout.passes} drill passes`}) and ${length.text(layout.stripLengthM)} long.`
  );
}

export const layoutSentences: Record<StripPlan["layout"]["kind"], string> = {
  blocks: "Each block has all strips in random order.",
  "varieties-in-strips":
    "In each block the strips of a variety are side by side: varieties in random order, and rates in random order within each. So the drill is emptied only once per variety.",
  "rates-in-strips":
    "In each block the strips of one rate level are side by side: levels in random order, and varieties in random order within each. Rates are compared less precisely than with the varieties kept together.",
};

export const leftOutSentence = ({ leftOut }: StripPlan): string =>
  leftOut.length === 0 ? "" : `No strips for ${listed(leftOut)}: there is less to gain.`;

/** What is known of a variety before the trial. */
export function knownSentence(variety: VarietyPlan, measures: Measures): string {
  const past =
    variety.pastStrips === 0
      ? "No strips yet; based on what is usual"
      : `${capitalized(counted(variety.pastStrips, "strip"))} in ${counted(variety.pastEnvironments, "site-year")}`;
  const { range } = variety.now;
  if (range === null) return `${past}. They do not show a range of the most profitable rate.`;
  return `${past}. ${capitalized(rangeName(range.level, measures))} of the most profitable rate: ${likelyRange(range, measures)}.`;
}

/** Whether the chosen rates do better than evenly spaced ones, and by how much. */
export function habitSentence(variety: VarietyPlan, measures: Measures): string {
  const { chosen, habit } = variety;
  if (chosen.ratesSeedsPerM2.join() === habit.ratesSeedsPerM2.join()) {
    return "Spaced as evenly as today's rate allows: no other choice narrows the answer more.";
  }
  const saved = 1 - chosen.finds.intervalWidthSeedsPerM2 / habit.finds.intervalWidthSeedsPerM2;
  const gained = chosen.finds.valuePerHa - habit.finds.valuePerHa;
  const even = listed(habit.ratesSeedsPerM2.map((rate) => measures.rate.number(rate)));
  const worth =
    Math.abs(measures.worthPerArea.value(gained)) < measures.worthPerArea.finest / 2
      ? "worth the same"
      : `worth ${measures.worthPerArea.text(Math.abs(gained))} ${gained > 0 ? "more" : "less"}`;
  return `Compared with even spacing (${even}), the answer is ${measures.share(Math.abs(saved))} ${saved >= 0 ? "narrower" : "wider"} and ${worth}.`;
}

/** Whether a range has a width that can be told: it has none where all that is believed is at one end of the rates that may be tried. */
export const hasWidth = (seedsPerM2: number, { rate }: Measures): boolean =>
  rate.number(seedsPerM2) !== rate.number(0);

/** Whether the person accepts any rate, however low. */
const acceptsAll = ({ variety }: VarietyPlan, { settings, request }: StripPlan): boolean =>
  [
    request.lowestRateSeedsPerM2,
    settings.lowestRateSeedsPerM2,
    settings.lots.find((lot) => lot.variety === variety)?.lowestRateSeedsPerM2,
  ].every((lowest) => lowest === undefined || lowest === null);

/** What the trial is expected to find out about one variety. */
export function findsSentences(variety: VarietyPlan, plan: StripPlan, measures: Measures): string[] {
  const { now, chosen } = variety;
  const before = now.range && closedWidth(now.range);
  const after = chosen.finds.intervalWidthSeedsPerM2;
  const gain = measures.moneyPerArea.chosen(plan.request.gainPerHa);
  const sentences = [
    narrows(after, before, measures)
      ? `The 80% range of the best rate is ${measures.rate.text(before)} wide now and expected to be ${measures.rate.text(after)} wide after the trial.`
      : before === null && hasWidth(after, measures)
        ? `${now.range === null ? "The strips do not show an 80% range of the best rate yet. It is" : "The 80% range of the best rate goes beyond the rates tested. It is"} expected to be ${measures.rate.text(after)} wide after the trial.`
        : "The 80% range of the best rate is not expected to narrow with one more season.",
    `Deciding after the trial should earn ${measures.worthPerArea.text(chosen.finds.valuePerHa)} a season more than deciding now; knowing the best rate exactly would earn ${measures.worthPerArea.text(now.valueOfKnowingAllPerHa)}.`,
  ];
  // Where the strips do not show where the best rate is, the report gives no odds, and neither does the plan.
  if (now.range === null) return sentences;
  sentences.push(
    chosen.finds.chanceToSeeGain === null
      ? `It is next to impossible that some rate${acceptsAll(variety, plan) ? "" : " that you accept"} beats today's by ${gain}.`
      : now.chanceToBeatNow >= 0.8
        ? `Chance that another rate beats today's: ${chance(now.chanceToBeatNow)}, already before any trial.`
        : `Chance that some rate beats today's by ${gain}: ${measures.share(now.chanceOfGain)}. If one does, chance that the trial shows it: ${chance(chosen.finds.chanceToSeeGain)}.`,
  );
  return sentences;
}

/** What two strips' means can show by themselves, and why the curve shows more. */
export function testSentence({ test }: PlanOption, plan: StripPlan, measures: Measures): string {
  if (test.lsdKgPerHa === null || test.lsdPerHa === null || test.power === null) {
    return "Without a second block, the effect of the rate cannot be separated from chance.";
  }
  return (
    `Two rates of one variety must differ by ${measures.grainYield.text(test.lsdKgPerHa)} (${measures.moneyPerArea.text(test.lsdPerHa)} of grain) ` +
    `for this trial alone to show it at the ${measures.chosenShare(plan.settings.testLevel)} level; a difference of ` +
    `${measures.moneyPerArea.chosen(plan.request.gainPerHa)} shows with a chance of ${chance(test.power)}. ` +
    "The curve through all rates and earlier seasons shows more than any two strips."
  );
}

/** Whether the answer is worth anything as it is told: money an area and season. */
const isWorth = ({ valuePerHa }: PlanOption, { worthPerArea }: Measures): boolean =>
  worthPerArea.text(valuePerHa) !== worthPerArea.text(0);

/** The verdict under the title, and in the report by the same rule: whether the strips pay, and why. */
export function planVerdict({ chosen, request, advice }: StripPlan, measures: Measures): string {
  const seasons = counted(request.seasonsUsed, "season");
  if (chosen.value === null && !isWorth(chosen, measures))
    return `These strips are not expected to change any decision, and cost about ${forecast(chosen.cost, measures)}.`;
  if (chosen.value === null)
    return `Whether these strips pay depends on the area: they cost about ${forecast(chosen.cost, measures)}. Give the area of each variety in the lots file.`;
  const { worth, cost } = worthAndCost(chosen.value, chosen.cost, measures);
  const sums = `over ${seasons} the answer is worth about ${worth}, and the strips cost about ${cost}`;
  const verdict = chosen.pays === true ? `These strips pay: ${sums}.` : `These strips do not pay: ${sums}.`;
  return [verdict, adviceHeadline(advice)].filter((sentence) => sentence !== "").join(" ");
}

/** What is not known about rates beyond those tested so far, and the lodging they risk; "" where there are none. */
export function beyondSentence(
  { chosen, testedSeedsPerM2, lodgingChanceAtHighest }: VarietyPlan,
  measures: Measures,
): string {
  if (testedSeedsPerM2 === null) return "";
  const [lowest, highest] = testedSeedsPerM2;
  const { number } = measures.rate;
  const slack = 1e-6 * highest;
  const above = chosen.ratesSeedsPerM2.filter((rate) => rate > highest + slack);
  const below = chosen.ratesSeedsPerM2.filter((rate) => rate < lowest - slack);
  const are = (rates: number[]): string =>
    `${listed(rates.map((rate) => number(rate)))} ${rates.length === 1 ? "is" : "are"}`;
  const lodging =
    lodgingChanceAtHighest === null
      ? "The strips do not show how much of it would lodge."
      : `At ${number(highest)} the chance of too much lodging in a season is ${chance(lodgingChanceAtHighest)}; above that, expect more.`;
  return [
    ...(above.length === 0
      ? []
      : [`${are(above)} above ${number(highest)}, the highest rate tested so far. ${lodging}`]),
    ...(below.length === 0
      ? []
      : [
          `${are(below)} below ${number(lowest)}, the lowest rate tested so far. A thin stand leaves room for weeds.`,
        ]),
  ].join(" ");
}

/** An area that is worked out, as exact as anyone can use it: two digits. */
const usableArea = (hectares: number, { area }: Measures): string =>
  area.chosen(area.engine(Number(area.value(hectares).toPrecision(2))));

/** "Assumed, because nobody gave it: grain at $6/bu; $25 of work for each strip." or "". */
export function planAssumedSentence({ settings, request, varieties }: StripPlan, measures: Measures): string {
  const { assumed = [] } = request;
  const guessed = varieties.filter(
    ({ variety }) =>
      settings.rateNowSeedsPerM2 === null &&
      (settings.lots.find((lot) => lot.variety === variety)?.rateNowSeedsPerM2 ?? null) === null,
  );
  const parts = [
    // Where nobody gives it, it is the usual rate of the crop, the same for all.
    ...guessed
      .slice(0, 1)
      .map(
        ({ rateNowSeedsPerM2: rate }) =>
          `today's rate of ${measures.rate.text(rate)} for ${listed(guessed.map(({ variety }) => variety))}`,
      ),
    ...(isAssumed(settings, "grain_price")
      ? [`grain at ${measures.grainPrice.chosen(settings.grainPricePerKg)}`]
      : []),
    ...(varieties.some(({ variety }) => seedPriceAssumed(settings, variety))
      ? [`seed at ${measures.seedPrice.text(settings.seedPricePerThousand)}`]
      : []),
    ...(assumed.includes("costPerStrip")
      ? [`${measures.money.text(request.costPerStrip)} of work for each strip`]
      : []),
    ...(assumed.includes("seasonsUsed")
      ? [`an answer used for ${counted(request.seasonsUsed, "season")}`]
      : []),
    ...(isAssumed(settings, "row_spacing")
      ? [`rows ${measures.rowSpacing.chosen(settings.rowSpacingM)} apart`]
      : []),
  ];
  return parts.length === 0 ? "" : `Assumed, because nobody gave it: ${parts.join("; ")}.`;
}

/** Value against cost, as far as areas are known. */
export function worthSentence(option: PlanOption, plan: StripPlan, measures: Measures): string {
  const { value } = option;
  const told = value === null ? null : worthAndCost(value, option.cost, measures);
  const cost = `The strips cost about ${told?.cost ?? forecast(option.cost, measures)}: ${measures.money.text(plan.request.costPerStrip)} of work for each, plus the income lost at rates other than the best.`;
  const seasons = counted(plan.request.seasonsUsed, "season");
  if (!(option.valuePerHa > 0)) return `${cost} They are not expected to change any decision.`;
  if (told === null) {
    if (!isWorth(option, measures)) return cost;
    const area = usableArea(option.cost / (option.valuePerHa * plan.request.seasonsUsed), measures);
    return `${cost} Used for ${seasons}, they pay on more than ${area} of these varieties.`;
  }
  return `${cost} On the areas in the lots file and for ${seasons} the answer is worth about ${told.worth}.`;
}

/** "Seed for the strips, borders included: 310 lb (7 bags of 50 lb) of Ostrindel. Order it besides…"; "" without lots. */
export function seedNeededSentence({ seedNeeded }: StripPlan, measures: Measures): string {
  const parts = seedNeeded.flatMap(({ variety, kg, sold }) => {
    if (kg === null) return [];
    const units = sold && soldCount(sold.amount, sold.unit, measures);
    const weight = plainNumber(Math.ceil(measures.orderWeight.value(kg)), 0, measures);
    return [`${weight} ${measures.orderWeight.unit}${units === null ? "" : ` (${units})`} of ${variety}`];
  });
  const missing = seedNeeded.filter(({ kg }) => kg === null).map(({ variety }) => variety);
  const unknown =
    missing.length === 0 ? "" : ` The lots file does not give the seeds per weight of ${listed(missing)}.`;
  return parts.length === 0
    ? ""
    : `Seed for the strips, borders included: ${listed(parts)}. Order it on top of what the fields need, and add what stays in the drill.${unknown}`;
}

/** What was left out of the simulated outcomes because there are many varieties; "" where nothing was. */
export function simulatedSentence({ varieties, outcomes: [first] }: StripPlan): string {
  if (first === undefined || !first.alone) return "";
  const [count, all] = [first.simulated.length, varieties.length];
  const few =
    count === all
      ? ""
      : ` Of ${all} varieties, ${count} were simulated, spread evenly from the one with the most to learn to the one with the least.`;
  return `Strips of other varieties were left out of this analysis, to keep it short.${few}`;
}

/** One possible outcome's headline for one variety: the move, the best rate as the report would have it, and the truth. */
export function outcomeSentence(
  { next, trueEconomicOptimumSeedsPerM2 }: StripPlan["outcomes"][number]["varieties"][number],
  measures: Measures,
): string {
  const [now, then] = [next.rateNowSeedsPerM2, next.rateNextSeedsPerM2].map((rate) =>
    rate === null ? "–" : measures.rate.number(rate),
  );
  const move = now === then ? `Stay at ${now}` : `${now} → ${then}`;
  const found =
    next.economicOptimum.kind === "none"
      ? "no best rate found"
      : `best rate ${measures.rate.number(next.economicOptimum.rateSeedsPerM2)}`;
  return `${move}; ${found}, true best rate ${measures.rate.number(trueEconomicOptimumSeedsPerM2)}; evidence ${next.evidence}.`;
}

export const truthWords: Record<StripPlan["outcomes"][number]["truth"], string> = {
  low: "If they need little seed",
  middle: "If they need as much seed as expected",
  high: "If they need a lot of seed",
};

/** How a trial is seeded, watched and cut so that its numbers can be used. */
export function fieldNotes(plan: StripPlan, measures: Measures): { title: string; text: string[] }[] {
  const us = measures.system === "us";
  const spacing = plan.settings.rowSpacingM;
  const rowForArea = us
    ? `${plainNumber(0.09290304 / spacing / metresPerInch, 1, measures)} in of row are 1 ft²`
    : `${plainNumber(1 / spacing, 2, measures)} m of row are 1 m²`;
  const { worst } = lodgingScales["zero-to-nine"];
  return [
    {
      title: "Seeding",
      text: [
        "Plant every strip where the map shows it, in that order. If one goes wrong, leave the others in place and write down what was actually sown.",
        "Calibrate the drill with each lot: the weights are for the lot on the sheet and no other. Catch three to five rows; the rows of one drill can differ by 10%.",
        "Same day, same depth, same fertilizer for all strips: only the seed differs.",
      ],
    },
    {
      title: "Stand, at two to three leaves",
      text: [
        `Count plants in at least five places of each strip, away from ends and wheel tracks. At ${measures.rowSpacing.chosen(spacing)} rows, ${rowForArea}.`,
        us
          ? "Or with a 3-foot stick: plants in 3 ft of row × 4 ÷ row spacing in inches = plants/ft². Or with a 30-inch hoop: plants ÷ 4.91."
          : "Or with a hoop: plants ÷ (3.14 × radius² in m).",
        "Write down the mean of the counts. Count heads the same way at ripening.",
      ],
    },
    {
      title: "Lodging, just before harvest",
      text: [
        `0 is upright, ${worst} is flat. Judge the whole strip from the tramline, without looking up its rate. Write 0 where nothing is down: a blank means that nobody looked.`,
      ],
    },
    {
      title: "Harvest",
      text: [
        `Cut ${measures.groundLength.text(plan.layout.harvestWidthM)} out of the middle of each strip and weigh each by itself. Borders are not weighed.`,
        "Write down weight and moisture. If the length or width of the cut differs from the sheet, correct it. Use a weigh wagon or a scale, not an uncalibrated yield monitor.",
        "Leave the row blank where a strip failed, and say why in the note.",
      ],
    },
  ];
}

/** Sources of `fieldNotes`, shown on the page. */
export const fieldNoteSources = [
  "Counts and row lengths: Penn State Extension, Wheat Stand Assessment; Purdue University, Corn & Soybean Field Guide 2010, pp. 108–109 (secondary); University of Kentucky, Bitzer & Herbek, wheat seeding rates.",
  "Blocks, length of strips and random order: Pacific Northwest STEEP on-farm testing guide, 1994; Mississippi State University Extension P3930; Hall, South Dakota State University ExEx8160.",
  "Harvest inside a wider strip, and lodging scored 0 to 9: common practice, no printed source.",
];
