import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { editDistance, mayBeOneName, probableName, probablyOne } from "../../../src/vocabulary/spelling.ts";

const used = (name: string, weight: number, ...uses: string[]) => ({ name, weight, uses: new Set(uses) });

describe("editDistance", () => {
  // Worked by hand: kitten → sitten → sittin → sitting; two neighbours swapped are one slip.
  it.each([
    ["kitten", "sitting", 3],
    ["bowdry", "bowdrey", 1],
    ["lodgign", "lodging", 1],
    ["", "abc", 3],
  ])("of %j and %j is %i", (one, other, distance) => expect(editDistance(one, other)).toBe(distance));

  it("is exact below what is enough, and not below it otherwise", () => {
    const word = fc.string({ unit: fc.constantFrom("a", "b", "c"), maxLength: 9 });
    fc.assert(
      fc.property(word, word, fc.integer({ min: 1, max: 9 }), (one, other, enough) => {
        const exact = editDistance(one, other);
        const found = editDistance(one, other, enough);
        if (exact < enough) expect(found).toBe(exact);
        else expect(found).toBeGreaterThanOrEqual(enough);
      }),
      { seed: 20270424, numRuns: 2000 },
    );
  });
});

describe("mayBeOneName", () => {
  it.each([
    ["Casin Red", "Cassin Red"],
    ["BOWDRY", "Bowdrey"],
    ["TOLVANE22", "Tolvane-22"],
  ])("takes %j and %j for one", (one, other) => expect(mayBeOneName(one, other)).toBe(true));

  it.each([
    ["Alder 21", "Alder 22"],
    ["Var01", "Var11"],
    ["Elm", "Elk"],
    ["Norwick", "Ashby"],
  ])("keeps %j and %j apart", (one, other) => expect(mayBeOneName(one, other)).toBe(false));
});

describe("probablyOne", () => {
  it("joins names a letter apart where they were used alike, the commonest first", () => {
    expect(
      probablyOne([used("Casin Red", 4, "2025 30"), used("Cassin Red", 20, "2025 30", "2026 30")]),
    ).toEqual([["Cassin Red", "Casin Red"]]);
    expect(probablyOne([used("Casin Red", 4, "2025 90"), used("Cassin Red", 20, "2025 30")])).toEqual([]);
  });

  it("joins names of four letters only where one of them is rare, and not the first letter another", () => {
    const arlo = used("Arlo", 11, "2025 30", "2026 30");
    expect(probablyOne([arlo, used("Arlp", 1, "2025 30")])).toEqual([["Arlo", "Arlp"]]);
    expect(probablyOne([used("Kern", 12, "2025 30"), used("Kerm", 12, "2025 30")])).toEqual([]);
    expect(probablyOne([used("Dale", 12, "2025 30"), used("Vale", 1, "2025 30")])).toEqual([]);
    expect(probablyOne([arlo, used("Elk", 1, "2025 30"), used("Elm", 9, "2025 30")])).toEqual([]);
  });

  it("joins names that differ by case and spaces wherever they were used", () => {
    expect(probablyOne([used("TOLVANE22", 1, "a"), used("Tolvane 22", 2, "b")])).toEqual([
      ["Tolvane 22", "TOLVANE22"],
    ]);
  });

  it("joins names that differ by accents alone wherever they were used, and no names of scripts that write vowels so", () => {
    expect(probablyOne([used("Orla", 9, "a"), used("Órla", 2, "b")])).toEqual([["Orla", "Órla"]]);
    expect(probablyOne([used("बीर", 9, "a"), used("बार", 2, "b")])).toEqual([]);
  });
});

describe("probableName", () => {
  it("finds the name that was meant, of four letters with the same first one", () => {
    expect(probableName("Arlp", ["Kern", "Arlo"])).toBe("Arlo");
    expect(probableName("Vale", ["Dale"])).toBeNull();
    expect(probableName("Kern 21", ["Kern 22"])).toBeNull();
  });
});
