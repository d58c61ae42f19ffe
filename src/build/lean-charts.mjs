/**
 * Takes vega-lite from its sources, without what no chart of ours has: selections by mouse, box plots and error bars
 * (ours are layers of lines and rules), steps that work data out, and the words of warnings that the types of a chart's
 * spec rule out.
 *
 * Measured: 14 kB less of a packed page that draws charts.
 */
import { readFileSync } from "node:fs";

const sources = /vega-lite[\\/]src[\\/]/;

const noSelection = "export default { defined: () => false };";
const noMark = (name, constant, normalize) => `
  export const ${constant} = "${name.toLowerCase()}";
  export const ${constant}_PARTS = [];
  export const ${normalize} = (spec) => spec;
  export const ${name}Normalizer = { name: "${name.toLowerCase()}", hasMatchingType: () => false };`;

/** Steps of the data that no chart asks for: our charts draw what they are given. */
const noStep = (name) =>
  `export class ${name} { static parseAll(parent) { return parent; } static makeFromEncoding() { return null; } }`;
const steps = {
  density: "DensityTransformNode",
  extent: "ExtentTransformNode",
  flatten: "FlattenTransformNode",
  fold: "FoldTransformNode",
  geojson: "GeoJSONNode",
  geopoint: "GeoPointNode",
  graticule: "GraticuleNode",
  impute: "ImputeNode",
  loess: "LoessTransformNode",
  lookup: "LookupNode",
  pivot: "PivotTransformNode",
  quantile: "QuantileTransformNode",
  regression: "RegressionTransformNode",
  sample: "SampleTransformNode",
  sequence: "SequenceNode",
  window: "WindowTransformNode",
};

/** A file below vega-lite's sources → what stands for it. */
const insteadOf = {
  ...Object.fromEntries(
    ["interval", "project", "toggle", "inputs", "scales", "clear", "translate", "zoom", "nearest"].map(
      (name) => [`compile/selection/${name}`, noSelection],
    ),
  ),
  ...Object.fromEntries(Object.entries(steps).map(([file, name]) => [`compile/data/${file}`, noStep(name)])),
  "compile/selection/point": `${noSelection} export const CURR = "_curr";`,
  "compile/selection/legends": `${noSelection} export const parseInteractiveLegend = () => {};`,
  "compositemark/boxplot": noMark("boxPlot", "BOXPLOT", "normalizeBoxPlot"),
  "compositemark/errorbar": noMark("errorBar", "ERRORBAR", "normalizeErrorBar"),
  "compositemark/errorband": noMark("errorBand", "ERRORBAND", "normalizeErrorBand"),
};

/** Steps of Vega's own that nothing asks for once the ones above are gone. */
const noTransforms = [
  ...[
    "Bin",
    "CountPattern",
    "Cross",
    "Density",
    "DotBin",
    "Flatten",
    "Fold",
    "Generate",
    "Impute",
    "KDE",
    "Load",
  ],
  ...["Lookup", "Pivot", "Project", "Quantile", "Sample", "TimeUnit", "Window"],
];

/** What describes them, what makes them a step, and their place in the list of what the module gives. */
function withoutTransforms(text) {
  for (const name of noTransforms) {
    const left = text
      .replace(new RegExp(`^${name}\\.Definition = \\{\\n[^]*?^\\};\\n`, "m"), "")
      .replace(new RegExp(`^inherits\\(${name}, \\w+, \\{\\n[^]*?^\\}\\);\\n`, "m"), "")
      .replace(new RegExp(`(?:, )?\\b${name} as \\w+`), "");
    if (left.length > text.length - 100) throw new Error(`vega-transforms: ${name} is written otherwise.`);
    text = left;
  }
  return text;
}

/** Each message as its name alone. */
function namesOnly(text) {
  const named = [...text.matchAll(/^export (const|function) (\w+)/gm)];
  return named
    .map(([, kind, name]) => `export const ${name} = ${kind === "const" ? "" : "() => "}"${name}";`)
    .join("\n");
}

export const leanCharts = (vegaLite) => ({
  name: "lean-charts",
  setup({ onResolve, onLoad }) {
    onResolve({ filter: /^vega-lite$/ }, () => ({ path: `${vegaLite}/src/index.ts` }));
    onLoad({ filter: /vega-transforms\.js$/ }, ({ path }) => ({
      contents: withoutTransforms(readFileSync(path, "utf8")),
    }));
    onLoad({ filter: sources }, ({ path }) => {
      const name = path.split(sources).at(-1).replaceAll("\\", "/").replace(/\.ts$/, "");
      if (name === "log/message") return { contents: namesOnly(readFileSync(path, "utf8")) };
      return name in insteadOf ? { contents: insteadOf[name] } : null;
    });
  },
});
