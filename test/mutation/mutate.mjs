/**
 * Changes the code of one or several rooms, edit by edit, and counts the edits that some test notices.
 *
 *     npm run mutate -- decide plan            rooms, all where none is named
 *     npm run mutate -- src/decide/rate/step.ts   single files, or lines of one: step.ts:20-40
 *
 * What no test noticed is listed in reports/mutation.html. The count of each file that was changed as a whole goes into
 * test/mutation/results.md, and the sums of its rows into DEVELOPERS.md. It takes a second or so an edit: minutes for a file, hours for all.
 * Edits are not tried on what a test works out outside of `it`, so cases lay out inside what they need. An edit whose tests take
 * 20 seconds longer than usual counts as noticed; MUTATION_PATIENCE_MS sets another time, for files that quick cases try.
 */
import { readFileSync, writeFileSync } from "node:fs";
import { basename, relative } from "node:path";
import { Stryker } from "@stryker-mutator/core";
import { globSync } from "tinyglobby";
import { writeBetweenMarkers } from "../between-markers.mjs";
import { rooms } from "./rooms.mjs";

const asked = process.argv.slice(2);
const names = Object.keys(rooms);
/** The room of a file: the innermost, where one lies in another. */
const roomOf = (path) =>
  names
    .filter((name) => rooms[name].source.some((source) => path.startsWith(source.replace(/\*.*/, ""))))
    .sort((a, b) => b.length - a.length)[0];

const work = new Map();
for (const one of asked.length > 0 ? asked : names) {
  const asRooms = names.filter((name) => name === one || name.startsWith(`${one}/`));
  const chosen =
    asRooms.length > 0 ? asRooms.map((name) => [name, rooms[name].source]) : [[roomOf(one), [one]]];
  for (const [room, files] of chosen) {
    if (room === undefined)
      throw new Error(`${one} is neither a room (${names.join(", ")}) nor a file of one.`);
    work.set(room, [...new Set([...(work.get(room) ?? []), ...files])]);
  }
}

/** @type {Map<string, { noticed: number; survived: number; untested: number }>} */
const scores = new Map();
for (const [room, mutate] of work) {
  process.env.MUTATED_ROOM = room;
  const results = await new Stryker({
    mutate,
    testRunner: "vitest",
    plugins: ["@stryker-mutator/vitest-runner"],
    vitest: { configFile: "test/mutation/vitest.config.mjs", related: false },
    coverageAnalysis: "perTest",
    concurrency: Number(process.env.MUTATION_WORKERS ?? 2),
    // Texts are told, not reckoned: whether a sentence changes is for the tests of tellers.
    mutator: { excludedMutations: ["StringLiteral"] },
    ignoreStatic: true,
    timeoutMS: Number(process.env.MUTATION_PATIENCE_MS ?? 20_000),
    dryRunTimeoutMinutes: 30,
    tempDirName: ".mutation.tmp",
    reporters: ["progress-append-only", "clear-text", "html", "json"],
    clearTextReporter: { allowColor: false, logTests: false, reportTests: false },
    htmlReporter: { fileName: "reports/mutation.html" },
    jsonReporter: { fileName: "node_modules/.cache/mutation.json" },
    logLevel: "warn",
  }).runMutationTest();
  for (const { fileName, status } of results) {
    const file = relative(process.cwd(), fileName);
    const score = scores.get(file) ?? { noticed: 0, survived: 0, untested: 0 };
    if (status === "Killed" || status === "Timeout") score.noticed++;
    else if (status === "Survived") score.survived++;
    else if (status === "NoCoverage") score.untested++;
    scores.set(file, score);
  }
}

const share = (score) => {
  const of = score.noticed + score.survived + score.untested;
  return of === 0 ? "" : `${Math.round((100 * score.noticed) / of)} %`;
};
for (const [file, score] of scores)
  console.log(
    `${file}: ${share(score)} noticed; ${score.survived} survived, ${score.untested} in code that no test runs.`,
  );

const table = new URL("results.md", import.meta.url);
const head = "| file | noticed | survived | in code that none of these tests runs | share noticed |";
const written = readFileSync(table, "utf8");
const [before, after = ""] = written.split(head);
const rows = new Map([...after.matchAll(/^\| (src\S+) +\|.*$/gm)].map(([row, file]) => [file, row]));
const wholeFiles = [...scores].filter(([file]) => !asked.some((one) => one.startsWith(`${file}:`)));
for (const [file, score] of wholeFiles)
  rows.set(file, `| ${file} | ${score.noticed} | ${score.survived} | ${score.untested} | ${share(score)} |`);
const sorted = [...rows].sort(([a], [b]) => (a < b ? -1 : 1)).map(([, row]) => row);
writeFileSync(table, `${before}${head}\n| --- | --: | --: | --: | --: |\n${sorted.join("\n")}\n`);

/** Parts of the source, and how many of a hundred edits their tests must notice. */
const parts = {
  decide: 85,
  plan: 85,
  maths: 75,
  "read/units": 75,
  ...Object.fromEntries(
    ["forms", "observed", "seasons", "beliefs", "pooled", "region"].map((room) => [`model/${room}`, 75]),
  ),
};
const counted = sorted.map((row) => {
  const [, file, ...cells] = row.split("|").map((cell) => cell.trim());
  const [noticed, survived, untested] = cells.map(Number);
  return { file, noticed, edits: noticed + survived + untested };
});
const sumOf = (values) => values.reduce((sum, value) => sum + value, 0);
const summed = Object.entries(parts).map(([part, bar]) => {
  const folder = `src/${part}`;
  const files = globSync(`${folder}/**/*.ts`, { ignore: "**/*.d.ts" }).length;
  const measured = counted.filter(({ file }) => file.startsWith(`${folder}/`));
  const edits = sumOf(measured.map((one) => one.edits));
  const noticed = sumOf(measured.map((one) => one.noticed));
  const percent = edits === 0 ? "" : `${Math.round((100 * noticed) / edits)}%`;
  const below = measured.filter((one) => one.noticed < (bar / 100) * one.edits);
  const names = below.map(({ file }) => `\`${basename(file, ".ts")}\``).join(", ");
  return `| \`${part}\` | ${measured.length} of ${files} | ${edits.toLocaleString("en")} | ${percent} | ${bar}% | ${names} |`;
});
writeBetweenMarkers("DEVELOPERS.md", "npm run mutate", [
  "| room | files measured | edits | noticed | bar | files below the bar |",
  "| --- | --: | --: | --: | --: | --- |",
  ...summed,
]);
