/**
 * What varieties share of their response, held to Bayes' rule written out: a sum over every common loss and chance, and over
 * every loss of every variety, with log-normal shares worked out here.
 */
import { describe, expect, it } from "vitest";
import { shareResponse } from "../../../../src/model/beliefs/share-response.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";

const { priors } = defaultSettings;
/** The losses of the grid: 12, evenly spaced in log from 0.009 to 0.7. */
const losses = Array.from({ length: 12 }, (_, i) => 0.009 * (0.7 / 0.009) ** (i / 11));

function logNormalShares(median: number, sdLog: number): number[] {
  const weights = losses.map((loss) => Math.exp(-(Math.log(loss / median) ** 2) / (2 * sdLog ** 2)));
  const total = weights.reduce((a, b) => a + b, 0);
  return weights.map((weight) => weight / total);
}

/** Likelihood of strips that speak for one loss, and of no response. */
const speakingFor = (
  loss: number,
  sdLog: number,
  noResponse: number,
): { likelihood: number[]; noResponse: number } => ({
  likelihood: losses.map((one) => Math.exp(-(Math.log(one / loss) ** 2) / (2 * sdLog ** 2))),
  noResponse,
});

const strong = speakingFor(0.15, 0.3, 1e-9);
const weak = speakingFor(0.01, 0.5, 0.9);
const silent = { likelihood: losses.map(() => 1), noResponse: 1 };

const stated = logNormalShares(priors.lossMedian, priors.lossSdLog);
const marginalOf = ({ likelihood, noResponse }: typeof strong) => ({
  losses: new Map(losses.map((loss, i) => [loss, stated[i]! * likelihood[i]!])),
  noResponse,
  priors,
});

/** Chance of no response and of each loss for the first variety, after the strips of all. */
function writtenOut(varieties: readonly (typeof strong)[]): { none: number; ofLoss: number[] } {
  const offsets = [-2, -1.5, -1, -0.5, 0, 0.5, 1, 1.5, 2];
  const odds = { 0.09: 0.4, 0.45: 0.3, 2: 0.22, 7: 0.08 };
  const half = priors.lossSdLog / Math.sqrt(2);
  let none = 0;
  const ofLoss = losses.map(() => 0);
  for (const z of offsets) {
    const shares = logNormalShares(priors.lossMedian * Math.exp(z * half), half);
    for (const [times, weight] of Object.entries(odds)) {
      const ofOdds = (Number(times) * priors.noResponseChance) / (1 - priors.noResponseChance);
      const chance = ofOdds / (1 + ofOdds);
      const others = varieties
        .slice(1)
        .reduce(
          (product, { likelihood, noResponse }) =>
            product *
            (chance * noResponse +
              (1 - chance) * shares.reduce((sum, share, i) => sum + share * likelihood[i]!, 0)),
          1,
        );
      const prior = Math.exp((-z * z) / 2) * weight * others;
      none += prior * chance * varieties[0]!.noResponse;
      shares.forEach(
        (share, i) => (ofLoss[i]! += prior * (1 - chance) * share * varieties[0]!.likelihood[i]!),
      );
    }
  }
  const total = none + ofLoss.reduce((a, b) => a + b, 0);
  return { none: none / total, ofLoss: ofLoss.map((one) => one / total) };
}

/** The same from what is shared. */
function shared(varieties: readonly (typeof strong)[]): { none: number; ofLoss: number[] } {
  const { noResponseChance, timesPrior } = shareResponse(varieties.map(marginalOf))[0]!;
  const { likelihood, noResponse } = varieties[0]!;
  const none = noResponseChance * noResponse;
  const ofLoss = losses.map(
    (loss, i) => (1 - noResponseChance) * timesPrior({ loss }) * stated[i]! * likelihood[i]!,
  );
  const total = none + ofLoss.reduce((a, b) => a + b, 0);
  return { none: none / total, ofLoss: ofLoss.map((one) => one / total) };
}

describe("what varieties share of how strongly yield answers", () => {
  it.each([
    ["two alike", [strong, strong]],
    ["one of many that hardly answers", [weak, strong, strong, strong]],
    ["nothing of its own", [silent, weak, weak]],
  ])("agrees with Bayes' rule written out: %s", (_, varieties) => {
    const [here, there] = [shared(varieties), writtenOut(varieties)];
    expect(here.none).toBeCloseTo(there.none, 12);
    here.ofLoss.forEach((chance, i) => expect(chance).toBeCloseTo(there.ofLoss[i]!, 12));
  });

  it("leaves a variety by itself under the stated priors", () => {
    const [alone] = shareResponse([marginalOf(strong)]);
    expect(alone!.noResponseChance).toBe(priors.noResponseChance);
    expect(losses.map((loss) => alone!.timesPrior({ loss }))).toEqual(losses.map(() => 1));
  });

  it("hardly moves the stated priors where the other variety's strips say nothing", () => {
    const { none, ofLoss } = shared([silent, silent]);
    expect(none).toBeCloseTo(priors.noResponseChance, 2);
    ofLoss.forEach((chance, i) => expect(chance).toBeCloseTo((1 - priors.noResponseChance) * stated[i]!, 2));
  });

  it("is as sure as 900 varieties that all lose much make it, beyond what numbers hold in one product", () => {
    const [one] = shareResponse(Array.from({ length: 900 }, () => marginalOf(strong)));
    // Then no response is as rare as on any farm, 0.09 times the stated odds at 0.4 of farms. The next, 0.45 times at 0.3, is
    // left as far behind as 899 varieties that answer make it.
    const [rarest, next] = [0.09, 0.45].map((times) => {
      const odds = (times * priors.noResponseChance) / (1 - priors.noResponseChance);
      return odds / (1 + odds);
    }) as [number, number];
    const behind = (0.3 / 0.4) * ((1 - next) / (1 - rarest)) ** 899;
    expect(one!.noResponseChance).toBeCloseTo((rarest + behind * next) / (1 + behind), 12);
  });
});
