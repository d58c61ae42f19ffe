import { describe, expect, it } from "vitest";
import { readAnswers } from "../../../src/read/answers/answers-file.ts";
import { readSeason } from "../../../src/read/season-file/season.ts";
import { bytesOf, trialErrorOf } from "./read-csv.ts";

const faultOf = (text: string): string =>
  trialErrorOf(() => readSeason({ name: "season.yaml", bytes: bytesOf(text) })).message;

describe("a season file that cannot be read", () => {
  it.each([
    ["crop: wheat: spring", 1, "There is a colon in the value. Put the value in quotation marks."],
    ["crop: wheat\ngrain_price: 6.20 $/bu: farm gate", 2, "There is a colon in the value."],
    ["crop: wheat\n  grain_price: 6", 2, "It is indented."],
    ["crop: wheat\n\tgrain_price: 6", 2, "It begins with a tab."],
    ['# prices\ncrop: "wheat\ngrain_price: 6\n', 2, "A quotation mark is opened but not closed."],
    ["grain_price: 6\ncrop: [wheat\n", 2, "A bracket is opened but not closed."],
    ["grain_price: @6", 1, "The value begins with a sign that cannot be there."],
    ["grain_price: 6\n}", 2, "This bracket closes nothing."],
    ["crop: wheat\ncrop: oats", 2, "This entry is there twice."],
    ["crop: wheat\n---\ncrop: oats", 2, "Three dashes begin another file here."],
    ["grain_price: 6\ncrop:wheat", 2, "There is no space after the colon."],
    ["grain_price: 6\ncrop wheat", 2, "This is not an entry."],
  ])("says in plain words what is wrong with %j", (text, line, advice) => {
    const message = faultOf(text);
    expect(message).toContain(`season.yaml, line ${line}, "`);
    expect(message).toContain(advice);
    expect(message.replace("season.yaml", "")).not.toMatch(
      /YAML|mapping|scalar|sequence|flow|token|implicit/i,
    );
  });

  it("and the same of a file of answers", () => {
    const error = trialErrorOf(() =>
      readAnswers({ name: "columns.yaml", bytes: bytesOf("columns:\n  Yld: yield: dry\n") }),
    );
    expect(error.message).toBe(
      'columns.yaml, line 2, "Yld: yield: dry": There is a colon in the value. Put the value in quotation marks.',
    );
  });
});
