/** Measured numbers in the guide for contributors, written there by the command that measures them. */
import { readFileSync, writeFileSync } from "node:fs";
import { format, resolveConfig } from "prettier";

const end = "<!-- end of results -->";

/**
 * Puts lines in the place of those that the same command wrote last.
 *
 * @param path     a Markdown file
 * @param command  as its marker names it, such as `npm run bench`
 */
export async function writeBetweenMarkers(path, command, lines) {
  const begin = `<!-- results of ${command} -->`;
  const text = readFileSync(path, "utf8");
  const from = text.indexOf(begin);
  const to = text.indexOf(end, from);
  if (from < 0 || to < 0) throw new Error(`${path} has lost its markers ${begin} … ${end}.`);
  const written = `${text.slice(0, from)}${[begin, "", ...lines, "", ""].join("\n")}${text.slice(to)}`;
  writeFileSync(path, await format(written, { ...(await resolveConfig(path)), filepath: path }));
}
