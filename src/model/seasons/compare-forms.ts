/** Which form the strips support: information criterion and weights. */

/**
 * Akaike's criterion with the correction for few observations.
 *
 * AIC = n·(log 2π + log(RSS/n) + 1) + 2k, AICc = AIC + 2k(k + 1)/(n − k − 1); k counts blocks, terms, join and the error variance.
 *
 * @param parameters  mean parameters: blocks, terms and join
 * @returns null where n − k − 1 ≤ 0
 * Source: Hurvich & Tsai (1989), Biometrika 76:297–307. Reference check: test/reference/rate-response.
 */
export function correctedAkaike(observations: number, rss: number, parameters: number): number | null {
  const k = parameters + 1;
  const n = observations;
  if (n - k - 1 <= 0) return null;
  return n * (Math.log(2 * Math.PI) + Math.log(rss / n) + 1) + 2 * k + (2 * k * (k + 1)) / (n - k - 1);
}

/**
 * Akaike weights: how strongly each form is supported beside the others; they add up to 1.
 *
 * @param criteria  one per form, null where unknown
 * @returns null where the criterion is unknown
 * @example akaikeWeights([10, 12, null]) // [0.731, 0.269, null]
 * Source: Burnham & Anderson (2002), Model Selection and Multimodel Inference, 2nd ed., p. 75.
 */
export function akaikeWeights(criteria: readonly (number | null)[]): (number | null)[] {
  const known = criteria.filter((criterion) => criterion !== null);
  const least = Math.min(...known);
  const likelihoods = criteria.map((criterion) =>
    criterion === null ? null : Math.exp((least - criterion) / 2),
  );
  const sum = likelihoods.reduce<number>((total, likelihood) => total + (likelihood ?? 0), 0);
  return likelihoods.map((likelihood) => (likelihood === null ? null : likelihood / sum));
}

/**
 * The same criterion for a mixed model fitted by maximum likelihood, all of its strips counting as observations.
 *
 * @param fit  `parameters` counts fixed coefficients, joins and variances, those at zero too
 * @returns null with too few strips, or where they do not scatter
 */
export function mixedAkaike(fit: {
  fit: { minusTwoLogLikelihood: number; residualVariance: number };
  model: { observations: number };
  parameters: number;
}): number | null {
  const k = fit.parameters;
  const left = fit.model.observations - k - 1;
  return left > 0 && fit.fit.residualVariance > 0
    ? fit.fit.minusTwoLogLikelihood + 2 * k + (2 * k * (k + 1)) / left
    : null;
}
