/** The only file that touches the disk: what is read is read whole, what is written is written whole or not at all. */
import { constants, rmSync } from "node:fs";
import {
  access,
  chmod,
  mkdir,
  open,
  readFile,
  readdir,
  realpath,
  rename,
  stat,
  writeFile,
  type FileHandle,
} from "node:fs/promises";
import { basename, dirname, join, sep } from "node:path";
import type { InputFile } from "../read/tables/input-file.ts";
import { TrialError } from "../vocabulary/trial.ts";

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
  return new TrialError(`cannot-${deed}`, `Cannot ${deed} ${name}: ${reasons[code] ?? code}.`);
}

async function readStream(stream: AsyncIterable<Uint8Array>, name: string): Promise<Uint8Array> {
  const parts: Uint8Array[] = [];
  let size = 0;
  for await (const part of stream) {
    size += part.length;
    if (size > largestInputBytes) throw tooLarge(name);
    parts.push(part);
  }
  return Buffer.concat(parts, size);
}

const tooLarge = (name: string): TrialError =>
  new TrialError("cannot-read", `Cannot read ${name}: it is larger than 2 GB. Split it into several files.`);

/** Where the files lie that this run has read: none of them is ever written over. */
const wasRead = new Set<string>();

/**
 * One input file, whole. `-` is standard input.
 *
 * @throws TrialError `cannot-read` with the reason in plain words
 */
export async function readInput(path: string): Promise<InputFile> {
  const name = path === standardStream ? "standard input" : path;
  try {
    if (path === standardStream) return { name, bytes: await readStream(process.stdin, name) };
    const file = await open(path);
    try {
      const about = await file.stat();
      if (about.isFile()) wasRead.add(await realpath(path));
      if (about.size > largestInputBytes) throw tooLarge(name);
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
  isFolder: boolean;
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
      if (!(await realpath(path)).startsWith(`${home}${sep}`))
        throw new TrialError(
          "link-leads-out",
          `Cannot read ${path}: it is a link that leads out of the folder. Copy what it leads to.`,
        );
      entries.push({ name, path, isFolder: (await stat(path)).isDirectory() });
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

/** Where a file really lies once links are followed, and its mode if it is there. */
async function target(path: string): Promise<{ path: string; mode: number | null; plain: boolean }> {
  try {
    const real = await realpath(path);
    const about = await stat(real);
    if (about.isDirectory()) throw Object.assign(new Error(), { code: "EISDIR" });
    await access(real, constants.W_OK);
    if (wasRead.has(real)) {
      throw new TrialError(
        "cannot-write",
        `Cannot write ${path}: it is one of the files that are read. Choose another name.`,
      );
    }
    return { path: real, mode: about.mode & 0o7777, plain: about.isFile() };
  } catch (error) {
    if (codeOf(error) !== "ENOENT") throw error;
    return { path, mode: null, plain: true };
  }
}

async function writeAndClose(
  file: FileHandle,
  content: Iterable<string> | Uint8Array,
  sync: boolean,
): Promise<void> {
  try {
    await writeFile(file, inParts(content));
    if (sync) await file.sync();
  } finally {
    await file.close();
  }
}

/** A file to be written: text, whole or in pieces, or bytes. */
export interface OutputFile {
  path: string;
  content: string | Iterable<string> | Uint8Array;
}

/**
 * Writes files whole or not at all: each into a file of its own beside the old one, which is replaced only when all
 * are on disk. `-` and devices are written to as they are. An interruption leaves the old files as they were.
 *
 * @throws TrialError `cannot-write` with the reason in plain words
 */
export async function writeWhole(files: readonly OutputFile[]): Promise<void> {
  const ready: { temporary: string; path: string }[] = [];
  guard();
  try {
    for (const { path, content: given } of files) {
      const content = typeof given === "string" ? [given] : given;
      try {
        if (path === standardStream) {
          await writeStandardOutput(content);
          continue;
        }
        const { path: real, mode, plain } = await target(path);
        if (!plain) {
          await writeAndClose(await open(real, "w"), content, false);
          continue;
        }
        const temporary = join(
          dirname(real),
          `.${basename(real).slice(0, 100)}.${process.pid}.${ready.length}.part`,
        );
        const file = await open(temporary, "wx");
        unfinished.add(temporary);
        await writeAndClose(file, content, true);
        if (mode !== null) await chmod(temporary, mode);
        ready.push({ temporary, path: real });
      } catch (error) {
        throw fileError("write", path, error);
      }
    }
    for (const { temporary, path } of ready) {
      try {
        await rename(temporary, path);
        unfinished.delete(temporary);
      } catch (error) {
        throw fileError("write", path, error);
      }
    }
  } finally {
    for (const temporary of unfinished) rmSync(temporary, { force: true });
    unfinished.clear();
    unguard();
  }
}

/**
 * Makes a folder and those above it, where they are not there yet.
 *
 * @throws TrialError `cannot-write`
 */
export async function makeFolder(path: string): Promise<void> {
  try {
    await mkdir(path, { recursive: true });
  } catch (error) {
    if (codeOf(error) === "EEXIST") {
      throw new TrialError("cannot-write", `Cannot write into ${path}: it is a file, not a folder.`);
    }
    throw fileError("write", path, error);
  }
}
