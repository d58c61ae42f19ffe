/** Builds the desk: one HTML file that holds page, engine, demo farm and whatever its reports are made of. */
import { createHash } from "node:crypto";
import { readFileSync, writeFileSync } from "node:fs";
import zopfli from "@gfx/zopfli";
import { build } from "esbuild";
import { scriptOf } from "./classic-chunks.mjs";
import { smaller } from "./smaller.mjs";

const hashed = (text) => `'sha256-${createHash("sha256").update(text).digest("base64")}'`;

/**
 * @param at      a path of the project → where it is
 * @param tools   options of the bundler, and what imports a module of the sources
 * @param script  chunks of the scripts of reports, of the desk and of its worker
 */
export async function writeDesk(at, { shared, importSource }, { chunks, entries }) {
  const bundled = async (path, more = {}) =>
    (await build({ ...shared, entryPoints: [at(path)], write: false, minify: true, ...more })).outputFiles[0]
      .text;
  const { pageFiles } = await importSource("src/tell/html/page-parts.ts");
  const texts = (names, folder) =>
    Object.fromEntries(names.map((name) => [name, readFileSync(at(`${folder}/${name}`), "utf8")]));
  // Many clients' pages are made by the command alone.
  const pages = Object.entries(pageFiles).flatMap(([kind, page]) => (kind === "clients" ? [] : [page]));
  const styleNames = [...new Set(pages.flatMap(({ styles }) => styles))];
  const built = texts(["start.js", "lesson.js", ...styleNames, "schemas/result.schema.json"], "dist");
  // It checks earlier results; what its fields mean is for people who read it as a file.
  built["schemas/result.schema.json"] = JSON.stringify(
    withoutDescriptions(JSON.parse(built["schemas/result.schema.json"])),
  );
  const demoNames = ["strips-2024.csv", "strips-2025.csv", "strips-2026.csv", "lots.csv", "season.yaml"];
  // The chunks stand as they are behind a line that says how long each is: a worker takes their bytes unread.
  const head = {
    lengths: chunks.map((chunk) => Buffer.byteLength(chunk)),
    entries,
    built,
    demo: texts(demoNames, "data-demo"),
  };
  const unpacked = `${JSON.stringify(head)}\n${chunks.join("")}`;
  // Measured: packs to 96 % of what the best level of zlib does; five more rounds would gain 0.04 %, for a second and a half.
  const packed = Buffer.from(await zopfli.zlibAsync(Buffer.from(unpacked), { numiterations: 3 })).toString(
    "base64",
  );

  const script = smaller(await bundled("src/desk/open.ts", { format: "iife" }));
  const style = readFileSync(at("src/desk/desk.css"), "utf8");
  const scripts = [
    script,
    scriptOf(chunks, entries.desk),
    scriptOf(chunks, entries.worker),
    ...entries.page.map((index) => chunks[index]),
    built["start.js"],
    built["lesson.js"],
  ];
  const styles = [style, ...pages.map((page) => page.styles.map((name) => built[name]).join("\n"))];
  const policy = [
    "default-src 'none'",
    "connect-src 'none'",
    `script-src ${[...new Set(scripts.map(hashed))].join(" ")}`,
    `style-src ${[...new Set(styles.map(hashed))].join(" ")}`,
    "worker-src blob:",
    "base-uri 'none'",
    "form-action 'none'",
  ].join("; ");
  const parts = { policy, style, packed, script };
  const page = readFileSync(at("src/desk/desk.html"), "utf8").replaceAll(
    /<!--(policy|style|packed|script)-->/g,
    (_, name) => parts[name],
  );
  writeFileSync(at("dist/desk.html"), page);
}

function withoutDescriptions(schema) {
  if (Array.isArray(schema)) return schema.map(withoutDescriptions);
  if (schema === null || typeof schema !== "object") return schema;
  return Object.fromEntries(
    Object.entries(schema)
      .filter(([key, value]) => key !== "description" || typeof value !== "string")
      .map(([key, value]) => [key, withoutDescriptions(value)]),
  );
}
