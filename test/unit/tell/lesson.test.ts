import { describe, expect, it } from "vitest";
import { doublePrices } from "../../../src/farm/double-prices.ts";
import { decideAgain } from "../../../src/decide/decide.ts";
import type { Result } from "../../../src/vocabulary/result.ts";
import {
  curveQuestion,
  doubledRows,
  lessonSubject,
  moneyQuestion,
  moneyStep,
  noiseQuestion,
  seasonsQuestion,
  seasonsStep,
  type LessonSubject,
} from "../../../src/tell/wording/lesson.ts";
import { lessonStrips } from "../../../src/tell/charts/lesson-strips.ts";
import { lessonSeasons } from "../../../src/tell/charts/seasons.ts";
import { glossaryTerms } from "../../../src/tell/wording/glossary.ts";
import { measuresOf } from "../../../src/numbers/measures.ts";
import { plainStyle } from "../../../src/numbers/written-numbers.ts";
import { fromBushelsPerAcre, fromPerAcre } from "../../../src/numbers/units.ts";
import { demoResult } from "../../fixtures/demo.ts";

const demo = demoResult();
const measures = measuresOf(demo, plainStyle);
const subject = lessonSubject(demo)!;

/** The subject with strips of these rates [million seeds/ac] and yields [bu/ac]. */
const withStrips = (...strips: [number, number][]): LessonSubject => ({
  ...subject,
  strips: strips.map(([rate, bushels]) => ({
    ...subject.strips[0]!,
    rateSeedsPerM2: fromPerAcre(rate * 1e6),
    yieldKgPerHa: fromBushelsPerAcre(bushels, 60),
  })),
});

describe("the lesson", () => {
  it("takes the variety with most strips that has a top, where most rates were sown", () => {
    expect(subject.next.economicOptimum.kind).toBe("found");
    const strips = (variety: string): number =>
      demo.fits.filter((fit) => fit.variety === variety).reduce((sum, fit) => sum + fit.strips, 0);
    for (const { variety } of demo.next) expect(strips(variety)).toBeLessThanOrEqual(strips(subject.variety));
    for (const fit of demo.fits.filter(({ variety }) => variety === subject.variety))
      expect(fit.ratesSeedsPerM2.length).toBeLessThanOrEqual(subject.fit.ratesSeedsPerM2.length);
    expect(subject.strips).toHaveLength(subject.fit.strips);
  });

  it("has nothing to teach where no variety has a top", () => {
    const none = demo.next.map((next) => ({
      ...next,
      economicOptimum: { kind: "none", reason: "no-response" } as const,
    }));
    expect(lessonSubject({ ...demo, next: none })).toBeNull();
  });

  it("is about the variety that somebody chose", () => {
    const chosen = demo.next.find(
      ({ variety, economicOptimum }) => economicOptimum.kind === "found" && variety !== subject.variety,
    )!.variety;
    expect(lessonSubject(demo, chosen)!.variety).toBe(chosen);
    expect(lessonSubject(demo, "Nobody's")).toBeNull();
  });

  it("says of one season only what is true of one", () => {
    const of = (seasons: number[]): string => {
      const environments = seasons.map((season, i) => ({ ...demo.environments[0]!, id: `${i}`, season }));
      const fits = environments.map(({ id }) => ({ ...subject.fit, environment: id }));
      const result = { ...demo, environments, fits };
      const { heading, text } = seasonsStep(result, subject);
      const { ask, answer } = seasonsQuestion(result, subject, measures);
      return [heading, text, ask, answer].join(" ");
    };
    expect(of([2026])).toContain("one field in one season");
    expect(of([2026, 2026])).toContain("each field of this season");
    for (const told of [of([2026]), of([2026, 2026])])
      expect(told).not.toMatch(/Seasons differ|these seasons|Season by season/);
    expect(of([2025, 2026])).toContain("Which of these seasons");
  });

  it("tells of the seasons the rates of highest yield that the table beside it has, and counts this variety's own", () => {
    const { answer } = seasonsQuestion(demo, subject, measures);
    const beside = lessonSeasons.draw(demo, subject.variety, measures).table!.rows;
    const rates = beside.map(([, rate]) => String(rate)).sort();
    expect(answer).toContain(`highest at ${rates[0]} in one of them, and at ${rates.at(-1)} in another`);
    const elsewhere = { ...demo.environments[0]!, id: "another variety's", season: 2020 };
    const more = { ...demo, environments: [...demo.environments, elsewhere] };
    expect(seasonsQuestion(more, subject, measures).answer).toBe(answer);
  });

  it("speaks of no top where the yield still rises at the highest rate tested", () => {
    const { next } = subject;
    const highest = subject.fit.ratesSeedsPerM2.at(-1)!;
    const rising: LessonSubject = {
      ...subject,
      next: { ...next, yieldOptimum: { kind: "at-edge", edge: "highest", rateSeedsPerM2: highest } },
    } as LessonSubject;
    for (const told of [moneyStep(rising), moneyQuestion(demo, rising, measures).answer]) {
      expect(told).toContain("still rises");
      expect(told).not.toContain("top of the");
    }
    expect(moneyStep(subject)).toContain("the top of the curve");
    const none = { ...next, yieldOptimum: { kind: "none", reason: "no-response" } as const };
    expect(moneyStep({ next: none })).toContain("One rate is marked");
  });

  it("explains no word by an answer that it asks for", () => {
    const words = (told?: { answers: boolean }): string =>
      glossaryTerms(demo, measures, told)
        .map(({ meaning }) => meaning)
        .join(" ");
    expect(words()).toContain("because seed costs money");
    expect(words({ answers: false })).not.toContain("because seed costs money");
  });

  it("names the best single strip, and the rate whose strips differ most", () => {
    const { answer } = noiseQuestion(
      withStrips([0.8, 60], [0.8, 62], [1.2, 61], [1.2, 70], [1.6, 66]),
      measures,
    );
    expect(answer).toContain("The best single strip had 1.20 million seeds/ac.");
    expect(answer).toContain("the strips at 1.20 million seeds/ac differ by 9.0 bu/ac");
  });

  it("claims no scatter where every rate was sown once", () => {
    const { answer } = noiseQuestion(withStrips([0.8, 60], [1.2, 66], [1.6, 64]), measures);
    expect(answer).toContain("each rate was sown once");
    expect(answer).not.toContain("differ by");
  });

  it("names the rates that were sown", () => {
    expect(curveQuestion(subject, measures).answer).toContain(
      "five rates were sown, from 0.80 to 1.80 million",
    );
  });

  it("weighs the seed from most money to most grain against the grain it brings: the seed costs more", () => {
    const { answer } = moneyQuestion(demo, subject, measures);
    const [, worth, cost] = /worth \$([0-9.]+)\/ac\. The seed for it costs \$([0-9.]+)\/ac/.exec(answer)!;
    expect(Number(cost)).toBeGreaterThan(Number(worth));
  });
});

describe("the legend of the strips", () => {
  it("names up to four blocks as blocks, and has room for more by their numbers", () => {
    const demo = demoResult();
    const [first] = demo.strips;
    const named = (blocks: number): unknown[] => {
      const strips = Array.from({ length: blocks }, (_, i) => ({ ...first!, block: String(i + 1) }));
      const chart = lessonStrips(first!, "2024 North", false);
      return chart
        .draw({ ...demo, strips }, first!.variety, measuresOf(demo))
        .data["strips"]!.map((row) => row["block"]);
    };
    expect(named(4)).toEqual(["block 1", "block 2", "block 3", "block 4"]);
    expect(named(6)).toEqual(["1", "2", "3", "4", "5", "6"]);
  });
});

describe("doubled prices", () => {
  const doubled = doublePrices(demo);
  const rates = (result: Result): number[] =>
    result.next.map(({ economicOptimum }) =>
      economicOptimum.kind === "none" ? NaN : economicOptimum.rateSeedsPerM2,
    );

  // Profit is homogeneous of degree one in all prices (textbook theory of the firm), so its best rate stays.
  it("leave every best rate where it was when all double, protein premiums and lodging costs too", () => {
    expect(rates(doubled.both)).toEqual(rates(demo));
    const priced = decideAgain(demo, {
      ...demo.settings,
      lodgingCostPerHa: 60,
      proteinSchedule: [
        { proteinPct: 12, premiumPerKg: -0.02 },
        { proteinPct: 15, premiumPerKg: 0.03 },
      ],
    });
    expect(rates(doublePrices(priced).both)).toEqual(rates(priced));
  });

  it("ask for more seed when grain is dear, and for less when seed is", () => {
    for (const [index, today] of rates(demo).entries()) {
      expect(rates(doubled.grain)[index]).toBeGreaterThan(today);
      expect(rates(doubled.seed)[index]).toBeLessThan(today);
    }
  });

  it("are told as a table of four rows", () => {
    const rows = doubledRows(demo, doubled, subject, measures);
    expect(rows.map(([prices]) => prices)).toEqual([
      "Today's prices",
      "Grain price doubled",
      "Seed price doubled",
      "Both doubled",
    ]);
    expect(rows[3]![1]).toBe(rows[0]![1]);
  });
});
