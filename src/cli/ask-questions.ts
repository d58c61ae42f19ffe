/** `check --save-answers`: asks what only the person knows, on a terminal, and keeps the answers. */
import { createInterface } from "node:readline/promises";
import { questionsOf } from "../farm/questions.ts";
import type { Farm } from "../farm/farm.ts";
import {
  mergeAnswers,
  noAnswers,
  QuestionError,
  type Answers,
  type Question,
} from "../read/answers/answers.ts";
import { plainLine } from "../tell/plain-text.ts";

/** What came of asking. */
export interface Settled {
  /** Null where the files cannot be read without an answer that is still open. */
  farm: Farm | null;
  error: QuestionError | null;
  answers: Answers;
  open: Question[];
}

/** Whether there is somebody to ask. */
export const somebodyThere = (): boolean => process.stdin.isTTY === true && process.stderr.isTTY === true;

/**
 * Reads, asks, and reads again with the answers, until nothing is open that was not asked.
 *
 * Without a terminal nothing is asked, and what is open is given back.
 *
 * @param read  the farm with such answers; throws `QuestionError` for what has to be answered first
 */
export async function settle(read: (answers: Answers) => Promise<Farm>, given: Answers): Promise<Settled> {
  const asked = new Set<string>();
  let answers = given;
  for (;;) {
    const found = await tryToRead(read, answers);
    const fresh = found.open.filter(({ id, choices }) => !asked.has(id) && choices.length > 0);
    if (!somebodyThere()) return { ...found, answers, open: await allOpen(read, answers, found) };
    if (fresh.length === 0) return { ...found, answers };
    for (const question of found.error === null ? fresh : fresh.slice(0, 1)) {
      asked.add(question.id);
      answers = mergeAnswers(answers, await ask(question));
    }
  }
}

/**
 * What is open, with what would be open once that is answered by its likeliest answer: so that one round of answers is enough
 * where the files cannot be read before the first.
 */
async function allOpen(
  read: (answers: Answers) => Promise<Farm>,
  given: Answers,
  first: Omit<Settled, "answers">,
): Promise<Question[]> {
  const open = [...first.open];
  let [found, answers] = [first, given];
  while (found.error !== null) {
    const likeliest = found.open.flatMap(({ choices }) => choices.slice(0, 1));
    if (likeliest.length === 0) break;
    answers = likeliest.reduce((all, choice) => mergeAnswers(all, choice.answers), answers);
    found = await tryToRead(read, answers);
    const more = found.open.filter(({ id }) => open.every((one) => one.id !== id));
    if (more.length === 0) break;
    open.push(...more);
  }
  return open;
}

async function tryToRead(
  read: (answers: Answers) => Promise<Farm>,
  answers: Answers,
): Promise<Omit<Settled, "answers">> {
  try {
    const farm = await read(answers);
    return { farm, error: null, open: questionsOf(farm) };
  } catch (error) {
    if (!(error instanceof QuestionError)) throw error;
    return { farm: null, error, open: [...error.questions] };
  }
}

/** A question with numbered choices; an empty answer leaves it open. */
async function ask({ text, choices }: Question): Promise<Answers> {
  const lines = choices.map((choice, index) => `  ${index + 1}  ${plainLine(choice.text)}`);
  const terminal = createInterface({ input: process.stdin, output: process.stderr });
  try {
    for (;;) {
      const typed = await terminal.question(
        `${plainLine(text)}\n${lines.join("\n")}\nNumber, or nothing to leave it open: `,
      );
      if (typed.trim() === "") return noAnswers;
      const choice = choices[Number(typed.trim()) - 1];
      if (choice !== undefined) return choice.answers;
    }
  } finally {
    terminal.close();
  }
}
