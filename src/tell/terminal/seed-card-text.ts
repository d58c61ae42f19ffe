/** The seed card as text to tape to the drill. */
import { crops, standLossOf } from "../../vocabulary/crops.ts";
import type { LateStop, SoldAmount } from "../../vocabulary/result.ts";
import type { SeedCard } from "../../vocabulary/seed-card.ts";
import type { LotAssumable, Settings, UnitChoice } from "../../vocabulary/settings.ts";
import { kgPerPound, metresPerFoot, metresPerInch, toPerSquareFoot } from "../../numbers/units.ts";
import { indented, plainTextStyle, type TextStyle } from "./text-table.ts";
import { cardAssumptions } from "../wording/assumed.ts";
import { treatedCaution } from "../wording/cautions.ts";
import { soldOrder, soldPerArea } from "../wording/sold.ts";
import { plainLine } from "../plain-text.ts";
import { measuresOf, plainNumber, type Measures } from "../../numbers/measures.ts";
import { standLossRange, standLossText } from "../../numbers/stand-loss.ts";
import { capitalized, toStep } from "../../numbers/written-numbers.ts";

/** One run of the drill should not differ from the target by more (Univ. of Kentucky College of Agriculture). */
const catchTolerance = 0.1;

type Line = readonly [name: string, text: string] | null;

/** All cards, one below the other, and the cautions for them. */
export function seedCardsText(
  cards: readonly SeedCard[],
  settings: Settings,
  units: UnitChoice,
  style: TextStyle = plainTextStyle,
): string {
  const measures = measuresOf({ units, settings });
  return [
    ...cards.map((card) => cardText(card, settings, measures, style)),
    cautionsText(cards, settings, measures, style),
  ].join("\n\n");
}

function cardText(card: SeedCard, settings: Settings, measures: Measures, style: TextStyle): string {
  const heading = card.variety === null ? "Seed card" : `Seed card, ${plainLine(card.variety)}`;
  const lines = [
    ...seedLines(card, measures),
    ...drillLines(card, measures),
    ...standLines(card, settings, measures),
    ...moneyLines(card, settings, measures),
  ].filter((line) => line !== null);
  const width = Math.max(...lines.map(([name]) => name.length)) + 2;
  return [
    style.heading(heading),
    indented(
      [
        ...lines.map(([name, text]) => `${name.padEnd(width)}${text}`),
        ...doubts(card, settings, measures).map((doubt) => style.warning(doubt)),
      ].join("\n"),
    ),
  ].join("\n");
}

/** Whose rate a card is for, where the person did not type it. */
const sources: Partial<Record<SeedCard["from"], string>> = {
  advice: "next season’s rate",
  lot: "today’s rate",
};

/** Said of a rate beside which each field has its own. */
const oneForAll = ({ byField }: SeedCard): string =>
  byField === null ? "" : `, one for all ${byField.by}s; each has its own below`;

/** Why lateness adds no more. */
const stops: Record<LateStop, string> = {
  lodging: "no more, or it lodges too often",
  tested: "no more: nothing higher was tested",
  cap: "stopped by the cap",
};

/** One count in the units people use, each as exact as a drill can be set or a person can count. */
function perArea(perM2: number, measures: Measures): string {
  const { rate, system } = measures;
  return system === "us"
    ? `${rate.number(perM2)}/ac   ${plainNumber(toPerSquareFoot(perM2), 1, measures)}/ft²`
    : `${rate.number(perM2)}/m²   ${plainNumber(perM2 / 100, 2, measures)} million/ha`;
}

function seedLines(card: SeedCard, measures: Measures): Line[] {
  const { seed, late, lowest } = card;
  const share = (part: number, column: LotAssumable): string =>
    `${plainNumber(100 * part, 1, measures).replace(/[.,]0$/, "")}%${seed.assumed.includes(column) ? " (assumed)" : ""}`;
  const source = sources[card.from];
  const from = source === undefined ? [] : [`${source}${oneForAll(card)}`];
  return [
    late && ["Rate on time", [perArea(late.inTimeSeedsPerM2, measures), ...from].join("   ")],
    [
      "Viable seeds",
      [
        perArea(card.rateSeedsPerM2, measures),
        ...(late === null
          ? from
          : [
              `${late.days} ${late.days === 1 ? "day" : "days"} late${late.stoppedBy === null ? "" : `, ${stops[late.stoppedBy]}`}`,
            ]),
      ].join("   "),
    ],
    lowest && [
      "Lowest rate",
      `${perArea(lowest.rateSeedsPerM2, measures)}   ${lowest.kept ? "you accept no less; the strips ask for less" : "you accept no less"}`,
    ],
    [
      "Seeds to sow",
      `${perArea(card.seedsSownPerM2, measures)}   germination ${share(seed.germination, "germination_pct")}, purity ${share(seed.purity, "purity_pct")}`,
    ],
    seed.seedsPerKg === null || card.kgPerHa === null
      ? ["Weight", "not known without the lot's seeds per weight"]
      : [
          "Weight",
          `${weightText(card.kgPerHa, card.sold, measures)}   of ${seedSize(seed.seedsPerKg, measures)}`,
        ],
  ];
}

/** @param sold  in the units the lot is sold in; null: in bushels, as the trade counts */
function weightText(kgPerHa: number, sold: SoldAmount | null, measures: Measures): string {
  const { seedWeight, seedBushels } = measures;
  const also = soldPerArea(sold, measures) ?? seedBushels?.text(kgPerHa);
  return [seedWeight.text(kgPerHa), ...(also === undefined ? [] : [also])].join("   ");
}

const seedSize = (seedsPerKg: number, measures: Measures): string =>
  `${measures.seedsPerWeight.text(seedsPerKg)} (${plainNumber(1e6 / seedsPerKg, 1, measures)} g per thousand)`;

function drillLines(card: SeedCard, measures: Measures): Line[] {
  const { catchTest, caught } = card;
  const row = measures.seedsPerRow;
  const turns =
    catchTest.wheelTurns === null
      ? ""
      : `, ${plainNumber(catchTest.wheelTurns, 1, measures)} turns of the wheel`;
  return [
    [
      "In the row",
      `${row.text(card.seedsPerMetreOfRow)}, rows ${measures.rowSpacing.chosen(card.rowSpacingM)} apart`,
    ],
    [
      "Catch test",
      `${catchTest.grams === null ? "" : `${measures.grams.text(catchTest.grams)}, `}${toStep(catchTest.seeds, 10, measures.style)} seeds from one row over ${length(catchTest.lengthM, measures)}${turns}`,
    ],
    caught && [
      "Caught",
      `${measures.grams.chosen(caught.grams)}: ${weightText(caught.kgPerHa, null, measures)}, ${perArea(caught.rateSeedsPerM2, measures)} viable, ${plainNumber(100 * caught.shareOfTarget, 0, measures)}% of the target`,
    ],
    ...fieldLines(card, measures),
  ];
}

/** Each field's own rate, weight and setting, where the strips advise another for each. */
const fieldLines = ({ byField }: SeedCard, measures: Measures): Line[] =>
  (byField?.fields ?? []).map((one) => [
    capitalized(byField!.by),
    [
      plainLine(one.field),
      `${measures.rate.number(one.rateSeedsPerM2)}${measures.system === "us" ? "/ac" : "/m²"}${one.stoppedBy === null ? "" : `, ${stops[one.stoppedBy]}`}`,
      ...(one.kgPerHa === null ? [] : [measures.seedWeight.text(one.kgPerHa)]),
      measures.seedsPerRow.text(one.seedsPerMetreOfRow),
      ...(one.catchGrams === null ? [] : [`${measures.grams.text(one.catchGrams)} caught`]),
    ].join("   "),
  ]);

function standLines(card: SeedCard, settings: Settings, measures: Measures): Line[] {
  const { stand, counted } = card;
  const { rowCount, hoopCount } = stand;
  const us = measures.system === "us";
  const plants = plainNumber(rowCount.plants, 0, measures);
  // What is counted on one metre is the number per metre already.
  const perRow =
    !us && rowCount.lengthM === 1
      ? ""
      : ` (${plainNumber(measures.seedsPerRow.value(stand.plantsPerMetreOfRow), 1, measures)} per ${us ? "foot" : "metre"})`;
  return [
    [
      "Stand to expect",
      `${perArea(stand.plantsPerM2, measures)}   if ${plainNumber(100 * stand.loss, 0, measures)}% give no plant${stand.loss === settings.standLoss ? "" : ", as in your counts"}`,
    ],
    [
      "Count",
      `${plants} ${plants === "1" ? "plant" : "plants"} in ${length(rowCount.lengthM, measures)} of row${perRow}, ${plainNumber(hoopCount.plants, 0, measures)} in a hoop of ${width(hoopCount.diameterM, measures)}`,
    ],
    [
      measures.system === "us" ? "1/1000 acre" : "1 m²",
      `${plainNumber(measures.groundLength.value(stand.unitAreaRowM), measures.system === "us" ? 1 : 2, measures)} ${measures.groundLength.unit} of one row`,
    ],
    counted && [
      "Counted",
      `${perArea(counted.plantsPerM2, measures)}: ${standLossText(counted.standLoss, (share) => `${plainNumber(100 * share, 0, measures)}%`)}`,
    ],
  ];
}

function moneyLines(card: SeedCard, settings: Settings, measures: Measures): Line[] {
  return [
    card.cost && [
      "Seed costs",
      `${measures.currency}${plainNumber(measures.moneyPerArea.value(card.cost.perHa), 2, measures)}${measures.moneyPerArea.unit}, at ${measures.seedPrice.text(card.cost.perThousandSeeds)}`,
    ],
    card.areaHa === null || card.orderKg === null
      ? null
      : [
          "To order",
          `${measures.orderWeight.text(card.orderKg)}${orderUnits(card, settings, measures)} for ${measures.area.text(card.areaHa)}${card.byField === null ? "" : " at one rate for all"}, no surplus added`,
        ],
  ];
}

/** The order in the units the lot is sold in; where they are not known, in bushels, as the trade counts. */
function orderUnits({ orderKg, sold }: SeedCard, { crop }: Settings, measures: Measures): string {
  if (sold !== null) {
    const order = soldOrder(sold, measures);
    return order === null ? "" : ` (${order})`;
  }
  return measures.system === "us" && orderKg !== null
    ? ` (${plainNumber(orderKg / kgPerPound / crops[crop].poundsPerBushel, 0, measures)} bu)`
    : "";
}

/** Lengths as they were meant: no more decimals than they need. */
const length = (metres: number, measures: Measures): string =>
  measures.system === "us" ? `${trim(metres / metresPerFoot, measures)} ft` : `${trim(metres, measures)} m`;
const width = (metres: number, measures: Measures): string =>
  measures.system === "us"
    ? `${trim(metres / metresPerInch, measures)} in`
    : `${trim(metres * 100, measures)} cm`;
const trim = (value: number, measures: Measures): string =>
  plainNumber(
    value,
    [0, 1].find((decimals) => Math.abs(value - Number(value.toFixed(decimals))) < 1e-6) ?? 2,
    measures,
  );

function doubts(card: SeedCard, { crop }: Settings, measures: Measures): string[] {
  const { caught, counted, lowest } = card;
  const { usual } = standLossOf(crop);
  const percent = (share: number): string => `${plainNumber(100 * share, 0, measures)}%`;
  return [
    ...(lowest?.kept === false
      ? [
          `This rate is below ${measures.rate.text(lowest.rateSeedsPerM2)}, the lowest rate you accept because of weeds. Sow at least that, or change the lowest rate.`,
        ]
      : []),
    ...(caught !== null && Math.abs(caught.shareOfTarget - 1) > catchTolerance
      ? [
          `The catch is more than ${percent(catchTolerance)} off the target. Weigh three to five rows before changing the drill: single rows can differ that much.`,
        ]
      : []),
    ...(counted !== null && (counted.standLoss < usual[0] || counted.standLoss > usual[1])
      ? [
          `${counted.standLoss < 0 ? "No loss at all" : `A stand loss of ${percent(counted.standLoss)}`} is outside the ${standLossRange(usual)} that are usual. Check the count, the rate and the germination.`,
        ]
      : []),
  ];
}

function cautionsText(
  cards: readonly SeedCard[],
  settings: Settings,
  measures: Measures,
  style: TextStyle,
): string {
  const { latePerDay, lateCapSeedsPerM2 } = settings;
  const lateRule =
    latePerDay === 0
      ? "no more seed is counted for it."
      : `${measures.chosenShare(latePerDay)} more seed a day, simple, but none beyond ${measures.rate.text(lateCapSeedsPerM2)}.`;
  const late = cards.some((card) => card.late !== null && card.late.days > 0);
  const treated = cards.some((card) => card.seed.treated);
  const assumed = cardAssumptions(cards, settings, measures);
  return style.faint(
    [
      ...(assumed === "" ? [] : [assumed]),
      ...(late
        ? [
            `Late: ${lateRule} More seed does not make up for the yield lost to late seeding. If the crop is insured, read what your policy says about late seeding.`,
          ]
        : []),
      "Calibrate the drill with this seed, the drill stopped and secured; its chart can be 25 to 50% off.",
      treatedCaution(treated),
      `Crop: ${settings.crop}. Label, law and licensed local advice come first.`,
    ].join("\n"),
  );
}
