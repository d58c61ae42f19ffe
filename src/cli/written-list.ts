/**
 * The list of what the program wrote into a folder: SHA-256 and name, in the form that `sha256sum --check` reads.
 *
 * A file that is as listed is the program's own. One that is not is somebody's work, and is not written over.
 */
export const writtenListName = ".stripcurve-written";

const heading = "# Files that stripcurve wrote here. It writes over them as long as nobody changed them.\n";

/** Beyond this the older lines are dropped [characters]. */
const longestList = 1_000_000;

const line = /^([0-9a-f]{64}) [ *](.+)$/;
const canBeListed = (name: string): boolean => !/[\\\r\n]/.test(name);

function* entries(list: string): Generator<[sum: string, name: string]> {
  for (const text of list.split("\n")) {
    const [, sum, name] = line.exec(text) ?? [];
    if (sum !== undefined && name !== undefined) yield [sum, name];
  }
}

/** Sums of all that was written under a name. */
export function listedSums(list: string, name: string): Set<string> {
  const sums = new Set<string>();
  for (const [sum, listed] of entries(list)) if (listed === name) sums.add(sum);
  return sums;
}

/**
 * What has to be put behind a list, so that it holds these files too; "" where it does already.
 *
 * @param sums  SHA-256 by file name
 */
export function addToList(list: string, sums: ReadonlyMap<string, string>): string {
  const listed = new Set<string>();
  for (const [sum, name] of entries(list)) listed.add(`${sum}  ${name}`);
  const more = [...sums]
    .filter(([name]) => canBeListed(name))
    .map(([name, sum]) => `${sum}  ${name}`)
    .filter((text) => !listed.has(text));
  if (more.length === 0) return "";
  return `${list === "" ? heading : list.endsWith("\n") ? "" : "\n"}${more.join("\n")}\n`;
}

/** A list grown too long with the newest line of each name alone; null for one that is short enough. */
export function shortenedList(list: string): string | null {
  if (list.length <= longestList) return null;
  const newest = new Map<string, string>();
  for (const [sum, name] of entries(list)) newest.set(name, sum);
  const short = addToList("", newest);
  return short.length < list.length / 2 ? short : null;
}
