/** Builds dist: the page script and style, the command, and the library entry with its types. */
import { build, transformSync } from "esbuild";
import { chmodSync, mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { classicChunks, inPieces } from "./classic-chunks.mjs";
import { compile } from "./compiler.mjs";
import { writeDesk } from "./desk.mjs";
import { leanCharts } from "./lean-charts.mjs";
import { licenceNotices, packagesBundled } from "./licences.mjs";
import { resultSchema } from "./result-schema.mjs";
import { sameArithmetic } from "./same-arithmetic.mjs";
import { smaller } from "./smaller.mjs";

const root = fileURLToPath(new URL("../..", import.meta.url));
const at = (path) => `${root}${path}`;
const { version, engines } = JSON.parse(readFileSync(at("package.json"), "utf8"));
const { plugin, folders } = packagesBundled();
// Parts of Vega that no chart uses: maps, trees, networks, clouds of words, dates, selections, ramps of colour. And
// kernels of ml-regression, of which the resistant fit alone is used.
const unused = [
  ...["geo", "force", "hierarchy", "voronoi", "wordcloud", "crossfilter", "label", "regression"].map(
    (part) => `vega-${part}`,
  ),
  ...["vega-projection", "vega-selections"],
  ...[
    "d3-geo",
    "d3-geo-projection",
    "d3-ease",
    "d3-time-format",
    "d3-dsv",
    "d3-time",
    "vega-time",
    "topojson-client",
    "ml-kernel",
  ],
];
/** The published schemas name no formats, such as addresses of mail. */
const noFormats = {
  name: "no-formats",
  setup: ({ onLoad }) =>
    onLoad({ filter: /@cfworker.json-schema.dist.esm.format\.js$/ }, () => ({
      contents: "export const format = {};",
    })),
};
const shared = {
  absWorkingDir: root,
  metafile: true,
  bundle: true,
  target: "es2022",
  format: "esm",
  logLevel: "warning",
  plugins: [plugin, leanCharts(at("node_modules/vega-lite")), sameArithmetic(), noFormats],
  define: { __ENGINE_VERSION__: JSON.stringify(version) },
  alias: {
    ...Object.fromEntries(unused.map((name) => [name, at("src/build/nothing.cjs")])),
    "d3-scale-chromatic": at("src/build/no-palettes.mjs"),
    debug: at("src/build/no-log.cjs"),
    // It words errors of callers that give no numbers, which the types rule out.
    "@stdlib/string-format": at("src/build/no-log.cjs"),
    // vega-lite asks for an older minor version of its own, for one function that is the same in both.
    "vega-expression": at("node_modules/vega-expression/build/vega-expression.js"),
    // Its entry is one piece; of its sources only the decompositions that are used are taken.
    "ml-matrix": at("node_modules/ml-matrix/src/index.js"),
    // It asks by running text as a script, which the page's policy forbids: some browsers complain of that.
    "@stdlib/assert-has-generator-support": at("src/build/has-generators.cjs"),
  },
};

/** A module of the sources that stands alone, for the build itself. */
async function importSource(path) {
  const { outputFiles } = await build({
    ...shared,
    entryPoints: [at(path)],
    write: false,
    platform: "neutral",
    mainFields: ["browser", "module", "main"],
  });
  return import(`data:text/javascript;base64,${Buffer.from(outputFiles[0].contents).toString("base64")}`);
}

rmSync(at("dist"), { recursive: true, force: true });
mkdirSync(at("dist"), { recursive: true });
// The desk, its worker and the script of the reports that it writes share their code.
const { chunks, entries } = await classicChunks(
  {
    ...shared,
    entryPoints: {
      page: at("src/page/main.ts"),
      worker: at("src/desk/worker.ts"),
      desk: at("src/desk/main.ts"),
    },
    mainFields: ["browser", "module", "main"],
    minify: true,
    alias: { ...shared.alias, proj4: at("src/build/no-projections.mjs") },
  },
  // A page compiles these one after the other, and listens in between.
  { decision: at("src/decide/decide.ts"), pictures: at("src/page/live-charts.ts") },
);
const pageAndDesk = {
  chunks: chunks.map(smaller),
  entries,
};
const { betweenPieces } = await importSource("src/tell/html/script-pieces.ts");
writeFileSync(at("dist/page.js"), inPieces(pageAndDesk.chunks, pageAndDesk.entries.page, betweenPieces));
await build({
  ...shared,
  entryPoints: ["start.ts", "lesson.ts", "clients.ts"].map((name) => at(`src/page/${name}`)),
  outdir: at("dist"),
  format: "iife",
  minify: true,
});
for (const style of [
  "page.css",
  "cards.css",
  "grower.css",
  "lesson.css",
  "clients.css",
  "plan.css",
  "harvest.css",
]) {
  const { code } = transformSync(readFileSync(at(`src/page/${style}`), "utf8"), {
    loader: "css",
    minify: true,
  });
  writeFileSync(at(`dist/${style}`), code.trimEnd());
}
// Split, so that a command loads no more than it needs: reading starts without charts.
await build({
  ...shared,
  entryPoints: {
    "stripcurve-main": at("src/cli/main.ts"),
    "stripcurve-command": at("src/cli/command.ts"),
    "stripcurve-client-work": at("src/cli/client-work.ts"),
    "stripcurve-second-thread": at("src/cli/second-thread.ts"),
  },
  outdir: at("dist"),
  splitting: true,
  chunkNames: "stripcurve-[name]-[hash]",
  // Holds machine code for each platform, and may be missing.
  external: ["@resvg/resvg-js"],
  platform: "node",
  minify: true,
  // Packages in CommonJS ask for Node's own modules by `require`.
  banner: {
    js: "import { createRequire } from 'node:module'; const require = createRequire(import.meta.url);",
  },
});
await build({
  ...shared,
  entryPoints: { stripcurve: at("src/cli/start.ts") },
  outdir: at("dist"),
  // Any Node.js that has modules at all can read it.
  target: "node10",
  supported: { "dynamic-import": true },
  define: { __OLDEST_NODE__: JSON.stringify(engines.node.replace(">=", "")) },
  plugins: [
    {
      name: "main-apart",
      setup: ({ onResolve }) =>
        onResolve({ filter: /\/main\.ts$/ }, () => ({ path: "./stripcurve-main.js", external: true })),
    },
  ],
});
chmodSync(at("dist/stripcurve.js"), 0o755);
await build({
  ...shared,
  entryPoints: [at("src/index.ts")],
  outfile: at("dist/index.js"),
  platform: "neutral",
  mainFields: ["browser", "module", "main"],
});
mkdirSync(at("dist/schemas"));
const writeSchema = (name, schema) =>
  writeFileSync(at(`dist/schemas/${name}.json`), `${JSON.stringify(schema, null, 2)}\n`);
writeSchema("result.schema", resultSchema(root));
const { stripsSchema, lotsSchema, seasonSchema } = await importSource("src/read/schemas.ts");
writeSchema("strips.table-schema", stripsSchema());
writeSchema("lots.table-schema", lotsSchema());
writeSchema("season.schema", seasonSchema());
await writeDesk(at, { shared, importSource }, pageAndDesk);
writeFileSync(at("dist/licences.txt"), licenceNotices(folders));
compile(
  ...["-p", at("tsconfig.json"), "--rootDir", at("src"), "--outDir", at("dist/types")],
  ...["--noEmit", "false", "--incremental", "false", "--tsBuildInfoFile", "null"],
  ...["--emitDeclarationOnly", "--declaration"],
);
