/** Checks the types of each part by what that part may know: the engine of neither Node nor page, the page of no Node. */
import { fileURLToPath } from "node:url";
import { compile } from "./compiler.mjs";

const root = fileURLToPath(new URL("../..", import.meta.url));
for (const part of ["", "src/page/", "src/desk/", "src/cli/", "test/"])
  try {
    compile("-p", `${root}${part}tsconfig.json`);
  } catch {
    process.exitCode = 1;
  }
