/** Runs the built command as a person does, and keeps what it says. */
import { spawn } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { afterAll } from "vitest";

export const root = fileURLToPath(new URL("../..", import.meta.url));
export const command = join(root, "dist/stripcurve.js");
export const demo = (name: string): string => join(root, "data-demo", name);

if (!existsSync(command)) throw new Error("These tests run the built command: npm run build first.");

export interface Outcome {
  code: number | null;
  signal: NodeJS.Signals | null;
  out: string;
  err: string;
}

export interface Circumstances {
  stdin?: string | Uint8Array;
  env?: Record<string, string>;
  cwd?: string;
  /** Runs as this user, where the tests run as root, whom no permission stops. */
  uid?: number;
  /** Another copy of the command. */
  program?: string;
}

/** Waits for the command's end. No colours or debugging are taken over from the surroundings. */
export function run(
  args: readonly string[],
  { stdin, env, cwd, uid, program }: Circumstances = {},
): Promise<Outcome> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, [program ?? command, ...args], {
      cwd: cwd ?? root,
      ...(uid === undefined ? {} : { uid, gid: uid }),
      env: { PATH: process.env["PATH"] ?? "", ...env },
    });
    const said = { out: "", err: "" };
    child.stdout.setEncoding("utf8").on("data", (text: string) => (said.out += text));
    child.stderr.setEncoding("utf8").on("data", (text: string) => (said.err += text));
    child.on("error", reject);
    child.on("close", (code, signal) => resolve({ code, signal, ...said }));
    child.stdin.on("error", () => {});
    child.stdin.end(stdin ?? "");
  });
}

let before: Promise<unknown> = Promise.resolve();

/**
 * Runs the built command within this process: a tenth of the time, where neither standard input, surroundings nor signals
 * are the point. One call waits for the other, as they share the streams and the folder that they run in.
 */
export function runHere(args: readonly string[], { cwd }: Pick<Circumstances, "cwd"> = {}): Promise<Outcome> {
  const outcome = before.then(() => runAlone(args, cwd ?? root));
  before = outcome.catch(() => {});
  return outcome;
}

async function runAlone(args: readonly string[], folder: string): Promise<Outcome> {
  const { runCommand } = (await import(pathToFileURL(join(root, "dist/stripcurve-command.js")).href)) as {
    runCommand: (args: readonly string[]) => Promise<void>;
  };
  const said = { out: "", err: "" };
  const take = (stream: NodeJS.WriteStream, to: "out" | "err"): (() => void) => {
    const { write } = stream;
    stream.write = ((part: string | Uint8Array, ...more: unknown[]): boolean => {
      said[to] += typeof part === "string" ? part : Buffer.from(part).toString("utf8");
      (more.find((one) => typeof one === "function") as (() => void) | undefined)?.();
      return true;
    }) as typeof stream.write;
    return () => void (stream.write = write);
  };
  const giveBack = [take(process.stdout, "out"), take(process.stderr, "err")];
  const { exitCode } = process;
  process.exitCode = undefined;
  const startedIn = process.cwd();
  process.chdir(folder);
  try {
    await runCommand(args);
    return { code: Number(process.exitCode ?? 0), signal: null, ...said };
  } finally {
    process.chdir(startedIn);
    process.exitCode = exitCode;
    for (const give of giveBack) give();
  }
}

/** An empty folder for one test file, gone when its tests are over. */
export function scratchFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), "stripcurve-test-"));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** The demo's last season of some varieties: where an analysis is needed and its size is not the point. */
export const stripsOf = (...varieties: string[]): string => stripsIn("strips-2026.csv", ...varieties);

/** The same of any file of the demo. */
export function stripsIn(file: string, ...varieties: string[]): string {
  const [header, ...rows] = readFileSync(demo(file), "utf8").split("\n");
  return [header, ...rows.filter((row) => varieties.some((variety) => row.includes(variety)))].join("\n");
}

/** A file of one variety's strips in a folder. */
export function oneVariety(folder: string, variety: string): string {
  const path = join(folder, "one-variety.csv");
  writeFileSync(path, stripsOf(variety));
  return path;
}

/** What lies in a folder, hidden files too, but for the list of what the command wrote there. */
export const filesIn = (path: string): string[] =>
  readdirSync(path)
    .filter((name) => name !== ".stripcurve-written")
    .sort();
