import { execFile, execFileSync, spawn } from "node:child_process";
import {
  chmodSync,
  existsSync,
  lstatSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { join } from "node:path";
import { buildSync } from "esbuild";
import { describe, expect, it } from "vitest";
import { command, demo, oneVariety, root, run, scratchFolder, filesIn, runHere } from "./run.ts";

const folder = scratchFolder();
chmodSync(folder, 0o755);
const emptyFolder = (name: string): string => {
  const path = join(folder, name);
  mkdirSync(path);
  return path;
};
const strips = ["strips-2024.csv", "strips-2025.csv", "strips-2026.csv"].map(demo);
const ostrindel = oneVariety(folder, "Ostrindel");

describe("standard output and standard error", () => {
  it("keep results and messages apart", async () => {
    const { code, out, err } = await run(["fit", ostrindel, "--json"]);
    expect(code).toBe(0);
    expect(JSON.parse(out)).toMatchObject({ schema: "stripcurve-result-1" });
    expect(err).toMatch(/left out|doubtful/);
    expect((await runHere(["fit", ostrindel, "--json", "--quiet"])).err).toBe("");
  });

  it("say nothing of progress or colour where no terminal is", async () => {
    const { out, err } = await run(["check", ...strips], { env: { TERM: "xterm-256color" } });
    expect(out + err).not.toMatch(/\u001b|\r/);
  });

  it("may be closed by a reader that has seen enough", async () => {
    const pipe = `set -o pipefail; "${process.execPath}" "${command}" fit "${ostrindel}" --json --quiet | head -c 20`;
    const ended = await new Promise<{ code: number | null; err: string }>((resolve) => {
      const child = spawn("bash", ["-c", pipe], { stdio: ["ignore", "ignore", "pipe"] });
      let err = "";
      child.stderr.on("data", (text: Buffer) => (err += text.toString()));
      child.on("close", (code) => resolve({ code, err }));
    });
    expect(ended).toEqual({ code: 0, err: "" });
  });

  it.skipIf(!existsSync("/dev/full"))("tell of a full disk", async () => {
    const full = await new Promise<{ code: number | null; err: string }>((resolve) => {
      const child = spawn("bash", [
        "-c",
        `"${process.execPath}" "${command}" check "${strips[0]}" > /dev/full`,
      ]);
      let err = "";
      child.stderr.on("data", (text: Buffer) => (err += text.toString()));
      child.on("close", (code) => resolve({ code, err }));
    });
    expect(full).toEqual({ code: 2, err: "Cannot write standard output: the disk is full.\n" });
    const { code, err } = await run(["check", strips[0]!, "-o", "/dev/full"]);
    expect({ code, err }).toEqual({ code: 2, err: "Cannot write /dev/full: the disk is full.\n" });
  });
});

describe("a file that is written", () => {
  it("holds what standard output would, and leaves nothing beside it", async () => {
    const here = emptyFolder("whole");
    const { code, out } = await runHere(["check", ...strips, "-o", join(here, "check.txt")]);
    expect({ code, out }).toEqual({ code: 0, out: "" });
    expect(filesIn(here)).toEqual(["check.txt"]);
    expect(readFileSync(join(here, "check.txt"), "utf8")).toBe((await runHere(["check", ...strips])).out);
  });

  it("keeps the mode of the one it replaces, and a link stays a link", async () => {
    const here = emptyFolder("link");
    writeFileSync(join(here, "real.txt"), "old");
    chmodSync(join(here, "real.txt"), 0o640);
    symlinkSync("real.txt", join(here, "link.txt"));
    expect((await runHere(["check", ...strips, "-o", join(here, "link.txt"), "--overwrite"])).code).toBe(0);
    expect(lstatSync(join(here, "link.txt")).isSymbolicLink()).toBe(true);
    expect(readFileSync(join(here, "real.txt"), "utf8")).toContain("Ostrindel");
    expect(statSync(join(here, "real.txt")).mode & 0o777).toBe(0o640);
  });

  it("comes where a link leads to that leads to nothing yet, from its own folder, and the link stays", async () => {
    const here = emptyFolder("dangling");
    mkdirSync(join(here, "real"));
    symlinkSync(join("real", "out.txt"), join(here, "link.txt"));
    symlinkSync("link.txt", join(here, "second.txt"));
    for (const name of ["second.txt", "link.txt"]) {
      expect((await runHere(["season", "-o", join(here, name)])).code).toBe(0);
      expect(lstatSync(join(here, name)).isSymbolicLink(), name).toBe(true);
    }
    expect(readFileSync(join(here, "real", "out.txt"), "utf8")).toContain("grain_price");
  });

  it.each([
    [(here: string) => here, "it is a folder, not a file"],
    [(here: string) => join(here, "none", "check.txt"), "there is no such file or folder"],
  ])("that cannot be is told in one line", async (pathIn, reason) => {
    const path = pathIn(emptyFolder(`cannot-${reason.length}`));
    const { code, out, err } = await runHere(["check", ...strips, "-o", path]);
    expect({ code, out, err }).toEqual({ code: 2, out: "", err: `Cannot write ${path}: ${reason}.\n` });
  });

  it.each([
    ["fit", (here: string) => ["-o", join(here, "none", "out")], "there is no such file or folder"],
    ["report", (here: string) => ["-o", join(here, "none", "out")], "there is no such file or folder"],
    ["fit", (here: string) => ["--csv", join(here, "file")], null],
  ])("that cannot be is told by %s before anything is fitted", async (verb, to, reason) => {
    const here = emptyFolder(`before-${verb}-${reason === null}`);
    writeFileSync(join(here, "file"), "old");
    const given = to(here);
    const told =
      reason === null
        ? `Cannot write into ${given[1]}: it is a file, not a folder.\n`
        : `Cannot write ${given[1]}: ${reason}.\n`;
    const { code, out, err } = await runHere([verb, ostrindel, ...given]);
    expect({ code, out, err }).toEqual({ code: 2, out: "", err: told });
  });

  it("in a folder or over a file without permission is told, and the old file stays", async () => {
    const here = emptyFolder("locked");
    writeFileSync(join(here, "check.txt"), "old");
    chmodSync(join(here, "check.txt"), 0o444);
    chmodSync(here, 0o555);
    const nobody = process.getuid?.() === 0 ? { uid: 65_534 } : {};
    for (const name of ["check.txt", "new.txt"]) {
      const path = join(here, name);
      const { code, err } = await run(["check", ...strips, "-o", path, "--overwrite"], nobody);
      expect({ code, err }).toEqual({ code: 2, err: `Cannot write ${path}: you have no permission.\n` });
    }
    chmodSync(here, 0o755);
    expect(filesIn(here)).toEqual(["check.txt"]);
    expect(readFileSync(join(here, "check.txt"), "utf8")).toBe("old");
  });

  it("does not change when an input turns out unreadable", async () => {
    const path = join(emptyFolder("kept"), "check.txt");
    writeFileSync(path, "old");
    expect((await runHere(["check", strips[0]!, "missing.csv", "-o", path])).code).toBe(2);
    expect(readFileSync(path, "utf8")).toBe("old");
  });
});

describe("a file that is read", () => {
  it("is not written over, by its own or another name, nor by a table of the same name", async () => {
    const here = emptyFolder("own-input");
    const path = join(here, "strips.csv");
    writeFileSync(path, readFileSync(ostrindel));
    symlinkSync("strips.csv", join(here, "link.csv"));
    for (const args of [
      ["check", path, "-o", path],
      ["check", path, "-o", join(here, "link.csv")],
      ["fit", path, "--csv", here],
    ]) {
      const { code, err } = await runHere([...args, "--overwrite"]);
      expect(code).toBe(2);
      expect(err).toMatch(/^Cannot write .*: it is one of the files that are read\. Choose another name\.$/m);
    }
    expect(filesIn(here)).toEqual(["link.csv", "strips.csv"]);
    expect(readFileSync(path)).toEqual(readFileSync(ostrindel));
  });
});

describe("a file that is there already", () => {
  const few = join(folder, "few.csv");
  writeFileSync(
    few,
    ["variety,season,field,block,rate (seeds/ac),yield (bu/ac)", "A,2025,N,1,800000,57.8"]
      .concat("A,2025,N,1,1400000,61.0", "A,2025,N,1,2000000,57.8")
      .join("\n"),
  );
  const every = (here: string): [name: string, args: string[]][] => [
    ["season.yaml", ["season", "-o", join(here, "season.yaml")]],
    ["check.txt", ["check", few, "-o", join(here, "check.txt")]],
    ["fit.json", ["fit", few, "--json", "-o", join(here, "fit.json")]],
    ["strips.csv", ["fit", few, "--csv", here]],
    ["report.html", ["report", few, "-o", join(here, "report.html")]],
    ["rates.svg", ["report", few, "--charts", here, "-o", "/dev/null"]],
    ["seed.txt", ["seed", "--rate", "1.2 million/ac", "-o", join(here, "seed.txt")]],
    ["plan.html", [...planned, "-o", here]],
  ];
  const planned = [
    "plan",
    "--varieties",
    "Ostrindel",
    "--expected-yield",
    "55",
    "--no-paper",
    "--year",
    "2027",
    "--field-length",
    "1200",
    "--field-width",
    "600",
    "--drill-width",
    "40",
    "--combine-width",
    "35",
    "--blocks",
    "2",
    "--rates",
    "3",
  ];

  it("stays as it is unless it is told to go, whatever the command, and then nothing else is written", async () => {
    const here = emptyFolder("theirs");
    for (const [name, args] of every(here)) {
      const path = join(here, name);
      writeFileSync(path, "somebody's work");
      const { code, err } = await runHere(args);
      expect({ name, code, kept: readFileSync(path, "utf8"), files: filesIn(here) }).toEqual({
        name,
        code: 2,
        kept: "somebody's work",
        files: [name],
      });
      expect(err).toContain(
        `${path} is there already, and stripcurve did not write it, or it was changed since: it may hold your work. Choose another name, or give --overwrite.`,
      );
      // One file, and a folder of several: told to go it goes in the same way for all.
      if (name === "check.txt" || name === "plan.html") {
        expect((await runHere([...args, "--overwrite"])).code).toBe(0);
        expect(readFileSync(path, "utf8")).not.toBe("somebody's work");
      }
      for (const file of readdirSync(here)) rmSync(join(here, file));
    }
  });

  it("is replaced without a word where the command wrote it, and not once it was changed", async () => {
    const here = emptyFolder("ours");
    // One of each kind of file: a text is stamped alike whoever writes it, and so is a page.
    const kinds = every(here).filter(([name]) => name !== "seed.txt" && name !== "plan.html");
    for (const [name, args] of kinds) {
      const path = join(here, name);
      expect({ name, code: (await runHere(args)).code }).toEqual({ name, code: 0 });
      expect({ name, ...(await runHere(args)) }).toMatchObject({ name, code: 0 });
      writeFileSync(path, `${readFileSync(path, "utf8")}\n`);
      expect({ name, code: (await runHere(args)).code }).toEqual({ name, code: 2 });
      for (const file of readdirSync(here)) rmSync(join(here, file));
    }
  });

  it("with nothing in it may be written over", async () => {
    const path = join(emptyFolder("nothing"), "season.yaml");
    writeFileSync(path, "");
    expect((await run(["season", "-o", path])).code).toBe(0);
  });

  it.skipIf(!existsSync("/usr/bin/sha256sum"))("can be checked by the list with a common tool", async () => {
    const here = emptyFolder("listed");
    await runHere(["season", "-o", join(here, "season.yaml")]);
    expect(
      execFileSync("sha256sum", ["--check", ".stripcurve-written"], { cwd: here, encoding: "utf8" }),
    ).toBe("season.yaml: OK\n");
  });

  it("is not waited for where it is a pipe that nobody reads", async () => {
    const path = join(emptyFolder("pipe"), "pipe");
    execFileSync("mkfifo", [path]);
    expect(await run(["season", "-o", path])).toMatchObject({
      code: 2,
      err: `Cannot write ${path}: nothing is at the other end of it.\n`,
    });
    const read = new Promise((resolve) => execFile("cat", [path], (_, out) => resolve(out)));
    expect((await run(["season", "-o", path])).code).toBe(0);
    expect(await read).toContain("grain_price");
  });

  it("is not written twice by one command", async () => {
    const here = emptyFolder("twice");
    expect(await runHere(["fit", few, "--csv", here, "-o", join(here, "fits.csv")])).toMatchObject({
      code: 2,
    });
    expect(filesIn(here)).toEqual([]);
  });
});

describe("CSV tables", () => {
  it("go into a folder that is made, and are told by name", async () => {
    const here = join(emptyFolder("csv"), "made", "too");
    const { code, out, err } = await runHere(["fit", ostrindel, "--csv", here]);
    expect(code).toBe(0);
    expect(out).toContain("Ostrindel");
    const names = filesIn(here);
    expect(names).toEqual(
      expect.arrayContaining(["environments.csv", "findings.csv", "fits.csv", "strips.csv"]),
    );
    for (const name of names) expect(err).toContain(join(here, name));
  });

  it("do not go into a file", async () => {
    const path = join(emptyFolder("csv-file"), "file");
    writeFileSync(path, "old");
    const { code, err } = await runHere(["fit", ostrindel, "--csv", path]);
    expect({ code, last: err.trimEnd().split("\n").at(-1) }).toEqual({
      code: 2,
      last: `Cannot write into ${path}: it is a file, not a folder.`,
    });
  });
});

describe("an interruption", () => {
  it("whose unfinished file was left behind does not hinder a later run", async () => {
    const here = emptyFolder("left-behind");
    const path = join(here, "out.txt");
    const program = join(folder, "write-after.mjs");
    // Process ids repeat: every name that a run of this id could have left.
    buildSync({
      stdin: {
        contents: `import { writeFileSync } from "node:fs";
          import { writeWhole } from "./src/cli/files.ts";
          for (const number of [0, 1]) writeFileSync(${JSON.stringify(here)} + "/.out.txt." + process.pid + "." + number + ".part", "half");
          await writeWhole([{ path: ${JSON.stringify(path)}, content: "whole" }], false);`,
        resolveDir: root,
      },
      bundle: true,
      platform: "node",
      format: "esm",
      outfile: program,
    });
    expect((await run([], { program })).code).toBe(0);
    expect(readFileSync(path, "utf8")).toBe("whole");
  });

  it("while input is awaited ends the command by the signal and leaves the old file", async () => {
    const path = join(emptyFolder("waiting"), "check.txt");
    writeFileSync(path, "old");
    const child = spawn(process.execPath, [command, "check", "-", "-o", path, "--overwrite"], { cwd: root });
    const ended = new Promise((resolve) => child.on("close", (code, signal) => resolve({ code, signal })));
    // More than a pipe holds: once it is taken the command is reading, and waits for the rest.
    await new Promise<void>((taken) => child.stdin.write("variety,season\n".repeat(200_000), () => taken()));
    child.kill("SIGINT");
    // A shell tells this as status 130.
    expect(await ended).toEqual({ code: null, signal: "SIGINT" });
    expect(readFileSync(path, "utf8")).toBe("old");
  });

  it.each(["SIGINT", "SIGTERM", "SIGHUP"] as const)(
    "by %s in the middle of writing takes the unfinished file away",
    async (signal) => {
      const here = emptyFolder(`writing-${signal}`);
      const path = join(here, "report.html");
      writeFileSync(path, "old");
      // Writes pieces without end; the test interrupts it as soon as the unfinished file is there.
      const program = join(folder, `write-${signal}.mjs`);
      buildSync({
        stdin: {
          contents: `import { writeWhole } from "./src/cli/files.ts";
          function* endless() { for (;;) { Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 5); yield "x".repeat(70000); } }
          await writeWhole([{ path: ${JSON.stringify(path)}, content: endless() }], true);`,
          resolveDir: root,
        },
        bundle: true,
        platform: "node",
        format: "esm",
        outfile: program,
      });
      const child = spawn(process.execPath, [program]);
      const ended = new Promise((resolve) => child.on("close", (code, by) => resolve({ code, by })));
      // Looks without a pause, so that the signal comes as early as it can.
      const soon = Date.now() + 60_000;
      while (!readdirSync(here).some((name) => name.endsWith(".part")) && Date.now() < soon);
      child.kill(signal);
      expect(await ended).toEqual({ code: null, by: signal });
      expect(filesIn(here)).toEqual(["report.html"]);
      expect(readFileSync(path, "utf8")).toBe("old");
    },
  );
});
