import { execFileSync, spawn } from "node:child_process";
import { existsSync, mkdirSync, readdirSync, readFileSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import {
  command,
  demo,
  filesIn,
  oneVariety,
  run,
  runHere,
  scratchFolder,
  stripsOf,
  type Outcome,
} from "./run.ts";

const folder = scratchFolder();
/** One variety of the demo: what is told of clients does not need all of them. */
const strips = stripsOf("Ostrindel");
const lots = readFileSync(demo("lots.csv"), "utf8");
const made = (path: string, files: Record<string, string>): string => {
  const home = join(folder, path);
  mkdirSync(home, { recursive: true });
  for (const [name, text] of Object.entries(files)) writeFileSync(join(home, name), text);
  return home;
};
const report = (from: string[], to: string, ...more: string[]): Promise<Outcome> =>
  runHere(["report", ...from, "--reader", "agronomist", "-o", to, ...more]);
const summaryOf = (to: string): string => readFileSync(join(to, "index.html"), "utf8");

describe("a folder of clients", () => {
  const home = join(folder, "clients");
  const to = join(folder, "out", "2027");
  let outcome: Outcome;
  beforeAll(async () => {
    // Two clients with the same field names; one has lots of its own, the other those beside the clients.
    made("clients/Aspen <b>Flat", {
      "strips.csv": strips,
      "lots.csv": lots.replace("1600000", "1050000"),
      "plan.docx": "x",
    });
    made("clients", {
      "Birch.csv": strips,
      "lots.csv": lots,
      "season.yaml": readFileSync(demo("season.yaml"), "utf8"),
    });
    outcome = await report([home], to);
  });

  it("gives a summary that links to a page for each", () => {
    expect(outcome).toMatchObject({ code: 0, out: "" });
    expect(filesIn(to)).toEqual(["client-aspen-b-flat.html", "client-birch.html", "index.html"]);
    const summary = summaryOf(to);
    expect(summary).toContain('<a href="client-aspen-b-flat.html">Aspen &lt;b&gt;Flat</a>');
    expect(summary).toContain("Two clients · wheat");
    expect(outcome.err).toContain(`Wrote ${to}.`);
  });

  it("takes lots and season of a client before those beside the clients", () => {
    const page = (name: string): string => readFileSync(join(to, name), "utf8");
    const now = (text: string): string =>
      /Ostrindel<\/bdi>(?:<\/a>)?<\/th>\s*<td class="move"[^>]*>\s*<span class="now">([0-9.]+)/.exec(
        text,
      )![1]!;
    expect(now(page("client-aspen-b-flat.html"))).toBe("1.05");
    expect(now(page("client-birch.html"))).toBe("1.60");
    expect(page("client-aspen-b-flat.html")).toContain("$6.25/bu");
  });

  it("keeps fields of the same name apart", () => {
    const summary = summaryOf(to);
    expect(summary.replace(/ data-label="[^"]*"|<\/?span>/g, "")).toMatch(
      /Ostrindel<\/bdi><\/th><td>2<\/td><td>4<\/td>/,
    );
    expect(summary).toContain("Birch, Windlass Farm");
  });

  it("lays every fit and check of each client open", () => {
    const page = readFileSync(join(to, "client-birch.html"), "utf8");
    expect(page).toContain('<details class="closer" open>');
    expect(page).toContain("Every curve that was fitted");
  });

  it("counts the same things as doubtful whichever command reads it, and those of curves apart", async () => {
    const doubts = (text: string): number =>
      Number(/(?:^| )(\d+) things? (?:is|are) doubtful/m.exec(text)?.[1] ?? 0);
    const [listed, tables] = [join(folder, "check.txt"), join(folder, "tables")];
    await runHere(["check", home, "-o", listed]);
    const fitted = await runHere(["fit", home, "--csv", tables, "-o", join(folder, "fit.txt")]);
    const sections = [...readFileSync(listed, "utf8").matchAll(/^Doubtful: .*\((\d+)\)$/gm)];
    const checked = sections.reduce((sum, [, count]) => sum + Number(count), 0);
    expect([doubts(fitted.err), doubts(outcome.err)]).toEqual([checked, checked]);
    // Numbers stay numbers for who reads the tables of all clients in R.
    for (const name of filesIn(tables))
      expect(readFileSync(join(tables, name), "utf8"), name).not.toContain("'-");
  });

  it("says what it did not read", () => {
    expect(outcome.err).toContain("Two clients read.\n");
    expect(outcome.err).toContain("/plan.docx: This is not a table of strips, so it was not read.\n");
  });

  it("tells clients of one name apart, and lists what can be there once and a pipe that nobody reads", async () => {
    const alike = made("alike", { "a.csv": strips });
    made("alike/a", { "strips.csv": strips, "season.yml": "crop: wheat\n" });
    made("alike/a", {
      "season.yaml": "crop: wheat\n",
      "lots.csv": lots,
      "lots.tsv": lots.replaceAll(",", "\t"),
    });
    if (process.platform !== "win32") execFileSync("mkfifo", [join(alike, "b.csv")]);
    const { code, out, err } = await runHere(["check", alike]);
    expect(code).toBe(0);
    expect(out).toMatch(/^a\.csv$/m);
    expect(out).toMatch(/^a$/m);
    expect(err).toContain("Two clients read.\n");
    expect(err).toMatch(/lots\.tsv: lots\.csv is read instead; only one can be used\./);
    expect(err).toMatch(/season\.yml: season\.yaml is read instead/);
    if (process.platform !== "win32") expect(err).toContain("b.csv: This is not a table of strips");
  });

  it("leaves out a client that cannot be read, and an entry of a season file that cannot, and says so first", async () => {
    const mixed = made("mixed", {
      "a.csv": strips,
      "b.csv": "no,strips\n1,2\n",
      "README.txt": "for my clients",
    });
    mkdirSync(join(mixed, "Cedar"));
    writeFileSync(join(mixed, "Cedar", "strips.csv"), strips);
    writeFileSync(join(mixed, "Cedar", "season.yaml"), "grian_price: 6\nlargest_step: 5 %\n");
    writeFileSync(join(mixed, "Cedar", "~$strips.xlsx"), "\u0005Bob");
    writeFileSync(join(mixed, "Cedar", "old.xlsx"), "no workbook");
    const into = join(folder, "mixed-out");
    const { code, err } = await report([mixed], into);
    expect(code).toBe(0);
    expect(err).toContain("Two clients read, one client left out.\n");
    const summary = summaryOf(into);
    const [first] = /<section id="[^"]*"/.exec(summary)!;
    expect(first).toBe('<section id="not-read"');
    expect(summary).toMatch(/<b>b<\/b>: .*there is no column/);
    expect(summary).toMatch(
      /<b>Cedar<\/b>: [^<]*line 1, grian_price: There is no such entry\. Did you mean grain_price\? The entry is left out, and the usual value is used instead, marked as assumed\./,
    );
    expect(summary).toMatch(/<b>Cedar\/~\$strips\.xlsx<\/b>: This is not a table of strips/);
    expect(summary).toMatch(
      /<b>Cedar\/old\.xlsx<\/b>: (?:This is not a table|[^<]*is named like a workbook)/,
    );
    // The meaning of the star is told where a gain has one, and nowhere else.
    expect(summary.includes("* a price was not given")).toBe(/\$[\d,]+(?:\/ac)? \*</.test(summary));
    expect(filesIn(into)).toEqual(["client-a.html", "client-cedar.html", "index.html"]);
  });

  it("reads a client whose folder has several tables of lots, the first of them", async () => {
    made("two-lots/Oak", { "strips.csv": strips, "lots.csv": lots, "seed shed.csv": lots });
    made("two-lots/Rowan", { "strips.csv": strips, "bought.csv": lots, "carried.csv": lots });
    const { code, out, err } = await runHere(["check", join(folder, "two-lots")]);
    expect(code).toBe(0);
    expect(err).toMatch(/^Two clients read\.\n/m);
    expect(err).toMatch(/Oak\/seed shed\.csv: lots\.csv is read instead/);
    expect(err).toMatch(/Rowan\/carried\.csv: bought\.csv is read instead/);
    expect(out.match(/Ostrindel {2,}1\.\d+ million seeds\/ac/g)).toHaveLength(2);
  });

  it("reads a client whose tables are in a folder for each season", async () => {
    const [head, ...rows] = strips.trimEnd().split("\n");
    const half = rows.length >> 1;
    made("by-year/Oak", { "lots.csv": lots, "contract.pdf": "%PDF-1.7" });
    made("by-year/Oak/first", { "strips.csv": [head, ...rows.slice(0, half)].join("\n") });
    made("by-year/Oak/second", { "strips.csv": [head, ...rows.slice(half)].join("\n") });
    made("by-year/Rowan", { "strips.csv": strips });
    made("by-year/Elder/old/older", { "strips.csv": strips });
    const { code, out, err } = await runHere(["check", join(folder, "by-year")]);
    expect(code).toBe(0);
    expect(err).toMatch(/^Two clients read, one client left out\.\n/m);
    expect(err).toMatch(/Elder: There is no table of strips in its folder \(only old\)/);
    expect(err).toMatch(/Oak\/contract\.pdf: This is not a table of strips/);
    const counts = [...out.matchAll(/rows? in (?:one file|two files): (\S+) strips used/g)].map(
      ([, used]) => used,
    );
    expect(counts).toEqual([counts[1], counts[1]]);
    expect(out).toMatch(/Ostrindel {2,}1\.\d+ million seeds\/ac/);
  });

  it("reads the answers beside a client's strips, the strips without them where they are broken, and names spellings", async () => {
    const home = made("answered", { "Ash.csv": strips });
    const misspelt = strips.replaceAll("Ostrindel", "OSTRINDEL");
    made("answered/Elm", { "strips.csv": misspelt });
    made("answered/Fir", {
      "strips.csv": misspelt,
      "columns.yaml": "names: {variety: {OSTRINDEL: Ostrindel}}",
    });
    made("answered/Oak", { "strips.csv": strips, "columns.yaml": "columns: [\n - :" });
    const { code, err } = await runHere(["check", home]);
    expect(code).toBe(0);
    const told = err.trimEnd().split("\n");
    expect(told[0]).toBe("Four clients read.");
    expect(told[1]).toMatch(
      /^ {2}Oak: .*columns\.yaml, line 1, "columns: \[": A bracket is opened .*Its strips are read without its answers/,
    );
    expect(told[2]).toBe(
      '  Elm: Its "OSTRINDEL" may be the "Ostrindel" of others, but is kept separate. If they are one variety, say so once in its columns.yaml: names: {variety: {"OSTRINDEL": "Ostrindel"}}.',
    );
    expect(told).toHaveLength(3);
  });

  it("is refused where no client can be read, with the reason of each", async () => {
    const broken = made("broken", { "b.csv": "no,strips\n1,2\n" });
    const { code, err } = await report([broken], join(folder, "broken-out"));
    expect(code).toBe(2);
    expect(err).toMatch(/holds no clients that can be read.*\n {2}b: .*there is no column/s);
  });

  it("does not follow a link out of the folder", async () => {
    const linked = made("linked", { "a.csv": strips });
    symlinkSync(demo("strips-2026.csv"), join(linked, "b.csv"));
    const { code, err } = await report([linked], join(folder, "linked-out"));
    expect({ code, err }).toEqual({
      code: 2,
      err: `Cannot read ${join(linked, "b.csv")}: it is a link that leads out of the folder. Copy what it leads to.\n`,
    });
    expect(readdirSync(folder)).not.toContain("linked-out");
  });

  it.each([
    ["an empty one", (): string[] => [made("empty", {})], "report", /holds no clients/],
    [
      "one beside files",
      (): string[] => [home, demo("strips-2026.csv")],
      "report",
      /one folder of clients and nothing else/,
    ],
    ["pages for which one file is named", (): string[] => [home], "all.html", /2 clients.*name a folder/],
    ["pages for standard output", (): string[] => [home], "-", /2 clients.*name a folder/],
    [
      "one that is not there",
      (): string[] => [join(folder, "none")],
      "report",
      /there is no such file or folder/,
    ],
  ])("of clients: %s is refused", async (_, from, to, message) => {
    const { code, out, err } = await report(from(), to === "-" ? to : join(folder, to));
    expect({ code, out }).toEqual({ code: 2, out: "" });
    expect(err.trimEnd().split("\n").at(-1)).toMatch(message);
  });

  it("is not compared with an earlier result, which no command writes of a folder", async () => {
    const { code, err } = await report([home], join(folder, "since"), "--since", "last-year.json");
    expect(code).toBe(2);
    expect(err).toMatch(/^--since compares the strips of files.*give files instead of a folder/);
  });

  it("is read for the agronomist where no reader is named, and for no other", async () => {
    const unnamed = await runHere(["report", home, "-o", join(folder, "x.html")]);
    expect(unnamed.code).toBe(2);
    expect(unnamed.err).toMatch(/There are 2 clients, each with a page: name a folder/);
    const { code, err } = await runHere(["report", home, "--reader", "grower", "-o", join(folder, "x.html")]);
    expect({ code, err }).toEqual({ code: 2, err: `Cannot read ${home}: it is a folder, not a file.\n` });
  });
});

describe("pages of clients that are being drawn", () => {
  const few = [
    "variety,season,field,block,rate (seeds/ac),yield (bu/ac)",
    "A,2025,N,1,800000,57.8",
    "A,2025,N,1,1400000,61.0",
    "A,2025,N,1,2000000,57.8",
  ].join("\n");
  const clientsOf = (name: string, count: number): string =>
    made(name, Object.fromEntries(Array.from({ length: count }, (_, client) => [`${client}.csv`, few])));

  it("have the same bytes from threads, one for each core, and from a command within another program", async () => {
    const two = clientsOf("two", 2);
    const [apart, within] = [join(folder, "apart"), join(folder, "within")];
    expect(await run(["report", two, "-o", apart])).toMatchObject({ code: 0 });
    expect(await runHere(["report", two, "-o", within])).toMatchObject({ code: 0 });
    expect(filesIn(apart)).toEqual(["client-0.html", "client-1.html", "index.html"]);
    for (const name of filesIn(apart))
      expect(readFileSync(join(within, name), "utf8") === readFileSync(join(apart, name), "utf8"), name).toBe(
        true,
      );
  });

  it("leave nothing behind when the command is stopped", async () => {
    const to = join(folder, "stopped");
    // Most are still to be drawn when the first page is there.
    const waiting = clientsOf("waiting", 30);
    const child = spawn(process.execPath, [command, "report", waiting, "--reader", "agronomist", "-o", to]);
    const ended = new Promise((resolve) => child.on("close", (code, signal) => resolve({ code, signal })));
    const drawn = (): boolean => existsSync(to) && readdirSync(to).length > 0;
    while (!drawn()) await new Promise((resolve) => setTimeout(resolve, 10));
    child.kill("SIGINT");
    expect(await ended).toEqual({ code: null, signal: "SIGINT" });
    expect(existsSync(to) ? filesIn(to) : []).toEqual([]);
  });
});

describe("files of an agronomist", () => {
  const withFarm = (farm: string): string => {
    const [head, ...rows] = strips.trimEnd().split("\n");
    const at = head!.split(",").indexOf("farm");
    const put = (row: string, text: string): string =>
      row
        .split(",")
        .map((cell, index) => (index === at ? text : cell))
        .join(",");
    return [head!, ...rows.map((row) => put(row, farm))].join("\n");
  };

  it("are split by the farms named in them", async () => {
    const home = made("farms", { "a.csv": withFarm("Cedar"), "b.csv": withFarm("Dogwood") });
    const to = join(folder, "farms-out");
    const { code } = await report([join(home, "a.csv"), join(home, "b.csv")], to, "--quiet");
    expect(code).toBe(0);
    expect(filesIn(to)).toEqual(["client-cedar.html", "client-dogwood.html", "index.html"]);
    const rows = /Rows read: (\d+)\. Used: (\d+)\. Left out: (\d+)/;
    const [, read, used, leftOut] = rows.exec(summaryOf(to))!.map(Number);
    expect(read).toBe(used! + leftOut!);
    const [, own] = rows.exec(readFileSync(join(to, "client-cedar.html"), "utf8"))!.map(Number);
    expect(own).toBe(read! / 2);
  });

  it("of one farm give its page with everything laid open", async () => {
    const to = join(folder, "one.html");
    expect((await report([oneVariety(folder, "Ostrindel")], to, "--quiet")).code).toBe(0);
    expect(readFileSync(to, "utf8")).toContain('<details class="closer" open>');
  });
});
