/** Writes the made files of the demo: `npm run demo:data`, from the top of the repository. */
import { writeFileSync } from "node:fs";
import { demoFiles } from "./farm.ts";

for (const [name, text] of Object.entries(demoFiles())) writeFileSync(`data-demo/${name}`, text);
