/** Where a fitted form earns most within the tested rates: the point, without its interval. */
import { formNamed } from "../../model/forms/index.ts";
import type { FittedForm, OptimumReason } from "../../vocabulary/result.ts";

/** `inside` the tested rates, or already a finished `Optimum`. */
export type BestRate =
  | { kind: "inside"; rateSeedsPerM2: number }
  | { kind: "at-edge"; rateSeedsPerM2: number; edge: "lowest" | "highest"; reason: OptimumReason }
  | { kind: "none"; reason: OptimumReason };

/**
 * The rate where the form's slope equals the price ratio; a ratio of 0 asks for the most yield.
 *
 * @param lowest   lowest and highest tested rate [seeds/m²]
 * @param ratio    price of a seed ÷ price of grain [kg/ha per seed/m²]
 * @returns never a rate outside the tested ones
 * Source: Engelstad & Parks (1971), Agronomy Journal 63:21–23, for the plateau forms. Reference check:
 * test/reference/rate-response
 */
export function bestRate(
  fit: Pick<FittedForm, "form" | "coefficients">,
  lowest: number,
  highest: number,
  ratio: number,
): BestRate {
  const top = topOfForm(fit, lowest, ratio);
  if (top !== null) {
    if (top <= lowest) return atEdge("lowest", lowest, "never-pays");
    return top >= highest
      ? atEdge("highest", highest, "still-rising")
      : { kind: "inside", rateSeedsPerM2: top };
  }
  const { quadratic } = fit.coefficients;
  switch (fit.form) {
    case "none":
      return { kind: "none", reason: "no-response" };
    case "linear":
      return betterEnd(fit, lowest, highest, ratio, null);
    case "quadratic":
      return betterEnd(fit, lowest, highest, ratio, quadratic! > 0 ? "bends-upward" : null);
    case "linear-plateau":
    case "quadratic-plateau":
      return { kind: "none", reason: "level" };
  }
}

/** Only the rate from `bestRate`; a table of prices asks for it many thousand times. */
export function rateAlone(
  fit: Pick<FittedForm, "form" | "coefficients">,
  lowest: number,
  highest: number,
  ratio: number,
): number | null {
  const top = topOfForm(fit, lowest, ratio);
  if (top !== null) return Math.min(Math.max(top, lowest), highest);
  const best = bestRate(fit, lowest, highest, ratio);
  return best.kind === "none" ? null : best.rateSeedsPerM2;
}

/**
 * For a form whose rise ends: where its slope equals the price ratio, inside the tested rates or not; null if nowhere.
 */
function topOfForm(
  { form, coefficients: { linear, quadratic, join } }: Pick<FittedForm, "form" | "coefficients">,
  lowest: number,
  ratio: number,
): number | null {
  switch (form) {
    case "none":
    case "linear":
      return null;
    case "quadratic":
      return quadratic! < 0 ? (ratio - linear!) / (2 * quadratic!) : null;
    case "linear-plateau":
      if (linear === 0 && ratio === 0) return null;
      return linear! > ratio ? join! : lowest;
    case "quadratic-plateau":
      if (quadratic === 0 && ratio === 0) return null;
      return quadratic! < 0 ? join! + ratio / (2 * quadratic!) : lowest;
  }
}

const atEdge = (edge: "lowest" | "highest", rate: number, reason: OptimumReason): BestRate => ({
  kind: "at-edge",
  edge,
  rateSeedsPerM2: rate,
  reason,
});

/** A curve without a top is best at one end of the tested rates. */
function betterEnd(
  { form, coefficients }: Pick<FittedForm, "form" | "coefficients">,
  lowest: number,
  highest: number,
  ratio: number,
  reason: OptimumReason | null,
): BestRate {
  const { value } = formNamed(form);
  const gain = value(coefficients, highest) - value(coefficients, lowest) - ratio * (highest - lowest);
  if (gain > 0) return atEdge("highest", highest, reason ?? "still-rising");
  if (gain < 0) return atEdge("lowest", lowest, reason ?? "never-pays");
  return { kind: "none", reason: "level" };
}
