/** The package as npm packs it, put into an empty folder, where nothing but Node.js and npm is at hand. */
import { execFile } from "node:child_process";
import { existsSync, mkdirSync, readFileSync, readdirSync, statSync, writeFileSync } from "node:fs";
import { delimiter, dirname, join } from "node:path";
import { pathToFileURL } from "node:url";
import { promisify } from "node:util";
import { build, transform } from "esbuild";
import { beforeAll, describe, expect, it } from "vitest";
import { compiler } from "../../src/build/compiler.mjs";
import { command, demo, oneVariety, root, run, scratchFolder } from "./run.ts";

const execute = promisify(execFile);
const scratch = scratchFolder();
const farm = join(scratch, "farm");
const installed = join(farm, "node_modules/stripcurve");

/** npm without a registry, a cache or settings of whoever runs the tests. */
const npm = (args: string[], cwd: string) =>
  execute("npm", [...args, "--offline", "--no-audit", "--no-fund", "--cache", join(scratch, "cache")], {
    cwd,
    env: {
      PATH: [dirname(process.execPath), process.env["PATH"]].join(delimiter),
      HOME: scratch,
      npm_config_update_notifier: "false",
    },
    shell: process.platform === "win32",
  });

interface Packed {
  filename: string;
  files: { path: string }[];
}

async function pack(folder: string, more: string[] = []): Promise<Packed> {
  const { stdout } = await npm(["pack", "--json", "--pack-destination", scratch, ...more], folder);
  return (JSON.parse(stdout.slice(stdout.search(/^\[/m))) as Packed[])[0]!;
}

const about = JSON.parse(readFileSync(join(root, "package.json"), "utf8")) as Record<string, unknown> & {
  engines: { node: string };
  scripts: Record<string, string>;
};

let packed: Packed;
beforeAll(async () => {
  packed = await pack(root, ["--ignore-scripts"]);
  mkdirSync(farm);
  writeFileSync(join(farm, "package.json"), JSON.stringify({ name: "farm", private: true, type: "module" }));
  await npm(["install", join(scratch, packed.filename)], farm);
});

describe("the package", () => {
  it("is built by packing it, in a clone that was never built", async () => {
    const clone = join(scratch, "clone");
    mkdirSync(join(clone, "src/build"), { recursive: true });
    const alone = { ...about, devDependencies: {}, optionalDependencies: {} };
    writeFileSync(join(clone, "package.json"), JSON.stringify(alone));
    writeFileSync(
      join(clone, "src/build/bundle.mjs"),
      `import { mkdirSync, writeFileSync } from "node:fs"; mkdirSync("dist"); writeFileSync("dist/stripcurve.js", "");`,
    );
    const { files } = await pack(clone);
    expect(files.map((file) => file.path)).toContain("dist/stripcurve.js");
  });

  it("brings no other package with it, but for one that draws pictures and may be missing", () => {
    expect(about["dependencies"]).toBeUndefined();
    expect(readdirSync(join(farm, "node_modules")).filter((name) => !/^\.|^@resvg$/.test(name))).toEqual([
      "stripcurve",
    ]);
  });

  it("runs as a command", async () => {
    const program = join(installed, "dist/stripcurve.js");
    const asked = ["report", oneVariety(farm, "Ostrindel"), "--lots", demo("lots.csv"), "-o", "report.html"];
    const { code, err } = await run(asked, {
      cwd: farm,
      program,
    });
    expect({ code, err }).toMatchObject({ code: 0 });
    expect(statSync(join(farm, "report.html")).size).toBeGreaterThan(100_000);
    if (process.platform !== "win32") {
      const { stdout } = await execute(join(farm, "node_modules/.bin/stripcurve"), ["--version"]);
      expect(stdout).toBe(`${String(about["version"])}\n`);
    }
  });

  const use = `
import { analyze, defaultSettings, defaultUnits, readTrial } from "stripcurve";
const rows = [2024, 2025].flatMap((season) => [0.8, 1.1, 1.4, 1.7].flatMap((rate) => [1, 2, 3].map((block) =>
  ["Alder", season, block, rate, 64 - 30 * Math.max(0, 1.3 - rate) ** 2 + block / 2].join())));
const text = ["variety,season,block,rate (million/ac),yield (bu/ac)", ...rows].join("\\n");
const bytes = Uint8Array.from(text, (letter) => letter.charCodeAt(0));
const trial = readTrial([{ name: "strips.csv", bytes }], defaultSettings, defaultUnits);
export const used = analyze(trial, defaultSettings, defaultUnits).rows.used;
`;

  it("is imported as a module, and its schemas as files", async () => {
    writeFileSync(join(farm, "use.js"), use);
    const asked = `import { used } from "./use.js";
      import { readFileSync } from "node:fs";
      const { title } = JSON.parse(readFileSync(new URL(import.meta.resolve("stripcurve/schemas/result.schema.json"))));
      console.log(used, title);`;
    const ran = execute(process.execPath, ["--input-type=module", "--eval", asked], { cwd: farm });
    expect((await ran).stdout).toBe("24 Result of stripcurve fit --json\n");
  });

  it.each(["nodenext", "bundler"])(
    "has types that hold under `strict`, found as by %s",
    async (resolution) => {
      writeFileSync(
        join(farm, "use.ts"),
        `${use}\n// @ts-expect-error A number is no text.\nexport const wrong: string = used;\n`,
      );
      const options = {
        strict: true,
        noEmit: true,
        skipLibCheck: false,
        target: "es2022",
        lib: ["es2023"],
        types: [],
        module: resolution === "bundler" ? "esnext" : resolution,
        moduleResolution: resolution,
      };
      writeFileSync(
        join(farm, "tsconfig.json"),
        JSON.stringify({ compilerOptions: options, files: ["use.ts"] }),
      );
      const said = execute(process.execPath, [compiler, "-p", "."], { cwd: farm }).then(
        () => "",
        (error: { stdout: string }) => error.stdout,
      );
      expect(await said).toBe("");
    },
  );

  it("is bundled for a browser, without anything of Node.js", async () => {
    writeFileSync(join(farm, "use.js"), use);
    const { warnings, outputFiles } = await build({
      absWorkingDir: farm,
      entryPoints: ["use.js"],
      bundle: true,
      write: false,
      logLevel: "silent",
      platform: "browser",
      format: "esm",
    });
    expect(warnings).toEqual([]);
    const bundle = `data:text/javascript;base64,${Buffer.from(outputFiles[0]!.contents).toString("base64")}`;
    const asked = `console.log((await import(${JSON.stringify(bundle)})).used)`;
    writeFileSync(join(farm, "asked.js"), asked);
    expect((await execute(process.execPath, ["asked.js"], { cwd: farm })).stdout).toBe("24\n");
  });

  it("holds what its pages link to", () => {
    const files = packed.files.map((file) => file.path);
    const links = ["README.md", "DEVELOPERS.md"].flatMap((page) =>
      [...readFileSync(join(root, page), "utf8").matchAll(/\]\(([^)#]+)[^)]*\)/g)].map(([, link]) => link!),
    );
    const inside = links.filter((link) => !/^[a-z]+:/.test(link));
    expect(inside).toContain("reports/demo.png");
    for (const link of inside)
      if (existsSync(join(root, link)) && link !== "LICENSE") expect(files).toContain(link);
    expect(files).toContain("LICENSE");
  });

  it("holds the licences of what is bundled into it", () => {
    const licences = readFileSync(join(installed, "dist/licences.txt"), "utf8");
    const imported = readdirSync(join(root, "src"), { recursive: true, encoding: "utf8" })
      .filter((name) => /(?<!\.d)\.ts$/.test(name))
      .flatMap((name) =>
        [
          ...readFileSync(join(root, "src", name), "utf8").matchAll(
            /^(?:import|export) (?!type)[^;]* from "([^".]+)/gm,
          ),
        ].map(([, from]) => /^(@[^/]+\/)?[^/]+/.exec(from!)![0]),
      )
      .filter((name) => name in (about["devDependencies"] as object));
    expect(imported.length).toBeGreaterThan(10);
    for (const name of imported) expect(licences).toMatch(new RegExp(`^${name} \\d+\\.`, "m"));
    // Vega's is the BSD licence of three clauses, which asks for its text (SPDX: BSD-3-Clause).
    expect(licences).toContain("Copyright (c) 2015-2023, University of Washington Interactive Data Lab");
    expect(licences).toContain("Neither the name of the copyright holder nor the names of its contributors");
  });
});

describe("a Node.js that is too old", () => {
  it("is told in one sentence", async () => {
    const older = join(scratch, "older.mjs");
    writeFileSync(older, `Object.defineProperty(process.versions, "node", { value: "18.20.8" });`);
    const failed = await execute(process.execPath, ["--import", pathToFileURL(older).href, command]).then(
      () => null,
      (error: { code: number; stderr: string }) => error,
    );
    expect(failed).toMatchObject({
      code: 2,
      stderr: `stripcurve needs Node.js ${about.engines.node.slice(2)} or newer, and this is 18.20.8: install a current one from https://nodejs.org.\n`,
    });
  });

  it("can read what runs first: nothing in it is newer than Node.js 10", async () => {
    const code = readFileSync(command, "utf8");
    const supported = { "dynamic-import": true };
    const lowered = await transform(code, { target: "node10", supported });
    expect(lowered.code).toBe((await transform(code, { target: "esnext" })).code);
    expect(code).not.toMatch(/^(import|export) /m);
  });
});
