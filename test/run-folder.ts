/** A folder for what workers of one run share; it is gone after the run, so that nothing of older code is left. */
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { TestProject } from "vitest/node";

declare module "vitest" {
  interface ProvidedContext {
    /** Only where all workers run the same code, and once: neither in mutants nor where files are watched. */
    runFolder?: string;
  }
}

export default function makeFolder({ provide, vitest }: TestProject): (() => void) | undefined {
  if (vitest.config.watch) return undefined;
  const folder = mkdtempSync(join(tmpdir(), "stripcurve-run-"));
  provide("runFolder", folder);
  return () => rmSync(folder, { recursive: true, force: true });
}
