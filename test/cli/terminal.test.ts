import { execFile, spawn } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
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

/** A person at a terminal who types one answer at each prompt; all that was shown. */
const talked = (args: string[], typed: readonly string[]): Promise<string> =>
  new Promise((resolve, reject) => {
    const line = [process.execPath, command, ...args].map((word) => `'${word}'`).join(" ");
    const child = spawn(script, ["-qec", line, "/dev/null"], {
      env: { PATH: process.env["PATH"] ?? "", TERM: "dumb", NO_COLOR: "1" },
    });
    let shown = "";
    let answered = 0;
    child.stdout.on("data", (bytes: Buffer) => {
      shown += bytes.toString();
      if (shown.split("leave it open: ").length - 1 > answered) child.stdin.write(`${typed[answered++]}\n`);
    });
    child.on("error", reject);
    child.on("close", () => resolve(shown.replaceAll("\r", "")));
  });

describe.skipIf(!existsSync(script))(
  "asked on a terminal (skipped where util-linux's script is missing)",
  () => {
    it("numbers the likeliest meanings, takes a number, asks again for what is none, and asks nothing twice", async () => {
      const folder = mkdtempSync(join(tmpdir(), "stripcurve-asked-"));
      const strips = join(folder, "strips.csv");
      const rows = [1, 2, 3].flatMap((block) =>
        [900_000, 1_200_000, 1_500_000].map((rate, index) =>
          [
            index === 2 && block === 3 ? "Lornwik" : "Lornwick",
            2026,
            block,
            rate,
            50 + index + block / 10,
            "sagging",
          ].join(","),
        ),
      );
      writeFileSync(
        strips,
        `Name of seed,season,rep,rate (seeds/ac),yield (bu/ac),lodging\n${rows.join("\n")}\n`,
      );
      try {
        const shown = await talked(["check", strips, "--save-answers"], ["7", "1", "1", "3"]);
        expect(shown).toContain("which column is the variety?\n  1  Name of seed\n");
        expect(shown).toContain(
          "Is “Lornwik” the same variety as “Lornwick”?\n  1  yes, Lornwick\n  2  no, it is one of its own\n",
        );
        expect(shown).toContain("How bad is lodging that is called “sagging”");
        expect(shown).toContain("nine strips used, 0 left out");
        const kept = readFileSync(join(folder, "columns.yaml"), "utf8");
        expect(kept).toContain("columns:\n  Name of seed: variety\n");
        expect(kept).toContain("names:\n  variety:\n    Lornwik: Lornwick\n");
        expect(kept).toContain("lodging_words:\n  sagging: 4\n");
        expect(await talked(["check", strips, "--save-answers"], [])).not.toContain("leave it open");
      } finally {
        rmSync(folder, { recursive: true });
      }
    });
  },
);

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
