/** Loaded before a measured command: at its end, what it used goes to the file named in STRIPCURVE_USAGE. */
import { writeFileSync } from "node:fs";

const path = process.env["STRIPCURVE_USAGE"];
process.on("exit", () => {
  const { userCPUTime, systemCPUTime, maxRSS } = process.resourceUsage();
  writeFileSync(
    path,
    JSON.stringify({ cpuSeconds: (userCPUTime + systemCPUTime) / 1e6, peakMb: maxRSS / 1024 }),
  );
});
