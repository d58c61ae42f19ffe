/** The only file that touches the disk: what is read is read whole, what is written is written whole or not at all. */
import { createHash, randomUUID } from "node:crypto";
import { closeSync, constants, openSync, rmSync } from "node:fs";
import {
  access,
  appendFile,
  chmod,
  mkdir,
  open,
  readFile,
  readdir,
  readlink,
  realpath,
  rename,
  rmdir,
  stat,
  writeFile,
  type FileHandle,
} from "node:fs/promises";
import { basename, dirname, isAbsolute, join, resolve, sep } from "node:path";
import {
  cannotDo,
  fileInTheWay,
  fileThere,
  fileTooLarge,
  isReadToo,
  linkLeadsOut,
  namedLikeNone,
  withoutName,
  writtenTwice,
} from "../messages/disk.ts";
import type { InputFile } from "../read/tables/input-file.ts";
import { TrialError } from "../vocabulary/trial.ts";
import { addToList, listedSums, shortenedList, writtenListName } from "./written-list.ts";

/** The name that stands for standard input or standard output. */
export const standardStream = "-";

/** More than any field network writes down; guards against endless devices and pipes. */
const largestInputBytes = 2 ** 31 - 1;

const reasons: Record<string, string> = {
  ENOENT: "there is no such file or folder",
  EACCES: "you have no permission",
  EPERM: "you have no permission",
  EISDIR: "it is a folder, not a file",
  ENOTDIR: "part of its path is a file, not a folder",
  ELOOP: "its links lead round in a circle",
  ENAMETOOLONG: "the name is too long",
  ENOSPC: "the disk is full",
  EDQUOT: "your share of the disk is full",
  EFBIG: "the file would be larger than allowed",
  EROFS: "the disk is read-only",
  EMFILE: "too many files are open",
  ENFILE: "too many files are open",
  EIO: "the disk reports an error",
  ENXIO: "nothing is at the other end of it",
  ETXTBSY: "it is a program that is running",
  EBUSY: "it is in use",
};

const codeOf = (error: unknown): string =>
  error instanceof Error && "code" in error && typeof error.code === "string" ? error.code : "";

function fileError(deed: "read" | "write", name: string, error: unknown): Error {
  const code = codeOf(error);
  if (error instanceof TrialError || code === "") return error as Error;
  return name === "" ? withoutName(deed) : cannotDo(deed, name, reasons[code] ?? code);
}

async function readStream(stream: AsyncIterable<Uint8Array>, name: string): Promise<Uint8Array> {
  const parts: Uint8Array[] = [];
  let size = 0;
  for await (const part of stream) {
    size += part.length;
    if (size > largestInputBytes) throw fileTooLarge(name);
    parts.push(part);
  }
  return Buffer.concat(parts, size);
}

/** Where the files lie that this run has read: none of them is ever written over. */
const wasRead = new Set<string>();

/**
 * One input file, whole. `-` is standard input.
 *
 * @param kept  whether it is never to be written over; answers are, when they are saved with more
 * @throws TrialError `cannot-read` with the reason in plain words
 */
export async function readInput(path: string, kept = true): Promise<InputFile> {
  const name = path === standardStream ? "standard input" : path;
  try {
    if (path === standardStream) return { name, bytes: await readStream(process.stdin, name) };
    const file = await open(path);
    try {
      const about = await file.stat();
      if (about.isFile() && kept) wasRead.add(await realpath(path));
      if (about.size > largestInputBytes) throw fileTooLarge(name);
      const bytes = about.isFile()
        ? await file.readFile()
        : await readStream(file.createReadStream({ autoClose: false }) as AsyncIterable<Uint8Array>, name);
      return { name, bytes };
    } finally {
      await file.close();
    }
  } catch (error) {
    throw fileError("read", name, error);
  }
}

/**
 * Several input files in the order asked.
 *
 * @throws TrialError `cannot-read`; `standard-input-twice` if `-` is among them more than once
 */
export async function readInputs(paths: readonly string[]): Promise<InputFile[]> {
  const files: InputFile[] = [];
  for (const path of paths) files.push(await readInput(path));
  return files;
}

const pattern = /[*?[{]/;

/**
 * Names with patterns such as `strips-*.csv` written out, as some shells leave to the program. What is there under its
 * very name is no pattern.
 *
 * @returns names as given; of a pattern those that it stands for, in the order of their letters
 * @throws TrialError `pattern-without-files` for a pattern that no file is named like
 */
export async function namesOf(given: readonly string[]): Promise<string[]> {
  const names: string[] = [];
  for (const name of given) {
    if (!pattern.test(name) || (await isThere(name))) {
      names.push(name);
      continue;
    }
    // Loaded only here: most shells write patterns out themselves.
    const { glob } = await import("tinyglobby");
    const found = await glob(sep === "\\" ? name.replaceAll(sep, "/") : name, {
      absolute: isAbsolute(name),
      expandDirectories: false,
    });
    if (found.length === 0) throw namedLikeNone(name);
    names.push(...found.sort());
  }
  return names;
}

/** Whether there is a file or folder of this name. */
export const isThere = (path: string): Promise<boolean> =>
  access(path).then(
    () => true,
    () => false,
  );

export const isFolder = (path: string): Promise<boolean> =>
  stat(path).then(
    (about) => about.isDirectory(),
    () => false,
  );

/** What lies in a folder. */
export interface FolderEntry {
  name: string;
  path: string;
  /** Anything else is a pipe or a device, which may be waited for without end. */
  kind: "file" | "folder" | "else";
}

/**
 * Files and folders directly in a folder, in the order of their names; hidden ones are not looked at.
 *
 * @throws TrialError `cannot-read`; `link-leads-out` where a link in it leads to somewhere else on the disk
 */
export async function listFolder(folder: string): Promise<FolderEntry[]> {
  try {
    const home = await realpath(folder);
    const entries: FolderEntry[] = [];
    for (const name of (await readdir(folder)).filter((one) => !one.startsWith(".")).sort()) {
      const path = join(folder, name);
      if (!(await realpath(path)).startsWith(`${home}${sep}`)) throw linkLeadsOut(path);
      const about = await stat(path);
      entries.push({ name, path, kind: about.isDirectory() ? "folder" : about.isFile() ? "file" : "else" });
    }
    return entries;
  } catch (error) {
    throw fileError("read", folder, error);
  }
}

/** A file that belongs to the program, as built beside it. */
export const readOwnFile = (name: string): Promise<string> =>
  readFile(new URL(`./${name}`, import.meta.url), "utf8");

/** Pieces put together to parts that are worth a call to the system. */
function* inParts(pieces: Iterable<string> | Uint8Array): Generator<string | Uint8Array> {
  if (pieces instanceof Uint8Array) {
    yield pieces;
    return;
  }
  let part = "";
  for (const piece of pieces) {
    part += piece;
    if (part.length < 65_536) continue;
    yield part;
    part = "";
  }
  if (part !== "") yield part;
}

/** Written on standard output, waited for until it is out. A reader that has seen enough and closed it is no error. */
async function writeStandardOutput(content: Iterable<string> | Uint8Array): Promise<void> {
  const write = (part: string | Uint8Array): Promise<void> =>
    new Promise((resolve, reject) => {
      process.stdout.write(part, (error) => (error ? reject(error) : resolve()));
    });
  try {
    for (const part of inParts(content)) await write(part);
  } catch (error) {
    if (codeOf(error) !== "EPIPE") throw fileError("write", "standard output", error);
  }
}

const unfinished = new Set<string>();
const signals = ["SIGINT", "SIGTERM", "SIGHUP"] as const;

/** Takes the unfinished files away and then ends the way the signal asked for. */
function stop(signal: NodeJS.Signals): void {
  for (const path of unfinished) rmSync(path, { force: true });
  unguard();
  process.kill(process.pid, signal);
}
const guard = (): void => signals.forEach((signal) => void process.on(signal, stop));
const unguard = (): void => signals.forEach((signal) => void process.off(signal, stop));

/**
 * Makes an empty file beside the one that it is to replace, under a name that no earlier run can have left behind.
 * All in one go: an interruption finds the file either not there yet or on the list of those to be taken away.
 */
function startUnfinished(path: string): string {
  const temporary = join(dirname(path), `.${basename(path).slice(0, 100)}.${randomUUID()}.part`);
  closeSync(openSync(temporary, "wx"));
  unfinished.add(temporary);
  return temporary;
}

/** Puts a file that is whole now in the place of the old one. */
async function finish(temporary: string, path: string): Promise<void> {
  await rename(temporary, path);
  unfinished.delete(temporary);
}

/** Where a file really lies once links are followed. */
interface Target {
  path: string;
  /** Of the file that is there; null where none is. */
  mode: number | null;
  kind: "file" | "pipe" | "device";
}

async function target(path: string): Promise<Target> {
  try {
    const real = await realpath(path);
    const about = await stat(real);
    if (about.isDirectory()) throw Object.assign(new Error(), { code: "EISDIR" });
    await access(real, constants.W_OK);
    if (wasRead.has(real)) throw isReadToo(path);
    const kind = about.isFile() ? "file" : about.isFIFO() ? "pipe" : "device";
    return { path: real, mode: about.mode & 0o7777, kind };
  } catch (error) {
    if (codeOf(error) !== "ENOENT") throw error;
    // A link to what is not there yet: the file comes where it leads, and the link stays.
    const led = await readlink(path).catch(() => null);
    if (led !== null) return target(resolve(await realpath(dirname(path)), led));
    return { path, mode: null, kind: "file" };
  }
}

const sha256 = "sha256";

/** Whether a file holds nothing, or just what this program once wrote under its name: nothing of anybody's is lost with it. */
async function holdsNoWork(path: string): Promise<boolean> {
  const { size } = await stat(path);
  if (size === 0) return true;
  const list = await readFile(join(dirname(path), writtenListName), "utf8").catch(() => "");
  const sums = listedSums(list, basename(path));
  if (sums.size === 0) return false;
  const file = await open(path);
  try {
    const hash = createHash(sha256);
    for await (const part of file.createReadStream({ autoClose: false })) hash.update(part as Uint8Array);
    return sums.has(hash.digest("hex"));
  } finally {
    await file.close();
  }
}

/**
 * Asks before long work what `writeWhole` asks of each output.
 *
 * @param overwrite  whether what others wrote may be written over
 * @param makesFolder  whether the folder is made where it is not there
 * @throws TrialError `cannot-write`; `file-there` for a file that this program did not write, or that was changed since
 */
export async function checkOutputs(
  paths: readonly string[],
  overwrite: boolean,
  makesFolder = false,
): Promise<void> {
  for (const path of paths) {
    if (path === standardStream) continue;
    try {
      if (makesFolder) await checkFolder(dirname(path));
      const { mode, path: real } = await targetFor(path, overwrite);
      if (mode === null && !makesFolder) await access(dirname(real), constants.W_OK);
    } catch (error) {
      throw fileError("write", path, error);
    }
  }
}

async function targetFor(path: string, overwrite: boolean): Promise<Target> {
  const found = await target(path);
  const isFileThere = found.kind === "file" && found.mode !== null;
  if (isFileThere && !overwrite && !(await holdsNoWork(found.path))) throw fileThere(path);
  return found;
}

/** Opens a pipe for writing, where somebody reads it: otherwise it would be waited for without end. */
async function openPipe(path: string): Promise<FileHandle> {
  const first = await open(path, constants.O_WRONLY | constants.O_NONBLOCK);
  try {
    return await open(path, constants.O_WRONLY);
  } finally {
    await first.close();
  }
}

/** Remembers what was written into a folder. Where that cannot be, the files count as somebody else's next time. */
async function remember(folder: string, sums: ReadonlyMap<string, string>): Promise<void> {
  const path = join(folder, writtenListName);
  try {
    const before = await readFile(path, "utf8").catch(() => "");
    const more = addToList(before, sums);
    if (more === "") return;
    await appendFile(path, more);
    const shorter = shortenedList(before + more);
    if (shorter === null) return;
    const temporary = startUnfinished(path);
    await writeFile(temporary, shorter, { flag: "r+" });
    await finish(temporary, path);
  } catch {
    // A folder that may not be written into, but its files may.
  }
}

/** Writes all of a content and gives its SHA-256. */
async function writeAndClose(
  file: FileHandle,
  content: Iterable<string> | Uint8Array,
  sync: boolean,
): Promise<string> {
  const hash = createHash(sha256);
  function* hashed(): Generator<string | Uint8Array> {
    for (const part of inParts(content)) {
      hash.update(part);
      yield part;
    }
  }
  try {
    await writeFile(file, hashed());
    if (sync) await file.sync();
  } finally {
    await file.close();
  }
  return hash.digest("hex");
}

/** A file to be written: text, whole or in pieces, or bytes. */
export interface OutputFile {
  path: string;
  content: string | Iterable<string> | Uint8Array;
}

/**
 * Writes files whole or not at all: each into a file of its own beside the old one, which is replaced only when all
 * are on disk. `-`, pipes and devices are written to as they are. An interruption leaves the old files as they were.
 *
 * What is written is listed in a hidden file of its folder, so that it is known for the program's own next time.
 *
 * @param files  may come one after the other, and each is let go of when it is on disk
 * @param overwrite  whether what others wrote may be written over
 * @throws TrialError `cannot-write` with the reason in plain words; `file-there` as `checkOutputs` does
 */
export async function writeWhole(
  files: Iterable<OutputFile> | AsyncIterable<OutputFile>,
  overwrite: boolean,
): Promise<void> {
  const ready = new Map<string, { temporary: string; sum: string }>();
  guard();
  try {
    for await (const { path, content: given } of files) {
      const content = typeof given === "string" ? [given] : given;
      try {
        if (path === standardStream) {
          await writeStandardOutput(content);
          continue;
        }
        const { path: real, mode, kind } = await targetFor(path, overwrite);
        if (kind !== "file") {
          const file = kind === "pipe" ? await openPipe(real) : await open(real, "w");
          await writeAndClose(file, content, false);
          continue;
        }
        if (ready.has(real)) throw writtenTwice(path);
        const temporary = startUnfinished(real);
        // Opened as it lies there: what an interruption has just taken away is not to come back.
        const sum = await writeAndClose(await open(temporary, "r+"), content, true);
        if (mode !== null) await chmod(temporary, mode);
        ready.set(real, { temporary, sum });
      } catch (error) {
        throw fileError("write", path, error);
      }
    }
    const written = new Map<string, Map<string, string>>();
    for (const [path, { temporary, sum }] of ready) {
      try {
        await finish(temporary, path);
      } catch (error) {
        throw fileError("write", path, error);
      }
      const sums = written.get(dirname(path)) ?? new Map<string, string>();
      written.set(dirname(path), sums.set(basename(path), sum));
    }
    for (const [folder, sums] of written) await remember(folder, sums);
  } finally {
    for (const temporary of unfinished) rmSync(temporary, { force: true });
    unfinished.clear();
    unguard();
  }
}

/**
 * Asks before long work what `makeFolder` asks, and makes nothing.
 *
 * @throws TrialError `cannot-write` where a file is in the way, or the folder that it would lie in cannot be written to
 */
export async function checkFolder(path: string): Promise<void> {
  for (let place = resolve(path); ; place = dirname(place)) {
    try {
      if (!(await stat(place)).isDirectory()) throw fileInTheWay(place === resolve(path) ? path : place);
      return await access(place, constants.W_OK);
    } catch (error) {
      if (codeOf(error) === "ENOENT" && dirname(place) !== place) continue;
      if (codeOf(error) === "ENOTDIR") continue;
      throw fileError("write", path, error);
    }
  }
}

/**
 * Makes a folder and those above it, where they are not there yet.
 *
 * @returns whether it was not there
 * @throws TrialError `cannot-write`
 */
export async function makeFolder(path: string): Promise<boolean> {
  try {
    return (await mkdir(path, { recursive: true })) !== undefined;
  } catch (error) {
    if (codeOf(error) === "EEXIST") {
      throw fileInTheWay(path);
    }
    throw fileError("write", path, error);
  }
}

/** Takes a folder away in which nothing is; any other stays. */
export const removeEmptyFolder = (path: string): Promise<void> => rmdir(path).catch(() => undefined);
