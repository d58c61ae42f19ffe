/** Questions that only the person can answer, asked beside the rows: one press answers, and the answer is kept. */
import { answersFileName, type Choice, type Question } from "../read/answers/answers.ts";
import type { Desk } from "./desk.ts";
import { button, element, save } from "./element.ts";

/**
 * The questions that are open, and what was answered before.
 *
 * @param focus  called once a question has gone, and the pressed button with it
 */
export function questionsShown(desk: Desk, focus: () => void): HTMLElement[] {
  const { book, answer } = desk;
  const open = (answer?.questions ?? []).filter(({ id }) => !book.answered.has(id));
  const reply = (question: Question, choice: Choice | null): void => {
    book.reply(question, choice);
    focus();
  };
  const answered = [...book.answered.values()];
  const keepsAnswers = answered.length > 0 || book.files.some(({ as }) => as === "answers");
  return [
    ...(open.length === 0
      ? []
      : [
          element("h3", {}, "Only you know"),
          ...open.map((question) => asked(question, (choice) => reply(question, choice))),
        ]),
    ...(answered.length === 0
      ? []
      : [
          element(
            "details",
            {},
            element("summary", {}, `Answered: ${answered.length}`),
            element(
              "ul",
              {},
              ...answered.map(({ question, choice }) =>
                element(
                  "li",
                  {},
                  element("bdi", {}, `${question.text} ${choice.text}. `),
                  button("Ask again", () => reply(question, null), "small"),
                ),
              ),
            ),
          ),
        ]),
    ...(keepsAnswers
      ? [
          element(
            "p",
            { class: "row" },
            button(`Save the answers (${answersFileName})`, () => void saveAnswers(desk)),
          ),
          element(
            "p",
            { class: "hint" },
            "Drop this file here with next year’s files, and nothing is asked twice. The farm file holds the answers, too.",
          ),
        ]
      : []),
  ];
}

const asked = ({ text, choices }: Question, reply: (choice: Choice) => void): HTMLElement =>
  element(
    "fieldset",
    {},
    element("legend", {}, element("bdi", {}, text)),
    element("p", { class: "row" }, ...choices.map((choice) => button(choice.text, () => reply(choice)))),
  );

async function saveAnswers(desk: Desk): Promise<void> {
  const input = desk.book.input();
  const told = await desk.work((step) => desk.engine.run("answers", { input }, step));
  if (told !== null) save(answersFileName, told.text, "application/yaml");
}
