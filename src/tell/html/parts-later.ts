/** Parts of a page that it is shown without at first: each leaves a mark in its place and is made when it is asked for. */
export class PartsLater {
  readonly #makes: (() => string | Promise<string>)[] = [];
  readonly #made: Promise<string>[] = [];
  #last: Promise<unknown> = Promise.resolve();
  /** A part is other than the page took for granted: the whole has to be made at once. */
  isOther = false;

  /** @returns the mark; nothing that a person wrote can be taken for one, since its `<` is escaped */
  put(make: () => string | Promise<string>): string {
    this.#makes.push(make);
    return markOf(this.#makes.length - 1);
  }

  get count(): number {
    return this.#makes.length;
  }

  /** Parts are made one after another: pictures of one kind share a view. */
  part(index: number): Promise<string> {
    const made = (this.#made[index] ??= this.#last.then(() => this.#makes[index]!()));
    this.#last = made;
    return made;
  }

  /** @param page  with its marks */
  async fill(page: string): Promise<string> {
    const parts = await Promise.all(this.#makes.map((_, index) => this.part(index)));
    return page.replace(marks, (_, index: string) => parts[Number(index)]!);
  }
}

/** What a mark reads in the page's tree. */
export const partMark = /^part (\d+)$/;
const marks = /<!--part (\d+)-->/g;

/** The parts in the order in which a reader comes upon them: what is folded away, last. */
export function seenFirst(page: string): number[] {
  const seen: number[] = [];
  const folded: number[] = [];
  /** Of the parts that are open here, whether each is folded. */
  const within: boolean[] = [];
  for (const [piece, index] of page.matchAll(/<details\b[^>]*>|<\/details>|<!--part (\d+)-->/g)) {
    if (index !== undefined) (within.includes(true) ? folded : seen).push(Number(index));
    else if (piece.startsWith("</")) within.pop();
    else within.push(!piece.includes(" open"));
  }
  return [...seen, ...folded];
}

const markOf = (index: number): string => `<!--part ${index}-->`;
