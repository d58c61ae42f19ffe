import { execFile } from "node:child_process";
import { existsSync } from "node:fs";
import { promisify } from "node:util";
import { describe, expect, it } from "vitest";
import { command, demo } from "./run.ts";

/** util-linux's `script` gives the command a terminal. */
const script = "/usr/bin/script";

const onTerminal = async (args: string[], env: Record<string, string> = {}): Promise<string> => {
  const line = [process.execPath, command, ...args].map((word) => `'${word}'`).join(" ");
  const { stdout } = await promisify(execFile)(script, ["-qec", line, "/dev/null"], {
    env: { PATH: process.env["PATH"] ?? "", TERM: "xterm-256color", ...env },
  });
  return stdout;
};

describe.skipIf(!existsSync(script))("on a terminal (skipped where util-linux's script is missing)", () => {
  const strips = demo("strips-2024.csv");

  it("headings are set off and long work says what it is at", async () => {
    const text = await onTerminal(["check", strips]);
    expect(text).toContain("\u001b[1mColumns\u001b[22m");
    expect(text).toContain("\r\u001b[KReading the strips …");
    // The line of progress is taken away before the result comes.
    expect(text.lastIndexOf("\r\u001b[K")).toBeLessThan(text.indexOf("rows in one file"));
  });

  it("NO_COLOR takes the colours away, --quiet the progress", async () => {
    const text = await onTerminal(["check", strips, "--quiet"], { NO_COLOR: "1" });
    expect(text).not.toContain("\u001b");
    expect(text).toContain("rows in one file");
  });

  it("a file gets no colours although a terminal looks on", async () => {
    const text = await onTerminal(["check", strips, "--quiet", "-o", "/dev/stdout"]);
    expect(text).not.toContain("\u001b");
  });

  it("a dumb terminal gets neither", async () => {
    expect(await onTerminal(["check", strips], { TERM: "dumb" })).not.toContain("\u001b");
  });
});
