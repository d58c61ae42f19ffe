/**
 * Puts the functions of `src/maths/elementary/` in the place of those that each engine rounds in its own way.
 *
 * ECMAScript leaves the last digits of `Math.exp` and its like, and of `**`, to the engine ("implementation-approximated",
 * ECMA-262, The Math Object): Node and browsers of different ages differ. Sums, products and roots are exact everywhere,
 * and the functions of that folder are made of them alone, so that the same strips give the same bytes wherever they are
 * analysed.
 */
import { readFile } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import { transform } from "esbuild";

const elementary = fileURLToPath(new URL("../maths/elementary/", import.meta.url));
const source = fileURLToPath(new URL("..", import.meta.url));
const replaced = ["exp", "log", "log1p", "cos", "sin", "pow", "hypot"];
/** Rounded to whole numbers, or to the angle of a row of points, where they are used. */
const left = ["log10", "atan2"];
const others = /\bMath\.(?:a?tanh?|a?sinh|a?cosh|asin|acos|cbrt|expm1|log2)\b/;
const comments = /\/\*[^]*?\*\/|\/\/[^\n]*/g;
const helper = "var __pow = Math.pow;\n";

/** Whether a file's arithmetic is exchanged: all of ours that is compiled. */
export const isOurs = (path) =>
  path.startsWith(source) && path.endsWith(".ts") && !path.startsWith(elementary);

/**
 * @param code  TypeScript
 * @returns JavaScript with its source map
 */
export async function withSameArithmetic(code, path) {
  const { code: plain, map } = await transform(code, {
    loader: "ts",
    target: "es2022",
    sourcefile: path,
    sourcemap: "external",
    supported: { "exponent-operator": false },
    define: Object.fromEntries(replaced.map((name) => [`Math.${name}`, `same_${name}`])),
    tsconfigRaw: { compilerOptions: { verbatimModuleSyntax: true } },
  });
  const other = others.exec(plain);
  if (other !== null)
    throw new Error(
      `${path} uses ${other[0]}, which engines round differently: write it with ${[...replaced, ...left].map((name) => `Math.${name}`).join(", ")}, or add it to src/maths/elementary.`,
    );
  const importing = (name, as, file = name) =>
    `import { ${name} as ${as} } from ${JSON.stringify(`${elementary}${file}.ts`)};`;
  const names = replaced.filter((name) => new RegExp(`\\bsame_${name}\\b`).test(plain));
  const head = names.map((name) => importing(name, `same_${name}`)).join("");
  // Squares and their like need no logarithm, and small scripts none of its code.
  const areWhole = [...code.replaceAll(comments, "").matchAll(/\*\*=?\s*(\S+)/g)].every(([, exponent]) =>
    /^\d{1,2}(?![\d.])/.test(exponent),
  );
  const power = areWhole ? importing("wholePower", "__pow", "whole-power") : importing("pow", "__pow");
  // In the place of the helper, or in front of the first line: no line moves.
  return { code: `${head}${plain.replace(helper, () => `${power}\n`)}`, map };
}

/** For the bundler. */
export const sameArithmetic = () => ({
  name: "same-arithmetic",
  setup({ onLoad }) {
    onLoad({ filter: /\.ts$/ }, async ({ path }) => {
      if (!isOurs(path)) return undefined;
      const { code } = await withSameArithmetic(await readFile(path, "utf8"), path);
      return { contents: code, loader: "js" };
    });
  },
});

/** For the tests, which run the sources as they are built. */
export const sameArithmeticInTests = () => ({
  name: "same-arithmetic",
  enforce: "pre",
  async transform(code, id) {
    if (!isOurs(id.split("?")[0])) return undefined;
    return withSameArithmetic(code, id);
  },
});
