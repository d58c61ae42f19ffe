/** Spellings of names that are probably one name. */

/** Three rows of the table of distances, used again by each pair of words: very many are compared. */
let rows = [0, 1, 2].map(() => new Uint32Array(64)) as [Uint32Array, Uint32Array, Uint32Array];

/**
 * Letters to change, add, take away or swap with a neighbour to get from one word to the other (restricted Damerau–Levenshtein distance).
 *
 * @param enough a distance so great or greater is not needed: some number not below it is given instead
 */
export function editDistance(a: string, b: string, enough = Infinity): number {
  if (Math.abs(a.length - b.length) >= enough) return enough;
  if (rows[0].length <= b.length) rows = [0, 1, 2].map(() => new Uint32Array(2 * b.length)) as typeof rows;
  let [before, last, now] = rows;
  for (let j = 0; j <= b.length; j++) last[j] = j;
  let leastBefore = 0;
  for (let i = 1; i <= a.length; i++) {
    const letter = a.charCodeAt(i - 1);
    const letterBefore = a.charCodeAt(i - 2);
    let least = i;
    let left = i;
    now[0] = i;
    for (let j = 1; j <= b.length; j++) {
      const other = b.charCodeAt(j - 1);
      let distance = last[j - 1]! + (letter === other ? 0 : 1);
      distance = Math.min(distance, last[j]! + 1, left + 1);
      if (i > 1 && j > 1 && letter === b.charCodeAt(j - 2) && letterBefore === other)
        distance = Math.min(distance, before[j - 2]! + 1);
      now[j] = distance;
      left = distance;
      least = Math.min(least, distance);
    }
    // What follows is made of the last two rows; a swap adds one to what the first of them holds.
    if (least >= enough && leastBefore + 1 >= enough) return enough;
    leastBefore = least;
    const free = before;
    before = last;
    last = now;
    now = free;
  }
  return last[b.length]!;
}

/** A name in small letters, with one spelling of each letter. */
const smallName = (name: string): string => name.normalize("NFKC").toLowerCase();

/**
 * A name without case, spaces, hyphens, points, and marks of a footnote behind it; between two digits they stay.
 *
 * Names alike in this are read as one without a question, so it keeps what may tell two names apart: `Alder 2-1` is not
 * `Alder 21`, and `A&B` not `AB`. `bareName` drops these, too: names alike in that are only asked about.
 */
export const spelledLoosely = (name: string): string =>
  smallName(name)
    .replace(/[\s*†‡]+$/u, "")
    .replace(/(?<!\p{N})[\s._'’-]+|[\s._'’-]+(?!\p{N})/gu, "")
    .replace(/[\s_'’]+/g, " ");

/** Letters and digits of a name, Latin letters without their accents. */
const bareName = (name: string): string =>
  smallName(name)
    .normalize("NFD")
    .replace(/(?<=\p{Script=Latin})\p{M}+/gu, "")
    .normalize("NFC")
    .replace(/[^\p{L}\p{M}\p{N}]/gu, "");

const digitsOf = (name: string): string => name.replace(/\P{N}+/gu, " ").trim();

/** Names with fewer letters are near to too many others. */
const shortest = 5;
/** Of so many letters `Dale` and `Vale` are both names: they may be one only where the first letters are the same. */
const short = 4;

/**
 * Whether two names may be one by a slip of the pen: the same but for case, spaces and punctuation, or one letter apart
 * (two in names of ten and more). Numbers have to be the same: `Alder 21` is not `Alder 22`.
 *
 * @example mayBeOneName("Casin Red", "Cassin Red") // true
 */
export function mayBeOneName(one: string, other: string): boolean {
  const [a, b] = [bareName(one), bareName(other)];
  if (a === "" || b === "") return false;
  if (a === b) return one !== other;
  const longest = Math.max(a.length, b.length);
  const most = longest >= 10 ? 2 : 1;
  if (Math.min(a.length, b.length) < shortest || longest - Math.min(a.length, b.length) > most) return false;
  return digitsOf(a) === digitsOf(b) && editDistance(a.slice(0, 60), b.slice(0, 60), most + 1) <= most;
}

/** Whether two names of four letters are one letter apart that is not the first: `Arlo` and `Arlp`. */
function mayBeShortName(one: string, other: string): boolean {
  const [a, b] = [bareName(one), bareName(other)];
  return (
    [...a].length === short &&
    [...b].length === short &&
    a[0] === b[0] &&
    digitsOf(a) === digitsOf(b) &&
    editDistance(a, b, 2) === 1
  );
}

/** The first of the known names that a name may be, null where it may be none. */
export const probableName = (name: string, known: Iterable<string>): string | null => {
  for (const one of known)
    if (one !== name && (mayBeOneName(one, name) || mayBeShortName(one, name))) return one;
  return null;
};

/** A name with what speaks for it and where it was used. */
export interface UsedName {
  name: string;
  /** The name that stands is the one with the most of it. */
  weight: number;
  /** Where it was used, such as season and rate; empty where that is not known. */
  uses: ReadonlySet<string>;
}

/** Beyond so many names they are not compared letter by letter. */
const mostCompared = 400;
/** A slip is rare beside the name: of short names, which often are two, no more than this share (common practice). */
const rareShare = 1 / 3;

const probably = (usual: UsedName, rarer: UsedName): boolean =>
  (mayBeOneName(usual.name, rarer.name) ||
    (mayBeShortName(usual.name, rarer.name) && rarer.weight <= rareShare * usual.weight)) &&
  usedAlike(usual.uses, rarer.uses);

/**
 * Groups of names that are probably one, each with the name that stands first.
 *
 * Names that differ by a letter count only where they were used alike: half the uses of the rarer one are uses of the other;
 * those of four letters also only where one of them is rare beside the other.
 */
export function probablyOne(names: readonly UsedName[]): string[][] {
  const ranked = [...names].sort((a, b) => b.weight - a.weight || (a.name < b.name ? -1 : 1));
  const groups: UsedName[][] = [];
  const byBare = new Map<string, UsedName[]>();
  for (const used of ranked) {
    const bare = bareName(used.name);
    const same = bare === "" ? undefined : byBare.get(bare);
    const near =
      same ??
      (ranked.length > mostCompared
        ? undefined
        : groups.find((group) => group.some((one) => probably(one, used))));
    if (near === undefined) groups.push((byBare.set(bare, [used]), byBare.get(bare)!));
    else {
      near.push(used);
      byBare.set(bare, near);
    }
  }
  return groups.filter((group) => group.length > 1).map((group) => group.map(({ name }) => name));
}

function usedAlike(one: ReadonlySet<string>, other: ReadonlySet<string>): boolean {
  const [few, many] = one.size < other.size ? [one, other] : [other, one];
  let shared = 0;
  for (const use of few) if (many.has(use)) shared++;
  return shared >= few.size / 2;
}
