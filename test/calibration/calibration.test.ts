import { beforeAll, describe, expect, it } from "vitest";
import { tellScores } from "./results-table.ts";
import { scoreChain, type ChainScore } from "./score-chain.ts";
import { scoreFarm, type Score } from "./score-farm.ts";
import { families } from "./truths.ts";

const mean = (numbers: number[]): number => numbers.reduce((a, b) => a + b, 0) / numbers.length;

describe("the decision on simulated farms of known truth", () => {
  // A short cut of `npm run calibrate`: few farms, so the margins are wide. The bars themselves stand in results.md.
  let scores: Score[] = [];
  let chains: ChainScore[] = [];
  beforeAll(() => {
    scores = families.flatMap((family, i) => scoreFarm(family, i % 2 === 0 ? 1 : 3, 0));
    chains = families
      .filter(({ name }) => name === "quadratic" || name === "linear-plateau")
      .flatMap((family) => scoreChain(family, 0));
  });

  it("loses less than the usual ways", () => {
    const ours = mean(scores.map(({ lost }) => lost.ours));
    for (const rival of [
      "pooled quadratic",
      "best-yielding tested rate",
      "AICc winner",
      "staying put",
    ] as const)
      expect(ours).toBeLessThan(mean(scores.map(({ lost }) => lost[rival])));
  });

  it("gives intervals that hold about as often as they say", () => {
    const held = [0, 1].map((i) => mean(scores.map((score) => Number(score.held[i]))));
    expect(held[0]).toBeGreaterThan(0.7);
    expect(held[0]).toBeLessThan(0.93);
    expect(held[1]).toBeGreaterThan(0.88);
  });

  it("advises moves that pay", () => {
    expect(mean(scores.flatMap(({ move }) => move?.earned ?? []))).toBeGreaterThan(0);
  });

  it("earns money over years of bounded steps", () => {
    expect(mean(chains.map(({ earned }) => earned))).toBeGreaterThan(0);
    for (const { earned, possible } of chains) expect(earned).toBeLessThanOrEqual(possible);
  });

  it("is told in one table with every bar", () => {
    expect(tellScores(scores, chains, 2).match(/^- (met|\*\*not met\*\*): /gm)).toHaveLength(12);
  });
});
