/** Writes the made files of the demo: `npm run demo:data`, from the top of the repository. */
import { mkdirSync, writeFileSync } from "node:fs";
import { demoFiles } from "./farm.ts";
import { demoPoints } from "./points.ts";

mkdirSync("data-demo/points", { recursive: true });
for (const [name, text] of Object.entries({ ...demoFiles(), ...demoPoints() }))
  writeFileSync(`data-demo/${name}`, text);
