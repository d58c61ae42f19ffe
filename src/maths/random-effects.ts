/** Estimates of the same thing from several places, each with its own error, that also truly differ. */

export interface RandomEffects {
  mean: number;
  /** Variance of the mean. */
  variance: number;
  /** Variance of the true values between places. */
  between: number;
  /** Each estimate drawn toward the mean by the share of its own error in its spread. */
  shrunk: number[];
}

/**
 * Restricted maximum likelihood of the variance between places, and what follows from it.
 *
 * One estimate alone says nothing of a variance: it is taken as 0, and the estimate as the mean.
 *
 * @param variances error variance of each estimate, all > 0
 * @example meanOfRandom([1, 3], [0.01, 0.01]).between // 1.99
 * Source: Viechtbauer 2005, J. Educ. Behav. Stat. 30:261. Reference check: test/reference/random-effects.
 */
export function meanOfRandom(estimates: readonly number[], variances: readonly number[]): RandomEffects {
  const at = (between: number): { mean: number; variance: number; score: number } => {
    let total = 0;
    let sum = 0;
    let squares = 0;
    estimates.forEach((estimate, i) => {
      const weight = 1 / (variances[i]! + between);
      total += weight;
      sum += weight * estimate;
      squares += weight * weight;
    });
    const mean = sum / total;
    const spread = estimates.reduce(
      (all, estimate, i) => all + ((estimate - mean) / (variances[i]! + between)) ** 2,
      0,
    );
    return { mean, variance: 1 / total, score: spread - total + squares / total };
  };

  let between = 0;
  const alike = at(0);
  if (estimates.length > 1 && alike.score > 0) {
    let low = 0;
    let high = estimates.reduce((most, estimate) => Math.max(most, (estimate - alike.mean) ** 2), 0);
    while (at(high).score > 0) high *= 2;
    for (let i = 0; i < 100; i++) {
      const middle = (low + high) / 2;
      if (at(middle).score > 0) low = middle;
      else high = middle;
    }
    between = (low + high) / 2;
  }
  const { mean, variance } = at(between);
  return {
    mean,
    variance,
    between,
    shrunk: estimates.map((estimate, i) => mean + (between / (between + variances[i]!)) * (estimate - mean)),
  };
}
