import { describe, expect, it } from "vitest";
import { answersWith, noAnswers } from "../../../src/read/answers/answers.ts";
import { readTrial } from "../../../src/read/trial-files.ts";
import { defaultSettings } from "../../../src/vocabulary/settings.ts";
import { bytesOf, us } from "./read-csv.ts";

const read = (name: string, answers = noAnswers) =>
  readTrial(
    [
      {
        name: "strips.csv",
        bytes: bytesOf(`variety,season,rate,yield\nAlder,2026,1200000,60\n${name},2026,1200000,44\n`),
      },
    ],
    defaultSettings,
    us,
    answers,
  );

describe("strips beside the trial", () => {
  it.each([
    "border",
    "Border 2",
    "FILL",
    "filler",
    "Guard row",
    "buffer",
    "headland",
    "Randstreifen",
    "bordure",
  ])("are left out, each told: %j", (name) => {
    const { strips, rowsLeftOut, findings } = read(name);
    expect([strips.length, rowsLeftOut]).toEqual([1, 1]);
    expect(findings.find(({ code }) => code === "row-beside-trial")).toMatchObject({ row: 3, value: name });
  });

  it("are used where that was answered", () => {
    const answers = answersWith({ names: { ...noAnswers.names, variety: { border: "border" } } });
    expect(read("border", answers).strips.map(({ variety }) => variety)).toEqual(["Alder", "border"]);
  });

  it.each(["check", "Borderline", "Guardian", "Fillmore", "Skipper"])("are no varieties like %j", (name) => {
    expect(read(name).strips).toHaveLength(2);
  });
});
