/** The licences of every package that is bundled into dist, word for word, as those licences ask. */
import { readFileSync, readdirSync } from "node:fs";

const packageOf = /^(?:.*\/)?node_modules\/((?:@[^/]+\/)?[^/]+)\//;

/** Notes the package folders that bundles are made of. A part of the bundler: with `metafile`, it hears of each bundle. */
export function packagesBundled() {
  const folders = new Set();
  const plugin = {
    name: "packages-bundled",
    setup: ({ onEnd }) =>
      onEnd(({ metafile }) => {
        for (const { inputs } of Object.values(metafile?.outputs ?? {}))
          for (const [path, { bytesInOutput }] of Object.entries(inputs)) {
            const [folder] = packageOf.exec(path) ?? [];
            if (folder !== undefined && bytesInOutput > 0) folders.add(folder);
          }
      }),
  };
  return { plugin, folders };
}

/** What a package says of its licence: the texts in it, or else its bare name and its author's. */
function licenceText(folder, { license, author }) {
  const texts = readdirSync(folder)
    .filter((file) => /^(licen[cs]e|copying|notice)([.-]|$)/i.test(file))
    .sort()
    .map((file) => readFileSync(`${folder}${file}`, "utf8").trim());
  if (texts.length > 0) return texts.join("\n\n");
  if (license === undefined) throw new Error(`${folder} does not say under what licence it is.`);
  const by = typeof author === "object" ? author.name : author;
  return `By ${by ?? "its authors"}. The package holds no text of its licence.`;
}

/**
 * @param folders  of packages, seen from the folder that the build runs in
 * @returns each text once, below the packages that it is for
 */
export function licenceNotices(folders) {
  const named = new Map();
  for (const folder of [...folders].sort()) {
    const about = JSON.parse(readFileSync(`${folder}package.json`, "utf8"));
    const name = `${about.name} ${about.version} (${about.license})`;
    const text = licenceText(folder, about);
    named.set(text, (named.get(text) ?? new Set()).add(name));
  }
  const notices = [...named].map(([text, names]) => `${[...names].join("\n")}\n\n${text}\n`);
  const head = "stripcurve holds code of these packages, each under its own licence.\n";
  return [head, ...notices].join(`\n${"-".repeat(80)}\n\n`);
}
