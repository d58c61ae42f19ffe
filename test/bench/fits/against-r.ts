/** The same strips through R, where it is installed. */
import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { environmentId } from "../../../src/vocabulary/environments.ts";
import type { FormName } from "../../../src/vocabulary/settings.ts";
import type { Trial } from "../../../src/vocabulary/trial.ts";

export interface RFits {
  version: string;
  /** Quadratic, linear-plateau, quadratic-plateau. */
  seconds: [number, number, number];
  /** Residual sum of squares by `environment variety`; null where no start of five came through. */
  rss: Record<Exclude<FormName, "none" | "linear">, Map<string, number | null>>;
}

export const rIsInstalled = (): boolean => spawnSync("Rscript", ["--version"]).status === 0;

/** Debian's R, for those who ask for it with --install-r; needs root. */
export const installR = (): void =>
  void spawnSync("apt-get", ["install", "-y", "--no-install-recommends", "r-base-core"], {
    stdio: "inherit",
  });

export function fitInR(trial: Trial): RFits {
  const rows = trial.strips.map((strip) =>
    [environmentId(strip), strip.variety, strip.block, strip.rateSeedsPerM2, strip.yieldKgPerHa].join(),
  );
  const script = fileURLToPath(new URL("season-fits.R", benchFolder));
  const run = spawnSync("Rscript", [script], {
    input: ["env,variety,block,rate,yield", ...rows].join("\n"),
    encoding: "utf8",
    maxBuffer: 1e9,
    stdio: ["pipe", "pipe", "inherit"],
  });
  const told = JSON.parse(run.stdout) as RTold;
  const rssOf = (values: (number | null)[]): Map<string, number | null> =>
    new Map(told.groups.map((group, i) => [group.replace(".Variety", " Variety"), values[i]!]));
  return {
    version: told.version,
    seconds: told.seconds,
    rss: {
      quadratic: rssOf(told.quadratic),
      "linear-plateau": rssOf(told["linear-plateau"]),
      "quadratic-plateau": rssOf(told["quadratic-plateau"]),
    },
  };
}

type RTold = { version: string; seconds: [number, number, number]; groups: string[] } & Record<
  "quadratic" | "linear-plateau" | "quadratic-plateau",
  (number | null)[]
>;

/** Where this file stands in the project; the bundle is run from its root. */
const benchFolder = new URL("test/bench/fits/", `file://${process.cwd()}/`);
