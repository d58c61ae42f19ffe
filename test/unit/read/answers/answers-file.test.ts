import { describe, expect, it } from "vitest";
import { answerName, answersWith, noAnswers, type Answers } from "../../../../src/read/answers/answers.ts";
import { answerKeys, answersText, readAnswers } from "../../../../src/read/answers/answers-file.ts";
import { columnsKnown } from "../../../../src/read/strips/columns-known.ts";
import { bytesOf, trialErrorOf } from "../read-csv.ts";

const read = (text: string): Answers => readAnswers({ name: "columns.yaml", bytes: bytesOf(text) });

const all: Answers = {
  columns: { "Yld wet": "yield (bu/ac)", Combine: "not used" },
  values: { strip_length: "1200 ft" },
  tabs: {
    "2025": { holds: "strips", nameIs: "season", values: {} },
    seed: { holds: "lots", nameIs: null, values: {} },
    North: { holds: null, nameIs: null, values: { season: "2026" } },
  },
  files: { "a.csv": { holds: null, nameIs: null, values: { farm: "A" } } },
  names: {
    variety: { Bowdrey: "Bowdry" },
    field: {},
    farm: {},
    ground: {},
    season: { FY24: "2024" },
    rate: { low: "900000" },
  },
  lodgingWords: { wobbly: 3 },
  thousands: ["rate"],
  fillDown: ["variety"],
  saidNo: ["thousands rate"],
};

describe("a file of answers", () => {
  it("has no entry that the list of columns leaves out", () => {
    const { columns } = columnsKnown().find(({ title }) => title.startsWith("Answers"))!;
    expect(columns.map(({ name }) => name).sort()).toEqual([...answerKeys].sort());
  });

  it("says what it was written from", () => {
    expect(read(answersText(all))).toEqual(all);
    expect(read(answersText(noAnswers))).toEqual(noAnswers);
    expect(read("")).toEqual(noAnswers);
  });

  it("tells what is open as comments, and the likeliest answers are right once the marks are gone", () => {
    const open = {
      id: "1",
      text: "Is “Casin” the same variety as “Cassin”?",
      choices: [
        { text: "yes", answers: answerName("variety", "Casin", "Cassin") },
        { text: "no", answers: answerName("variety", "Casin", "Casin") },
      ],
    };
    const text = answersText(noAnswers, [open]);
    expect(read(text)).toEqual(noAnswers);
    const [, likely] = text.split("where it is right:\n");
    expect(read(likely!.replaceAll(/^# /gm, ""))).toEqual(answerName("variety", "Casin", "Cassin"));
  });

  it("takes a single word for a list", () => {
    expect(read("thousands: rate\n")).toEqual(answersWith({ thousands: ["rate"] }));
  });

  it.each([
    ["colums: {a: b}", "columns.yaml, line 1: colums: is not a known entry. Write columns if that is meant."],
    ["lodging_words:\n  flat: 12", "lodging_words: flat: A score is between 0 (upright) and 9 (flat)."],
    ["tabs:\n  North: barn", "Use strips, lots, not read, season, field, farm, variety, or values by column"],
    ["names: {verity: {a: b}}", "Names are of variety, field, farm, ground, season, rate."],
    ["columns: [a]", "needs entries of the form name: value."],
  ])("tells what is wrong in %j", (text, message) => {
    const error = trialErrorOf(() => read(text));
    expect([error.code, error.message]).toEqual(["answers-entry", expect.stringContaining(message)]);
  });

  it("is refused where it is no YAML", () => {
    expect(trialErrorOf(() => read("columns: {a: [")).code).toBe("answers-not-yaml");
  });

  it("holds names of any kind without harm", () => {
    const { columns } = read('columns: {"__proto__": yield, constructor: not used}');
    expect(Object.keys(columns).sort()).toEqual(["__proto__", "constructor"]);
  });
});
