import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { demo, root, run, runHere } from "./run.ts";

const commands = ["check", "fit", "report"];

describe("help", () => {
  it("teaches each command by examples that name it", async () => {
    for (const name of commands) {
      const { code, out, err } = await runHere([name, "--help"]);
      expect({ code, err }).toEqual({ code: 0, err: "" });
      expect(out).toMatch(/^Examples:$/m);
      expect(out).toContain(`  stripcurve ${name} strips`);
      expect(out).toContain("--grain-price");
    }
  });

  it("is the same by `help` and by `--help`, and lists every command", async () => {
    expect((await runHere(["help", "check"])).out).toBe((await runHere(["check", "--help"])).out);
    const { code, out } = await runHere(["--help"]);
    expect(code).toBe(0);
    for (const name of [...commands, "season"]) expect(out).toMatch(new RegExp(`^  ${name} `, "m"));
  });

  it("gives the version of the package", async () => {
    const { version } = JSON.parse(readFileSync(join(root, "package.json"), "utf8")) as { version: string };
    expect(await run(["--version"])).toMatchObject({ code: 0, out: `${version}\n`, err: "" });
  });
});

describe("wrong use", () => {
  it.each([
    [[], /check/],
    [["chek"], /Did you mean check\?/],
    [["check"], /files/],
    [["check", "--lotz", "x.csv", "strips.csv"], /--lotz.*\n.*--lots/],
    [["check", "--units", "furlongs", "strips.csv"], /us, metric/],
    [["check", "--crop", "tulips", "strips.csv"], /wheat/],
    [["report", "strips.csv"], /--output/],
    [["fit", demo("strips-2024.csv"), "--grain-price", "cheap"], /--grain-price.*cheap/s],
    [["fit", demo("strips-2024.csv"), "--grain-price", "-3"], /--grain-price/],
    [["check", "-", "-"], /standard input/i],
    [["check", "--lots", "-", "-"], /standard input/i],
    [
      ["fit", demo("strips-2024.csv"), "--season", "a.yaml", "--season=b.yaml"],
      /^--season is given twice.*Give it once/,
    ],
    [["report", "-o", "a.html", "--output", "b.html", demo("strips-2024.csv")], /^--output is given twice/],
    [["help", "chek"], /Unknown command 'chek'[^]*Did you mean check\?/],
  ] as [string[], RegExp][])("%j ends with 2 and says what to do", async (args, message) => {
    const { code, out, err } = await runHere(args);
    expect(code).toBe(2);
    expect(out).toBe("");
    expect(err).toMatch(message);
    expect(err).not.toMatch(/\n {4}at |node:|\.js:\d/);
  });

  it("is not to give a mark twice, nor an option that takes a list", async () => {
    const lots = ["--lots", demo("lots.csv"), "--lots", demo("lots.csv")];
    const { code, err } = await runHere(["check", "-q", "-q", demo("strips-2024.csv"), ...lots]);
    expect({ code, err }).toEqual({ code: 0, err: "" });
  });

  it("does not let an argument steer the terminal", async () => {
    const { err } = await runHere(["check", "no\u001b[2Jsuch\u202e.csv"]);
    expect(err).toContain("no\\u{1b}[2Jsuch\\u{202e}.csv");
    expect(err).not.toMatch(/[\u001b\u202e]/);
  });
});
