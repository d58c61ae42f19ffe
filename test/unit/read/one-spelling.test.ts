import { describe, expect, it } from "vitest";
import { answerName, noAnswers } from "../../../src/read/answers/answers.ts";
import { LooseNames, spellAlike } from "../../../src/read/one-spelling.ts";
import { spelledLoosely } from "../../../src/vocabulary/spelling.ts";
import { readTrial } from "../../../src/read/trial-files.ts";
import { defaultSettings, unknownLot } from "../../../src/vocabulary/settings.ts";
import { makeTrial } from "../../make-trial.ts";
import { bytesOf, us } from "./read-csv.ts";

const named = (...varieties: string[]) =>
  makeTrial(varieties.map((variety) => ({ variety, rateSeedsPerM2: 300, yieldKgPerHa: 4000 }))).strips;

describe("spelledLoosely", () => {
  it("passes over capitals, spaces and hyphens, but not what stands between two digits", () => {
    expect(spelledLoosely("TOLVANE-22 ")).toBe(spelledLoosely("Tolvane 22"));
    expect(spelledLoosely("St. Alder’s")).toBe(spelledLoosely("st alders"));
    for (const other of ["Alder 2 1", "Alder 2-1", "Alder 2.1", "Alder 22", "Alder 21+"])
      expect(spelledLoosely(other)).not.toBe(spelledLoosely("Alder 21"));
  });
});

describe("LooseNames", () => {
  it("finds a name in another spelling, unless two are alike", () => {
    const names = new LooseNames(["Ost", "Tolvane 22", "tolvane22"]);
    expect(names.find("OST")).toBe("Ost");
    expect(names.find("tolvane22")).toBe("tolvane22");
    expect(names.find("TOLVANE22")).toBeUndefined();
  });
});

describe("spellAlike", () => {
  it("takes the spelling of the lot, else the commonest, and says so with its count", () => {
    const strips = named("BOWDRY", "BOWDRY", "Bowdry", "Elm", "elm", "elm", "Elk");
    const findings = spellAlike(strips, ["Bowdry"], noAnswers);
    expect(strips.map(({ variety }) => variety)).toEqual([
      "Bowdry",
      "Bowdry",
      "Bowdry",
      "elm",
      "elm",
      "elm",
      "Elk",
    ]);
    expect(findings.map(({ code }) => code)).toEqual(["one-variety-spelling", "one-variety-spelling"]);
    expect(findings[0]!.message).toContain(
      '"BOWDRY" (two strips) is read as variety "Bowdry": only capitals, spaces, hyphens or marks differ.',
    );
    expect(findings[0]!.message).toContain('names: {variety: {"BOWDRY": "BOWDRY"}}');
  });

  it("spells grounds alike, too, and gives none to strips without one", () => {
    const { strips } = makeTrial(
      ["dry", "dry", " DRY", "Dry.", "wet", ""].map((ground) => ({
        ...(ground === "" ? {} : { ground }),
        rateSeedsPerM2: 300,
        yieldKgPerHa: 4000,
      })),
    );
    const findings = spellAlike(strips, [], noAnswers);
    expect(strips.map(({ ground }) => ground)).toEqual(["dry", "dry", "dry", "dry", "wet", undefined]);
    expect(findings.map(({ code }) => code)).toEqual(["one-ground-spelling"]);
    expect(findings[0]!.message).toContain('read as ground "dry"');
  });

  it("keeps apart what has two lots, and what was answered to be of its own", () => {
    const strips = named("ELM", "Elm", "ASH", "Ash");
    expect(spellAlike(strips, ["ELM", "Elm"], answerName("variety", "ASH", "ASH"))).toEqual([]);
    expect(strips.map(({ variety }) => variety)).toEqual(["ELM", "Elm", "ASH", "Ash"]);
  });
});

describe("readTrial", () => {
  const bytes = bytesOf(
    "variety,season,field,rate (lb/ac),yield\nBOWDRY,2026,Home,90,60\nBowdry,2026,HOME,110,62\nBowdrey,2026,home,110,63\n",
  );
  const lots = [{ ...unknownLot("Bowdry"), seedsPerKg: 28_000, germination: 0.95 }];
  const read = (answers = noAnswers) =>
    readTrial([{ name: "strips.csv", bytes }], { ...defaultSettings, lots }, us, answers);

  it("uses the figures of a lot whatever its capitals, and asks where a letter differs", () => {
    const { strips, findings, environments } = read();
    expect(strips.map(({ variety, field }) => [variety, field])).toEqual([
      ["Bowdry", "HOME"],
      ["Bowdry", "HOME"],
    ]);
    expect(environments).toHaveLength(1);
    expect(findings.map(({ code }) => code)).toContain("row-seed-weight-unknown");
    expect(read(answerName("variety", "Bowdrey", "Bowdry")).strips).toHaveLength(3);
  });

  it("leaves a spelling without the lot that is answered to be another variety", () => {
    expect(read(answerName("variety", "BOWDRY", "BOWDRY")).strips).toHaveLength(1);
  });
});
