import { describe, expect, it } from "vitest";
import { environmentId } from "../../../src/vocabulary/environments.ts";
import { fieldOf } from "../../../src/vocabulary/environments.ts";
import type { NextRate } from "../../../src/vocabulary/result.ts";
import { placeNames, withFieldNames } from "../../../src/tell/wording/places.ts";

const names = (...places: [season: number, farm: string, field: string][]): string[] => [
  ...placeNames({
    environments: places.map(([season, farm, field]) => ({
      id: environmentId({ season, farm, field }),
      season,
      farm,
      field,
      strips: 1,
      blocks: 1,
    })),
  }).values(),
];

describe("names of site-years", () => {
  it("name the field alone on one farm", () => {
    expect(names([2025, "Windlass", "Hill"], [2026, "Windlass", "Hill"])).toEqual(["2025 Hill", "2026 Hill"]);
  });

  it("name the farm alone where every farm has one field a season", () => {
    expect(names([2026, "Windlass", "Hill"], [2026, "Capstan", "North"])).toEqual([
      "2026 Windlass",
      "2026 Capstan",
    ]);
  });

  it("name both where one of them is not enough", () => {
    expect(names([2026, "Windlass", "Hill"], [2026, "Windlass", "North"], [2026, "Capstan", "Hill"])).toEqual(
      ["2026 Windlass, Hill", "2026 Windlass, North", "2026 Capstan, Hill"],
    );
  });

  it("name the season alone where nothing else is said", () => {
    expect(names([2025, "", ""], [2026, "", ""])).toEqual(["2025", "2026"]);
  });
});

describe("names of fields", () => {
  const told = (fields: string[], ...farms: string[]): string[] => {
    const environments = farms.map((farm) => ({
      id: environmentId({ season: 2026, farm, field: "Hill" }),
      season: 2026,
      farm,
      field: "Hill",
      strips: 1,
      blocks: 1,
    }));
    const next = { byField: { fields: fields.map((field) => ({ field })) } } as NextRate;
    return withFieldNames(next, { environments }).byField!.fields.map(({ field }) => field);
  };
  const fieldIn = (farm: string, field: string): string =>
    fieldOf({ environment: environmentId({ season: 2026, farm, field }), season: 2026 });

  it("are without their farm where all are of one, and grounds as well", () => {
    expect(told([fieldIn("Windlass", "Hill"), "Windlass, bottom"], "Windlass", "Windlass")).toEqual([
      "Hill",
      "bottom",
    ]);
    expect(told([fieldIn("Smith, East", "Hill"), "Smith, East, bottom"], "Smith, East")).toEqual([
      "Hill",
      "bottom",
    ]);
    expect(told(["Hill"], "")).toEqual(["Hill"]);
  });

  it("keep it where there are several farms", () => {
    const both = [fieldIn("Windlass", "Hill"), fieldIn("Capstan", "Hill")];
    expect(told(both, "Windlass", "Capstan")).toEqual(both);
  });
});

it("a name with quotation marks inside is told as it is; one that could be taken for another is quoted", () => {
  const id = (farm: string, field: string): string => environmentId({ season: 2026, farm, field });
  expect(id('Rattler "West" Ranch', "Hill")).toBe('2026 Rattler "West" Ranch, Hill');
  expect(id("A, B", "C")).toBe('2026 "A, B", C');
  expect(id("A", "B, C")).toBe('2026 A, "B, C"');
  expect(new Set([id('"A', 'B"'), id("A, B", ""), id("", "A, B"), id('"A, B"', "")]).size).toBe(3);
});
