import { describe, expect, it } from "vitest";
import { parse } from "yaml";
import { answerKeys } from "../../src/read/answers/answers-file.ts";
import { lotColumns, stripColumns, type Column } from "../../src/read/strips/columns.ts";
import { columnsKnown } from "../../src/read/strips/columns-known.ts";
import { lotSynonyms, stripSynonyms } from "../../src/read/strips/synonyms.ts";
import { seasonTemplate } from "../../src/read/season-file/season-template.ts";
import { defaultUnits } from "../../src/vocabulary/settings.ts";
import { runHere } from "./run.ts";

const listed = runHere(["columns"]);
/** What is listed below the title of a file, name by name: its own line, other names, units. */
const listedOf = async (at: number): Promise<Map<string, { also: string[]; units: string[] }>> => {
  const parts = (await listed).out.split(/^(?=\S)/m);
  const entries = parts[at]!.split(/^ {2}(?=\S)/m).slice(1);
  return new Map(
    entries.map((entry) => {
      const line = (name: string): string[] =>
        new RegExp(`^ {6}${name}: (.*)$`, "m").exec(entry)?.[1]?.split(", ") ?? [];
      return [
        /^([^:(]+?)(?: \(needed\))?: /.exec(entry)?.[1] ?? "",
        { also: line("also"), units: line("units") },
      ];
    }),
  );
};

describe("what `stripcurve columns` lists", () => {
  it.each([
    ["strips", 0, stripColumns as readonly Column[], stripSynonyms as Record<string, readonly string[]>],
    ["lots", 1, lotColumns as readonly Column[], lotSynonyms as Record<string, readonly string[]>],
  ])("of %s is every column, with every name and unit that is read", async (_, at, columns, synonyms) => {
    const found = await listedOf(at);
    const { columns: known } = columnsKnown()[at]!;
    for (const { name, also } of columns) {
      expect([...found.keys()]).toContain(name);
      for (const other of [...also, ...(synonyms[name] ?? [])].filter(
        (one) => one.toLowerCase() !== name.toLowerCase(),
      ))
        expect(found.get(name)!.also, name).toContain(other);
      expect(found.get(name)!.units).toEqual(known.find((one) => one.name === name)!.units);
    }
  });

  it("of the season file is every entry that the file made to fill in has", async () => {
    const { out } = await listed;
    const { priors, ...others } = parse(seasonTemplate(defaultUnits)) as { priors: Record<string, unknown> };
    for (const key of [...Object.keys(others), ...Object.keys(priors).map((prior) => `priors: ${prior}`)])
      expect(out).toContain(`\n  ${key}: `);
  });

  it("of the answers is every entry", async () => {
    const found = await listedOf(3);
    for (const key of answerKeys) expect([...found.keys()]).toContain(key);
  });

  it("has an example of each file", async () => {
    const { out } = await listed;
    for (const { example } of columnsKnown())
      for (const line of example.trimEnd().split("\n")) expect(out).toContain(`    ${line}`);
  });

  it("is where the help of check leads", async () => {
    const { out } = await runHere(["help", "check"]);
    expect(out).toContain("stripcurve columns lists every column with its other names and units.");
    expect(out).toMatch(/variety,season,field,block,rate \(million\/ac\),yield \(bu\/ac\),moisture \(%\)/);
  });
});
