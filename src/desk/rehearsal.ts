/** What the engine does before anybody asks: a small farm once through, so that its code is compiled when it counts. */
import { noAnswers } from "../read/answers/answers.ts";
import type { FarmFile } from "../farm/farm-files.ts";
import type { errandWork } from "./errand-work.ts";
import type { DeskInput, Provisions } from "./errands.ts";

/** So many strips show the engine nearly all that a farm does, and no step of theirs is waited for long. */
const rows = 36;
/**
 * Measured in processor time of the demo farm's first report: four rounds halve it, one round saves a quarter. A slow
 * computer does fewer [ms].
 */
const mostRounds = 4;
const longest = 4_000;

/**
 * Goes on from step to step while nobody asks for anything; nothing of it is shown or kept.
 *
 * @param isAsked  whether an errand waits
 * @param now      a clock [ms]
 */
export async function rehearse(
  work: ReturnType<typeof errandWork>,
  { rehearsal, helps }: Pick<Provisions, "rehearsal" | "helps">,
  isAsked: () => boolean,
  now: () => number,
): Promise<void> {
  const files = filesOf(rehearsal);
  const end = now() + longest;
  for (let round = 1; round <= mostRounds; round++)
    try {
      const input = { number: -round, files, typed: [], answers: noAnswers };
      const steps = play(work, input, helps === true);
      while ((await steps.next()).done !== true) {
        // A task of its own: what was asked meanwhile is heard first.
        await new Promise((goOn) => setTimeout(goOn, 0));
        if (isAsked() || now() > end) return;
      }
    } catch {
      // What fails here fails where it is asked for, and is told there.
      return;
    }
}

/** Some rows of the first strips file, and whatever is no strips file. */
function filesOf(rehearsal: Provisions["rehearsal"]): FarmFile[] {
  const isStrips = (name: string): boolean => name.startsWith("strips-");
  const first = Object.keys(rehearsal).find(isStrips);
  return Object.entries(rehearsal)
    .filter(([name]) => !isStrips(name) || name === first)
    .map(([name, text]) => {
      const part = isStrips(name)
        ? text
            .split("\n")
            .slice(0, rows + 1)
            .join("\n")
        : text;
      return { name, bytes: new TextEncoder().encode(part) };
    });
}

/**
 * Step by step.
 *
 * @param input  with a number that no input on the desk has
 * @param helps  whether it draws nothing
 */
async function* play(
  work: ReturnType<typeof errandWork>,
  input: DeskInput,
  helps: boolean,
): AsyncGenerator<undefined> {
  const begin = (): void => undefined;
  yield;
  await work.look({ files: input.files }, begin);
  yield;
  await work.answer({ input }, begin);
  if (helps) return;
  yield;
  const ask = { input, reader: "farm", locale: "en" } as const;
  const { inOrder } = await work.report(ask, begin);
  for (const part of inOrder) {
    yield;
    await work.parts({ ...ask, wanted: [part] }, begin);
  }
}
