/** What the engine does before anybody asks: a small farm once through, so that its code is compiled when it counts. */
import { noAnswers } from "../read/answers/answers.ts";
import type { errandWork } from "./errand-work.ts";
import type { DeskInput, Provisions } from "./errands.ts";

/** One season shows the engine nearly all that three do, in less than half the time. */
const isRehearsed = (name: string): boolean => !/^strips-/.test(name) || name === "strips-2024.csv";

/** No input on the desk has it. */
const number = -1;

/**
 * Goes on from step to step while nobody asks for anything; nothing of it is shown or kept.
 *
 * @param isAsked  whether an errand waits
 */
export async function rehearse(
  work: ReturnType<typeof errandWork>,
  { rehearsal }: Provisions,
  isAsked: () => boolean,
): Promise<void> {
  const encoder = new TextEncoder();
  const begin = (): void => undefined;
  const files = Object.entries(rehearsal)
    .filter(([name]) => isRehearsed(name))
    .map(([name, text]) => ({ name, bytes: encoder.encode(text) }));
  const input: DeskInput = { number, files, typed: [], answers: noAnswers };
  const steps = [
    () => work.look({ files }, begin),
    () => work.answer({ input }, begin),
    () => work.report({ input, reader: "farm", locale: "en" }, begin),
  ];
  for (const step of steps) {
    // A task of its own: what was asked meanwhile is heard first.
    await new Promise((goOn) => setTimeout(goOn, 0));
    if (isAsked()) return;
    try {
      await step();
    } catch {
      // What fails here fails where it is asked for, and is told there.
      return;
    }
  }
}
