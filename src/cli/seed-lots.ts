/** The lots that seed cards are for, with what was typed over them. */
import { noAnswerIn, noLot, noLotOf, noStripsOf, seedSizeTwice } from "../messages/options.ts";
import { checkLot } from "../check/lots.ts";
import { listed } from "../numbers/written-numbers.ts";
import { parseNumber } from "../read/units/numbers.ts";
import { parseSeedPriceUnit } from "../read/units/seed-price.ts";
import { splitAmount } from "../read/units/split-amount.ts";
import { crops } from "../vocabulary/crops.ts";
import type { Result } from "../vocabulary/result.ts";
import { unknownLot, withGiven, type Lot, type Settings, type UnitChoice } from "../vocabulary/settings.ts";
import type { Finding } from "../vocabulary/trial.ts";
import { findingLines } from "../tell/terminal/finding-lines.ts";
import { readAskedLots } from "./asked.ts";
import { Asker } from "./asker.ts";
import { say } from "./messages.ts";
import type { SeedOptions } from "./seed-options.ts";
import type { SharedOptions } from "./shared-options.ts";

/** One seed has a weight here, so a price by weight will do; the season file wants it by count. */
export const withoutPriceByWeight = (options: SeedOptions): SharedOptions =>
  priceByWeight(options, crops[options.crop ?? "wheat"].poundsPerBushel) === null
    ? options
    : { ...options, seedPrice: undefined };

function priceByWeight(
  { seedPrice }: SeedOptions,
  poundsPerBushel: number,
): Pick<Lot, "pricePerKg" | "soldIn"> | null {
  const parts = seedPrice === undefined ? null : splitAmount(seedPrice);
  const unit = parts && parseSeedPriceUnit(parts.unit, poundsPerBushel, null);
  const number = parseNumber(parts?.number ?? "");
  return unit?.per === "kg" && number.kind === "number"
    ? { pricePerKg: number.value / unit.amount, soldIn: unit.soldIn }
    : null;
}

/** Options that say what a column of the lots file says. */
const lotOptions = new Map([
  ["seeds_per_lb", "The seeds per weight (--seeds-per-lb, --seeds-per-kg, --tkw)"],
  ["seeds_per_kg", "The seeds per weight (--seeds-per-lb, --seeds-per-kg, --tkw)"],
  ["germination_pct", "--germination"],
  ["purity_pct", "--purity"],
  ["seed_price", "--seed-price"],
  ["area", "--area"],
]);

/**
 * The lots to be told: of the file, of the result's varieties, or the one that the options describe.
 *
 * @param known  the result that cards are for; null where they are for a rate or for lots alone
 * @throws TrialError `lot-missing`, `variety-missing`, `seed-size-twice`, and `value-out-of-range` for what no seed can be
 */
export async function lotsFor(
  options: SeedOptions,
  settings: Settings,
  units: UnitChoice,
  known: Result | null,
): Promise<Lot[]> {
  const ask = new Asker(settings, units);
  if (known !== null) return lotsOfResult(known, options, ask);
  if (options.lots === undefined) return withTyped([unknownLot("")], options, ask);
  const { lots, findings } = await readAskedLots(options, settings, units);
  sayOfLots(findings, options);
  const wanted = lots.filter((lot) => options.variety === undefined || lot.variety === options.variety);
  if (wanted.length > 0) return withTyped(wanted, options, ask);
  const given = lotsGiven(options);
  throw options.variety === undefined
    ? noLot(given)
    : noLotOf(
        given,
        options.variety,
        lots.map((lot) => lot.variety),
      );
}

/** What is doubtful in the lots, with file, row, column and value. */
function sayOfLots(findings: readonly Finding[], options: SeedOptions): void {
  if (options.quiet === true) return;
  const placed = findings.map((finding) => ({ ...finding, file: finding.file ?? lotsGiven(options) }));
  for (const line of findingLines(placed)) say(line);
}

const lotsGiven = ({ lots = [] }: SeedOptions): string => listed(lots);

/** A lot for each variety of a result: of the lots file, else as the result had it. */
async function lotsOfResult(known: Result, options: SeedOptions, ask: Asker): Promise<Lot[]> {
  const { lots, findings } = await readAskedLots(options, ask.settings, ask.units);
  sayOfLots(findings, options);
  const onFile = options.lots === undefined ? known.settings.lots : lots;
  const varieties = known.next.map(({ variety }) => variety);
  const wanted = varieties.filter((variety) => options.variety === undefined || variety === options.variety);
  const lotOf = (variety: string): Lot =>
    onFile.find((lot) => lot.variety === variety) ?? unknownLot(variety);
  if (wanted.length > 0) return withTyped(wanted.map(lotOf), options, ask);
  const from = options.from ?? [];
  throw varieties.length === 0 ? noAnswerIn(from) : noStripsOf(from, options.variety ?? "", varieties);
}

/** Lots with what the options say of them, held to what seed can be. */
function withTyped(lots: readonly Lot[], options: SeedOptions, ask: Asker): Lot[] {
  const typed = typedLot(options, ask);
  const typedLots = lots.map((lot) => withGiven(lot, typed));
  const optionOf = (column: string): string => lotOptions.get(column) ?? column;
  const standing = { where: optionOf, cell: (column: string) => ({ column }) };
  // What the file says is held to it as it is read.
  const doubts = checkLot(withGiven(unknownLot(""), typed), ask.settings, ask.units, standing);
  if (options.quiet !== true)
    for (const { message, column } of doubts) say(`${optionOf(column ?? "")}: ${message}`);
  return typedLots;
}

/** What the options say of the seed; it wins over what the lot says. */
function typedLot(options: SeedOptions, ask: Asker): Partial<Lot> {
  const sizes = [
    ask.value(options.seedsPerLb, "seedsPerPound", "--seeds-per-lb"),
    ask.value(options.seedsPerKg, "seedsPerKg", "--seeds-per-kg"),
    ask.value(options.tkw, "kernelWeight", "--tkw"),
  ].filter((size) => size !== null);
  if (sizes.length > 1) throw seedSizeTwice();
  const [seedsPerKg] = sizes;
  const germination = ask.share(options.germination, "--germination");
  const purity = ask.share(options.purity, "--purity");
  const byWeight = priceByWeight(options, crops[ask.settings.crop].poundsPerBushel);
  const areaHa = ask.value(options.area, "area", "--area");
  const typedPrice: Partial<Lot> | null =
    byWeight !== null
      ? { ...byWeight, pricePerThousandSeeds: null }
      : options.seedPrice === undefined
        ? null
        : { pricePerKg: null, pricePerThousandSeeds: null, soldIn: null };
  return {
    ...(options.variety === undefined ? {} : { variety: options.variety }),
    ...(seedsPerKg === undefined ? {} : { seedsPerKg }),
    ...(germination === null ? {} : { germination }),
    ...(purity === null ? {} : { purity }),
    ...typedPrice,
    ...(options.treated === true ? { treated: true } : {}),
    ...(areaHa === null ? {} : { areaHa }),
  };
}
