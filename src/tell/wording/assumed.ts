/** What nobody gave and was assumed, said where it matters. */
import type { Measures } from "../../numbers/measures.ts";
import { listed } from "../../numbers/written-numbers.ts";
import type { NextRate, Result } from "../../vocabulary/result.ts";
import type { SeedCard } from "../../vocabulary/seed-card.ts";
import { isAssumed, type Assumable, type Settings } from "../../vocabulary/settings.ts";
import { sowsMoreForLate } from "./next.ts";

/** Whether the price of a variety's seed is the default: neither its lot nor the person named one. */
export function seedPriceAssumed(settings: Pick<Settings, "assumed" | "lots">, variety: string): boolean {
  const lot = settings.lots.find((one) => one.variety === variety);
  const priced = lot !== undefined && (lot.pricePerKg !== null || lot.pricePerThousandSeeds !== null);
  return !priced && isAssumed(settings, "seed_price");
}

/** Codes of the assumed prices behind a variety's money. */
export const pricesAssumedFor = (
  { settings }: Pick<Result, "settings">,
  { variety }: NextRate,
): Assumable[] => [
  ...(isAssumed(settings, "grain_price") ? (["grain_price"] as const) : []),
  ...(seedPriceAssumed(settings, variety) ? (["seed_price"] as const) : []),
];

/** Codes of everything assumed behind a variety's row: prices, more seed for lateness, the step, the dates. */
export const assumedFor = ({ settings }: Pick<Result, "settings">, next: NextRate): Assumable[] => {
  const matters: [Assumable, boolean][] = [
    ["late_per_day", sowsMoreForLate(next)],
    ["largest_step", next.reasons.some(({ code }) => code === "step-limited")],
    ...(["best_seeding_date", "planned_seeding_date"] as const).map((date): [Assumable, boolean] => [
      date,
      next.rateToSowSeedsPerM2 !== null,
    ]),
  ];
  return [
    ...pricesAssumedFor({ settings }, next),
    ...matters.flatMap(([what, does]) => (does && isAssumed(settings, what) ? [what] : [])),
  ];
};

const latenessAssumed = ({ latePerDay }: Settings, measures: Measures): string =>
  latePerDay === 0
    ? "no more seed for late seeding"
    : `${measures.chosenShare(latePerDay)} more seed for each day late`;

/** "Assumed, because nobody gave it: grain at $6.00/bu; seed at $20 per million viable seeds for Alder." or ""; lateness only where a rate depends on it. */
export function assumedSentence(result: Pick<Result, "settings" | "next">, measures: Measures): string {
  const { settings, next } = result;
  const unpriced = next
    .map(({ variety }) => variety)
    .filter((variety) => seedPriceAssumed(settings, variety));
  const parts = [
    ...(isAssumed(settings, "grain_price")
      ? [`grain at ${measures.grainPrice.chosen(settings.grainPricePerKg)}`]
      : []),
    ...(unpriced.length === 0
      ? []
      : [
          `seed at ${measures.seedPrice.text(settings.seedPricePerThousand)}${unpriced.length === next.length ? "" : ` for ${listed(unpriced)}`}`,
        ]),
  ];
  const codes = new Set(next.flatMap((row) => assumedFor({ settings }, row)));
  const others = [
    ...(codes.has("late_per_day") ? [latenessAssumed(settings, measures)] : []),
    ...(codes.has("largest_step")
      ? [`changes of at most ${measures.chosenShare(settings.largestStep)} a season`]
      : []),
    ...(codes.has("best_seeding_date") || codes.has("planned_seeding_date") ? ["seeding on time"] : []),
  ];
  return parts.length + others.length === 0
    ? ""
    : `Assumed, because nobody gave it: ${[...parts, ...others].join("; ")}.${parts.length === 0 ? "" : " Best rates and gains change with prices."}`;
}

/** The same for seed cards: spacing and stand on every card; lateness, money and advice where shown. */
export function cardAssumptions(cards: readonly SeedCard[], settings: Settings, measures: Measures): string {
  const any = (has: (card: SeedCard) => boolean): boolean => cards.some(has);
  const told: [Assumable, boolean, string][] = [
    ["row_spacing", true, `rows ${measures.rowSpacing.chosen(settings.rowSpacingM)} apart`],
    [
      "stand_loss",
      any(({ stand }) => stand.loss === settings.standLoss),
      `${measures.chosenShare(settings.standLoss)} of the viable seeds give no plant`,
    ],
    ["late_per_day", any(({ late }) => late !== null && late.days > 0), latenessAssumed(settings, measures)],
    [
      "seed_price",
      any(
        ({ cost, from, variety }) =>
          (cost !== null || from === "advice") && seedPriceAssumed(settings, variety ?? ""),
      ),
      `seed at ${measures.seedPrice.text(settings.seedPricePerThousand)}`,
    ],
    [
      "grain_price",
      any(({ from }) => from === "advice"),
      `grain at ${measures.grainPrice.chosen(settings.grainPricePerKg)}`,
    ],
  ];
  const parts = told
    .filter(([what, matters]) => matters && isAssumed(settings, what))
    .map(([, , text]) => text);
  return parts.length === 0 ? "" : `Assumed, because nobody gave it: ${parts.join("; ")}.`;
}

/** Asks for today's rate where it is not known, with the place to say it; "" where all are. */
export function askRateNow({ next }: Pick<Result, "next">, where: string): string {
  const unknown = next.filter((one) => one.rateNowSeedsPerM2 === null).map(({ variety }) => variety);
  if (unknown.length === 0) return "";
  return `What do you sow today? It is not known for ${listed(unknown)}, so no change and no gain is shown. Give it in a lots file (rate_now) or with ${where}.`;
}
