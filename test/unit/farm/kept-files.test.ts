import { strToU8 } from "fflate";
import { describe, expect, it } from "vitest";
import { questionsOf } from "../../../src/farm/questions.ts";
import type { Farm } from "../../../src/farm/farm.ts";
import { readFarm } from "../../../src/farm/read-farm.ts";
import { QuestionError } from "../../../src/read/answers/answers.ts";
import { keptFiles } from "../../fixtures/kept-files.ts";
import { accounts, told } from "../../fixtures/same-result.ts";

describe.each(keptFiles)("$name", ({ files, answers, questions, plain }) => {
  const answered = (): Promise<Farm> =>
    readFarm(
      answers === "" ? files : [...files, { name: "columns.yaml", as: "answers", bytes: strToU8(answers) }],
    );

  it("asks once for each thing that only the person knows", async () => {
    const open = await readFarm(files).then(questionsOf, (error: unknown) => {
      if (error instanceof QuestionError) return error.questions;
      throw error;
    });
    expect(open).toHaveLength(questions);
    expect(questionsOf(await answered())).toEqual([]);
  });

  it("gives what the plain table gives, with each row used or told", async () => {
    const [one, other] = [await answered(), await readFarm(plain)];
    accounts(one.trial);
    expect(one.trial.strips).toHaveLength(other.trial.strips.length);
    expect(one.units).toEqual(other.units);
    // A copy of a file adds rows that are read and left out.
    expect({ ...told(one), rows: null }).toEqual({ ...told(other), rows: null });
  });
});
