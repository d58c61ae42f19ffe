import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, it, onTestFinished } from "vitest";
import { writeBetweenMarkers } from "./between-markers.mjs";

it("measured numbers come in the place of those of the same command, as the formatter has it", () => {
  const folder = mkdtempSync(join(tmpdir(), "stripcurve-markers-"));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  const path = join(folder, "guide.md");
  const between = (command: string, text: string): string =>
    `<!-- results of ${command} -->\n\n${text}\n\n<!-- end of results -->\n`;
  const others = between("npm run mutate", "other");
  writeFileSync(path, `# Guide\n\n${between("npm run bench", "old")}\n${others}`);
  writeBetweenMarkers(path, "npm run bench", ["| a | b |", "| - | -: |", "| long | 1 |"]);
  const table = "| a    |   b |\n| ---- | --: |\n| long |   1 |";
  expect(readFileSync(path, "utf8")).toBe(`# Guide\n\n${between("npm run bench", table)}\n${others}`);
  expect(() => writeBetweenMarkers(path, "npm run lost", [])).toThrow(/has lost its markers/);
});
