/** Whether fields need different rates, and which. */
import type { FieldRate, NextRate, Optimum, Result } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";
import { capitalized, chance } from "../../numbers/written-numbers.ts";
import type { NumberTable } from "../charts/chart.ts";
import { fieldsSowMoreForLate, lateWords } from "./next.ts";
import { bareRate, likelyRange, rangeName } from "./optimum.ts";
import { withFieldNames } from "./places.ts";

type ByField = NonNullable<NextRate["byField"]>;

/** "1.59", "1.90 or more": the best rate of a field. */
export function bestOf(optimum: Optimum, measures: Measures): string {
  if (optimum.kind === "none") return "–";
  const rate = bareRate(optimum.rateSeedsPerM2, measures);
  if (optimum.kind === "found") return rate;
  return optimum.edge === "highest" ? `${rate} or more` : `${rate} or less`;
}

const endsOf = ({ fields }: ByField): [FieldRate, FieldRate] => [fields[0]!, fields.at(-1)!];

const costText = ({ oneRateCostsPerHa }: Pick<FieldRate, "oneRateCostsPerHa">, measures: Measures): string =>
  measures.worthPerArea.text(oneRateCostsPerHa, oneRateCostsPerHa);

/** On average over the fields. */
function oneRateSentence(next: NextRate, byField: ByField, measures: Measures): string {
  const ceiling = ceilingOf(next);
  const lodges = ceiling === null ? "" : `, none above ${measures.rate.number(ceiling)} because of lodging`;
  return `One rate for all costs about ${costText(byField, measures)} compared with each ${byField.by} at its own${lodges}.`;
}

/** What lodging allows, where a field's best rate is above it; else null. */
const ceilingOf = ({ byField, lodgingCeilingSeedsPerM2: ceiling }: NextRate): number | null =>
  ceiling !== null &&
  (byField?.fields ?? []).some(
    ({ economicOptimum: best }) => best.kind !== "none" && best.rateSeedsPerM2 > ceiling * (1 + 1e-9),
  )
    ? ceiling
    : null;

/**
 * One variety in a sentence or two; "" where its fields are not distinguished.
 *
 * @example By field: Bottom needs more seed than Hill (nearly certain). Most profitable near 0.96 on Hill and 1.59 on Bottom. One rate for all
 *   costs about $6/ac compared with each field at its own.
 */
export function byFieldSentence(next: NextRate, measures: Measures): string {
  const { byField } = next;
  if (byField === null) return "";
  const [least, most] = endsOf(byField);
  if (!byField.differ) return `By ${byField.by}: ${alikeText(byField)}`;
  return `By ${byField.by}: ${most.field} needs more seed than ${least.field} (${chance(byField.chanceTheyDiffer)}). Most profitable near ${onField(least, measures)} and ${onField(most, measures)}. ${oneRateSentence(next, byField, measures)}`;
}

/** From this chance on it is said that fields may differ, and which. */
const worthSaying = 0.8;

/** For fields that are not shown to differ. */
const alikeText = (byField: ByField): string => {
  const { by, chanceTheyDiffer, mostPaysToo } = byField;
  const [least, most] = endsOf(byField);
  return chanceTheyDiffer < worthSaying || !mostPaysToo
    ? `no ${by} is shown to need more or less seed than the others; one rate serves all.`
    : `${most.field} may need more seed than ${least.field} (${chance(chanceTheyDiffer)}), but that is not sure enough to act on. One rate serves all until another season of strips on both shows it.`;
};

/** With more varieties than this, the line under the table names none. */
const mostNamed = 4;

/** The line under the table on all varieties; "" where no fields are distinguished. */
export function byFieldLine(result: Pick<Result, "next" | "environments">, measures: Measures): string {
  const next = result.next.map((one) => withFieldNames(one, result));
  const known = next.filter((one): one is NextRate & { byField: ByField } => one.byField !== null);
  const [first] = known;
  if (first === undefined) return "";
  const differing = known.filter(({ byField }) => byField.differ);
  const [differs] = differing;
  if (differs === undefined) return `And by ${first.byField.by}? ${capitalized(alikeText(first.byField))}`;
  const [least, most] = endsOf(differs.byField);
  const surest = Math.min(...differing.map(({ byField }) => byField.chanceTheyDiffer));
  const rates =
    differing.length > mostNamed ? "" : ` ${differing.map((one) => ratesOf(one, measures)).join("; ")}.`;
  const costs = differing.map(({ byField }) => byField.oneRateCostsPerHa);
  return `And by ${differs.byField.by}? ${most.field} needs more seed than ${least.field} (${chance(surest)}).${rates} One rate for all costs ${costRange(costs, measures)}.`;
}

/** "Alder 0.96 on Hill, 1.59 on Bottom". */
const ratesOf = ({ variety, byField }: { variety: string; byField: ByField }, measures: Measures): string =>
  `${variety} ${endsOf(byField)
    .map((one) => onField(one, measures))
    .join(", ")}`;

const onField = ({ field, economicOptimum }: FieldRate, measures: Measures): string =>
  `${bestOf(economicOptimum, measures)} on ${field}`;

function costRange(costs: readonly number[], { worthPerArea }: Measures): string {
  const [least, most] = [Math.min(...costs), Math.max(...costs)].map((cost) => worthPerArea.text(cost, cost));
  return least === most ? `about ${most}` : `${least} to ${most}`;
}

/** A row for each field of a variety: its best rate, the step toward it, and what one rate for all costs there. */
export function byFieldTable(next: NextRate, measures: Measures): NumberTable | null {
  const { byField, rateNowSeedsPerM2: now } = next;
  const [first] = byField?.fields ?? [];
  if (byField === null || first === undefined) return null;
  const pounds = byField.fields.some(({ kgPerHa }) => kgPerHa !== null);
  // Pounds are for the planned day, rates for seeding on time.
  const late = fieldsSowMoreForLate(next);
  const ceiling = ceilingOf(next);
  return {
    caption: `By ${byField.by}, rates in ${measures.rateAxis}${now === null ? "" : `, one step from ${bareRate(now, measures)}`}${ceiling === null ? "" : `; above ${bareRate(ceiling, measures)} it lodges too often`}`,
    head: [
      capitalized(byField.by),
      "Most profitable near",
      capitalized(rangeName(first.likely.level, measures)),
      "Next season",
      ...(pounds ? [`Seed, ${measures.seedWeight.unit}${late ? `, ${lateWords(next)}` : ""}`] : []),
      ...(now === null ? [] : ["Gain of the step"]),
      "One rate for all costs",
    ],
    rows: byField.fields.map((one) => [
      one.field,
      bestOf(one.economicOptimum, measures),
      likelyRange(one.likely, measures),
      bareRate(one.rateNextSeedsPerM2, measures),
      ...(pounds ? [one.kgPerHa === null ? "–" : measures.seedWeight.number(one.kgPerHa)] : []),
      ...(now === null ? [] : [gainOfStep(one, measures)]),
      costText(one, measures),
    ]),
  };
}

function gainOfStep({ gainPerHa, chanceOfGain }: FieldRate, { moneyPerArea }: Measures): string {
  if (gainPerHa === null) return "not known";
  return chanceOfGain === null
    ? "no change"
    : `${moneyPerArea.text(gainPerHa.expected, gainPerHa.upper - gainPerHa.lower)} (${moneyPerArea.range(gainPerHa.lower, gainPerHa.upper)})`;
}
