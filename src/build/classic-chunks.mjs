/**
 * Two scripts that share most of their code, as classic scripts: the code they share is there once.
 *
 * A page opened from a disk loads no module, so what the bundler splits into modules is put together again here: each
 * chunk becomes a function that gives its exports, and a script is the chunks it needs, in order.
 */
import { basename } from "node:path";
import { build } from "esbuild";

const importing = /^import(?:\{([^}]*)\}from)?"\.{1,2}\/([^"]+)";/;
/** Behind it stand the licences of packages, which are kept. */
const exporting = /export\{([^}]*)\};\s*((?:\/\*[^]*?\*\/\s*)*)$/;
const loading = /\bimport\("\.{1,2}\/([^"]+)"\)/g;

/** `a as b,c` → `a:b,c`, or the other way round. */
const pairs = (names, outwards) =>
  names
    .split(",")
    .filter((name) => name !== "")
    .map((name) => {
      const [from, to = from] = name.split(" as ");
      return outwards ? `${to}:${from}` : `${from}:${to}`;
    })
    .join(",");

const variable = (file) => `$${basename(file, ".js").replaceAll(/\W/g, "_")}`;

/** A list of files that one notice of a licence stands for, a line each: the packages are enough, and take 4 kB less. */
const shorterNotices = (text) =>
  text.replaceAll(
    /(?:^(?:@[\w.-]+\/)?[\w.-]+\/\S+\.m?js:\n)+/gm,
    (lines) => `${[...new Set(lines.match(/^(?:@[\w.-]+\/)?[\w.-]+/gm))].join(", ")}:\n`,
  );

/**
 * @param options  of the bundler; `entryPoints` are named
 * @param apart    modules that are given chunks of their own, with what they need
 * @returns the chunks as text, and for each entry which of them it is, in order
 */
export async function classicChunks(options, apart = {}) {
  const { outputFiles } = await build({
    ...options,
    entryPoints: { ...options.entryPoints, ...apart },
    ...{ format: "esm", splitting: true, write: false, outdir: "out", chunkNames: "[name]-[hash]" },
  });
  const files = outputFiles.map(({ path, text }) => {
    let body = shorterNotices(text);
    let head = "";
    const needs = [];
    for (let found; (found = importing.exec(body)) !== null; body = body.slice(found[0].length)) {
      needs.push(basename(found[2]));
      if (found[1] !== undefined) head += `const{${pairs(found[1], false)}}=${variable(found[2])};`;
    }
    const gives = exporting.exec(body);
    if (gives !== null) body = body.slice(0, gives.index) + gives[2];
    body = body.replaceAll(loading, (_, file) => {
      needs.push(basename(file));
      return `Promise.resolve(${variable(file)})`;
    });
    const left = /(?:^|[;}\n])(?:import[\s{"*]|export[\s{*])/.exec(body);
    if (left !== null)
      throw new Error(`${path}: a module's ${body.slice(left.index, left.index + 80)} is left.`);
    const result = gives === null ? "" : `return{${pairs(gives[1], true)}};`;
    const name = basename(path);
    return { name, needs, text: `var ${variable(name)}=(()=>{${head}${body};${result}})();\n` };
  });
  const inOrder = (name, seen = []) => {
    const index = files.findIndex((file) => file.name === name);
    if (seen.includes(index)) return seen;
    for (const need of files[index].needs) inOrder(need, seen);
    seen.push(index);
    return seen;
  };
  const entries = Object.entries(options.entryPoints).map(([entry]) => [entry, inOrder(`${entry}.js`)]);
  const used = [...new Set(entries.flatMap(([, indices]) => indices))];
  return {
    chunks: used.map((index) => files[index].text),
    entries: Object.fromEntries(
      entries.map(([entry, indices]) => [entry, indices.map((index) => used.indexOf(index))]),
    ),
  };
}

/** A script of some chunks that runs piece by piece, each of which finds what the ones before it gave. */
export const inPieces = (chunks, indices, between) => indices.map((index) => chunks[index]).join(between);

/** A classic script of some chunks that leaves nothing behind. */
export const scriptOf = (chunks, indices) => `(()=>{${indices.map((index) => chunks[index]).join("")}})();\n`;
