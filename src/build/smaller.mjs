/** Scripts in fewer characters: the bundler's own shortening keeps what only a look through the whole function shows unused. */
import { minifySync } from "rolldown/utils";

/** Licences that the bundler put behind the code. */
const notice = /\/\*![^]*?\*\//g;

/**
 * Measured on page and desk: packs to 96 % of what the bundler leaves, in a third of a second. Another tool got 94 %, and
 * took as long as all the rest of the build.
 *
 * @param text  a classic script
 */
export function smaller(text) {
  const { code, errors } = minifySync("script.js", text.replaceAll(notice, ""), {
    module: false,
    compress: { target: "es2022" },
    codegen: { legalComments: "none" },
  });
  if (errors.length > 0) throw new Error(errors.map(({ message }) => message).join("\n"));
  return `${code}${(text.match(notice) ?? []).join("\n")}\n`;
}
