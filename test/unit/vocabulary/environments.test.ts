import { describe, expect, it } from "vitest";
import { environmentId, environmentsOf } from "../../../src/vocabulary/environments.ts";
import type { Strip } from "../../../src/vocabulary/trial.ts";

const strip = (season: number, farm: string, field: string, block: string): Strip =>
  ({ season, farm, field, block }) as Strip;

describe("environmentId", () => {
  it("reads like a name", () => {
    expect(environmentId({ season: 2024, farm: "Home", field: "North 40" })).toBe("2024 Home, North 40");
    expect(environmentId({ season: 2024, farm: "", field: "North 40" })).toBe("2024 North 40");
    expect(environmentId({ season: 2024, farm: "", field: "" })).toBe("2024");
  });

  it("keeps apart names that hold the separator", () => {
    const one = environmentId({ season: 2024, farm: "Home", field: "North, wet end" });
    const other = environmentId({ season: 2024, farm: "Home, North", field: "wet end" });
    expect(one).not.toBe(other);
  });
});

describe("environmentsOf", () => {
  it("counts strips and blocks, sorted by season, farm, field", () => {
    const environments = environmentsOf([
      strip(2024, "Home", "South", "1"),
      strip(2023, "Home", "South", "1"),
      strip(2024, "Home", "North", "1"),
      strip(2024, "Home", "South", "2"),
      strip(2024, "Home", "South", "2"),
    ]);
    expect(environments.map(({ id, strips, blocks }) => [id, strips, blocks])).toEqual([
      ["2023 Home, South", 1, 1],
      ["2024 Home, North", 1, 1],
      ["2024 Home, South", 3, 2],
    ]);
  });
});
