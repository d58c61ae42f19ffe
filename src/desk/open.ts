/** Opens the page: unpacks the desk and all it needs, and starts it. */
import { handOver, runOnPage, scriptOf, unpacked } from "./packed.ts";
import { sayTooOld } from "./too-old.ts";

async function open(): Promise<void> {
  const packed = await unpacked("packed");
  runOnPage(scriptOf(packed, "desk"));
  handOver(packed);
}

open().catch(sayTooOld);
