import { describe, expect, it } from "vitest";
import {
  areaAngleIndex,
  belgianIndex,
  convertLodging,
  lodgingScales,
  mayPoolLodging,
  parseLodgingScale,
  toLodgingScore,
} from "../../../src/numbers/lodging-scales.ts";
import type { LodgingScale } from "../../../src/vocabulary/trial.ts";

const scales = Object.keys(lodgingScales) as LodgingScale[];

describe("lodging scales", () => {
  it.each([
    ["0-9", "zero-to-nine"],
    ["0 – 9", "zero-to-nine"],
    ["0 to 9", "zero-to-nine"],
    ["%", "percent"],
    ["Percent", "percent"],
    ["0–9 percent", "zero-to-nine-percent"],
    ["0-5", "zero-to-five-percent"],
    ["1-5", "one-to-five"],
    ["1-9", "one-to-nine"],
    ["1-9, resistance", "one-to-nine-resistance"],
    ["Belgian", "belgian"],
    ["area × angle", "area-angle"],
  ])("reads %s as %s", (text, scale) => expect(parseLodgingScale(text)).toBe(scale));

  it("reads its own codes and every name it offers", () => {
    for (const scale of scales) {
      expect(parseLodgingScale(scale)).toBe(scale);
      for (const name of lodgingScales[scale].names) expect(parseLodgingScale(name)).toBe(scale);
    }
  });

  it("does not guess", () => {
    expect(parseLodgingScale("bu/ac")).toBeNull();
    expect(parseLodgingScale("0-7")).toBeNull();
    expect(parseLodgingScale("")).toBeNull();
  });

  // Crop Ontology CO_321:0001282 (n × 10 %) and 0001281 (n × 20 %).
  it("counts area on the percent codes: 3 of 0–9 is 30 %, 3 of 0–5 is 60 %", () => {
    const three = toLodgingScore("zero-to-nine-percent", 3)!;
    expect(three.share).toBeCloseTo(0.3, 12);
    expect(convertLodging(three, "percent")!.score).toBeCloseTo(30, 12);
    expect(convertLodging(toLodgingScore("zero-to-five-percent", 3)!, "percent")!.score).toBeCloseTo(60, 12);
  });

  it("turns the resistance rating round: 9 stands, 1 lies", () => {
    expect(toLodgingScore("one-to-nine-resistance", 9)!.share).toBe(0);
    expect(toLodgingScore("one-to-nine-resistance", 1)!.share).toBe(1);
    expect(toLodgingScore("one-to-nine", 9)!.share).toBe(1);
  });

  it("has no score outside a scale", () => {
    expect(toLodgingScore("one-to-nine", 0)).toBeNull();
    expect(toLodgingScore("zero-to-nine", 9.5)).toBeNull();
    expect(toLodgingScore("percent", Number.NaN)).toBeNull();
  });

  it("pools the area scales among themselves and no others", () => {
    const area: LodgingScale[] = ["percent", "zero-to-nine-percent", "zero-to-five-percent"];
    for (const one of scales)
      for (const other of scales)
        expect(mayPoolLodging(one, other)).toBe(
          one === other || (area.includes(one) && area.includes(other)),
        );
  });

  it("refuses to convert what judges something else", () => {
    expect(convertLodging(toLodgingScore("zero-to-nine", 5)!, "percent")).toBeNull();
    expect(convertLodging(toLodgingScore("one-to-nine", 5)!, "one-to-nine-resistance")).toBeNull();
    expect(convertLodging(toLodgingScore("percent", 50)!, "belgian")).toBeNull();
  });

  it("keeps every share from 0, upright, to 1", () => {
    for (const scale of scales) {
      const { upright, worst } = lodgingScales[scale];
      expect(toLodgingScore(scale, upright)!.share).toBeCloseTo(0, 12);
      const share = toLodgingScore(scale, worst)!.share;
      expect(share).toBeCloseTo(scale === "zero-to-nine-percent" ? 0.9 : 1, 12);
    }
  });
});

describe("indices", () => {
  // Secondary source: Rebetzke et al., plot-sampling protocols, undated, in an open protocol wiki: printed 25 and 56.
  it("multiplies area and angle: 50 % at 45° is 25, halves at 60° and 40° are 55.6", () => {
    expect(areaAngleIndex([{ areaPct: 50, degrees: 45 }])).toBe(25);
    const halves = areaAngleIndex([
      { areaPct: 50, degrees: 60 },
      { areaPct: 50, degrees: 40 },
    ]);
    expect(halves).toBeCloseTo(55.556, 3);
    expect(Math.round(halves)).toBe(56);
  });

  // FROM MEMORY: no printed source of the index could be confirmed.
  it("runs from 0.2 to 10 on the Belgian index", () => {
    expect(belgianIndex(1, 1)).toBeCloseTo(0.2, 12);
    expect(belgianIndex(5, 3)).toBeCloseTo(3, 12);
    expect(belgianIndex(10, 5)).toBeCloseTo(10, 12);
  });
});
