/** Runs a small farm through the engine before anybody asks, so that its code is compiled when it counts. */
import { stepsApart, type StepsApart } from "../farm/analyze-farm.ts";
import type { FarmFile } from "../farm/farm-files.ts";
import { noAnswers } from "../read/answers/answers.ts";
import type { errandWork } from "./errand-work.ts";
import type { DeskInput, Provisions } from "./errands.ts";

/**
 * Strips of each round. The first is short and runs nearly everything, pictures as well; the others repeat what an answer
 * waits for, long enough for the browser to compile it. The demo farm's first report then takes 0.5 of the processor time
 * that it takes without; after four rounds like the first it would take 0.7.
 */
const rounds: readonly number[] = [36, 72, 72, 72];
/** A slow computer stops earlier [ms]. */
const longest = 4_000;

/**
 * Goes on step by step while nobody asks for anything; nothing is shown or kept.
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
  const end = now() + longest;
  for (const [round, rows] of rounds.entries())
    try {
      const input = { number: -1 - round, files: filesOf(rehearsal, rows), typed: [], answers: noAnswers };
      const steps = play(work, input, helps === true ? "answer" : round === 0 ? "pictures" : "report");
      while ((await steps.next()).done !== true) {
        // A task of its own, so that anything asked meanwhile comes first.
        await new Promise((goOn) => setTimeout(goOn, 0));
        if (isAsked() || now() > end) return;
      }
    } catch {
      // A failure here will happen again where it is asked for, and is shown there.
      return;
    }
}

/** Some rows of the first strips file, and every file that is not strips. */
function filesOf(rehearsal: Provisions["rehearsal"], rows: number): FarmFile[] {
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
 * @param input  with a number that no input of the desk has
 * @param until  what is done last
 */
async function* play(
  work: ReturnType<typeof errandWork>,
  input: DeskInput,
  until: "answer" | "report" | "pictures",
): AsyncGenerator<undefined> {
  const begin = (): void => undefined;
  yield;
  await work.look({ files: input.files }, begin);
  yield;
  await work.answer({ input }, begin);
  if (until === "answer") return;
  yield;
  const ask = { input, reader: "farm", locale: "en" } as const;
  const { inOrder } = await work.report(ask, begin);
  if (until === "report") return;
  for (const part of inOrder) {
    yield;
    await work.parts({ ...ask, wanted: [part] }, begin);
  }
}

/** Pauses before each part of an analysis, and gives it up if somebody asks for something meanwhile. */
export function breathing(isAsked: () => boolean): StepsApart {
  const rested = async <Gives>(doing: () => Gives): Promise<Gives> => {
    await new Promise((goOn) => setTimeout(goOn, 0));
    if (isAsked()) throw new Error("Something else was asked for.");
    return doing();
  };
  const given = <Gives>(doing: () => Gives): Promise<Gives> => {
    const gives = rested(doing);
    // The parts fail together; only the first failure is reported.
    gives.catch(() => undefined);
    return gives;
  };
  return {
    poolSeasons: (...asked) => given(() => stepsApart.poolSeasons(...asked)),
    believeSoFar: (...asked) => given(() => stepsApart.believeSoFar(...asked)),
  };
}
