import { strToU8 } from "fflate";
import { describe, expect, it } from "vitest";
import type { Farm } from "../../../src/farm/farm.ts";
import { questionsOf } from "../../../src/farm/questions.ts";
import { readFarm } from "../../../src/farm/read-farm.ts";
import { QuestionError } from "../../../src/read/answers/answers.ts";
import { keptOtherwise } from "../../fixtures/kept-otherwise.ts";
import { accounts, rounded } from "../../fixtures/same-result.ts";

const stripsOf = ({ trial }: Farm): string[] =>
  trial.strips.map((strip) => JSON.stringify(rounded({ ...strip, place: null }))).sort();

describe("one small trial, kept otherwise", () => {
  it.each(keptOtherwise.map((one) => [one.name, one] as const))(
    "%s",
    async (_, { files, plain, answers, told }) => {
      const given = answers ?? "";
      const read = await readFarm(
        given === "" ? files : [...files, { name: "columns.yaml", as: "answers", bytes: strToU8(given) }],
      );
      const other = await readFarm(plain);
      accounts(read.trial);
      expect(stripsOf(read)).toEqual(stripsOf(other));
      expect(rounded(read.settings.lots)).toEqual(rounded(other.settings.lots));
      expect(questionsOf(read)).toEqual([]);
      for (const code of told ?? []) expect(read.trial.findings.map((one) => one.code)).toContain(code);
    },
  );

  it.each([
    "a season of two digits above the table",
    "a season of two digits in the name of the file",
    "a season that only the person knows",
    "rates in percent of the normal rate, said in the header",
    "rates in percent, said in the cells",
    "varieties across, each with the word yield",
    "varieties across, behind the word yield",
    "varieties above yields and moistures",
    "repetitions written once, and blank below",
  ])("%s is asked in one question, the likeliest first", async (name) => {
    const { files, plain } = keptOtherwise.find((one) => one.name === name)!;
    const open = await readFarm(files).then(questionsOf, (error: unknown) => {
      if (error instanceof QuestionError) return error.questions;
      throw error;
    });
    expect(open).toHaveLength(1);
    const likely = await readFarm(files, { answers: open[0]!.choices[0]!.answers });
    expect(questionsOf(likely)).toEqual([]);
    // Books that close before the harvest are no likelier than others.
    if (name !== "a season that only the person knows")
      expect(stripsOf(likely)).toEqual(stripsOf(await readFarm(plain)));
  });

  it("asks which of two columns of one meaning counts, and offers both", async () => {
    const bytes = strToU8("variety,season,Year,rate,yield\nHalden,2025,2024,1200000,60\n");
    const error: unknown = await readFarm([{ name: "two.csv", as: "strips", bytes }]).catch(
      (one: unknown) => one,
    );
    const [question] = (error as QuestionError).questions;
    expect(question!.choices.map(({ text }) => text)).toEqual([
      "season; “Year” is not used",
      "Year; “season” is not used",
    ]);
    const { trial } = await readFarm([{ name: "two.csv", as: "strips", bytes }], {
      answers: question!.choices[1]!.answers,
    });
    expect(trial.strips.map(({ season }) => season)).toEqual([2024]);
  });
});
