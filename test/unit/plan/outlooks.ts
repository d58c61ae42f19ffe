/** Outlooks with a known answer, for the planner's tests. */
import type { Outlook } from "../../../src/plan/outlook.ts";

/** Curves given by their yield and net return at each rate; one kind of season. */
export function outlookOf(
  rates: readonly number[],
  curves: readonly {
    weight: number;
    yields: (rate: number) => number;
    net: (rate: number) => number;
  }[],
  errorSdKgPerHa: number,
): Outlook {
  const total = curves.reduce((sum, curve) => sum + curve.weight, 0);
  return {
    variety: "Ostrindel",
    ratesSeedsPerM2: Float64Array.from(rates),
    weights: Float64Array.from(curves, (curve) => curve.weight / total),
    netPerHa: Float64Array.from(curves.flatMap((curve) => rates.map(curve.net))),
    seasonWeights: Float64Array.of(1),
    yieldKgPerHa: Float64Array.from(curves.flatMap((curve) => rates.map(curve.yields))),
    errorSdKgPerHa,
    tested: [0, rates.length - 1],
  };
}

/** A fine grid over a standard normal, with weights. */
export const normalGrid = Array.from({ length: 161 }, (_, i) => {
  const z = (i - 80) / 20;
  return { z, weight: Math.exp(-(z * z) / 2) };
});

/**
 * Believable curves of a wheat variety in the manner of the trade: yield rises to a need that is not known, by a loss
 * that is not known, and falls beyond it or not; the need moves from season to season.
 *
 * @param need  middle of what is believed of the need [seeds/m²], with the sd of its logarithm
 */
export function wheatOutlook(
  need: number,
  needSdLog: number,
  settings = { price: 0.22, seed: 0.02, yield: 4000 },
) {
  const rates = Array.from({ length: 28 }, (_, g) => 180 + 12 * g);
  const shifts = [-Math.sqrt(3), 0, Math.sqrt(3)];
  const seasonWeights = [1 / 6, 2 / 3, 1 / 6];
  const curves: { weight: number; need: number; loss: number; decline: number }[] = [];
  for (let z = -2.5; z <= 2.5; z += 0.25) {
    for (const [loss, lossWeight] of [
      [0.03, 0.3],
      [0.06, 0.4],
      [0.12, 0.3],
    ] as const) {
      for (const [decline, declineWeight] of [
        [0, 0.5],
        [0.03, 0.25],
        [0.08, 0.25],
      ] as const) {
        curves.push({
          weight: Math.exp((-z * z) / 2) * lossWeight * declineWeight,
          need: need * Math.exp(needSdLog * z),
          loss,
          decline,
        });
      }
    }
  }
  const yieldOf = (curve: (typeof curves)[number], rate: number, shift: number): number => {
    const u = rate / (curve.need * Math.exp(0.08 * shift));
    const rise = -curve.loss * (Math.min(u - 1, 0) / 0.4) ** 2;
    const fall = -curve.decline * (Math.max(u - 1.15, 0) / 0.5) ** 2;
    return settings.yield * (1 + rise + fall);
  };
  const total = curves.reduce((sum, curve) => sum + curve.weight, 0);
  return {
    variety: "Ostrindel",
    ratesSeedsPerM2: Float64Array.from(rates),
    weights: Float64Array.from(curves, (curve) => curve.weight / total),
    netPerHa: Float64Array.from(
      curves.flatMap((curve) =>
        rates.map(
          (rate) =>
            settings.price *
              shifts.reduce((sum, shift, s) => sum + seasonWeights[s]! * yieldOf(curve, rate, shift), 0) -
            settings.seed * 10 * rate,
        ),
      ),
    ),
    seasonWeights: Float64Array.from(seasonWeights),
    yieldKgPerHa: Float64Array.from(
      curves.flatMap((curve) => shifts.flatMap((shift) => rates.map((rate) => yieldOf(curve, rate, shift)))),
    ),
    errorSdKgPerHa: 0.04 * settings.yield,
    tested: [0, rates.length - 1] as [number, number],
  };
}
