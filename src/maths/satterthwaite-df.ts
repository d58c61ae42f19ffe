/**
 * Degrees of freedom of an estimated variance: 2 variance² ÷ the variance of that estimate, by the delta method.
 *
 * @param slopes      of the variance in each parameter that it was estimated by
 * @param covariance  covariance matrix of these parameters
 * @returns null where nothing is uncertain, or there is no variance
 * @example satterthwaiteDf(3, [1, 2], [[1, 0], [0, 2]]) // 2·9/(1 + 4·2) = 2
 * Source: Satterthwaite (1946), An approximate distribution of estimates of variance components, Biometrics Bull. 2:110.
 */
export function satterthwaiteDf(
  variance: number,
  slopes: readonly number[],
  covariance: readonly (readonly number[])[],
): number | null {
  let uncertainty = 0;
  slopes.forEach((a, i) => slopes.forEach((b, j) => (uncertainty += a * covariance[i]![j]! * b)));
  return variance > 0 && uncertainty > 0 ? (2 * variance * variance) / uncertainty : null;
}
