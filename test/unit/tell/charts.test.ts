import { describe, expect, it } from "vitest";
import { colours } from "../../../src/tell/charts/look.ts";
import { lodging } from "../../../src/tell/charts/lodging.ts";
import { netReturn } from "../../../src/tell/charts/net-return.ts";
import { rateRow, rates } from "../../../src/tell/charts/rates.ts";
import { response } from "../../../src/tell/charts/response.ts";
import { learning } from "../../../src/tell/charts/learning.ts";
import { nextTable } from "../../../src/tell/html/next-table.ts";
import { flatZoneSentence } from "../../../src/tell/wording/variety.ts";
import { measuresOf } from "../../../src/numbers/measures.ts";
import { demoResult } from "../../fixtures/demo.ts";
import { makeResult } from "../../fixtures/result.ts";

const result = makeResult();
const measures = measuresOf(result);
const [first] = result.next;

/** Contrast of two colours: W3C, WCAG 2.2, "relative luminance" and "contrast ratio". */
const luminance = (hex: string): number => {
  const [r, g, b] = [1, 3, 5].map((at) => {
    const part = parseInt(hex.slice(at, at + 2), 16) / 255;
    return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r! + 0.7152 * g! + 0.0722 * b!;
};
const contrast = (one: string, other: string): number => {
  const [light, dark] = [luminance(one), luminance(other)].sort((a, b) => b - a);
  return (light! + 0.05) / (dark! + 0.05);
};

describe("charts", () => {
  /** WCAG 2.2, success criterion 1.4.11: graphical objects at least 3 : 1. */
  it("draw what carries meaning at a contrast of 3 to 1 with the paper, and the line apart from the zone", () => {
    for (const colour of [colours.ink, colours.quiet, colours.zone, colours.vermilion, colours.blue])
      expect(contrast(colour, colours.paper), colour).toBeGreaterThanOrEqual(3);
    expect(contrast(colours.ink, colours.zone)).toBeGreaterThanOrEqual(3);
  });

  it("draw no rates where all are one and the same: an axis of one number shows nothing", () => {
    const at = (now: number): typeof result => ({
      ...result,
      next: [{ ...first!, evidence: "none", rateNowSeedsPerM2: now, rateNextSeedsPerM2: 320 }],
    });
    expect(rates.subjects(at(320))).toEqual([]);
    expect(rates.subjects(at(330))).toEqual([""]);
    expect(rates.subjects(result)).toEqual([""]);
  });

  it("show three sums of the flat zone below the best rate, however well it is known", () => {
    const known = makeResult();
    const sure = { level: 0.8, lower: 300, upper: 300 };
    const nearly = {
      ...known,
      next: known.next.map((next) => ({
        ...next,
        rateNowSeedsPerM2: null,
        intervals: [sure, sure] as typeof next.intervals,
      })),
      curves: known.curves.map((curve) =>
        curve.kind === "gain"
          ? { ...curve, points: curve.points.map((point) => ({ ...point, value: 0, lower: 0, upper: 0 })) }
          : curve,
      ),
    };
    const [axis] = netReturn.draw(nearly, nearly.next[0]!.variety, measures).data.axis!;
    expect(axis!.low).toBeLessThanOrEqual(-3 * measures.moneyPerArea.value(nearly.settings.flatZonePerHa));
  });

  it("cut no name in a legend", () => {
    expect((response.spec(measures).config as { legend: object }).legend).toMatchObject({ labelLimit: 0 });
  });

  it("mark the most profitable rate in the picture of the answer", () => {
    const best = first!.economicOptimum;
    if (best.kind === "none") expect.unreachable();
    expect(rateRow(first!, measures).best).toBeCloseTo(measures.rate.value(best.rateSeedsPerM2), 4);
    expect(rates.draw(result, "", measures).key).toContain("◆ most profitable rate");
  });

  it("show nothing of the best rate where there is no evidence: no bar, no odds, no flat zone", () => {
    const none = { ...first!, evidence: "none" as const, flatZone: null };
    const unknown = { ...result, next: [none] };
    expect(rateRow(none, measures)).toMatchObject({ best: null, flatLower: null, likelyUpper: null });
    expect(netReturn.draw(unknown, none.variety, measures).data.flat).toEqual([]);
    expect(flatZoneSentence(unknown, none, measures)).toBe("");
    expect(nextTable(result, measures).text).toContain('class="odds"');
    expect(nextTable(unknown, measures).text).not.toContain('class="odds"');
  });

  it("give money as gain: zero at today's rate, one axis for all varieties", () => {
    const drawn = result.next.map(({ variety }) => netReturn.draw(result, variety, measures).data);
    for (const [index, data] of drawn.entries()) {
      const now = measures.rate.value(result.next[index]!.rateNowSeedsPerM2!);
      const near = data.curve!.reduce((a, b) =>
        Math.abs(Number(a.x) - now) < Math.abs(Number(b.x) - now) ? a : b,
      );
      expect(Math.abs(Number(near.y))).toBeLessThan(1.5);
      expect(data.axis).toEqual(drawn[0]!.axis);
    }
  });

  it("name the rate that gains are over: today's, or the best where today's is not known or not tested", () => {
    const demo = demoResult();
    const [variety] = demo.varieties;
    const over = (rateNowSeedsPerM2: number | null): string =>
      netReturn.draw(
        { ...demo, next: demo.next.map((next) => ({ ...next, rateNowSeedsPerM2 })) },
        variety!,
        measuresOf(demo),
      ).heading;
    const [lowest, highest] = demo.beliefs.find((belief) => belief.variety === variety)!.testedSeedsPerM2;
    for (const tested of [lowest, highest]) expect(over(tested)).toBe("Gain over today's rate, after seed");
    for (const other of [null, lowest - 1, highest + 1])
      expect(over(other)).toBe("Gain over the best rate, after seed");
  });

  it("have one axis of yield for all varieties", () => {
    const axes = result.varieties.map((variety) =>
      response.draw(result, variety, measures).data.axis!.map(({ y }) => y),
    );
    for (const axis of axes) expect(axis).toEqual(axes[0]);
  });

  it("give lodging in the scores that people gave: 0 to 9", () => {
    const [variety] = lodging.subjects(result);
    const drawing = lodging.draw(result, variety!, measures);
    expect(drawing.data.axis!.map(({ y }) => y)).toEqual([0, 9]);
    expect(drawing.heading).toContain("0–9");
    expect(Math.max(...drawing.data.curve!.map(({ y }) => Number(y)))).toBeLessThanOrEqual(9);
  });

  it("label no more of 20 seasons than there is room for", () => {
    const { variety: name, economicOptimum } = first!;
    const one = {
      variety: name,
      environments: 1,
      strips: 20,
      yieldOptimum: economicOptimum,
      economicOptimum,
      testedSeedsPerM2: [200, 500] as [number, number],
    };
    const many = {
      ...result,
      learning: Array.from({ length: 20 }, (_, i) => ({
        season: 2007 + i,
        varieties: [one],
      })),
    };
    const variety = learning.subjects(many)[0]!;
    const labels = learning.draw(many, variety, measures).data.rows!.filter(({ text }) => text !== "");
    expect(labels).toHaveLength(1);
  });
});
