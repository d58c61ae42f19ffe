/** Measured numbers in the guide for contributors, written there by the command that measures them. */
import { execFileSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";

const formatter = fileURLToPath(new URL("../node_modules/oxfmt/bin/oxfmt", import.meta.url));

const end = "<!-- end of results -->";

/**
 * Puts lines in the place of those that the same command wrote last, and formats the file.
 *
 * @param path     a Markdown file
 * @param command  as its marker names it, such as `npm run bench`
 */
export function writeBetweenMarkers(path, command, lines) {
  const begin = `<!-- results of ${command} -->`;
  const text = readFileSync(path, "utf8");
  const from = text.indexOf(begin);
  const to = text.indexOf(end, from);
  if (from < 0 || to < 0) throw new Error(`${path} has lost its markers ${begin} … ${end}.`);
  const written = `${text.slice(0, from)}${[begin, "", ...lines, "", ""].join("\n")}${text.slice(to)}`;
  writeFileSync(path, written);
  execFileSync(process.execPath, [formatter, path]);
}
