/**
 * Changes the code of one or several rooms, edit by edit, and counts the edits that some test notices.
 *
 *     npm run mutate -- decide plan            rooms, all where none is named
 *     npm run mutate -- src/decide/rate/step.ts   single files, or lines of one: step.ts:20-40
 *
 * What no test noticed is listed in reports/mutation.html. It takes minutes to hours.
 */
import { Stryker } from "@stryker-mutator/core";
import { rooms } from "./rooms.mjs";

const asked = process.argv.slice(2);
const roomOf = (path) =>
  Object.keys(rooms).find((name) => path.startsWith(rooms[name].source[0].replace("**/*.ts", "")));

const work = new Map();
for (const name of asked.length > 0 ? asked : Object.keys(rooms)) {
  const room = rooms[name] === undefined ? roomOf(name) : name;
  if (room === undefined)
    throw new Error(`${name} is neither a room (${Object.keys(rooms).join(", ")}) nor a file of one.`);
  work.set(room, [...(work.get(room) ?? []), ...(rooms[name]?.source ?? [name])]);
}

const scores = [];
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
    timeoutMS: 20_000,
    tempDirName: ".mutation.tmp",
    reporters: ["progress-append-only", "clear-text", "html", "json"],
    clearTextReporter: { allowColor: false, logTests: false, reportTests: false },
    htmlReporter: { fileName: "reports/mutation.html" },
    jsonReporter: { fileName: "node_modules/.cache/mutation.json" },
    logLevel: "warn",
  }).runMutationTest();
  const count = (...states) => results.filter(({ status }) => states.includes(status)).length;
  const noticed = count("Killed", "Timeout");
  scores.push({
    room,
    noticed,
    of: noticed + count("Survived", "NoCoverage"),
    untested: count("NoCoverage"),
  });
}
for (const { room, noticed, of, untested } of scores)
  console.log(
    `${room}: ${noticed} of ${of} edits noticed (${Math.round((100 * noticed) / of)} %), ${untested} in code that no test runs.`,
  );
