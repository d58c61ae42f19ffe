/** Names that differ by capitals, spaces and hyphens only: one name, in one spelling. */
import { gather } from "../maths/group-by.ts";
import { namesInOneSpelling } from "../messages/reading.ts";
import { spelledLoosely } from "../vocabulary/spelling.ts";
import { namedColumns, type Finding, type NamedColumn, type Strip } from "../vocabulary/trial.ts";
import { answerFor, type Answers } from "./answers/answers.ts";

/** Whether a person said that this spelling is a name of its own. */
export const isOfItsOwn = ({ names }: Answers, column: NamedColumn, name: string): boolean =>
  Object.hasOwn(names[column], name) && names[column][name] === name;

/** The name that was answered for a spelling, whatever its capitals; itself where none was. */
export function nameAnsweredFor({ names }: Answers, column: NamedColumn, spelling: string): string {
  const own = names[column];
  const exact = Object.hasOwn(own, spelling) ? own[spelling] : undefined;
  if (exact !== undefined) return exact;
  const others = Object.entries(own).filter(([key, name]) => key !== name);
  return answerFor(Object.fromEntries(others), spelling) ?? spelling;
}

/** Which of some names a name is, apart from its spelling: the same, else the only one that is alike; undefined for none. */
export class LooseNames {
  readonly #exact: ReadonlySet<string>;
  readonly #loose = new Map<string, string | null>();

  constructor(names: Iterable<string>) {
    this.#exact = new Set(names);
    for (const name of this.#exact) {
      const loose = spelledLoosely(name);
      this.#loose.set(loose, this.#loose.has(loose) ? null : name);
    }
  }

  /** @returns the name that is spelled so, else the only one that differs in case, spaces and points alone */
  find(name: string): string | undefined {
    return this.#exact.has(name) ? name : (this.#loose.get(spelledLoosely(name)) ?? undefined);
  }
}

/**
 * Gives varieties, fields, farms and grounds of the strips one spelling each: that of the lot, else the commonest.
 *
 * @returns which spelling was changed to which, for the person to correct
 */
export const spellAlike = (strips: readonly Strip[], lots: readonly string[], answers: Answers): Finding[] =>
  namedColumns.flatMap((column) => spellColumnAlike(strips, column, lots, answers));

function spellColumnAlike(
  strips: readonly Strip[],
  column: NamedColumn,
  lots: readonly string[],
  answers: Answers,
): Finding[] {
  const times = new Map(
    [...gather(strips, (strip) => strip[column] ?? "")].map(([name, own]) => [name, own.length]),
  );
  const open = [...times.keys()].filter((name) => name !== "" && !isOfItsOwn(answers, column, name));
  const known = new LooseNames(column === "variety" ? lots : []);
  const spellings = new Map<string, string>();
  const findings: Finding[] = [];
  for (const group of gather(open, spelledLoosely).values()) {
    group.sort((a, b) => times.get(b)! - times.get(a)! || (a < b ? -1 : 1));
    const name = known.find(group[0]) ?? group[0];
    const others = group.filter((other) => other !== name && known.find(other) !== other);
    if (others.length === 0) continue;
    for (const other of others) spellings.set(other, name);
    const told = others.map((other) => ({ name: other, strips: times.get(other)! }));
    findings.push(namesInOneSpelling(column, name, told));
  }
  if (spellings.size > 0)
    for (const strip of strips) {
      const name = spellings.get(strip[column] ?? "");
      if (name !== undefined) strip[column] = name;
    }
  return findings;
}
