import { describe, expect, it } from "vitest";
import { environmentId } from "../../../src/vocabulary/environments.ts";
import { placeNames } from "../../../src/tell/wording/places.ts";

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
